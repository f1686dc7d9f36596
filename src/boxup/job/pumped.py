"""The litres pumped in on the way up, judged from the readings on record: how much air is left in, what a bar takes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from boxup.core.calculation import BadInput
from boxup.core.quantity import Quantity
from boxup.core.unit import UNITS
from boxup.core.working import Working
from boxup.exchanger.model import Exchanger
from boxup.hydro.balance import MOST_AIR
from boxup.hydro.log_file import LogTable
from boxup.hydro.trapped_air import FEWEST, GAS, LEAST_RISE, fit
from boxup.job.full import USUAL_WATER, Full, full
from boxup.job.reading import LOWERED, Reading

TOP = 0.99  # of the highest reading: what is pumped in behind it tops up, and is no part of the way up
ATMOSPHERE = 0.101325  # MPa
GOOD = 0.06  # of the litres for each bar, 95 %: a fit no better than that measures nothing
STIFF, SOFT = 0.98, 1.4  # of the water alone, of the figure worked: outside them litres, volume or tightness are not right
DEGREE = 0.02  # of the highest pressure: what warming on the way up may have done to it


@dataclass(frozen=True, slots=True)
class Pumped:
    """What the litres show. `lacks`: why not, as a word: `none` were read, `few`, `low`, `not rising`, `file`; "" where they show it.

    `readings`: of the way up, the one at 0 first where it is on record; `zero`: litres on the meter at 0. `why`: why the slope does not
    stand for this side, "" where it was measured well: `scatter`, `stiff`, `soft`, `warmed`.
    """

    readings: tuple[Reading, ...]
    working: Working
    lacks: str = ""
    zero: float = 0.0
    side: Full | None = None
    why: str = ""

    def value(self, symbol: str, unit: str) -> float:
        """A figure of the working. KeyError where it is not there."""
        return UNITS[unit].from_si(self.working[symbol])

    @property
    def airy(self) -> bool:
        """More air than a test is pumped up with."""
        return not self.lacks and self.working["x_a"] > MOST_AIR

    @property
    def measured(self) -> bool:
        """Whether the litres for each bar were measured well enough to be used."""
        return not self.lacks and not self.why

    def points(self) -> tuple[tuple[float, float], ...]:
        """(MPa, L since 0) as read."""
        return tuple((r.pressure, (r.pumped or 0.0) - self.zero) for r in self.readings if r.pumped is not None)

    def air_free(self, pressure: float) -> float | None:
        """Litres at a pressure (MPa) were there no air, by the test sheet; None where it cannot be worked."""
        return None if self.side is None else UNITS["L"].from_si(self.side.pump_in) * pressure / self.top

    def vent_over(self, pressure: float) -> float | None:
        """Litres at a pressure (MPa) with as much air as is not vented again, by the test sheet: over them it is. None likewise."""
        if self.side is None:
            return None
        free = self.air_free(pressure) or 0.0
        return free + UNITS["L"].from_si(self.side.air) * pressure / (pressure + ATMOSPHERE)

    @property
    def top(self) -> float:
        """MPa at the gauge at test pressure, which the sheet's litres are for; 0 without a sheet."""
        return UNITS["MPa"].from_si(self.side.gauge or self.side.pressure) if self.side else 0.0

    @property
    def over(self) -> bool:
        """Whether the litres read last are more than that: told before the curve can be fitted, where its figures are too few."""
        points = self.points()
        most = self.vent_over(points[-1][0]) if points and points[-1][0] > 0 else None
        return most is not None and points[-1][1] > most

    def curve(self, pressure: float) -> float:
        """Litres at a pressure (MPa) by the fit."""
        air, slope = self.value("V_a", "L"), self.value("s", "L/MPa")
        return air * (1 - ATMOSPHERE / (pressure + ATMOSPHERE)) + slope * pressure


def raising_of(readings: Sequence[Reading]) -> tuple[Reading, ...]:
    """The last way up on which litres were read: from 0 until it stands at the top; waiting at a stage counts once."""
    runs: list[list[Reading]] = [[]]
    down = False  # what is read on the way down, or on a way up that does not begin at 0, is no such curve
    for r in readings:
        run = runs[-1]
        if r.pressure <= 0:
            runs.append([r])
            down = False
            continue
        down = down or (bool(run) and run[-1].pressure - r.pressure > LOWERED * max(one.pressure for one in run))
        if not down:
            run.append(r)
    ups = [up for up in (tuple(_way_up(run)) for run in runs) if any(r.pressure > 0 for r in up)]
    return ups[-1] if ups else ()


def _way_up(run: Sequence[Reading]) -> Iterator[Reading]:
    """The reading at 0, and those with litres until the top is reached; of several at the same litres the first."""
    top = max((r.pressure for r in run), default=0.0)
    litres: float | None = None
    for r in run:
        if r.pressure <= 0:
            yield r
        elif r.pumped is not None and r.pumped != litres:
            litres = r.pumped
            yield r
        if r.pressure >= TOP * top > 0:
            return


def pumped(x: Exchanger, code: str, readings: Sequence[Reading]) -> Pumped:
    """Judge the litres of one attempt of a test. Never raises for what is absent: `lacks` says it."""
    up, none = raising_of(readings), Working("trapped-air", GAS)
    zero = next((r.pumped for r in up if r.pressure <= 0 and r.pumped is not None), 0.0)
    read = [r for r in up if r.pumped is not None or r.pressure <= 0]
    waters = [r.water for r in up if r.water is not None]
    side = full(x, code, round(sum(waters) / len(waters), 1) if waters else USUAL_WATER)
    if not any(r.pumped is not None and r.pressure > 0 for r in read):
        return Pumped(up, none, "none", side=side)
    if lacks := _lacks(read, side):
        return Pumped(up, none, lacks, zero, side)
    assert side is not None
    return _fitted(up, read, zero, side, waters)


def _lacks(read: Sequence[Reading], side: Full | None) -> str:
    litres = [r.pumped or 0.0 for r in read if r.pumped is not None]
    rising = all(b.pressure >= a.pressure for a, b in pairwise(read)) and litres == sorted(litres)
    if not rising:
        return "not rising"
    if len(read) < FEWEST:
        return "few"
    if read[-1].pressure + ATMOSPHERE < (1 + LEAST_RISE) * (read[0].pressure + ATMOSPHERE):
        return "low"
    return "" if side else "file"


def _fitted(up: tuple[Reading, ...], read: Sequence[Reading], zero: float, side: Full, waters: Sequence[float]) -> Pumped:
    w = Working("trapped-air", GAS)
    w.given("V", "water that fills the side", Quantity(side.volume, "m3", "the test sheet"), "m3")
    columns = {
        "pressure": [UNITS["MPa"].to_si(r.pressure) for r in read],
        "pumped": [UNITS["L"].to_si((r.pumped if r.pumped is not None else zero) - zero) for r in read],
    }
    try:
        fit(w, LogTable("readings on record", columns, {"pressure": "MPa", "pumped": "L"}))
    except BadInput:
        return Pumped(up, Working("trapped-air", GAS), "low", zero, side)
    w.step("x_a = V_a/V", "-", "share of the volume that is air", "at 1 atm")
    return Pumped(up, w, "", zero, side, _why(w, up, side, waters))


def _why(w: Working, up: Sequence[Reading], side: Full, waters: Sequence[float]) -> str:
    """Why the slope is not taken for the litres of each bar of this side; "" where it is."""
    if w["U_s"] > GOOD * w["s"]:
        return "scatter"
    if w["s"] < STIFF * side.squeeze * side.volume:
        return "stiff"
    if w["s"] > SOFT * side.per_pressure:
        return "soft"
    moved = (max(waters) - min(waters)) * abs(side.rise) if waters else 0.0
    return "warmed" if moved > DEGREE * UNITS["MPa"].to_si(up[-1].pressure) else ""
