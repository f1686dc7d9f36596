"""The measurements a section is drawn from: the file's where it gives them, by proportion where it does not.

Thickness of flanges, hubs, nozzle flanges and the depth of heads are not in an exchanger file; they are drawn by proportion and
serve no calculation. What decides how the parts go together (bores, tubesheets, lengths, bolt circles, pass plates) is the file's own.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from boxup.core.finding import Missing
from boxup.core.quantity import BadValue, Quantity
from boxup.exchanger.joints import has_shell_cover
from boxup.exchanger.model import Exchanger, Head, Joint, Nozzle
from boxup.exchanger.passes import End
from boxup.exchanger.ribs import rib_lines
from boxup.exchanger.stud_size import nominal_diameter

GAP = 14.0  # mm drawn between two faces for a gasket that is 3 to 5 mm thick, so that it can be seen
HUB = 26.0  # mm of neck drawn behind a flange
APART = 95.0  # mm a part is set apart when it is off
USUAL_BORE = 800.0  # mm across, where nobody gave the shell: then all is proportion and the drawing says so


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
    bore: float  # inside radius that the bundle passes: of the shell, or of the port of a kettle
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
    body: float  # inside radius of the shell between its ends: larger than the bore in a kettle

    @property
    def fixed(self) -> bool:
        return self.exchanger.letters.fixed

    @property
    def up(self) -> float:
        """How far the axis of the shell stands over that of the bundle: a kettle's bundle lies low."""
        return self.body - self.bore

    @property
    def covered(self) -> bool:
        """The rear of the shell has a cover that comes off."""
        return has_shell_cover(self.exchanger.letters, self.exchanger.options)

    @property
    def one_piece(self) -> bool:
        """Channel and stationary tubesheet are one piece."""
        return self.exchanger.letters.front in "CDN"

    @property
    def closed(self) -> bool:
        """The rear of the shell is closed and has no cover."""
        return self.exchanger.letters.rear in "TU" and not self.covered

    @property
    def ends_wide(self) -> bool:
        """The shell is as wide at its rear end as between its ends."""
        return self.exchanger.letters.rear in "STU"

    def outside(self, way: int) -> float:
        """From the axis of the bundle to the outside of the shell, up (+1) or down (-1)."""
        return self.body + self.wall + way * self.up


def mm(quantity: Quantity | None, otherwise: float) -> float:
    """The length in mm, or the proportion drawn where nobody gave it."""
    return quantity.to("mm") if quantity is not None else otherwise


def frame_of(exchanger: Exchanger) -> Frame:
    """Every letter is drawn; what the file does not give is drawn by proportion (`assumed_scale` says when that is everything)."""
    letters = exchanger.letters
    across, body = _bores(exchanger)
    sheet = mm(exchanger.stationary_tubesheet.thickness, across * 0.09)
    far_sheet = 0.0 if letters.rear == "U" else mm(exchanger.floating_tubesheet.thickness, sheet)
    far = mm(exchanger.tubes.length, across * 7.5) - sheet - far_sheet
    limit = mm(exchanger.tubes.outer_limit, across * 0.94) / 2
    return Frame(
        exchanger, across / 2, mm(exchanger.shell.wall, across * 0.016), sheet,
        mm(exchanger.stationary_tubesheet.outside_diameter, _sheet_across(exchanger, across)) / 2,
        far, far_sheet, mm(exchanger.floating_tubesheet.outside_diameter, _far_across(exchanger, across)) / 2,
        _shell_end(exchanger, across, body, far, far_sheet, limit), limit,
        _levels(exchanger, "front"), _levels(exchanger, "rear"),
        mm(exchanger.channel.pass_plate, max(9.5, across * 0.0155)), body / 2,
    )  # fmt: skip


def assumed_scale(exchanger: Exchanger) -> bool:
    """Nobody gave the shell inside diameter: the whole drawing is proportion."""
    return exchanger.shell.inside_diameter is None


def _bores(exchanger: Exchanger) -> tuple[float, float]:
    """Inside diameters of what the bundle passes and of the shell between its ends."""
    shell = exchanger.shell
    if exchanger.letters.shell != "K":
        across = mm(shell.inside_diameter, USUAL_BORE)
        return across, across
    channel = mm(exchanger.channel.inside_diameter, 0.0)
    guess = mm(exchanger.tubes.outer_limit, channel or mm(shell.inside_diameter, USUAL_BORE * 1.6) / 1.6)
    port = mm(shell.port_diameter, guess)
    return port, mm(shell.inside_diameter, 0.0) if mm(shell.inside_diameter, 0.0) > port * 1.2 else port * 1.6


def _sheet_across(exchanger: Exchanger, across: float) -> float:
    """N: the channel is welded to the tubesheet's edge, so that stands out little."""
    return across * (1.10 if exchanger.letters.front == "N" else 1.18)


def _far_across(exchanger: Exchanger, across: float) -> float:
    """A fixed tubesheet stands out over the shell, a floating one passes it; a skirt needs room for its packing."""
    rear = exchanger.letters.rear
    if exchanger.letters.fixed:
        return across * (1.10 if rear == "N" else 1.18)
    return across * {"P": 0.96, "T": 0.99, "W": 0.99}.get(rear, 0.98)


def _shell_end(exchanger: Exchanger, across: float, body: float, far: float, far_sheet: float, limit: float) -> float:
    """Rear face of the shell's flange, or the tangent line of a closed end. What must fit inside does, whatever the file says of it."""
    rear, given, inside = exchanger.letters.rear, mm(exchanger.shell.length, 0.0), far + far_sheet
    closed = not has_shell_cover(exchanger.letters, exchanger.options)
    if exchanger.letters.fixed:
        return far
    if rear == "U" or (rear == "T" and closed):
        reach = limit if rear == "U" else far_sheet + across * 0.42
        beyond = across * 0.5 if exchanger.letters.shell == "K" else 0.0  # room behind the weir of a kettle
        return max(given, far + reach + beyond + 40 - body / 4)
    if rear == "P":
        return min(max(GAP + given, inside + across * 0.06), inside + across * 0.3)
    if rear == "W":
        return far + across * 0.02
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


def usual_length(f: Frame) -> float:
    """Straight length of a channel or bonnet, in radii of the bore."""
    return {"B": 0.9, "D": 2.1}.get(f.exchanger.letters.front, 1.5)


def pipe_across(nozzle: Nozzle, otherwise: float) -> float:
    """Outside diameter of a nozzle neck as drawn, mm, from its nominal size."""
    if found := re.match(r"\s*(\d+(?:\.\d+)?)", nozzle.size):
        value = float(found[1])
        return value if value >= 40 else value * 25.4 + (16.0 if value < 14 else 0.0)
    return otherwise
