"""Holds that never were: vessels stepped second by second, whose leak is known. All invented; nothing here comes from the estimator.

A vessel is full of water. Its pressure follows the water (and, in two of them, the wall), falls with the leak, and is read with noise on a
scale. A thermometer follows what it touches, late. What the people at the gauge are told, the rise for each degree and the volume for each
pressure, is off by errors that are drawn here. Minutes, degC, MPa, mL/min.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

Array = np.ndarray[Any, np.dtype[np.float64]]
Draw = Callable[[np.random.Generator, int], Array]

RISE, VOLUME = 0.1552, 2604.0  # MPa/K and mL/MPa that are told: a shell of 2.6 m3 full of water at 18 degC
START = 2.6  # MPa at the start of the hold
WATER_RISE, WALL_RISE = 0.1906, -0.0354  # MPa/K: what water alone and wall alone do; together the rise
WATER_HEAT, WALL_HEAT, INSIDE, OUTSIDE = 12.6e6, 0.78e6, 2500.0, 250.0  # J/K, J/K, W/K, W/K
SETTLING = 7200  # s under the clouds before the hold begins


def as_stated(rng: np.random.Generator, holds: int) -> Array:
    """Error of the rise as it is declared: 10 %, 1 sd."""
    return rng.normal(0.0, 0.10, holds)


def within_15(rng: np.random.Generator, holds: int) -> Array:
    """Error of the rise: anything up to 15 %."""
    return rng.uniform(-0.15, 0.15, holds)


def off_by(share: float) -> Draw:
    """The rise told is that much too high (+) in every hold: the true one is `1 / (1 + share)` of it."""
    return lambda rng, holds: np.full(holds, 1 / (1 + share) - 1)


@dataclass(frozen=True, slots=True)
class Scene:
    """How a hold goes. Steps are graduations (K, MPa), noises 1 sd, memories and lags seconds, `warming` K/h."""

    name: str
    kind: str = "ramp"  # ramp, restless, clouds
    warming: float = 0.0
    minutes: float = 60.0
    readings: int = 3600
    told_rise: float = RISE
    true_rise: Draw = within_15
    place: float = 0.0  # K the vessel moves apart from the thermometer over the hold, 1 sd
    lag: float = 180.0
    behind: bool = False  # the thermometer lags from before the hold, else it starts at rest
    thermometer_step: float = 0.01
    gauge_step: float = 0.001
    thermometer_noise: float = 0.01
    gauge_noise: float = 0.001
    slow: tuple[float, float] = (0.001, 600.0)  # MPa and memory of a pressure that wanders by itself
    begins: float = 0.0  # min into the hold at which the leak begins
    topped: float = 0.0  # min after which somebody pumps up again by what was lost, and says nothing; 0: nobody does
    dissolving: float = 0.0  # MPa lost to air that dissolves, with a time constant of 30 min
    clouds: float = 1.0
    skin: bool = False
    scale_from_zero: bool = False  # graduations lie on whole numbers, else anywhere
    told_place: float = 0.05  # K, as declared

    def but(self, name: str, **changed: Any) -> Scene:
        return replace(self, name=name, **changed)


@dataclass(frozen=True, slots=True)
class Logs:
    """`minutes` (n,); `degrees` and `pressure` (holds, n), as read; `leak` (holds,) as it was."""

    minutes: Array
    degrees: Array
    pressure: Array
    leak: Array


class Wander:
    """A value that wanders about nothing and forgets in `memory` seconds; one for each hold, stepped by the second."""

    def __init__(self, rng: np.random.Generator, holds: int, sd: float, memory: float) -> None:
        self.rng, self.keep = rng, float(np.exp(-1.0 / memory))
        self.push = sd * (1 - self.keep**2) ** 0.5
        self.now = rng.normal(0.0, sd, holds) if sd else np.zeros(holds)

    def step(self) -> Array:
        if self.push:
            self.now = self.keep * self.now + self.rng.normal(0.0, self.push, len(self.now))
        return self.now


class Ramp:
    """Water that warms nearly straight: bent by a tenth of itself (1 sd), and 3 mK restless."""

    def __init__(self, scene: Scene, rng: np.random.Generator, holds: int) -> None:
        self.whole, self.seconds = scene.warming * scene.minutes / 60, scene.minutes * 60
        self.bend, self.shiver = rng.normal(0.0, 0.1, holds), Wander(rng, holds, 0.003, 900.0)
        self.water = self.wall = self.at(0)

    def at(self, second: int) -> Array:
        s = second / self.seconds
        return self.whole * (s - self.bend * s * (1 - s)) + self.shiver.now

    def step(self, second: int) -> None:
        self.shiver.step()
        self.water = self.wall = self.at(second)


class Restless:
    """Water that wanders by half a degree with a memory of 20 min, and drifts."""

    def __init__(self, scene: Scene, rng: np.random.Generator, holds: int) -> None:
        self.wander, self.drift = Wander(rng, holds, 0.5, 1200.0), rng.normal(0.0, 0.3, holds)
        self.water = self.wall = self.wander.now

    def step(self, second: int) -> None:
        self.water = self.wall = self.wander.step() + self.drift * second / 3600


class Clouds:
    """Water inside a wall, air outside that is 10 K warmer and changes with the clouds; both walk for two hours before the hold."""

    def __init__(self, scene: Scene, rng: np.random.Generator, holds: int) -> None:
        self.air = Wander(rng, holds, scene.clouds, 1200.0)
        self.water, self.wall = np.zeros(holds), np.full(holds, 10.0 * OUTSIDE / (INSIDE + OUTSIDE))
        for second in range(SETTLING):
            self.step(second)

    def step(self, second: int) -> None:
        inward, from_air = INSIDE * (self.wall - self.water), OUTSIDE * (10.0 + self.air.step() - self.wall)
        self.water, self.wall = self.water + inward / WATER_HEAT, self.wall + (from_air - inward) / WALL_HEAT


VESSELS: dict[str, Any] = {"ramp": Ramp, "restless": Restless, "clouds": Clouds}


def simulated(scene: Scene, leak: float, holds: int, seed: int) -> Logs:
    """So many holds of a scene, each with that leak in mL/min, with its own errors of rise (drawn), volume (7 %) and place."""
    rng = np.random.default_rng([seed, round(leak * 100)])
    volume = VOLUME * (1 + np.clip(rng.normal(0.0, 0.07, holds), -0.2, 0.2))
    true = 1 + scene.true_rise(rng, holds)
    push = (WATER_RISE * true, WALL_RISE * true) if scene.kind == "clouds" else (scene.told_rise * true, 0.0 * true)
    place = rng.normal(0.0, 1.0, holds) * scene.place * scene.told_rise
    vessel = VESSELS[scene.kind](scene, rng, holds)
    slow = Wander(rng, holds, *scene.slow)
    minutes, degrees, pressure = _walk(scene, vessel, slow, push, rng, holds)
    share = minutes / scene.minutes
    pressure += START + place[:, None] * share - np.outer(leak / volume, _leaking(scene, minutes))
    pressure -= scene.dissolving * (1 - np.exp(-minutes / 30))
    pressure = pressure + rng.normal(0.0, scene.gauge_noise, pressure.shape)
    degrees = 18.0 + degrees + rng.normal(0.0, scene.thermometer_noise, degrees.shape)
    read = [_on_scale(rng, x, step, scene.scale_from_zero) for x, step in ((degrees, scene.thermometer_step), (pressure, scene.gauge_step))]
    return Logs(minutes, read[0], read[1], np.full(holds, leak))


def _leaking(scene: Scene, minutes: Array) -> Array:
    """Minutes for which it has leaked at each reading, less those that somebody pumped up again."""
    leaking = np.maximum(minutes - scene.begins, 0.0)
    return leaking - np.floor(leaking / scene.topped) * scene.topped if scene.topped else leaking


def _walk(
    scene: Scene, vessel: Any, slow: Wander, push: tuple[Array, Array], rng: np.random.Generator, holds: int
) -> tuple[Array, Array, Array]:
    """Step the vessel and its thermometer; what they are at each reading, without leak, noise and scale. The clock is even."""
    whole = round(scene.minutes * 60)
    wanted = np.arange(whole) if scene.readings == whole else np.round(np.linspace(0, whole, scene.readings)).astype(int)
    follow = 1 - np.exp(-1.0 / (60.0 if scene.skin else scene.lag)) if scene.lag else 1.0
    water, wall = vessel.water, vessel.wall
    warmth = vessel.wall if scene.skin else vessel.water
    shown = warmth - (scene.warming / 3600 * scene.lag if scene.behind else 0.0)
    degrees, pressure = np.empty((holds, len(wanted))), np.empty((holds, len(wanted)))
    column = 0
    for second in range(int(wanted[-1]) + 1):
        if second:
            vessel.step(second)
            slow.step()
            warmth = vessel.wall if scene.skin else vessel.water
            shown = shown + follow * (warmth - shown)
        if second == wanted[column]:
            degrees[:, column] = shown
            pressure[:, column] = push[0] * (vessel.water - water) + push[1] * (vessel.wall - wall) + slow.now
            column += 1
    return wanted / 60.0, degrees, pressure


def _on_scale(rng: np.random.Generator, x: Array, step: float, from_zero: bool) -> Array:
    if not step:
        return x
    offset = 0.0 if from_zero else rng.uniform(0.0, 1.0, (len(x), 1))
    read: Array = (np.round(x / step + offset) - offset) * step
    return read


# --- the scenes of the study ---

USUAL = Scene("ramp")
DIAL = Scene("dial of 0.5 bar by eye, a reading every 5 min, 60 min", readings=13, lag=0.0, gauge_step=0.05, gauge_noise=0.005,
             thermometer_noise=0.005, slow=(0.0, 600.0), scale_from_zero=True)  # fmt: skip
ROUGH = Scene("restless", kind="restless", told_rise=0.6, lag=0.0, thermometer_step=0.1, gauge_step=0.01, thermometer_noise=0.02,
              gauge_noise=0.002, slow=(0.0, 900.0))  # fmt: skip
RAMPS = (0.2, 0.6, 1.2, -0.8)
CALIBRATED = [USUAL.but(f"calibrated, {r} K/h", warming=r, true_rise=as_stated, place=0.05) for r in RAMPS]
UNIFORM = [USUAL.but(f"rise within 15 %, {r} K/h", warming=r) for r in RAMPS]
COARSE = USUAL.but("steps of 0.1 bar and 0.1 K, 0.6 K/h", warming=0.6, thermometer_step=0.1, gauge_step=0.01)
STANDING = USUAL.but("thermometer standing within 0.5 K, 0.2 K/h", warming=0.2, thermometer_step=0.5)
POCKET = USUAL.but("two nodes, pocket, clouds 1 K", kind="clouds")
BARE = USUAL.but("two nodes, bare steel, clouds 4 K, place 0.2 K", kind="clouds", clouds=4.0, told_place=0.2)
SKIN = USUAL.but("two nodes, skin probe, clouds 1 K, place 0.2 K", kind="clouds", skin=True, told_place=0.2)
WARM_DIAL = DIAL.but("the same dial, warming 0.6 K/h", warming=0.6)
RESTLESS = [
    ROUGH.but("restless, steps 0.01 bar, 0.01 K", thermometer_step=0.01, gauge_step=0.001),
    ROUGH.but("restless, steps 0.1 bar, 0.1 K"),
    ROUGH.but("restless, steps 0.5 bar, 0.5 K", thermometer_step=0.5, gauge_step=0.05),
    ROUGH.but("restless, lag 2 min", lag=120.0),
    ROUGH.but("restless, lag 10 min", lag=600.0),
    ROUGH.but("restless, lag 2 min, slow noise 0.2 bar", lag=120.0, slow=(0.02, 900.0)),
]
RESTLESS_LEAK = 4.34  # mL/min: 1 bar/h
FEW = [
    USUAL.but("0.6 K/h, a reading every 2 min", warming=0.6, readings=31),
    USUAL.but("0.6 K/h, 30 min, a reading a minute", warming=0.6, readings=31, minutes=30.0),
]
DISSOLVING = [USUAL.but(f"air dissolving, {b * 10:g} bar, 0.3 K/h", warming=0.3, dissolving=b) for b in (0.1, 0.03)]
LATE = [(USUAL.but(f"0.2 K/h, a leak from minute {m} on", warming=0.2, true_rise=as_stated, place=0.05, begins=float(m)), leak)
        for m, leak in ((30, 4.0), (45, 4.0), (50, 10.0), (55, 20.0))]  # fmt: skip
TOPPED = [
    USUAL.but(f"0.3 K/h, topped up each {m} min", warming=0.3, true_rise=as_stated, place=0.05, topped=float(m)) for m in (10, 20, 31)
]
MASKING = 4.0 / VOLUME * 60 / RISE  # K/h at which 4 mL/min leave the needle still
MASKED = [USUAL.but(f"masked leak, {said}", warming=MASKING * true, true_rise=off)
          for said, true, off in (("rise as told", 1.0, off_by(0.0)), ("rise told 15 % too high", 1.15, off_by(0.15)),
                                  ("rise told 15 % too low", 0.85, off_by(-0.15)))]  # fmt: skip
