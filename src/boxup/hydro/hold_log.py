"""The readings of a hold on an even clock, their block means, and how sure is what was told beside them. Minutes, kelvin, any pressure."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

Array = np.ndarray[Any, np.dtype[np.float64]]
BLOCKS = 24  # the log is looked at in this many means, or more
LEAST = 3  # readings that still make a line: enough to show a large leak, never to rule one out
USUAL_LAG = 3.0  # min: how far a thermometer in its pocket is thought to lag, 1 sd
FLOOR = 0.1  # of a graduation: noise is never thought smaller


@dataclass(frozen=True, slots=True)
class Doubt:
    """How sure the inputs are, 1 sd each. `rise`: pressure/K. `volume`: a share. `place`: K that water and wall may have moved apart from
    the thermometer over the hold. `drift`: pressure over the hold. Graduations: of gauge and thermometer, 0 for none."""

    rise: float
    volume: float
    place: float
    gauge_step: float
    thermometer_step: float
    drift: float = 0.0
    lag: float = USUAL_LAG

    @property
    def nothing(self) -> bool:
        """Whether everything but the scales is taken as exact."""
        return not (self.rise or self.volume or self.place or self.drift)

    def graduation(self, rise: float) -> float:
        """One graduation of both scales together, as pressure."""
        return float(np.hypot(self.gauge_step, rise * self.thermometer_step))

    def floor(self, rise: float) -> float:
        """Noise is never thought smaller than this, as pressure."""
        return FLOOR * self.graduation(rise) + 1e-12


@dataclass(frozen=True, slots=True)
class EvenLog:
    """The readings on an even clock from zero. `last_kelvin`, `last_pressure`: what was last read by then, never a value between two."""

    t: Array
    kelvin: Array
    pressure: Array
    last_kelvin: Array
    last_pressure: Array

    @property
    def each(self) -> int:
        """Readings of a block."""
        return max(1, len(self.t) // BLOCKS)

    @property
    def blocks(self) -> int:
        return len(self.t) // self.each

    @property
    def hours(self) -> float:
        return float(self.t[-1])

    @property
    def dt(self) -> float:
        return self.hours / (len(self.t) - 1)

    def cut(self, x: Array) -> Array:
        """The readings of each block, (blocks, each)."""
        return x[: self.blocks * self.each].reshape(self.blocks, self.each)


def even(minutes: Array, kelvin: Array, pressure: Array) -> EvenLog:
    """The log on an even clock. Raises ValueError where the readings cannot be such a log."""
    t, k, p = (np.asarray(a, float) for a in (minutes, kelvin, pressure))
    if len(t) < LEAST or not len(t) == len(k) == len(p) or not all(np.isfinite(a).all() for a in (t, k, p)) or (np.diff(t) <= 0).any():
        raise ValueError(f"at least {LEAST} readings of all three, in rising time, without gaps")
    t, k, p = t - t[0], k - k[0], p - p[0]
    dt = t[-1] / (len(t) - 1)
    if np.ptp(np.diff(t)) <= 0.02 * dt:
        return EvenLog(t, k, p, k, p)
    clock = np.arange(len(t)) * dt
    last = np.searchsorted(t, clock + 1e-9 * dt, "right") - 1
    return EvenLog(clock, np.interp(clock, t, k), np.interp(clock, t, p), k[last], p[last])


def graduation_of(readings: Array) -> float:
    """The smallest step seen between readings, 0 where they all agree."""
    seen = np.unique(np.round(readings, 9))
    return 0.0 if len(seen) < 2 else float(np.diff(seen).min())


def steps_seen(blocks: Array) -> int:
    """Graduations crossed; every block counts where most contain a change: a fine scale, or noise that dithers a coarse one."""
    changed = int(((np.ptp(blocks, axis=1) > 0) | np.r_[False, blocks[1:, 0] != blocks[:-1, -1]]).sum())
    return max(1, changed if changed > len(blocks) / 2 else min(changed, len(np.unique(blocks)) - 1))
