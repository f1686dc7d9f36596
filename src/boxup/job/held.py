"""The hold of an attempt, judged from the readings on record: which readings are the hold, what a degree and a litre do, what they show."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from math import nan

from boxup.core.calculation import BadInput
from boxup.core.quantity import Quantity
from boxup.core.rounding import both
from boxup.core.unit import UNITS
from boxup.core.working import Working
from boxup.exchanger.model import Exchanger
from boxup.hydro.hold import DECAY, LONG_GAP, WALL, judge, longest_gap, rise_doubt
from boxup.hydro.log_file import LogTable
from boxup.hydro.reached import reached_from, reached_said
from boxup.hydro.rise import rise_at, rise_said
from boxup.hydro.trapped_air import GAS
from boxup.hydro.two_gauges import BEGINS
from boxup.job.full import USUAL_WATER, Full, full
from boxup.job.odd import BOUNDS
from boxup.job.pumped import Pumped, pumped
from boxup.job.reading import IN_WATER, SKIN, Reading
from boxup.job.stretch import LEAST_GAUGE, hold_of, pumped_by

MEASURED = 0.03  # of the volume for each pressure where it was measured while pumping; worked out 0.07
# What stands in the way of a verdict, as a word of ours: by the beginning of what the estimator says, or by a piece of it.
LOW = "the hold stands at"
LACKS = {"rate not steady": "unsteady", "pressure gained": "gained", "the gauge did not move": "still",
         "the thermometer did not move": "frozen", "readings; at least": "few", "min; at least": "short",
         BEGINS: "apart"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Held:
    """What the hold shows. `working` is empty where it could not be worked, and `why` says so. mL/min; `rise` MPa/K, 0 where not known.

    `lacks`: what stands in the way of a verdict, as words: LACKS, `other`, `water`, `warm`, `file`. `measured`: whether the volume for each
    pressure is the one measured while pumping. `doubts`: what the estimator says of each of the first, as sentences. `worked_at`: K and
    Pa gauge that the rise was worked at.
    """

    readings: tuple[Reading, ...]
    working: Working
    verdict: str = "cannot judge"
    why: str = ""
    rise: float = 0.0
    rise_doubt: float = 0.0
    skin: bool = False
    lacks: tuple[str, ...] = ()
    measured: bool = False
    doubts: tuple[str, ...] = ()
    worked_at: tuple[float, float] | None = None

    def value(self, symbol: str, unit: str = "mL/min") -> float | None:
        """A figure of the working in a unit, None where it is not there."""
        step = self.working.steps.get(symbol)
        return None if step is None else UNITS[unit].from_si(step.si)

    @property
    def gap(self) -> float:
        """The longest time between two readings where that is more than it may be, min; 0 else."""
        seconds = [r.at.timestamp() for r in self.readings]
        gap, _ = longest_gap(seconds)
        return gap / 60 if len(seconds) > 1 and gap > LONG_GAP * (seconds[-1] - seconds[0]) else 0.0

    @property
    def rise_said(self) -> str:
        """The rise in words, with the water and the pressure it holds for; "" where it is not known."""
        if self.worked_at is None:
            return ""
        return rise_said(UNITS["MPa/K"].to_si(self.rise), *self.worked_at)

    @property
    def leaks(self) -> bool:
        return self.verdict == "leak shown"

    @property
    def place(self) -> float:
        """K that the thermometer may be off the water it speaks for, by where it sits."""
        return SKIN if self.skin else IN_WATER

    def expected(self) -> Iterator[tuple[datetime, float, float]]:
        """For each reading the pressure the warming alone would give, MPa, and how far that may be off (95 %)."""
        warm = [r.warm(self.skin) for r in self.readings]
        first = self.readings[0]
        whole = (self.readings[-1].at - first.at).total_seconds() or 1.0
        for r, t in zip(self.readings, warm, strict=True):
            if t is None or warm[0] is None:
                continue
            share = (r.at - first.at).total_seconds() / whole
            off = 1.96 * ((self.rise_doubt * (t - warm[0])) ** 2 + (max(abs(self.rise), WALL) * self.place * share) ** 2) ** 0.5
            yield r.at, first.pressure + self.rise * (t - warm[0]), off


def held(x: Exchanger, code: str, readings: Sequence[Reading], gauge_step: float | None = None) -> Held:
    """Judge the hold of one attempt of a test. `gauge_step`: MPa, where it is known. Never raises for what is absent: `why` says it."""
    side = full(x, code, USUAL_WATER)
    mpa = UNITS["MPa"].scale
    gauge = side.gauge / mpa if side and side.gauge else None
    found = hold_of(readings, gauge)
    skin = on_skin(found)
    read = [r for r in readings if r.warm(skin) is not None]
    if side is not None and len(read) > 1:
        found = hold_of(read, gauge, pumped_by(side.rise / mpa, skin, gauge_step or 0.0))
    return held_whole(x, code, found, gauge_step, pumped(x, code, readings))


def on_skin(hold: Sequence[Reading]) -> bool:
    """Whether only the metal was read."""
    return sum(r.water is not None for r in hold) < 2 <= sum(r.metal is not None for r in hold)


def held_whole(x: Exchanger, code: str, hold: Sequence[Reading], gauge_step: float | None = None, way_up: Pumped | None = None) -> Held:
    """As `held`, of readings that are all of the hold; `way_up`: what the litres showed before it."""
    none = Working("hold", DECAY)
    skin = on_skin(hold)
    kept = tuple(r for r in hold if r.warm(skin) is not None)
    if len(kept) < 2:
        why = "water or metal was not read during the hold: without it a drop, or none, says nothing"
        return Held(tuple(hold), none, why=why, lacks=("water",) if len(hold) > 1 else ("few",))
    mean = sum(r.warm(skin) or 0.0 for r in kept) / len(kept)
    side = full(x, code, round(mean, 1))
    if side is None:
        return Held(kept, none, why=_no_side(x, code, mean, skin), skin=skin, lacks=("warm" if _too_warm(mean, skin) else "file",))
    return _judged(kept, side, way_up if way_up and way_up.measured else None, skin, gauge_step)


def _too_warm(mean: float, skin: bool) -> bool:
    """Whether that is no water or metal of a test, degC."""
    _, low, high = BOUNDS["metal_degc" if skin else "water_degc"]
    return not low <= mean <= high


def _no_side(x: Exchanger, code: str, mean: float, skin: bool) -> str:
    """Why nothing can be worked: a temperature that no test has is the reader's, the rest is the file's."""
    if not _too_warm(mean, skin):
        return "the volume of that side cannot be worked: see what the exchanger's file lacks"
    what, low, high = BOUNDS["metal_degc" if skin else "water_degc"]
    return f"{what} at {mean:g} °C is beyond what a test has, {low:g} to {high:g} °C; if it was read in °F, head or enter it as {what} F"


def _judged(kept: tuple[Reading, ...], side: Full, way_up: Pumped | None, skin: bool, gauge_step: float | None) -> Held:
    w = Working("hold", DECAY)
    _rise_and_volume(w, side, way_up, kept[0].pressure)
    doubt = rise_doubt("", w["g"])
    w.assumed("u_g", "uncertainty of the rise", UNITS["MPa/K"].from_si(doubt), "MPa/K", "10 %, not below 10 % of what a wall does alone")
    place, why = (SKIN, "metal read on the skin") if skin else (IN_WATER, "read in the water")
    w.assumed("u_T", "how far water and wall may have moved apart from the thermometer", place, "K", why)
    table = _table(kept, skin)
    _graduations(w, table, gauge_step)
    mpa = UNITS["MPa/K"].scale
    known = {"rise": w["g"] / mpa, "rise_doubt": doubt / mpa, "skin": skin, "measured": way_up is not None,
             "worked_at": (side.water, side.pressure)}  # fmt: skip
    try:
        lists = judge(w, table, None, below(kept, side.gauge, gauge_step))
    except BadInput as bad:
        return Held(kept, Working("hold", DECAY), why="; ".join(bad.problems), lacks=("times",), **known)  # type: ignore[arg-type]
    verdict, doubts = lists["verdict"][0], lists["doubts"][0]
    words = tuple(_word(text) for text in doubts)
    return Held(kept, w, verdict, "; ".join(doubts), lacks=words, doubts=tuple(doubts), **known)  # type: ignore[arg-type]


def below(hold: Sequence[Reading], asked: float | None, step: float | None = None) -> str:
    """That the hold never stood at the pressure of its test, "" where it did: what does not leak here may leak there. `asked`: Pa."""
    highest, mpa = max((r.pressure for r in hold), default=0.0), UNITS["MPa"]
    if asked is None or highest >= reached_from(mpa.from_si(asked), step):
        return ""
    here, least = both("pressure", mpa.to_si(highest)), reached_said(asked, None if step is None else mpa.to_si(step))
    return f"{LOW} {here} at most, the test at {least}: it is shown for that pressure only"


def _word(doubt: str) -> str:
    return next((word for piece, word in LACKS.items() if piece in doubt), "other")


def _rise_and_volume(w: Working, side: Full, way_up: Pumped | None, pressure: float) -> None:
    """g, C and u_C: from the test sheet; C measured while pumping where that went well, and the rise with it."""
    mpa, sheet = UNITS["MPa/K"].scale, "the test sheet"
    rise, volume = Quantity(side.rise, "MPa/K", sheet), Quantity(side.per_pressure, "mL/MPa", sheet)
    worked = f"rise for each degree, worked from water and walls at {rise_at(side.water, side.pressure)}"
    if way_up is None:
        w.given("g", worked, rise, "MPa/K")
        w.given("C", "volume for each pressure, likewise", volume, "mL/MPa")
        w.assumed("u_C", "uncertainty of the volume for each pressure", 0.07, "-", "worked out, not measured while pumping")
        return
    w.given("g_0", worked, rise, "MPa/K")
    w.given("C_0", "volume for each pressure, likewise", volume, "mL/MPa")
    w.constant("P_0", "pressure of the air outside", 0.101325, "MPa abs", w.cite("1 atm", GAS))
    w.given("P_h", "pressure at the start of the hold", Quantity(pressure * mpa, "MPa", "read"), "MPa")
    w.take("s", way_up.working.steps["s"], "trapped-air", "litres for each MPa, measured while pumping")
    w.take("U_s", way_up.working.steps["U_s"], "trapped-air", "95 % uncertainty of it")
    w.take("V_a", way_up.working.steps["V_a"], "trapped-air", "air, at 1 atm")
    line = "C = s + V_a*P_0/(P_h + P_0)**2" if w["V_a"] > 0 else "C = s"  # less than no air is scatter
    w.step(line, "mL/MPa", "volume for each pressure, as measured, with the air left in", "air by Boyle's law", source=GAS)
    w.step("g = g_0*C_0/C", "MPa/K", "rise for each degree, of a side that gives so much", "same expansion, shared by what gives")
    w.constant("u_m", "measured while pumping, not better than", MEASURED, "-", w.cite("measured while pumping"))
    w.step("u_C = max(u_m, U_s/(1.96*s))", "-", "uncertainty of the volume for each pressure", "measured while pumping")


def _table(kept: Sequence[Reading], skin: bool) -> LogTable:
    first = kept[0].at
    columns = {
        "time": [(r.at - first).total_seconds() for r in kept],
        "temperature": [UNITS["degC"].to_si(r.warm(skin) or 0.0) for r in kept],
        "pressure": [UNITS["MPa"].to_si(r.pressure) for r in kept],
    }
    if any(r.second is not None for r in kept):
        columns["gauge_b"] = [UNITS["MPa"].to_si(nan if r.second is None else r.second) for r in kept]
    return LogTable("readings on record", columns, {"time": "min", "temperature": "degC", "pressure": "MPa"})


LEAST_THERMOMETER = 0.01  # K: what a person reads off is seldom finer, whatever the readings agree to


def _graduations(w: Working, table: LogTable, gauge_step: float | None) -> None:
    """As given, else the smallest step seen, and never finer than a person reads."""
    seen = {what: _steps(table.columns[what]) for what in ("pressure", "temperature")}
    mpa = UNITS["MPa"].scale
    why = "the smallest step between readings, not under 0.1 bar"
    if gauge_step is not None:
        w.given("d_p", "graduation of the gauge", Quantity(gauge_step * mpa, "MPa", f"{gauge_step} MPa"), "MPa")
    else:
        w.assumed("d_p", "graduation of the gauge", max(seen["pressure"] / mpa, LEAST_GAUGE), "MPa", why)
    why = "the smallest step between readings, not under 0.01 K"
    w.assumed("d_T", "graduation of the thermometer", max(seen["temperature"], LEAST_THERMOMETER), "K", why)


def _steps(values: Sequence[float]) -> float:
    levels = sorted(set(values))
    return min((b - a for a, b in pairwise(levels)), default=0.0)


def said_of(found: Held) -> str:
    """What a hold that shows a leak shows, in a sentence without its stop: what the needle did, what the warming alone would have done."""
    first, last = found.readings[0], found.readings[-1]
    _, would, _ = list(found.expected())[-1]
    leak, off = found.value("Q"), found.value("U")
    did = (last.pressure - first.pressure) * 10
    needle = (
        f"the gauge went from {first.pressure * 10:.1f} to {last.pressure * 10:.1f} bar" if abs(did) >= 0.05 else "the gauge stood still"
    )
    warm = (last.warm(found.skin) or 0.0) - (first.warm(found.skin) or 0.0)
    said = f"{needle}; for {warm:+.2f} °C it should have gone {(would - first.pressure) * 10:+.1f} bar"
    return f"the readings show a leak of {leak:.2g} ± {off:.1g} mL/min: {said}".replace("-", "−")
