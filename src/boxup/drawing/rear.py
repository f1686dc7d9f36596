"""The rear end in section: S, floating head with split backing ring; U, bends in a closed shell; M, fixed tubesheet with a bonnet."""

from __future__ import annotations

from boxup.drawing.frame import APART, GAP, Flange, Frame, flange, joint_at, mm
from boxup.drawing.front import HUB, Openings
from boxup.drawing.part import End, Part, Room, Shape, Spot, barrel, both, box_points, dome, dome_points, dome_reach, necked, poly, rect
from boxup.exchanger.joints import FLOATING_HEAD, REAR_HEAD, SHELL_COVER

RING_CLEAR = 6.0  # mm between the split ring and the shell cover's bore, at least


def rear_end(f: Frame, openings: Openings) -> End:
    """Parts, joints and rooms behind the baffles."""
    end = End()
    match f.exchanger.letters.rear:
        case "S":
            _floating(f, end, openings)
        case "U":
            _bends(f, end, openings)
        case _:
            _fixed(f, end, openings)
    return end


def _floating(f: Frame, end: End, openings: Openings) -> None:
    cover_r = mm(f.exchanger.shell_cover.inside_diameter, 2 * (f.far_r + f.bore * 0.17)) / 2
    back = f.far + f.far_sheet
    end.parts.append(Part("bundle", (rect("metal", f.far, -f.far_r, back, f.far_r),), (-APART, 0)))
    joint = joint_at(f.exchanger, FLOATING_HEAD)
    head = f.exchanger.floating_head
    bore = mm(head.inside_diameter, 2 * f.far_r * 0.96) / 2
    rim = flange(joint, bore, 0.0, None, min(mm(head.outside_diameter, 2 * (f.far_r + f.bore * 0.11)) / 2, cover_r - RING_CLEAR))
    reach = _floating_head(f, end, rim, back + GAP, bore)
    ring = rect("metal", f.far - rim.thick * 0.85, f.far_r - 16, f.far + 14, rim.outer)
    half = Part("split ring", (ring,), (0.0, 92.0))
    end.parts += [half, Part("split ring", tuple(both(ring)[1:]), (0.0, -92.0))]
    if joint:
        bolts = (rim.bolt, rim.stud, f.far - rim.thick * 0.85, back + GAP + rim.thick)
        parts = frozenset({"floating head", "split ring", "bundle"})
        end.spots.append(Spot(joint.id, back, back + GAP, rim.ring, f.rear_plates, bolts, parts, rim.outer, ("bundle", back - 14, f.far_r)))
    _shell_cover(f, end, cover_r, reach + 30, openings)
    _rear_ring(f, end, back)


def _floating_head(f: Frame, end: End, rim: Flange, face: float, bore: float) -> float:
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


def _shell_cover(f: Frame, end: End, radius: float, clear: float, openings: Openings) -> None:
    """The flanged cover over the rear end; long enough to clear what is inside it, which reaches to `clear`."""
    joint, head = joint_at(f.exchanger, SHELL_COVER), f.exchanger.shell_cover
    wall = mm(head.wall, f.wall)
    rim = flange(joint, radius, wall, head)
    face, depth = f.shell_end + GAP, radius / 2
    straight = max(face + mm(head.length, 0.0), clear - depth)
    shapes: list[Shape] = [*both(necked(face, 1, rim.thick, radius, wall, rim.outer, HUB))]
    shapes += barrel(face + rim.thick + HUB, straight, radius, wall, openings)
    shapes.append(dome(straight, radius, wall, depth, 1))
    end.parts.append(Part("shell cover", tuple(shapes), (APART, 0)))
    fixed_rim = flange(joint, f.bore, f.wall, None, rim.outer)
    end.parts.append(Part("shell", tuple(both(necked(f.shell_end, -1, rim.thick, f.bore, f.wall, fixed_rim.outer, HUB)))))
    if joint:
        bolts = (rim.bolt, rim.stud, f.shell_end - rim.thick, face + rim.thick)
        held = ("shell", f.shell_end - 14, rim.outer)
        end.spots.append(Spot(joint.id, f.shell_end, face, rim.ring, (), bolts, frozenset({"shell cover"}), rim.outer, held))
    outline = [(f.shell_end, radius), *dome_points(straight, radius, depth, 1), (f.shell_end, -radius)]
    end.rooms.append(Room("shell", tuple(outline), part="shell cover"))


def _rear_ring(f: Frame, end: End, back: float) -> None:
    """The rear test ring: bolted to the shell's flange, its packing on the edge of the floating tubesheet."""
    rim = flange(joint_at(f.exchanger, SHELL_COVER), f.bore, f.wall, f.exchanger.shell_cover)
    face, seat = f.shell_end + GAP, back - f.far_sheet * 0.45
    half = poly(
        "metal", (face, rim.ring[0] - 10), (face, rim.outer), (face + 55, rim.outer), (face + 55, f.far_r + 42),
        (seat, f.far_r + 42), (seat, f.far_r + 22), (face + 20, f.far_r + 22), (face + 20, rim.ring[0] - 10),
    )  # fmt: skip
    gland = rect("metal", seat + 6, f.far_r + 3, seat + 34, f.far_r + 60)
    packing = rect("ink", seat - 34, f.far_r + 2, seat + 4, f.far_r + 21)
    end.parts.append(Part("rear ring", both(half, gland, packing)))
    inside = box_points(f.shell_end, f.far_r + 21, seat - 30)
    end.rooms.append(Room("shell", tuple(inside), ring="rear ring"))


def _bends(f: Frame, end: End, openings: Openings) -> None:
    depth = f.bore / 2
    if joint_at(f.exchanger, SHELL_COVER):
        _shell_cover(f, end, f.bore, f.far + f.limit + 30, openings)
        return
    end.parts.append(Part("shell", (dome(f.shell_end, f.bore, f.wall, depth, 1),)))
    outline = [(f.shell_end, f.bore), *dome_points(f.shell_end, f.bore, depth, 1), (f.shell_end, -f.bore)]
    end.rooms.append(Room("shell", tuple(outline)))


def _fixed(f: Frame, end: End, openings: Openings) -> None:
    back = f.far + f.far_sheet
    end.parts.append(Part("shell", (rect("metal", f.far, -f.far_r, back, f.far_r),)))
    head = f.exchanger.rear_head
    joint = joint_at(f.exchanger, REAR_HEAD)
    bore, wall = mm(head.inside_diameter, 2 * f.bore) / 2, mm(head.wall, f.wall * 1.2)
    rim = flange(joint, bore, wall, head)
    face, depth = back + GAP, bore / 2
    straight = face + max(mm(head.length, f.bore * 0.5), rim.thick + HUB)
    shapes: list[Shape] = [*both(necked(face, 1, rim.thick, bore, wall, rim.outer, HUB))]
    shapes += barrel(face + rim.thick + HUB, straight, bore, wall, openings)
    shapes.append(dome(straight, bore, wall, depth, 1))
    shapes += [rect("wall", face, y - f.plate / 2, straight + dome_reach(bore, depth, y), y + f.plate / 2) for y in f.rear_plates]
    end.parts.append(Part("rear bonnet", tuple(shapes), (APART, 0)))
    if joint:
        bolts = (rim.bolt, rim.stud, f.far, face + rim.thick)
        held = ("shell", back - 14, f.far_r)
        end.spots.append(Spot(joint.id, back, face, rim.ring, f.rear_plates, bolts, frozenset({"rear bonnet"}), rim.outer, held))
    outline = [(back, bore), *dome_points(straight, bore, depth, 1), (back, -bore)]
    end.rooms.append(Room("tube", tuple(outline), part="rear bonnet"))
