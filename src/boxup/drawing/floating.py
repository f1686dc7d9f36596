"""Rear ends inside the shell: S, floating head with split backing ring; T, pull-through; the cover or the closed end round them."""

from __future__ import annotations

from boxup.drawing.frame import APART, GAP, HUB, Flange, Frame, flange, joint_at, mm
from boxup.drawing.part import (
    End,
    Openings,
    Part,
    Room,
    Shape,
    Spot,
    barrel,
    both,
    box_points,
    dome,
    dome_points,
    dome_reach,
    lifted,
    necked,
    poly,
    rect,
)
from boxup.exchanger.joints import FLOATING_HEAD, SHELL_COVER

RING_CLEAR = 6.0  # mm between the split ring and the shell cover's bore, at least


def split_ring(f: Frame, end: End, openings: Openings) -> None:
    """S: the ring bears behind the tubesheet, the cover on its other side; both are larger than the bore."""
    cover_r = mm(f.exchanger.shell_cover.inside_diameter, 2 * max(f.far_r + f.bore * 0.17, f.body)) / 2
    back = _tubesheet(f, end)
    joint = joint_at(f.exchanger, FLOATING_HEAD)
    head = f.exchanger.floating_head
    bore = mm(head.inside_diameter, 2 * f.far_r * 0.96) / 2
    rim = flange(joint, bore, 0.0, None, min(mm(head.outside_diameter, 2 * (f.far_r + f.bore * 0.11)) / 2, cover_r - f.up - RING_CLEAR))
    reach = _head(f, end, rim, back + GAP, bore)
    ring = rect("metal", f.far - rim.thick * 0.85, f.far_r - 16, f.far + 14, rim.outer)
    end.parts += [Part("split ring", (ring,), (0.0, 92.0)), Part("split ring", tuple(both(ring)[1:]), (0.0, -92.0))]
    if joint:
        bolts = (rim.bolt, rim.stud, f.far - rim.thick * 0.85, back + GAP + rim.thick)
        parts = frozenset({"floating head", "split ring", "bundle"})
        end.spots.append(Spot(joint.id, back, back + GAP, rim.ring, f.rear_plates, bolts, parts, rim.outer, ("bundle", back - 14, f.far_r)))
    shell_cover(f, end, cover_r, reach + 30, openings)
    _rear_ring(f, end, back)


def pull_through(f: Frame, end: End, openings: Openings) -> None:
    """T: the cover is bolted to the tubesheet itself, and all of it passes the bore."""
    back = _tubesheet(f, end)
    joint, head = joint_at(f.exchanger, FLOATING_HEAD), f.exchanger.floating_head
    bore = mm(head.inside_diameter, 2 * f.far_r * 0.855) / 2
    rim = flange(joint, bore, 0.0, None, min(mm(head.outside_diameter, 2 * f.far_r) / 2, f.bore - 2))
    reach = _head(f, end, rim, back + GAP, bore)
    if joint:
        bolts = (rim.bolt, rim.stud, back - f.far_sheet * 0.7, back + GAP + rim.thick)
        parts, held = frozenset({"floating head"}), ("bundle", back - 14, f.far_r)
        end.spots.append(Spot(joint.id, back, back + GAP, rim.ring, f.rear_plates, bolts, parts, rim.outer, held, tapped=True))
    if not f.covered:
        closed_end(f, end)
        return
    shell_cover(f, end, mm(f.exchanger.shell_cover.inside_diameter, 2 * f.body) / 2, reach + 30, openings)
    _rear_ring(f, end, back)


def _tubesheet(f: Frame, end: End) -> float:
    """The floating tubesheet; gives its rear face."""
    back = f.far + f.far_sheet
    end.parts.append(Part("bundle", (rect("metal", f.far, -f.far_r, back, f.far_r),), (-APART, 0)))
    return back


def _head(f: Frame, end: End, rim: Flange, face: float, bore: float) -> float:
    """The floating head's cover; gives how far rearward it reaches."""
    head = f.exchanger.floating_head
    wall, depth, back = mm(head.wall, f.bore * 0.04), bore * 0.5, face + rim.thick
    inner = bore * 0.965  # the dome meets the flange inside its bore
    shapes = [*both(rect("metal", face, inner, back, rim.outer)), dome(back, inner, wall, depth, 1)]
    shapes += [rect("wall", face, y - f.plate / 2, back + dome_reach(inner, depth, y), y + f.plate / 2) for y in f.rear_plates]
    end.parts.append(Part("floating head", tuple(shapes), (APART, 0)))
    outline = [(face - GAP, inner), *dome_points(back, inner, depth, 1), (face - GAP, -inner)]
    end.rooms.append(Room("tube", tuple(outline), under=False, part="floating head"))
    return back + depth + wall


def closed_end(f: Frame, end: End) -> None:
    """A shell that is closed behind the bundle: no access from the rear."""
    depth = f.body / 2
    end.parts.append(Part("shell", tuple(lifted([dome(f.shell_end, f.body, f.wall, depth, 1)], f.up))))
    inside = [(f.shell_end, f.body), *dome_points(f.shell_end, f.body, depth, 1), (f.shell_end, -f.body)]
    end.rooms.append(Room("shell", tuple((x, y + f.up) for x, y in inside)))


def shell_cover(f: Frame, end: End, radius: float, clear: float, openings: Openings) -> None:
    """The flanged cover over the rear end; long enough to clear what is inside it, which reaches to `clear`."""
    joint, head = joint_at(f.exchanger, SHELL_COVER), f.exchanger.shell_cover
    wall = mm(head.wall, f.wall)
    rim = flange(joint, radius, wall, head)
    face, depth = f.shell_end + GAP, radius / 2
    low = 0.0 if f.up else depth  # a bundle that lies low needs the straight part of the cover
    straight = max(face + mm(head.length, 0.0), clear - low, face + rim.thick + HUB)
    shapes: list[Shape] = [*both(necked(face, 1, rim.thick, radius, wall, rim.outer, HUB))]
    shapes += barrel(face + rim.thick + HUB, straight, radius, wall, openings)
    shapes.append(dome(straight, radius, wall, depth, 1))
    end.parts.append(Part("shell cover", tuple(lifted(shapes, f.up)), (APART, 0)))
    fixed_rim = flange(joint, f.body, f.wall, None, rim.outer)
    own = both(necked(f.shell_end, -1, rim.thick, f.body, f.wall, fixed_rim.outer, HUB))
    end.parts.append(Part("shell", tuple(lifted(own, f.up))))
    if joint:
        bolts = (rim.bolt, rim.stud, f.shell_end - rim.thick, face + rim.thick)
        top = rim.outer + f.up
        held, parts = ("shell", f.shell_end - 14, top), frozenset({"shell cover"})
        end.spots.append(Spot(joint.id, f.shell_end, face, rim.ring, (), bolts, parts, top, held, axis=f.up))
    outline = [(f.shell_end, radius), *dome_points(straight, radius, depth, 1), (f.shell_end, -radius)]
    end.rooms.append(Room("shell", tuple((x, y + f.up) for x, y in outline), part="shell cover"))


def _rear_ring(f: Frame, end: End, back: float) -> None:
    """The rear test ring: bolted to the shell's flange, its packing on the edge of the floating tubesheet."""
    rim = flange(joint_at(f.exchanger, SHELL_COVER), f.body, f.wall, f.exchanger.shell_cover)
    face, seat = f.shell_end + GAP, back - f.far_sheet * 0.45
    shapes: list[Shape] = []
    for side in (1, -1):
        ring_in, out = rim.ring[0] - 10 + side * f.up, rim.outer + side * f.up
        half = poly(
            "metal", (face, side * ring_in), (face, side * out), (face + 55, side * out), (face + 55, side * (f.far_r + 42)),
            (seat, side * (f.far_r + 42)), (seat, side * (f.far_r + 22)), (face + 20, side * (f.far_r + 22)), (face + 20, side * ring_in),
        )  # fmt: skip
        shapes += [half, rect("metal", seat + 6, side * (f.far_r + 3), seat + 34, side * (f.far_r + 60))]
        shapes.append(rect("ink", seat - 34, side * (f.far_r + 2), seat + 4, side * (f.far_r + 21)))
    end.parts.append(Part("rear ring", tuple(shapes)))
    inside = box_points(f.shell_end, f.far_r + 21, seat - 30)
    end.rooms.append(Room("shell", tuple(inside), ring="rear ring"))
