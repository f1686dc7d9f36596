"""The measured bore of the shell against what has to pass it: baffles, floating tubesheet, a head that goes in with the bundle.

A bundle rides on its lowest baffles: nothing is clear at the bottom, the whole clearance is at the top.
"""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.quantity import Quantity
from boxup.core.rounding import both
from boxup.core.source import Cite
from boxup.core.working import Working
from boxup.exchanger.bundle_parts import bore
from boxup.exchanger.model import BoreReading, Exchanger
from boxup.lift.answer import LiftAnswer
from boxup.lift.bundle_beam import baffle_places
from boxup.lift.gear import PRACTICE, STATICS
from boxup.reference.load import Row, table

NAME = "the bore of the shell against the bundle"
_FIT = "the least bore against what passes it"
_DO = "Find it with a go-gauge of the baffles' size, dress the bead or the edge, measure again. The bundle is not forced through"
_NOT_MEASURED = (
    "The bore is not measured. Where a bundle was tight: least and greatest diameter each half metre, at the seams and at the nozzles, as "
    "measured_bore in [shell] or on the page of lifts."
)
INCH = 0.0254
MEAN = ", the mean as measured"


@dataclass(frozen=True, slots=True)
class Body:
    """What has to pass: its name, its diameter, its place in the bundle (m from the outer face of the stationary tubesheet)."""

    name: str
    across: Quantity
    at: float


def bore_fit(exchanger: Exchanger) -> LiftAnswer | None:
    """Clearance by design and at every measured place; None where no bundle goes in or its baffles have no diameter.

    Symbols: c_d (clearance by the drawing), c_t (TEMA's design clearance); in a part for each place D_1, D_2 (least, greatest bore), o (out
    of round), c (clearance of the baffles, bottom resting: all of it on top), s_j (metres in when the first thing meets it).
    """
    x, hole, plate = exchanger, bore(exchanger), exchanger.baffles.outside_diameter
    if x.letters.fixed or plate is None or hole is None:
        return None
    w = Working(NAME, STATICS)
    w.given(
        "D_n", ("kettle port" if x.letters.shell == "K" else "bore of the shell") + (MEAN if hole.grade == "measured" else ""), hole, "mm"
    )
    w.given("D_b", "outside diameter of the baffles", plate, "mm")
    w.step("c_d = D_n - D_b", "mm", "clearance by these figures, all of it at the top", "rides on its lowest baffles")
    row = _tema(hole)
    if row:
        w.table("c_t", "design clearance, for comparison", row.need("clearance"), "mm", row.place("clearance"), row.cite)
    bodies = passing(x)
    for reading in sorted(x.shell.measured_bore, key=lambda r: r.at.si):
        _at(w, x, reading, bodies)
    if not x.shell.measured_bore:
        w.say("note", _NOT_MEASURED, _FIT, PRACTICE)
    if x.bundle.sliding_bars:
        w.say("note", "Sliding bars stand proud of the baffles: measure over them too.", _FIT, PRACTICE)
    return LiftAnswer(NAME, w, ())


def clear_said(fit: LiftAnswer) -> str:
    """What is clear, the least measured first; what it is by says whether the drawing or a measured mean gave it."""
    w = fit.working
    by = "by the mean bore on record" if w.steps["D_n"].label.endswith(MEAN) else "by the drawing"
    design = f"{both('small length', w['c_d'], 'down')} {by}"
    if not w.parts:
        return design
    least = min(w.parts, key=lambda p: p["c"])
    return f"{both('small length', least['c'], 'down')} at the least, measured at {both('position', least['y'])}; {design}"


def _tema(hole: Quantity) -> Row | None:
    nominal = round(hole.si / INCH) * INCH
    rows = table("baffle_clearance").values()
    return next((r for r in rows if r.need("from") - 1e-6 <= nominal <= r.need("to") + 1e-6), None)


def passing(x: Exchanger) -> list[Body]:
    """Everything that goes through the bore, the leading one first."""
    length, plate, found = x.tubes.length, x.baffles.outside_diameter, []
    if length:
        ends = [("floating tubesheet", x.floating_tubesheet.outside_diameter)] if x.letters.rear != "U" else []
        if x.letters.rear == "T":
            ends.insert(0, ("floating head", x.floating_head.outside_diameter))
        found = [Body(name, across, length.si) for name, across in ends if across]
    if plate:
        found += [Body(f"baffle {n}", plate, at) for n, at in reversed(list(enumerate(baffle_places(x), start=1)))]
    return found


def _at(w: Working, x: Exchanger, reading: BoreReading, bodies: list[Body]) -> None:
    """A part for one place: what passes it, what is left, what meets it first."""
    part = w.part(f"bore at {reading.at.to('m'):g} m")
    part.given("y", "from the front flange face", reading.at, "m")
    part.given("D_1", "least bore there", reading.least, "mm")
    part.given("D_2", "greatest bore there", reading.most, "mm")
    part.take("D_b", w.steps["D_b"], NAME)
    part.step("o = D_2 - D_1", "mm", "out of round", "greatest less least")
    part.step("c = D_1 - D_b", "mm", "clearance of the baffles, all of it at the top", "rides on its lowest baffles")
    stands = [b for b in bodies if _goes_past(x, b, reading.at.si)]
    tight = [b for b in stands if b.across.si >= reading.least.si]
    if tight:
        _jams(part, x, tight[0])
    elif stands:
        part.take("c_d", w.steps["c_d"], NAME)
        near = f"Out of round by more than the clearance the bundle has: it may bind at {both('position', reading.at.si)}"
        part.limit("o <= c_d", near, "out of round against clearance", "warn", PRACTICE)
        half = f"Less than half of the clearance is left at {both('position', reading.at.si)}: watch the pull there"
        part.limit("c >= 0.5*c_d", half, _FIT, "warn", PRACTICE)


def _goes_past(x: Exchanger, body: Body, place: float) -> bool:
    """Whether it must pass that place of the shell on its way home."""
    sheet = x.stationary_tubesheet.thickness
    return body.at - (sheet.si if sheet else 0.0) >= place


def _jams(part: Working, x: Exchanger, first: Body) -> None:
    """s_j, and the stop."""
    part.given("D_j", f"{first.name}, outside diameter", first.across, "mm")
    if x.tubes.length:
        part.given("L", "length of the tubes", x.tubes.length, "m")
        part.kernel("x_j", f"{first.name}, from the front of the bundle", first.at, "m", "place in the bundle", Cite(STATICS, "geometry"))
        part.step("s_j = y + L - x_j", "m", "metres in when it meets that place", "geometry")
        where = f", with {both('position', part['s_j'])} in"
    else:
        where = ""
    part.limit("D_1 > D_j", f"At {both('position', part['y'])} the {first.name} does not pass{where}. {_DO}", _FIT, "stop", PRACTICE)
