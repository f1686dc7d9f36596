"""What a reading says at once: above what the side may see, two gauges apart, metal or water too cold, frost near."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from boxup.core.unit import UNITS
from boxup.hydro.two_gauges import Apart, apart_on_the_way
from boxup.job.fold.engine import About, Folding
from boxup.job.fold.planned import wanted
from boxup.job.state import Attempt, TestState

READ = (("metal", "metal_degc"), ("water", "water_degc"), ("air", "air_degc"))
HELD = ("metal", "water")  # neither may be colder than the sheet says
NEAR_FREEZING = 2.0  # degC read: the coldest place is always another than the one that was measured


def stop(f: Folding, test: TestState, text: str) -> None:
    """A STOP of a reading: told at its entry, and kept as long as it is the last one."""
    f.notice("stop", text)
    test.stops = (*test.stops, text)


# temperature


def read_of(said: Mapping[str, Any]) -> dict[str, float]:
    """What was read of metal, water and air, degC."""
    return {what: said[key] for what, key in READ if key in said}


def too_cold(f: Folding, test: TestState, read: Mapping[str, float]) -> str:
    """`metal at 3 °C, water at 4 °C, least 7 °C`, "" where they are warm enough or nobody knows."""
    cold, least = _cold(f, test, read)
    return f"{cold}, least {least:.0f} °C" if cold else ""


def _cold(f: Folding, test: TestState, read: Mapping[str, float]) -> tuple[str, float]:
    """What is colder than the sheet says, in words, and what it says."""
    least = wanted(f, test.code).least_degc
    least = float("-inf") if least is None else least
    return ", ".join(f"{what} at {read[what]:g} °C" for what in HELD if what in read and read[what] < least), least


def cold_at_0(f: Folding, test: TestState, said: Mapping[str, Any]) -> None:
    """Cold metal or water is told before anybody pumps; what was read last is known when pressure goes on."""
    read = read_of(said)
    test.last_degc |= {what: read[what] for what in HELD if what in read}
    if (metal := read.get("metal")) is not None:
        test.coldest_at_0_degc = min(metal, metal if test.coldest_at_0_degc is None else test.coldest_at_0_degc)
    if cold := too_cold(f, test, read):
        stop(f, test, f"test {test.code}: {cold}. No pressure before it is warmed and read again")


def cold_on(f: Folding, test: TestState, attempt: Attempt, said: Mapping[str, Any]) -> None:
    """Cold metal or water under pressure is a stop at once."""
    read = read_of(said)
    for what in (what for what in HELD if what in read):
        test.last_degc[what] = read[what]
        attempt.coldest[what] = min(read[what], attempt.coldest.get(what, read[what]))
    cold, least = _cold(f, test, read)
    if cold:
        stop(f, test, f"test {test.code}: {cold} with pressure on, least {least:.0f} °C. Down to 0, warmed first")


def cold_before(f: Folding, test: TestState, said: Mapping[str, Any]) -> None:
    """Pressure goes on and nothing was read with it: by what was read last."""
    old = {what: degc for what, degc in test.last_degc.items() if what not in read_of(said)}
    if cold := too_cold(f, test, old):
        stop(f, test, f"test {test.code}: pressure on with {cold} by the last reading. Warmed and read again first")


def near_frost(f: Folding, test: TestState, said: Mapping[str, Any], *, full: bool) -> None:
    """Metal, water or air near freezing while a side is full is told at once; what froze is an entry of its own."""
    cold = {what: value for what, value in read_of(said).items() if value <= NEAR_FREEZING}
    if not cold or not full:
        return
    what, least = min(cold.items(), key=lambda one: one[1])
    text = f"test {test.code}: {what} at {least:g} °C with water in. Drained or kept warm; what may have frozen is entered as water.froze"
    f.notice("warn", text)


# gauges


def _apart(f: Folding, test: TestState, said: Mapping[str, Any]) -> Apart | None:
    """Two gauges further apart than they may be, at this reading; None where they agree or only one was read."""
    if "gauge_b_mpa" not in said:
        return None
    mpa = UNITS["MPa"]
    gauge = wanted(f, test.code).gauge_mpa
    found = apart_on_the_way(mpa.to_si(said["pressure_mpa"]), mpa.to_si(said["gauge_b_mpa"]), None if gauge is None else mpa.to_si(gauge))
    return found if found.too_far else None


def told_apart(f: Folding, test: TestState, said: Mapping[str, Any]) -> bool:
    """Neither is believed: nobody raises by one, nobody opens by one. Whether they were apart."""
    found = _apart(f, test, said)
    if found:
        stop(f, test, f"test {test.code}: {found.on_the_way}")
    return found is not None


def over_limit(f: Folding, test: TestState, attempt: Attempt, said: Mapping[str, Any]) -> None:
    """Above what any part of the side may see, by the test sheet: the same as if somebody had entered test.over_pressure."""
    why = next(_over_said(f, test, said), "")
    if not why:
        return
    highest = max(said["pressure_mpa"], said.get("gauge_b_mpa", 0.0))
    if highest > attempt.over_mpa:
        attempt.over, attempt.over_mpa = why, highest
    test.stops = (*test.stops, _over_text(why))
    attempt.over_undid = tuple(dict.fromkeys((*attempt.over_undid, *over(f, test.side, why))))


def _over_said(f: Folding, test: TestState, said: Mapping[str, Any]) -> Iterator[str]:
    """Of the gauge that reads more, where one does: neither is right because it reads less."""
    most = wanted(f, test.code).most
    read = max((said["pressure_mpa"], "gauge"), (said.get("gauge_b_mpa", 0.0), "gauge B"))
    mpa = UNITS["MPa"]
    if most is None or read[0] <= 0 or not most.over(mpa.to_si(read[0])):
        return
    lowest, limit = read[0] + mpa.from_si(most.under), mpa.from_si(most.limit.most.si) * 10
    bar, low = read[0] * 10, lowest * 10
    if f"{lowest:.3f}" != f"{read[0]:.3f}":
        yield f"{read[1]} at {bar:.1f} bar, {low:.2f} bar at the low end on the {test.side} side, limit {limit:.1f} bar ({most.limit.what})"
    else:
        yield f"{read[1]} at {bar:.1f} bar on the {test.side} side, limit {limit:.1f} bar ({most.limit.what})"


def _over_text(why: str) -> str:
    return f"{why}. Down to 0; the engineer says what is looked at before anything is pressed again"


def over(f: Folding, side: str, why: str) -> tuple[str, ...]:
    """Told at every reading; what it undoes falls once. What fell."""
    f.notice("stop", _over_text(why))
    return f.undo("test.over_pressure", About(frozenset(), frozenset({f"{side} side"}), side=side), why)
