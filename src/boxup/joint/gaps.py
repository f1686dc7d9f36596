"""The gap between two flanges, read at four or eight places: how wide, how tilted and which way, and what no tilt explains."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, hypot, pi, sin
from typing import Any

from boxup.core.calculation import Answer, calculation, number, word
from boxup.core.finding import Level
from boxup.core.quantity import BadValue, Quantity, quantities
from boxup.core.source import Source
from boxup.core.working import Working
from boxup.joint.girth import whole_number
from boxup.reference.load import source

GEOMETRY, PCC_1, TRADE = source("geometry"), source("asme-pcc-1"), source("trade")
CLOCK: dict[int, tuple[str, ...]] = {4: ("12", "3", "6", "9"), 8: ("12", "1:30", "3", "4:30", "6", "7:30", "9", "10:30")}
STAGES = ("snug", "pass", "final")
# What the rise of the plane takes off each of eight readings.
LEAVES = ("- u", "- (u + v)/sqrt(2)", "- v", "- (v - u)/sqrt(2)", "+ u", "+ (u + v)/sqrt(2)", "+ v", "- (u - v)/sqrt(2)")
CORRECT, PARALLEL, EVEN = 1.5, 0.8, 0.25  # mm, largest less smallest: correct first; alignment; aimed at when it is pulled up
OFF = 0.25  # mm off the plane through the others: four readings, each good to 0.05 mm, explain 0.2 mm of it
SQUEEZED, APART = 0.6, 2.0  # of the gasket's thickness: hardly any is pressed to less; flanges that stand further apart do not meet
LEAST_TILT = 1e-6  # m: below it a tilt has no direction
PRACTICE = "gaps round a joint, from memory"
SEAT = "Slacken to hand-tight, look at the gasket, seat the flange again and bring the open side in first"
LOOK = "look there with lamp and feeler before it is pulled further, and take it apart if it is so"
OPEN_SIDE = "Ease the closed side and tighten from the open side, in small steps and no harder than this pass, until it is even"


@dataclass(frozen=True, slots=True, kw_only=True)
class Gaps:
    """Readings clockwise from 12 o'clock; what else is known of the joint. Where the faces are flat the gap is how far they stand apart."""

    readings: str = word("gaps clockwise from 12 o'clock, four or eight", check=lambda text: gaps_of(text))
    diameter: Quantity | None = number("D", "circle the gaps are read on", "mm", above=0, optional=True)
    studs: Quantity | None = number("n", "studs, number 1 the first clockwise of 12 o'clock", "count", least=4, most=1000, optional=True)
    gasket_thickness: Quantity | None = number("t_g", "gasket thickness, new", "mm", above=0, optional=True)
    recess_depth: Quantity | None = number("d_r", "depth of the recess the gasket lies in", "mm", least=0, optional=True)
    stage: str = word("when it was read: hand-tight, after a pass, or pulled up", STAGES, default="pass")

    def problems(self) -> list[str]:
        """What was typed that cannot be: a stud count that is not whole."""
        return whole_number("studs", self.studs) if self.studs else []


def gaps_of(text: str) -> tuple[Quantity, ...]:
    """Four or eight gaps. Raises BadValue with what is accepted."""
    found = quantities(text, "mm")
    if len(found) not in CLOCK:
        said = f"{text!r} is {len(found)} reading{'s' if len(found) != 1 else ''}"
        raise BadValue(f"{said}; accepted: four (12, 3, 6, 9 o'clock) or eight, for example '3.2 3.1 3.2 3.3 mm'")
    if bad := next((q for q in found if not 0 <= q.si < 1), None):
        raise BadValue(f"{bad.typed!r} is no gap between flanges; accepted: 0 mm to 1000 mm")
    return found


ANSWERS = "mean=g_m@mm tilt=d@mm inclination=i@deg low_point=phi@deg low_stud=s@count spread=e@mm off_plane=o@mm below_others=p@mm"


@calculation("gap", GEOMETRY, Gaps, ANSWERS)
def gap(w: Working, given: Gaps) -> dict[str, tuple[Any, str]]:
    """Mean, tilt, low point and spread of the gap, and how far one place lies off the plane through the others."""
    w.take_in(given)
    found = gaps_of(given.readings)
    for k, (q, at) in enumerate(zip(found, CLOCK[len(found)], strict=True), start=1):
        w.given(f"g_{k}", f"gap at {at} o'clock", q, "mm")
    _plane(w, len(found))
    low = _low_point(w, given)
    _off_plane(w, len(found))
    _pinched(w, len(found))  # looked at before anything is pulled level
    _spread(w, given, len(found), low)
    _thickness(w, given, len(found))
    return {"low_clock": (low, "-")} if low else {}


def _all(n: int, text: str = "g_{}", by: str = ", ") -> str:
    return by.join(text.format(k) for k in range(1, n + 1))


def _plane(w: Working, n: int) -> None:
    """The plane nearest to all readings: its middle, its rise towards 12 and towards 3 o'clock, its tilt."""
    w.step(f"g_m = ({_all(n, by=' + ')})/{n}", "mm", "mean gap", "mean of the readings")
    up = "(g_1 - g_3)/2" if n == 4 else "(g_1 - g_5 + (g_2 + g_8 - g_4 - g_6)/sqrt(2))/4"
    right = "(g_2 - g_4)/2" if n == 4 else "(g_3 - g_7 + (g_2 + g_4 - g_6 - g_8)/sqrt(2))/4"
    w.step(f"u = {up}", "mm", "rise of the plane towards 12 o'clock", "least squares on a circle")
    w.step(f"v = {right}", "mm", "rise of the plane towards 3 o'clock", "least squares on a circle")
    w.step("d = 2*hypot(u, v)", "mm", "tilt: the plane's widest less its closest", "across the circle")
    if "D" in w.steps:
        w.step("i = atan(d/D)", "deg", "one face to the other", "right triangle")


def _low_point(w: Working, given: Gaps) -> str:
    """Where the plane is closest, as on a clock; "" where there is no tilt to speak of."""
    if w["d"] < LEAST_TILT:
        return ""
    line = "phi = acos(-2*u/d) if v <= 0*mm else 2*pi - acos(-2*u/d)"
    w.step(line, "deg", "low point, clockwise from 12 o'clock", "against the rise")
    if given.studs:
        line = "s = 1 + floor(n*phi/(2*pi)) if phi < 2*pi else 1"
        w.step(line, "count", "stud nearest to the low point", "holes straddle the centre line")
    return clock(w["phi"])


def clock(angle: float) -> str:
    """An angle in rad, clockwise from 12, as the nearest half hour: `4:30`."""
    halves = round(angle * 12 / pi) % 24
    hour = halves // 2 or 12
    return f"{hour}:30" if halves % 2 else str(hour)


def _off_plane(w: Working, n: int) -> None:
    """What the plane leaves of each reading, and how far the lowest lies below the plane through the others alone."""
    label, left_out = "lowest place below the plane through the others", "that reading left out"
    if n == 4:  # any three of four make a plane, and all four lie off theirs by as much
        w.step("o = abs(g_1 - g_2 + g_3 - g_4)/4", "mm", "greatest departure from the plane", "all four alike, in turn over and under")
        w.step("p = 4*o", "mm", label, left_out)
        return
    for k, at in enumerate(CLOCK[n], start=1):
        w.step(f"r_{k} = g_{k} - g_m {LEAVES[k - 1]}", "mm", f"off the plane at {at} o'clock", "reading less plane")
    w.step(f"o = max({_all(n, 'abs(r_{})')})", "mm", "greatest departure from the plane", "either way")
    w.step(f"p = 8*abs(min({_all(n, 'r_{}')}))/5", "mm", label, left_out)


def _spread(w: Working, given: Gaps, n: int, low: str) -> None:
    """Largest less smallest, against what is corrected first, what is parallel, and what is aimed at."""
    w.step(f"e = max({_all(n)}) - min({_all(n)})", "mm", "largest less smallest", "of the readings")
    at = _where(w, low)
    do = SEAT if given.stage == "snug" else OPEN_SIDE
    if not _at_most(w, "e_1", CORRECT, f"The gap differs too much to go on{at}. {SEAT}. Never pull the closed side further", "stop", TRADE):
        return
    parallel = "parallel, Appendix E of 2010 as a copy prints it, for alignment"
    if not _at_most(w, "e_2", PARALLEL, f"The flanges are not parallel{at}. {do}", "warn", PCC_1, parallel):
        return
    if given.stage == "final":
        _at_most(w, "e_3", EVEN, f"Pulled up, the gap is not as even as is aimed at{at}. Ask who signs the joint", "warn", TRADE)


def _where(w: Working, low: str) -> str:
    if not low:
        return ""
    stud = f", stud {w['s']:.0f}" if "s" in w.steps else ""
    return f": open towards {clock(w['phi'] + pi)} o'clock, closed towards {low} o'clock{stud}"


def _at_most(w: Working, symbol: str, most: float, say: str, level: Level, origin: Source, where: str = PRACTICE) -> bool:
    w.constant(symbol, "most the gaps may differ", most, "mm", w.cite(where, origin))
    return w.limit(f"e <= {symbol}", say, where, level, origin)


def _pinched(w: Working, n: int) -> None:
    """One place far below the plane through the others: the gasket crushed or gone there, or the flange bowed."""
    w.constant("p_1", "most that readings explain", OFF, "mm", w.cite("an own figure: readings good to 0.05 mm", TRADE))
    w.limit("p <= p_1", _odd(w, n), PRACTICE, "warn", TRADE)


def _odd(w: Working, n: int) -> str:
    if n == 4:
        return f"No tilt explains these gaps: one place is pinched or held open, or two are drawn in. Read eight places; {LOOK}"
    left = [w[f"r_{k}"] for k in range(1, n + 1)]
    k = left.index(min(left))
    if left[(k + n // 2) % n] < min(left) / 2:
        return f"At {CLOCK[n][k]} o'clock and opposite both are closer than a plane: a flange is bowed, or drawn in twice; {LOOK}"
    return f"At {CLOCK[n][k]} o'clock it is closer than the others explain: the gasket is pinched, crushed or not there; {LOOK}"


def _thickness(w: Working, given: Gaps, n: int) -> None:
    """What the gap says of the gasket: pressed thinner than any is, or flanges that do not come near it."""
    if given.gasket_thickness is None:
        return
    deep = " + d_r" if given.recess_depth else ""
    w.step(f"a_1 = min({_all(n)}){deep}", "mm", "faces apart where they are closest", "flat faces")
    w.step(f"a_2 = max({_all(n)}){deep}", "mm", "faces apart where they are widest", "flat faces")
    w.constant("k_1", "share of its thickness that is left", SQUEEZED, "-", w.cite("gaskets at assembly, from memory", TRADE))
    w.constant("k_2", "times its thickness, the faces meet", APART, "-", w.cite("Appendix E of 2010 as a copy prints it", PCC_1))
    less = "Closer than a gasket so thick lets flanges come: it is out of its place, crushed, not there, or deeper in a recess"
    w.limit("a_1 >= k_1*t_g", f"{less}. Look there, and take it apart if it is so", "gaskets at assembly, from memory", "warn", TRADE)
    more = "The flanges stand far off the gasket: something holds them apart, or raised faces add to the gap. Find it; no stud pulls it in"
    w.limit("a_2 <= k_2*t_g", more, "Appendix E of 2010 as a copy prints it", "warn", PCC_1)


@dataclass(frozen=True, slots=True)
class Tilt:
    """Of a joint as read: mm between widest and closest, rad clockwise from 12 of the low point, mm largest less smallest."""

    tilt: float
    low: float
    spread: float

    def change(self, before: Tilt) -> float:
        """How far the tilt has moved, mm, direction and all."""
        here, there = ((t.tilt * cos(t.low), t.tilt * sin(t.low)) for t in (self, before))
        return hypot(here[0] - there[0], here[1] - there[1])


def tilt_of(gaps_mm: tuple[float, ...]) -> Tilt | None:
    """From readings in mm; None unless there are four or eight."""
    if len(gaps_mm) not in CLOCK or not all(0 <= g < 1000 for g in gaps_mm):
        return None
    answer: Answer = gap.run(Gaps(readings=typed(gaps_mm)))
    low = answer.si("low_point") if "low_point" in answer.values else 0.0
    return Tilt(answer.si("tilt") * 1000, low, answer.si("spread") * 1000)


def spread(gaps_mm: tuple[float, ...]) -> float:
    """Largest less smallest, mm, without the last digits that only floats make; 0 for no reading."""
    return round(max(gaps_mm) - min(gaps_mm), 9) if gaps_mm else 0.0


def typed(gaps_mm: tuple[float, ...]) -> str:
    """Readings in mm as the calculation takes them."""
    return f"{' '.join(repr(float(g)) for g in gaps_mm)} mm"


def said(t: Tilt) -> str:
    """A tilt in words: `0.4 mm, closest at 4:30`."""
    return f"{t.tilt:.2g} mm, closest at {clock(t.low)} o'clock" if t.tilt >= LEAST_TILT * 1000 else "none"
