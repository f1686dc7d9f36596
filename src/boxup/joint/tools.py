"""The bolting tools of the job against the torque of a joint: can any of them be set to it."""

from __future__ import annotations

import re
from dataclasses import dataclass

from boxup.core.finding import Finding
from boxup.core.quantity import BadValue, quantity
from boxup.core.rounding import both
from boxup.core.source import Cite
from boxup.exchanger.model import Tool
from boxup.joint.assembly import JointAnswer
from boxup.joint.nozzle import NozzleAnswer
from boxup.reference.load import source

WRENCHES = ("hand torque wrench", "hydraulic wrench")  # a tensioner pulls: it is set by its own table, not to a torque
# A torque wrench is good for its stated error from a fifth of its top upward.
LEAST_SHARE = 0.2
_PLACE = str(Cite(source("trade"), "a wrench is used in the upper four fifths of its range"))
_RANGE = re.compile(r"([0-9]+(?:[.,][0-9]+)?) ?([^0-9]*?) ?(?:-|–|—|\bto\b) ?([0-9]+(?:[.,][0-9]+)?) ?([^0-9]+)", re.ASCII)


@dataclass(frozen=True, slots=True)
class Span:
    """What a tool can be set to, N.m."""

    low: float
    high: float

    def reaches(self, torque: float) -> bool:
        return self.low <= torque <= self.high

    def fits(self, torque: float) -> bool:
        """Reached, and not in the lowest fifth."""
        return self.reaches(torque) and torque >= LEAST_SHARE * self.high


def span(text: str) -> Span | None:
    """`200-1000 N.m`, `150 to 800 ft-lb` as a span in N.m; None where it cannot be read as a range of torque."""
    found = _RANGE.fullmatch(text.strip())
    if not found:
        return None
    low, unit_of_low, high, unit = (t.strip() for t in found.groups())
    try:
        ends = Span(quantity(f"{low} {unit_of_low or unit}", "N.m").si, quantity(f"{high} {unit}", "N.m").si)
    except BadValue:
        return None
    return ends if ends.low < ends.high else None


def out_of_date(tools: tuple[Tool, ...], day: str) -> list[Finding]:
    """A stop for every tool whose calibration ended before that day (year-month-day)."""
    place = str(Cite(source("trade"), "calibration in date"))
    text = "{}, {}: its calibration ended {}; this is the work of {}. Not to be used."
    late = [t for t in tools if t.calibrated_until and t.calibrated_until < day]
    return [Finding("stop", text.format(t.id, t.kind, t.calibrated_until, day), place) for t in late]


def tools_for(answer: JointAnswer | NozzleAnswer, tools: tuple[Tool, ...], named: str = "") -> list[Finding]:
    """Findings on the tools for the final torque of a joint or a nozzle.

    `named`: the tool the file names for these studs, judged alone where it is in the list. Nothing is said without a torque, or where
    no wrench is listed. A range that cannot be read is asked for; it neither fits nor fails.
    """
    judged = [t for t in tools if t.id == named] or [t for t in tools if t.kind in WRENCHES]
    if answer.torque is not None and any(t.kind not in WRENCHES for t in judged):
        return [_not_set_to_torque(answer, t) for t in judged]
    if answer.torque is None or not judged:
        return []
    spans = {t.id: span(t.range) for t in judged}
    found = [_unread(t) for t in judged if spans[t.id] is None]
    known = {id_: s for id_, s in spans.items() if s is not None}
    torque = float(answer.torque.si)
    if known and not any(s.fits(torque) for s in known.values()):
        found.insert(0, Finding("warn", _no_tool(answer, known, torque), _PLACE))
    return found


def _not_set_to_torque(answer: JointAnswer | NozzleAnswer, t: Tool) -> Finding:
    """The file names something else than a wrench for these studs."""
    if t.kind == "tensioner":
        say = "is a tensioner; it is set by its maker's table to the stud load, not to the torque given here."
        return Finding("note", f"{answer.working.name}: {t.id} {say}", _PLACE)
    return Finding("warn", f"{answer.working.name}: the file names {t.id} for these studs, which is a {t.kind}. Name a wrench.", _PLACE)


def _unread(t: Tool) -> Finding:
    said = f"range {t.range!r} cannot be read as a torque" if t.range else "range is not given"
    return Finding("note", f"{t.id} ({t.kind}): its {said}, so it was not held against any joint. Write it as 200-1000 N.m.", _PLACE)


def _no_tool(answer: JointAnswer | NozzleAnswer, known: dict[str, Span], torque: float) -> str:
    listed = "; ".join(f"{id_} {_said(s, torque)}" for id_, s in known.items())
    say = f"no tool listed for it is fit for {both('torque', torque)}: {listed}"
    return f"{answer.working.name}: {say}. Bring one that is, before the first pass."


def _said(s: Span, torque: float) -> str:
    if torque > s.high:
        return f"goes only to {both('torque', s.high, 'down')}"
    if torque < s.low:
        return f"begins only at {both('torque', s.low, 'up')}"
    return f"reaches it below {LEAST_SHARE * 100:.0f} % of its range ({both('torque', s.high, 'down')})"
