"""The hold of an attempt, judged from the readings on record: which readings are the hold, what a degree and a litre do, what they show."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from typing import Any

from boxup.core.calculation import Answer, BadInput
from boxup.core.quantity import Quantity
from boxup.core.unit import UNITS
from boxup.core.working import Working
from boxup.exchanger.model import Exchanger
from boxup.exchanger.volumes import side_volumes
from boxup.hydro.hold import DECAY, WALL, judge, rise_doubt
from boxup.hydro.log_file import LogTable
from boxup.hydro.plan import plan_of
from boxup.hydro.sheet import Conditions, test_sheet

START = 0.99  # of the test pressure, or of the highest reading: from here on it is held
AGAIN = 0.01  # of the pressure, from one reading to the next, that warming does not explain: pumped again
LOWERED = 0.10  # of the highest reading, from one reading to the next: let down on purpose
SKIN = 0.2  # K, place of a thermometer on the metal; in the water 0.05 K
IN_WATER = 0.05


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading of an attempt; MPa gauge, degC, L. `warm`: of the water, else of the metal, None where neither was read."""

    at: datetime
    pressure: float
    water: float | None = None
    metal: float | None = None
    pumped: float | None = None


def reading_of(at: datetime, payload: Any) -> Reading:
    """From an entry `test.reading`."""
    got = (payload.get(key) for key in ("water_degc", "metal_degc", "pumped_l"))
    return Reading(at, float(payload["pressure_mpa"]), *got)


Pumped = Callable[[Reading, Reading], bool]  # of two readings in a row: was it pumped between them?


def litres_grew(before: Reading, now: Reading) -> bool:
    """As the litres on record say."""
    return now.pumped is not None and before.pumped is not None and now.pumped > before.pumped


def hold_of(readings: Sequence[Reading], planned: float | None = None, pumped: Pumped = litres_grew) -> tuple[Reading, ...]:
    """The readings that are the hold: from the first at test pressure, until it is let down. Pumping in between begins it anew, and of
    several the longest is taken, the later of equals. `planned`: MPa, where it is known; a warming hold ends higher than it began.
    """
    top = max((r.pressure for r in readings), default=0.0)
    if top <= 0:
        return ()
    level = START * min(top, planned or top)
    stretches: list[list[Reading]] = [[]]
    for now in readings:
        before = stretches[-1][-1] if stretches[-1] else None
        if before and pumped(before, now):
            stretches.append([now])
        elif before and before.pressure - now.pressure > LOWERED * top:
            stretches.append([])
        elif before or now.pressure >= level:
            stretches[-1].append(now)
    return tuple(max(reversed(stretches), key=_minutes))


def _minutes(stretch: Sequence[Reading]) -> float:
    return (stretch[-1].at - stretch[0].at).total_seconds() / 60 if stretch else -1.0


@dataclass(frozen=True, slots=True)
class Held:
    """What the hold shows. `working` is empty where it could not be worked, and `why` says so. mL/min; `rise` MPa/K."""

    readings: tuple[Reading, ...]
    working: Working
    verdict: str = "cannot judge"
    why: str = ""
    rise: float = 0.0
    rise_doubt: float = 0.0
    skin: bool = False

    def value(self, symbol: str, unit: str = "mL/min") -> float | None:
        """A figure of the working in a unit, None where it is not there."""
        step = self.working.steps.get(symbol)
        return None if step is None else UNITS[unit].from_si(step.si)

    @property
    def leaks(self) -> bool:
        return self.verdict == "leak shown"

    def expected(self) -> Iterator[tuple[datetime, float, float]]:
        """For each reading the pressure the warming alone would give, MPa, and how far that may be off (95 %)."""
        warm = [_warm(r, self.skin) for r in self.readings]
        first = self.readings[0]
        place = SKIN if self.skin else IN_WATER
        whole = (self.readings[-1].at - first.at).total_seconds() or 1.0
        for r, t in zip(self.readings, warm, strict=True):
            if t is None or warm[0] is None:
                continue
            share = (r.at - first.at).total_seconds() / whole
            off = 1.96 * ((self.rise_doubt * (t - warm[0])) ** 2 + (max(abs(self.rise), WALL) * place * share) ** 2) ** 0.5
            yield r.at, first.pressure + self.rise * (t - warm[0]), off


def _warm(r: Reading, skin: bool) -> float | None:
    return r.metal if skin else r.water


def held(x: Exchanger, code: str, readings: Sequence[Reading], gauge_step: float | None = None) -> Held:
    """Judge the hold of one attempt of a test. `gauge_step`: MPa, where it is known. Never raises for what is absent: `why` says it."""
    first, none = hold_of(readings), Working("hold", DECAY)
    skin = sum(r.water is not None for r in first) < 2 <= sum(r.metal is not None for r in first)
    warm = [t for r in first if (t := _warm(r, skin)) is not None]
    if len(warm) < 2:
        return Held(first, none, why="water or metal was not read during the hold: without it a drop, or none, says nothing")
    known = _vessel(x, code, round(sum(warm) / len(warm), 1))
    if known is None:
        return Held(first, none, why="the volume of that side cannot be worked: see what the exchanger's file lacks", skin=skin)
    read = tuple(r for r in readings if _warm(r, skin) is not None)
    kept = hold_of(read, known.planned, _pumped(known.rise, skin, gauge_step or 0.0))
    if len(kept) < 2:
        return Held(kept, none, why="one reading alone: the pump went on, or it was let down, right after it", skin=skin)
    return _judged(kept, known, skin, gauge_step)


def _pumped(rise: float, skin: bool, gauge_step: float) -> Pumped:
    """Litres that grew, or a gauge that rose more than the warming gives: nobody wrote down that it was pumped."""
    mpa = UNITS["MPa"].scale

    def pumped(before: Reading, now: Reading) -> bool:
        warming = (_warm(now, skin) or 0.0) - (_warm(before, skin) or 0.0)
        unexplained = now.pressure - before.pressure - rise / mpa * warming
        off = max(AGAIN * now.pressure, 1.5 * max(gauge_step, LEAST_GAUGE), abs(rise) / mpa * max(SKIN, 0.5 * abs(warming)))
        return litres_grew(before, now) or unexplained > off

    return pumped


def _judged(kept: tuple[Reading, ...], known: _Vessel, skin: bool, gauge_step: float | None) -> Held:
    rise, volume = known.rise, known.volume
    w = Working("hold", DECAY)
    w.given("g", "rise for each degree, worked from water and walls", Quantity(rise, "MPa/K", "the test sheet"), "MPa/K")
    w.given("C", "volume for each pressure, likewise", Quantity(volume, "mL/MPa", "the test sheet"), "mL/MPa")
    doubt = rise_doubt("", rise)
    w.assumed("u_g", "uncertainty of the rise", UNITS["MPa/K"].from_si(doubt), "MPa/K", "10 %, not below 10 % of what a wall does alone")
    w.assumed("u_C", "uncertainty of the volume for each pressure", 0.07, "-", "worked out, not measured while pumping")
    place, why = (SKIN, "metal read on the skin") if skin else (IN_WATER, "read in the water")
    w.assumed("u_T", "how far water and wall may have moved apart from the thermometer", place, "K", why)
    table = _table(kept, skin)
    _graduations(w, table, gauge_step)
    try:
        lists = judge(w, table, None)
    except BadInput as bad:
        return Held(kept, Working("hold", DECAY), why="; ".join(bad.problems), skin=skin)
    verdict, doubts = lists["verdict"][0], lists["doubts"][0]
    mpa = UNITS["MPa/K"].scale
    return Held(kept, w, verdict, "; ".join(doubts), rise / mpa, doubt / mpa, skin)


def _table(kept: Sequence[Reading], skin: bool) -> LogTable:
    first = kept[0].at
    columns = {
        "time": [(r.at - first).total_seconds() for r in kept],
        "temperature": [UNITS["degC"].to_si(_warm(r, skin) or 0.0) for r in kept],
        "pressure": [UNITS["MPa"].to_si(r.pressure) for r in kept],
    }
    return LogTable("readings on record", columns, {"time": "min", "temperature": "degC", "pressure": "MPa"})


LEAST_GAUGE, LEAST_THERMOMETER = 0.01, 0.01  # MPa and K: what a person reads off is seldom finer, whatever the readings agree to


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


@dataclass(frozen=True, slots=True)
class _Vessel:
    """Rise and volume for each pressure, SI; `planned`: what the gauge is to show, MPa."""

    rise: float
    volume: float
    planned: float | None


def _vessel(x: Exchanger, code: str, water: float) -> _Vessel | None:
    """What a test's side does at a water temperature, degC; None where the file does not give enough."""
    test = next((t for t in plan_of(x) if t.code == code), None)
    if test is None:
        return None
    answer = side_volumes(x).get(code)
    volume = answer.quantity("volume") if isinstance(answer, Answer) else None
    known = Conditions(water=Quantity(UNITS["degC"].to_si(water), "degC", f"{water:g} degC"))
    try:
        sheet = test_sheet(x, test, volume=volume, known=known, rooms=answer if isinstance(answer, Answer) else None)
    except BadInput:
        return None
    if not {"rise_per_degree", "volume_per_pressure"} <= sheet.values.keys():
        return None
    planned = UNITS["MPa"].from_si(sheet.si("gauge_pressure")) if "gauge_pressure" in sheet.values else None
    return _Vessel(sheet.si("rise_per_degree"), sheet.si("volume_per_pressure"), planned)


def readings_from(entries: Iterable[tuple[datetime, Any]]) -> tuple[Reading, ...]:
    """(when, payload) of each reading in the order of time."""
    return tuple(reading_of(at, payload) for at, payload in entries)


def said_of(found: Held) -> str:
    """What a hold that shows a leak shows, in a sentence without its stop: what the needle did, what the warming alone would have done."""
    first, last = found.readings[0], found.readings[-1]
    _, would, _ = list(found.expected())[-1]
    leak, off = found.value("Q"), found.value("U")
    did = (last.pressure - first.pressure) * 10
    needle = (
        f"the gauge went from {first.pressure * 10:.1f} to {last.pressure * 10:.1f} bar" if abs(did) >= 0.05 else "the gauge stood still"
    )
    warm = (_warm(last, found.skin) or 0.0) - (_warm(first, found.skin) or 0.0)
    said = f"{needle}; for {warm:+.2f} °C it should have gone {(would - first.pressure) * 10:+.1f} bar"
    return f"the readings show a leak of {leak:.2g} ± {off:.1g} mL/min: {said}".replace("-", "−")
