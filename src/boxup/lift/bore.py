"""The measured bore of the shell against what has to pass it: baffles, floating tubesheet, a head that goes in with the bundle.

A bundle rides on its lowest baffles: nothing is clear at the bottom, the whole clearance is at the top.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf, isfinite

from boxup.core.finding import Missing
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
    """Clearance by design and at every measured place; None where no bundle goes in, or it has no size and nobody measured the bore.

    The length of the shell is not needed for it: what has to pass a place follows from where it stands in the bundle. Where that is not
    known every baffle is taken to pass every place, and what to measure is missing.

    Symbols: c_d (clearance by the drawing), c_t (TEMA's design clearance); in a part for each place D_1, D_2 (least, greatest bore), o (out
    of round), c (clearance of the baffles, bottom resting: all of it on top), s_j (metres in when the first thing meets it).
    """
    x, hole, plate = exchanger, bore(exchanger), exchanger.baffles.outside_diameter
    w = Working(NAME, STATICS)
    if x.letters.fixed:
        return None
    if plate is None or hole is None:
        return LiftAnswer(NAME, w, tuple(_no_size(x))) if x.shell.measured_bore else None
    w.given(
        "D_n", ("kettle port" if x.letters.shell == "K" else "bore of the shell") + (MEAN if hole.grade == "measured" else ""), hole, "mm"
    )
    w.given("D_b", "outside diameter of the baffles", plate, "mm")
    w.step("c_d = D_n - D_b", "mm", "clearance by these figures, all of it at the top", "rides on its lowest baffles")
    row = _tema(hole)
    if row:
        w.table("c_t", "design clearance, for comparison", row.need("clearance"), "mm", row.place("clearance"), row.cite)
    bodies = passing(x) if baffle_places(x) else [*passing(x, baffles=False), Body("baffle", plate, inf)]
    for reading in sorted(x.shell.measured_bore, key=lambda r: r.at.si):
        _at(w, x, reading, bodies)
    if not x.shell.measured_bore:
        w.say("note", _NOT_MEASURED, _FIT, PRACTICE)
    if x.bundle.sliding_bars:
        w.say("note", "Sliding bars stand proud of the baffles: measure over them too.", _FIT, PRACTICE)
    return LiftAnswer(NAME, w, tuple(_not_placed(x, bodies)))


def _no_size(x: Exchanger) -> Iterator[Missing]:
    what = "clearance of the baffles in the shell"
    if x.baffles.outside_diameter is None:
        yield Missing(what, "measure the baffles of this bundle over their edges, at four places: outside_diameter in [baffles].")
    if bore(x) is None:
        key = "port_diameter" if x.letters.shell == "K" else "inside_diameter"
        yield Missing(what, f"give {key} in [shell], from the drawing; the measured places stand beside it.")


def _not_placed(x: Exchanger, bodies: list[Body]) -> Iterator[Missing]:
    """What has to be measured before each reading is held against just what passes it; nothing where nothing was measured."""
    readings = x.shell.measured_bore
    if not readings:
        return
    if not baffle_places(x):
        do = (
            "measure where the baffles stand: count, spacing and first_position in [baffles], thickness in [stationary_tubesheet]. Until "
            "then every baffle is taken to pass every measured place."
        )
        yield Missing("which baffle passes where", do)
    if x.letters.rear != "U" and x.tubes.length is None:
        yield Missing("whether the rear end passes", "measure the tubes, face to face of the tubesheets: length in [tubes].")
    beyond = [r for r in readings if not any(_goes_past(x, b, r.at.si) for b in bodies)]
    if beyond and x.shell.length is None:
        do = (
            f"measure the shell, flange face to flange face: length in [shell]. Nothing of the bundle goes as far as "
            f"{both('position', beyond[0].at.si)}, and whether that place is in the shell nobody can say."
        )
        yield Missing("length of the shell", do)


def clear_said(fit: LiftAnswer) -> str:
    """What is clear, the least measured first; what it is by says whether the drawing or a measured mean gave it."""
    w = fit.working
    if "c_d" not in w.steps:
        return "not known"
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


def passing(x: Exchanger, *, baffles: bool = True) -> list[Body]:
    """Everything that goes through the bore, the leading one first; without `baffles` only its ends."""
    length, plate, found = x.tubes.length, x.baffles.outside_diameter, []
    if length:
        ends = [("floating tubesheet", x.floating_tubesheet.outside_diameter)] if x.letters.rear != "U" else []
        if x.letters.rear == "T":
            ends.insert(0, ("floating head", x.floating_head.outside_diameter))
        found = [Body(name, across, length.si) for name, across in ends if across]
    if plate and baffles:
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
    if x.tubes.length and isfinite(first.at):
        part.given("L", "length of the tubes", x.tubes.length, "m")
        part.kernel("x_j", f"{first.name}, from the front of the bundle", first.at, "m", "place in the bundle", Cite(STATICS, "geometry"))
        part.step("s_j = y + L - x_j", "m", "metres in when it meets that place", "geometry")
        where = f", with {both('position', part['s_j'])} in"
    else:
        where = ""
    part.limit("D_1 > D_j", f"At {both('position', part['y'])} the {first.name} does not pass{where}. {_DO}", _FIT, "stop", PRACTICE)
