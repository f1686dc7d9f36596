"""How far a tube end is rolled: the bore to aim at from the hole and the tube as measured, and what the metal takes."""

from __future__ import annotations

import re
from dataclasses import dataclass

from boxup.core.calculation import calculation, number, word
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.exchanger.metal import named
from boxup.reference.load import Row, source, table

NOTES = source("tube-expanding")
MARGIN = source("trade")
_OVER = "Rolled further than this metal takes: the wall hardens and cracks, or the ligament gives"
_SPECIFICATION = re.compile(r"\bS?A[\s-]?(\d{3})(?!\d)", re.I)
_WIDE = (
    "The hole is larger than the drawing and 0.010 in, the most TEMA lets a hole be over: oval, worn or drilled out. The engineer says "
    "first whether it is rolled"
)
_NOT_SAID = "How far it is to be rolled nobody gave: only where it touches is worked; the procedure says the share"
_SLACK = "The tube does not touch its hole yet: rolled to less than contact it holds nothing"
_NO_METAL = "No tube metal that the table knows, so no limit is set: carbon steel takes 8 %, stainless steel 6 %, titanium 5 %"
_TRY = (
    "Roll three to five tubes first, from low torque up, and measure; the tool's setting is what gave this bore. Over-rolled: no way back."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class TubeEnd:
    """A tube end in its hole, all as measured, never nominal; and how far it is rolled, by the one or by the other."""

    tube_od: Quantity = number("d_o", "tube outside diameter, measured", "mm", above=0, most=1000)
    tube_id: Quantity = number("d_i", "tube bore before rolling, measured", "mm", above=0, most=1000)
    hole: Quantity = number("d_h", "tube hole, measured", "mm", above=0, most=1000)
    reduction: Quantity | None = number("w", "wall reduction, as a share of twice the wall", "-", optional=True, least=0, most=0.5)
    rolled_id: Quantity | None = number("d_r", "bore after rolling, measured", "mm", optional=True, above=0, most=1000)
    drawn: Quantity | None = number("d_n", "tube hole by the drawing, or the standard one", "mm", optional=True, above=0, most=1000)
    material: str = word("tube metal, for its limit", default="")
    tubesheet: Quantity | None = number("t_ts", "tubesheet thickness", "mm", optional=True, above=3.175, most=2000)

    def problems(self) -> list[str]:
        found = []
        if self.reduction is not None and self.rolled_id is not None:
            found.append(
                "reduction, rolled_id: give one of the two: how far it is to be rolled, or the bore that was measured after rolling"
            )
        if self.tube_id.si >= self.tube_od.si:
            found.append(f"tube_id: {self.tube_id.typed} leaves no wall in {self.tube_od.typed}; accepted: less than the outside diameter")
        if self.hole.si < self.tube_od.si:
            found.append(f"hole: {self.hole.typed} is less than the tube, {self.tube_od.typed}: it would not go in; measure both again")
        return found


@calculation("tube-roll", NOTES, TubeEnd,
             "contact_id=d_c@mm rolled_id=d_r@mm reduction=w@- reduction_of_one_wall=w_1@- rolled_length=l_r@mm")  # fmt: skip
def tube_roll(w: Working, given: TubeEnd) -> None:
    """The bore at which a tube touches its hole, and the bore rolled to: share of twice the wall, and of one wall, which sheets mix up.

    Without either share or bore it gives the bore at contact alone.
    """
    w.take_in(given)
    w.step("d_c = d_i + (d_h - d_o)", "mm", "bore when the tube touches its hole", "the gap taken up")
    if given.drawn is not None:
        w.limit("d_h <= d_n + 0.01*inch", _WIDE, "RCB-7.21", "warn", source("tema"))
    if given.rolled_id is None and given.reduction is None:
        w.say("note", f"{_NOT_SAID}.", "contact")
    else:
        _rolled(w, given)
    if given.tubesheet is not None:
        w.step("l_r = t_ts - 1/8*inch", "mm", "rolled length, at most", "1/8 in short of the back face", source=MARGIN)
    w.say("note", _TRY, source=MARGIN)


def _rolled(w: Working, given: TubeEnd) -> None:
    """How far, where it is said or was measured."""
    if given.rolled_id is None:
        w.step("d_r = d_c + w*(d_o - d_i)", "mm", "bore to roll to", "share of twice the wall")
    else:
        w.step(
            "w = (d_r - d_c)/(d_o - d_i)", "-", "wall reduction, as a share of twice the wall", "apparent: the hole is taken not to grow"
        )
        w.limit("d_r >= d_c", _SLACK, "contact", "stop")
    w.step("w_1 = 2*(d_r - d_c)/(d_o - d_i)", "-", "the same growth of the bore over one wall", "how some sheets state it")
    _limit(w, given.material)


def limit_of(material: str) -> Row | None:
    """The row of the metal those words name, with the most its wall may be reduced; None for a metal the table does not know.

    A grade decides where a specification has several metals (SA-213); `A179`, `SA179` and `SA 179` are `SA-179`.
    """
    return named(table("roll_limits"), _SPECIFICATION.sub(r"sa-\1", material)) if material else None


def _limit(w: Working, material: str) -> None:
    row = limit_of(material)
    if row is None:
        w.say("note", f"{_NO_METAL}.", "by metal", source("en-iso-16812"))
        return
    w.table("w_m", f"most for {row.key}", row.need("most"), "-", row.place("most"), row.cite)
    w.limit("w <= w_m", _OVER, row.cite.where, "stop", row.cite.source)
