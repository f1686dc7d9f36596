"""What a hold says of a leak: the computed rise is taken out of the pressure, and the slope of what is left is the leak.

Three things the log itself cannot settle are averaged over, not picked: how noisy the line is, how long the noise remembers, how far the
thermometer lags. What it cannot tell at all is added as given: the rise for each degree (times the ramp), the volume for each pressure,
whether the thermometer speaks for the whole vessel, one graduation of each scale. The rise is never fitted: temperature and leak are both
nearly straight lines in time, and a fitted rise swallows the leak.

Minutes, kelvin, mL; pressure in any one unit, with rise and volume in the same.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from statistics import NormalDist

import numpy as np

from boxup.hydro.hold_log import Array, Doubt, EvenLog, even, steps_seen
from boxup.hydro.hold_steady import FEWEST, Break, breaks, unsteady

LAGS = np.array([0.0, 1, 2, 4, 8, 14, 20])  # of the thermometer, min
MEMORIES = np.array([0.0, 1 / 24, 1 / 12, 1 / 6, 1 / 3, 2 / 3])  # of the noise, as a share of the hold
SIZES = np.geomspace(0.6, 3.0, 10)  # of the noise, over what least squares finds
NO_LAG = 1e-3  # the same of one that is taken as exact
START = 0.5  # K the thermometer may be behind at the start, 1 sd
STEP = 0.6  # a graduation that flips once hides a slope error of up to this share of it over the hold, 1 sd
GAINED = 0.975  # so sure must one be that pressure is gained
SHORTEST = 20.0  # minutes under which no log shows that there is no leak
_WIDER = {1: 12.706, 2: 4.303, 3: 3.182}  # Student's t of 95 % by readings beyond two


@dataclass(frozen=True, slots=True)
class Estimate:
    """The leak in mL/min, loss +, with its bounds; `parts` are 1 sd each, mL/min. `doubts`: why the rate may not be judged at all;
    `breaks`: where the log does not go on as it began, so that it rules nothing out."""

    leak: float
    sd: float
    interval: tuple[float, float]
    lower: float
    upper: float
    parts: dict[str, float]
    doubts: tuple[str, ...]
    breaks: tuple[Break, ...] = ()

    @property
    def most(self) -> float:
        """The leak that such a hold rules out: a line that happens to rise does not make it sharper."""
        return self.upper - min(self.leak, 0.0)

    @property
    def half_width(self) -> float:
        return (self.interval[1] - self.interval[0]) / 2

    @property
    def smallest(self) -> float:
        """The smallest leak such a hold can tell from none: 5 % false alarm, 5 % missed."""
        return 3.29 * self.sd

    @property
    def largest_part(self) -> str:
        return max(self.parts, key=lambda name: self.parts[name])


def estimate(minutes: Array, kelvin: Array, pressure: Array, rise: float, volume: float, doubt: Doubt) -> Estimate:
    """The leak from a log of at least three readings in rising time. `rise`: pressure/K as given; `volume`: mL for each pressure.

    Under six readings one straight line is drawn and its scatter taken wide; a straight line too where nothing is in doubt. Raises
    ValueError where the readings cannot be such a log.
    """
    log = even(minutes, kelvin, pressure)
    weights, slopes, variances = _ways(log, rise, doubt)
    hidden = _hidden(log, rise, doubt)
    found = _summed(log, rise, volume, doubt, weights, slopes, variances, hidden)
    line = log.cut(log.pressure).mean(1) - rise * log.cut(log.kelvin).mean(1)
    return replace(found, breaks=breaks(log, line, rise, volume, doubt, found.most))


# --- the line: slope of the corrected pressure, for every lag, memory and size of the noise ---


def _lagged(log: EvenLog, x: Array) -> Array:
    """Block means of x as thermometers of each lag would show it, straight between readings, (lags, blocks)."""
    rest = x[0]
    rows = [log.cut(x).mean(1)]
    for lag in LAGS[1:]:
        keep = np.exp(-log.dt / lag)
        new = (1 - keep) * lag / log.dt
        drive = np.empty_like(x)
        drive[0] = 0.0
        drive[1:] = (1 - new) * (x[1:] - rest) + (new - keep) * (x[:-1] - rest)
        rows.append(rest + _settled(log, drive, keep))
    return np.array(rows)


def _settled(log: EvenLog, drive: Array, keep: float) -> Array:
    """Block means of s_n = keep s_(n-1) + drive_n, from rest, each block worked at once from the state before it."""
    parts, m = log.cut(drive), log.each
    left = keep ** np.arange(m, 0, -1)  # keep^m ... keep
    to_mean, to_end = (1 - left) / ((1 - keep) * m), keep ** np.arange(m - 1, -1, -1)  # keep may be 0: readings a day apart
    carry, ends = (keep * (1 - keep**m)) / ((1 - keep) * m), keep**m
    own, pushed = parts @ to_mean, parts @ to_end
    means, state = np.empty(log.blocks), 0.0
    for i in range(log.blocks):
        means[i] = own[i] + carry * state
        state = ends * state + pushed[i]
    return means


def _designs(log: EvenLog) -> Array:
    """Columns of the line for each lag: level, leak, and how the thermometer settles; (lags, blocks, 3)."""
    rows = []
    for lag in LAGS:
        settling = np.exp(-log.t / lag) if lag else np.zeros_like(log.t)
        run = log.t - lag * (1 - settling)
        rows.append(np.column_stack([np.ones(log.blocks), -log.cut(run).mean(1) / log.hours, log.cut(settling).mean(1)]))
    return np.array(rows)


def _whitened(x: Array, memory: Array) -> Array:
    """Rows with the noise's memory taken out, (lags, memories, blocks, columns); `memory`: from block to block."""
    r = memory[None, :, None, None]
    body = x[:, None, 1:] - r * x[:, None, :-1]
    return np.concatenate([x[:, None, :1] * np.sqrt(1 - r * r), body], axis=2)


def _mixture(log: EvenLog, rise: float, doubt: Doubt) -> tuple[Array, Array, Array]:
    """Weight, (slope, what one unit of rise does to it) and variance of the slope over the hold, for each way to see the noise."""
    warm = log.cut(log.kelvin).mean(1)
    y = np.stack([_lagged(log, log.pressure) - rise * warm, np.broadcast_to(-warm, (len(LAGS), log.blocks))], axis=2)
    block = log.dt * log.each
    memory = np.where(MEMORIES > 0, np.exp(-block / np.maximum(MEMORIES * log.hours, 1e-12)), 0.0)
    x, v = _whitened(_designs(log), memory), _whitened(y, memory)
    xt = np.swapaxes(x, 2, 3)
    gram, cross, power = xt @ x, xt @ v, (v[..., 0] ** 2).sum(2)
    fitted = np.linalg.solve(gram + 1e-9 * np.eye(3), cross[..., :1])[..., 0]
    left = np.maximum(power - (cross[..., 0] * fitted).sum(2), 0) / (log.blocks - 3)
    floor = doubt.floor(rise)
    size = np.maximum(np.maximum(np.sqrt(left), floor)[..., None] * SIZES, floor)  # (lags, memories, sizes)
    prior = np.diag([1e-12, 1e-12, 1 / max(START * abs(rise), 1e-9) ** 2])
    inverse = 1 / size[..., None, None] ** 2
    spread = np.linalg.inv(gram[:, :, None] * inverse + prior)
    pull = cross[:, :, None] * inverse
    mean = spread @ pull
    score = (
        -log.blocks * np.log(size)
        + 0.5 * np.log(1 - memory**2)[None, :, None]
        - 0.5 * power[..., None] / size**2
        - 0.5 * (LAGS / doubt.lag)[:, None, None] ** 2
        + 0.5 * np.linalg.slogdet(spread)[1]
        + 0.5 * (mean[..., 0] * pull[..., 0]).sum(-1)
    )
    weight = np.exp(score - score.max()).ravel()
    kept = weight > 1e-5
    slopes, variances = mean[..., 1, :].reshape(-1, 2)[kept], spread[..., 1, 1].ravel()[kept]
    return weight[kept] / weight[kept].sum(), slopes / log.hours, variances / log.hours**2


def _ways(log: EvenLog, rise: float, doubt: Doubt) -> tuple[Array, Array, Array]:
    """The mixture; the line for a handful of readings; where nothing is in doubt the line with the mixture's memory in its variance."""
    if len(log.t) < FEWEST:
        return _line(log, rise)
    if not doubt.nothing:
        return _mixture(log, rise, doubt)
    weights, slopes, variances = _mixture(log, rise, replace(doubt, lag=NO_LAG))
    _, straight, _ = _line(log, rise)
    return weights, np.broadcast_to(straight, slopes.shape), variances + (slopes[:, 0] - straight[0, 0]) ** 2


def _line(log: EvenLog, rise: float) -> tuple[Array, Array, Array]:
    """The same for a handful of readings: one way to see the noise, a straight line."""
    at = log.t - log.t.mean()
    power = float(at @ at)
    slope, by_rise = (-(at @ y) / power for y in (log.pressure - rise * log.kelvin, -log.kelvin))
    left = log.pressure - rise * log.kelvin + slope * at
    free = len(log.t) - 2
    variance = float(left @ left - left.sum() ** 2 / len(left)) / free / power * (_WIDER.get(free, 1.96) / 1.96) ** 2
    return np.array([1.0]), np.array([[slope, by_rise]]), np.array([max(variance, 0.0)])


# --- what the log cannot tell ---


@dataclass(frozen=True, slots=True)
class _Hidden:
    """1 sd of the slope, pressure/min: what graduations and the thermometer's place hide."""

    graduation: float
    place: float


def _hidden(log: EvenLog, rise: float, doubt: Doubt) -> _Hidden:
    crossed = [steps_seen(log.cut(x)) for x in (log.last_pressure, log.last_kelvin)]
    steps = np.array([doubt.gauge_step, rise * doubt.thermometer_step]) / np.sqrt(crossed)
    return _Hidden(float(STEP * np.hypot(*steps) / log.hours), float(np.hypot(rise * doubt.place, doubt.drift) / log.hours))


# --- together ---


@cache
def _normal() -> tuple[Array, Array]:
    z = np.linspace(-6, 6, 2401)
    return z, np.array([NormalDist().cdf(float(x)) for x in z])


def _summed(
    log: EvenLog, rise: float, volume: float, doubt: Doubt, weights: Array, slopes: Array, variances: Array, hidden: _Hidden
) -> Estimate:
    slope, by_rise = slopes[:, 0], slopes[:, 1] * doubt.rise
    leaks = slope * volume
    spreads = volume * np.sqrt(variances + by_rise**2 + hidden.graduation**2 + hidden.place**2 + (slope * doubt.volume) ** 2)
    spreads = np.maximum(spreads, 1e-12)
    leak = float(weights @ leaks)
    sd = float(np.sqrt(weights @ (spreads**2 + (leaks - leak) ** 2)))
    z, phi = _normal()
    at = leak + sd * np.linspace(-5, 5, 201)
    below = np.interp((at[:, None] - leaks) / spreads, z, phi) @ weights

    def quantile(share: float) -> float:
        return float(np.interp(share, below, at))

    fit = volume * float(np.sqrt(weights @ (variances + (slope - weights @ slope) ** 2)))
    parts = {
        "fit": fit,
        "rise": volume * float(weights @ np.abs(by_rise)),
        "graduation": volume * hidden.graduation,
        "thermometer place": volume * hidden.place,
        "volume": abs(leak) * doubt.volume,
    }
    doubts = unsteady(log, rise, volume, doubt, leak, sd)
    doubts += ("pressure gained",) if quantile(GAINED) < 0 else ()
    return Estimate(leak, sd, (quantile(0.025), quantile(0.975)), quantile(0.05), quantile(0.95), parts, doubts)
