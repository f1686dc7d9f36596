"""Shell E between its ends: the wall, the tubes and the baffles, for the stretch that one view shows."""

from __future__ import annotations

from boxup.core.finding import Missing
from boxup.drawing.frame import GAP, Frame, flange, joint_at, mm
from boxup.drawing.front import HUB, Openings
from boxup.drawing.part import Part, Room, Shape, barrel, both, box_points, necked, poly, rect
from boxup.exchanger.joints import SHELL_COVER, TUBESHEET_SHELL
from boxup.exchanger.layout import layout_of


def shell_parts(f: Frame, start: float, stop: float, openings: Openings) -> list[Part]:
    """The shell's own metal from x = start to stop."""
    shapes: list[Shape] = []
    first, last = 0.0, f.shell_end
    if not f.fixed:
        rim = flange(joint_at(f.exchanger, TUBESHEET_SHELL), f.bore, f.wall, f.exchanger.channel)
        first = GAP + rim.thick + HUB
        if start < first:
            shapes += both(necked(GAP, 1, rim.thick, f.bore, f.wall, rim.outer, HUB))
    cover = joint_at(f.exchanger, SHELL_COVER)
    if cover:
        last -= flange(cover, f.bore, f.wall).thick + HUB
    shapes += barrel(max(start, first), min(stop, last), f.bore, f.wall, openings)
    return [Part("shell", tuple(shapes))]


def shell_room(f: Frame, start: float, stop: float) -> Room:
    """The shell side inside this stretch of the shell."""
    return Room("shell", tuple(box_points(max(start, 0.0), f.bore, min(stop, f.shell_end))))


def tubes(f: Frame, start: float, stop: float) -> list[Shape]:
    """The outer rows of each pass, as two lines a tube; with U-tubes their bends. All other tubes lie between them."""
    half = mm(f.exchanger.tubes.od, f.bore * 0.045) / 2
    low, high = max(start, 0.0), min(stop, f.far)
    found: list[Shape] = []
    bent = f.exchanger.letters.rear == "U" and stop > f.far
    for y in tube_levels(f):
        if bent and abs(y) > half:
            if y > 0:
                found.append(_bend(low, high, y, half))
        else:
            found.append(rect("tube", low, y - half, high, y + half))
    return found


def _bend(low: float, tangent: float, y: float, half: float) -> Shape:
    """A U-tube from its upper leg round to its lower one."""
    out, inside = y + half, max(y - half, 1.0)
    return Shape(
        "tube",
        (
            ("L", low, out), ("L", tangent, out), ("A", tangent, -out, out, out, 0, 1), ("L", low, -out),
            ("L", low, -inside), ("L", tangent, -inside), ("A", tangent, inside, inside, inside, 0, 0), ("L", low, inside),
        ),
    )  # fmt: skip


def tube_levels(f: Frame) -> list[float]:
    """Heights of the first and last row of each pass; U-tubes the same above and below."""
    layout = layout_of(f.exchanger)
    if isinstance(layout, Missing) or not layout.tubes:
        return [s * f.limit * share for share in (0.92, 0.3) for s in (1, -1)]
    by_pass: dict[int, list[float]] = {}
    for t in layout.tubes:
        by_pass.setdefault(t.tube_pass, []).append(t.y)
    levels = {round(v, 1) for rows in by_pass.values() for v in (max(rows), min(rows))}
    if f.exchanger.letters.rear == "U":
        levels = {abs(v) for v in levels} | {-abs(v) for v in levels}
    return _apart(sorted(levels, reverse=True), 2.2 * mm(f.exchanger.tubes.od, 19.0))


def _apart(levels: list[float], least: float) -> list[float]:
    """Without those that would touch their neighbour."""
    kept: list[float] = []
    for v in levels:
        if not kept or kept[-1] - v >= least:
            kept.append(v)
    return kept


def baffles(f: Frame, start: float, stop: float) -> list[Shape]:
    """Single segmental baffles that stand in this stretch, each cut on its side."""
    b = f.exchanger.baffles
    if b.count is None or b.spacing is None:
        return []
    pitch, half = b.spacing.to("mm"), mm(b.thickness, 9.5) / 2
    first = mm(b.first_position, pitch * 1.5)
    radius = mm(b.outside_diameter, 2 * f.bore - 5) / 2
    cut = 2 * f.bore * (b.cut.si if b.cut is not None else 0.25)
    up_first = getattr(b, "first_cut", "up") != "down"
    found: list[Shape] = []
    for i in range(round(b.count.si)):
        x = first + i * pitch
        if not start + half < x < stop - half:
            continue
        if b.cut_direction == "vertical":
            found.append(rect("wall", x - half, -radius, x + half, radius))
        elif (i % 2 == 0) == up_first:
            found.append(rect("wall", x - half, -radius, x + half, f.bore - cut))
        else:
            found.append(rect("wall", x - half, cut - f.bore, x + half, radius))
    return found


def stub(f: Frame, start: float, stop: float) -> list[Shape]:
    """What of a bundle that is off is drawn at the mouth of the shell: its outermost tubes."""
    return [poly("bare", (start, s * f.limit), (stop, s * f.limit), closed=False) for s in (1, -1)]
