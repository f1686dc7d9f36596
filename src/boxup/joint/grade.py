"""Stud grades: strength by diameter, allowable stress by temperature. Never by grade alone: strength falls in steps with size."""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import pairwise

from boxup.core.calculation import calculation, number, word
from boxup.core.quantity import BadValue, Quantity
from boxup.core.unit import UNITS
from boxup.core.working import Step, Working
from boxup.exchanger.model import Exchanger, Studs
from boxup.exchanger.problem import Problem, line_of
from boxup.joint.thread import Thread, area_line, area_word, size_word, thread, thread_lines
from boxup.reference.load import Row, source, table

MATERIALS = source("bolting-materials")
TRADE = source("trade")
# Where a stud is pulled up to: below, the joint is slack; above, torque scatter of 30 % may reach yield. Fractions of yield.
WORK_HARDEST, WORK_LEAST = 0.70, 0.40
_PREFIX = re.compile(r"(?:S?A[- ]?(?:193|320|453)[- ]*)?(?:GR(?:ADE)?\.?[- ]*)?", re.ASCII)
_CLASS = re.compile(r"[- ]*CL(?:ASS)?\.?[- ]*([12])$", re.ASCII)


def grades() -> tuple[str, ...]:
    """The grades the table knows: B7, B7M, B16, B8-1 (class 1), ..."""
    return tuple(dict.fromkeys(r.text("grade") for r in table("bolt_materials").values()))


def grade(text: str) -> str:
    """The grade as the table spells it, from `B7`, `SA-193 B7` or `B8 Class 1`. Raises BadValue with the grades accepted."""
    said = text.strip().upper()[:40]
    name = _CLASS.sub(r"-\1", said[_PREFIX.match(said).end() :])  # type: ignore[union-attr]
    if name in grades():
        return name
    hint = f"; {name} comes in two classes: {name}-1 or {name}-2" if f"{name}-1" in grades() else ""
    raise BadValue(f"{text.strip()[:40]!r} is not a stud grade in the table{hint}; accepted: {', '.join(grades())}")


def material(name: str, t: Thread) -> Row:
    """The row of a grade at this diameter. Raises BadValue when the grade or the diameter is not in the table."""
    spelt = grade(name)
    rows = [r for r in table("bolt_materials").values() if r.text("grade") == spelt]
    for row in rows:
        to = row.si("to_metric" if t.metric else "to")
        if to is None or t.diameter <= to * (1 + 1e-9):  # rows of a grade stand smallest first
            return row
    largest = rows[-1].text("to")
    raise BadValue(f"{spelt} has no strength in the table at {t.size}; accepted: studs up to {largest} in, or another grade")


def yield_line(w: Working, row: Row) -> Step:
    """`S_y` from the table."""
    return w.table("S_y", "yield strength", row.need("yield_strength"), "MPa", row.place("yield_strength"), row.cite)


def yield_limits(w: Working, least: float | None = WORK_LEAST) -> bool:
    """Findings on `f_y`, the stud stress as a fraction of yield: stop at yield, warn outside the usual working range.

    Returns whether the stud stays below yield; where it does not, no torque is to be given.
    """
    w.constant("f_max", "usual upper limit", WORK_HARDEST, "-", w.cite("40 to 70 % of yield", TRADE))
    gone = "The stud would yield: do not tighten to this. Check size, grade, load and torque"
    high = "The stud stress is above the usual 70 % of yield; torque scatter may take it to yield. Ask the engineer"
    low = "The stud stress is below the usual 40 % of yield; so slack a joint may leak. Was the torque copied from another joint?"
    below = w.limit("f_y < 1", gone, "yield strength", source=MATERIALS)
    if below:
        w.limit("f_y <= f_max", high, "40 to 70 % of yield", "warn", source=TRADE)
    if least is not None:
        w.constant("f_min", "usual lower limit", least, "-", w.cite("40 to 70 % of yield", TRADE))
        w.limit("f_y >= f_min", low, "40 to 70 % of yield", "warn", source=TRADE)
    return below


def allowable(w: Working, symbol: str, row: Row, temperature: Quantity | None) -> Step:
    """The allowable stress of a row at a temperature (None: at room temperature), by a line between two printed temperatures.

    Raises LookupError when the table stops below that temperature.
    """
    points = [(UNITS["degF"].to_si(int(c.rpartition("_")[2])), c) for c in row.units if c.startswith("allowable_")]
    if temperature is None or temperature.si <= points[0][0]:
        return w.table(symbol, "allowable stress, room temperature", row.need(points[0][1]), "MPa", row.place(points[0][1]), row.cite)
    for (cold, at_cold), (hot, at_hot) in pairwise(points):
        if temperature.si <= hot:
            return _between(w, symbol, row, temperature, (cold, at_cold), (hot, at_hot))
    raise LookupError(f"the table of {row.key} stops at {points[-1][1].rpartition('_')[2]} °F")


def _between(w: Working, symbol: str, row: Row, temperature: Quantity, cold: tuple[float, str], hot: tuple[float, str]) -> Step:
    w.given("T_d", "design temperature", temperature, "degC")
    for mark, (at, column) in (("1", cold), ("2", hot)):
        w.table(f"T_{mark}", "printed temperature", at, "degC", row.place(column), row.cite)
        w.table(f"S_{mark}", "allowable stress there", row.need(column), "MPa", row.place(column), row.cite)
    line = f"{symbol} = S_1 + (S_2 - S_1)*(T_d - T_1)/(T_2 - T_1)"
    return w.step(line, "MPa", "allowable stress at design temperature", "between two printed temperatures", source=MATERIALS)


def grade_word(*, optional: bool = False) -> str:
    """The field that holds a stud grade."""
    return word("stud grade", check=_grade_or_none if optional else grade, default="" if optional else None)  # type: ignore[no-any-return]


def _grade_or_none(text: str) -> str:
    return grade(text) if text else ""


def stud_grades(exchanger: Exchanger) -> list[Problem]:
    """What this room has to say on a file: every stud grade that is in no table, at its line. For `check`."""
    said = [(f"studs.{s.id}.grade", s.grade) for s in {j.studs.id: j.studs for j in exchanger.joints if j.studs}.values()]
    said += [(f"nozzle.{n.id}.stud_grade", n.stud_grade) for n in exchanger.nozzles]
    found = []
    for key, text in said:
        try:
            _grade_or_none(text)
        except BadValue as bad:
            found.append(Problem(line_of(exchanger.lines, key), key, f"{bad}."))
    return found


def site_limits(exchanger: Exchanger) -> list[Problem]:
    """What the site works to, at its line, where the stud would yield first or no stress lies between. For `check`."""
    found = []
    for s in {j.studs.id: j.studs for j in exchanger.joints if j.studs}.values():
        key, most = f"studs.{s.id}.most_stress", s.most_stress
        if most and s.least_stress and s.least_stress.si > most.si:
            text = f"{most.typed!r} is less than least_stress {s.least_stress.typed!r}; they may be swapped."
            found.append(Problem(line_of(exchanger.lines, key), key, text))
        if most and not grade_problem(s.grade, s.size) and s.grade and most.si >= (strength := _strength(s)):
            text = f"{most.typed!r} is the yield strength of {s.grade}, {strength / 1e6:.0f} MPa, or more: the studs would stay longer."
            found.append(Problem(line_of(exchanger.lines, key), key, text))
    return found


def _strength(s: Studs) -> float:
    return material(s.grade, thread(s.size)).need("yield_strength")


def grade_problem(name: str, size: str) -> list[str]:
    """A sentence when the grade does not come in this size; nothing when the grade is not given."""
    try:
        if name:
            material(name, thread(size))
    except BadValue as bad:
        return [f"grade: {bad}"]
    return []


@dataclass(frozen=True, slots=True, kw_only=True)
class YieldLoad:
    """A stud loaded to a fraction of its yield."""

    size: str = size_word()
    grade: str = grade_word()
    fraction: Quantity = number("f_y", "fraction of yield", "-", above=0, most=10)
    area: str = area_word()

    def problems(self) -> list[str]:
        return grade_problem(self.grade, self.size)


@calculation("yield-load", MATERIALS, YieldLoad, "yield_strength=S_y@MPa load=F@N")
def yield_load(w: Working, given: YieldLoad) -> None:
    """The load of one stud at a fraction of its yield strength, which goes by diameter."""
    t = thread(given.size)
    w.take_in(given)
    thread_lines(w, t)
    area_line(w, given.area)
    yield_line(w, material(given.grade, t))
    w.step("S_b = f_y*S_y", "MPa", "stud stress", "fraction of yield")
    w.step("F = S_b*A", "kN", "stud load", "stress on the area used")
    yield_limits(w, least=None)
