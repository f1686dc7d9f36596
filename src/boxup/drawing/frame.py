"""The measurements a section is drawn from: the file's where it gives them, by proportion where it does not.

Thickness of flanges, hubs, nozzle flanges and the depth of heads are not in an exchanger file; they are drawn by proportion and
serve no calculation. What decides how the parts go together (bores, tubesheets, lengths, bolt circles, pass plates) is the file's own.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from boxup.core.finding import Missing
from boxup.core.quantity import BadValue, Quantity
from boxup.drawing.view import NotDrawn
from boxup.exchanger.model import Exchanger, Head, Joint, Nozzle
from boxup.exchanger.passes import End
from boxup.exchanger.ribs import rib_lines
from boxup.exchanger.stud_size import nominal_diameter

GAP = 14.0  # mm drawn between two faces for a gasket that is 3 to 5 mm thick, so that it can be seen
APART = 95.0  # mm a part is set apart when it is off
FRONTS, SHELLS, REARS = "AB", "E", "SUM"


@dataclass(frozen=True, slots=True)
class Flange:
    """Half of a bolted joint as drawn, mm, radii."""

    inner: float
    outer: float
    bolt: float
    stud: float
    thick: float
    ring: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Frame:
    """What both ends and the shell share, mm."""

    exchanger: Exchanger
    bore: float  # shell inside radius
    wall: float
    sheet: float  # stationary tubesheet thickness
    sheet_r: float
    far: float  # inner face of the rear tubesheet (U: end of the straight tubes)
    far_sheet: float
    far_r: float
    shell_end: float  # rear face of the shell flange, or the tangent line of a closed end
    limit: float  # radius round all tubes
    front_plates: tuple[float, ...]  # heights of the level pass plates
    rear_plates: tuple[float, ...]
    plate: float  # pass plate thickness

    @property
    def fixed(self) -> bool:
        return self.exchanger.letters.fixed


def mm(quantity: Quantity | None, otherwise: float) -> float:
    """The length in mm, or the proportion drawn where nobody gave it."""
    return quantity.to("mm") if quantity is not None else otherwise


def frame_of(exchanger: Exchanger) -> Frame:
    """Raises NotDrawn, one sentence, for letters that are not drawn yet or without a shell inside diameter."""
    letters, tag = exchanger.letters, exchanger.identity.tag
    for letter, drawn, what in ((letters.front, FRONTS, "front"), (letters.shell, SHELLS, "shell"), (letters.rear, REARS, "rear end")):
        if letter not in drawn:
            so_far = ", ".join(drawn)
            raise NotDrawn(f"{tag}: a {what} {letter} is not drawn yet; drawn so far: {so_far}. Work to the exchanger's own drawing.")
    if exchanger.shell.inside_diameter is None:
        raise NotDrawn(f"{tag}: the shell inside diameter is not given; give inside_diameter in [shell].")
    across = exchanger.shell.inside_diameter.to("mm")
    sheet = mm(exchanger.stationary_tubesheet.thickness, across * 0.09)
    far_sheet = 0.0 if letters.rear == "U" else mm(exchanger.floating_tubesheet.thickness, sheet)
    far = mm(exchanger.tubes.length, across * 7.5) - sheet - far_sheet
    limit = mm(exchanger.tubes.outer_limit, across * 0.94) / 2
    return Frame(
        exchanger, across / 2, mm(exchanger.shell.wall, across * 0.016), sheet,
        mm(exchanger.stationary_tubesheet.outside_diameter, across * 1.18) / 2,
        far, far_sheet, mm(exchanger.floating_tubesheet.outside_diameter, _far_across(exchanger, across)) / 2,
        _shell_end(exchanger, across, far, limit), limit,
        _levels(exchanger, "front"), _levels(exchanger, "rear"),
        mm(exchanger.channel.pass_plate, max(9.5, across * 0.0155)),
    )  # fmt: skip


def _far_across(exchanger: Exchanger, across: float) -> float:
    return across * (1.18 if exchanger.letters.fixed else 0.98)


def _shell_end(exchanger: Exchanger, across: float, far: float, limit: float) -> float:
    if exchanger.letters.rear == "M":
        return far
    if exchanger.letters.rear == "U":  # the bend must fit inside, whatever the file says of the length
        return max(mm(exchanger.shell.length, 0.0), far + limit - across / 4 + 40)
    return GAP + mm(exchanger.shell.length, far - across * 0.2 - GAP)


def _levels(exchanger: Exchanger, end: End) -> tuple[float, ...]:
    """Heights of the level ribs of that end, which are the heights of its pass plates."""
    lines = rib_lines(exchanger, end)
    return () if isinstance(lines, Missing) else tuple(sorted({round(line.y1, 1) for line in lines if line.way == "H"}))


def stud_across(size: str) -> float | None:
    """Stud diameter in mm from its name; None where the name cannot be read: the stud is then drawn by proportion."""
    try:
        return nominal_diameter(size) * 1000
    except BadValue:
        return None


def flange(joint: Joint | None, bore: float, wall: float, head: Head | None = None, outer: float | None = None) -> Flange:
    """The flange of a joint round a bore (radius): its studs and gasket where the file has them, else by proportion."""
    studs, gasket = (joint.studs, joint.gasket) if joint else (None, None)
    d = (stud_across(studs.size) if studs else None) or max(16.0, bore * 0.055)
    ring_out = mm(gasket.od if gasket else None, 2 * (bore + wall + bore * 0.035)) / 2
    ring_in = mm(gasket.id_ if gasket else None, 2 * (ring_out - max(12.0, bore * 0.04))) / 2
    bolt = mm(studs.bolt_circle if studs else None, 2 * (max(ring_out, bore + wall) + 1.15 * d)) / 2
    rim = outer or mm(head.outside_diameter if head else None, 0.0) / 2
    if rim < bolt + d * 0.6:
        rim = bolt + d * 1.15
    return Flange(bore, rim, bolt, d, max(28.0, bore * 0.14), (ring_in, ring_out))


def joint_at(exchanger: Exchanger, kind: str) -> Joint | None:
    """The joint of that kind, if this exchanger has one."""
    return next((joint for joint in exchanger.joints if joint.kind == kind), None)


def pipe_across(nozzle: Nozzle, otherwise: float) -> float:
    """Outside diameter of a nozzle neck as drawn, mm, from its nominal size."""
    if found := re.match(r"\s*(\d+(?:\.\d+)?)", nozzle.size):
        value = float(found[1])
        return value if value >= 40 else value * 25.4 + (16.0 if value < 14 else 0.0)
    return otherwise
