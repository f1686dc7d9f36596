"""P, the outside-packed floating head: the tubesheet's skirt comes out through a packing, and its cover hangs on a split shear ring."""

from __future__ import annotations

from boxup.drawing.frame import APART, GAP, HUB, Flange, Frame, flange, joint_at, mm
from boxup.drawing.part import End, Part, Room, Shape, Spot, both, box_points, necked, rect
from boxup.exchanger.joints import REAR_HEAD, STUFFING_BOX

BOX = 0.3  # of the bore's radius: depth of the stuffing box


def packed(f: Frame, end: End) -> None:
    """From the shell outward: stuffing box, packing and gland, backing flange, shear ring, rear cover."""
    b, r = f.bore, f.far_r
    box, groove = f.shell_end - b * BOX, f.shell_end + b * 0.5
    rear = groove + b * 0.13  # end of the skirt
    skirt = both(rect("metal", f.far + f.far_sheet, r - _skirt(f), rear, r))
    end.parts.append(Part("bundle", (rect("metal", f.far, -r, f.far + f.far_sheet, r), *skirt), (-APART, 0)))
    _stuffing_box(f, end, box)
    rim = flange(joint_at(f.exchanger, REAR_HEAD), r, 0.0)
    end.parts.append(Part("backing flange", both(rect("metal", groove - b * 0.15, r + 4, groove, rim.outer)), (APART, 0)))
    ring = rect("ink", groove, r - b * 0.045, groove + b * 0.055, r + b * 0.06)
    end.parts += [Part("shear ring", (ring,), (0.0, 80.0)), Part("shear ring", tuple(both(ring)[1:]), (0.0, -80.0))]
    _cover(f, end, rim, groove - b * 0.15, rear)


def _skirt(f: Frame) -> float:
    return f.bore * 0.1


def _stuffing_box(f: Frame, end: End, box: float) -> None:
    """The box on the shell's end, and the gland: four rings of packing with the follower that presses them."""
    b, r, x = f.bore, f.far_r, f.shell_end
    wide = max(f.bore - r, 0.0) + b * 0.05
    joint = joint_at(f.exchanger, STUFFING_BOX)
    rim = flange(joint, r + wide, f.wall)
    body = both(
        rect("metal", box, r + wide, x, rim.outer), rect("metal", box, r + 3, box + b * 0.05, r + wide),
        necked(box, -1, 0.0, f.bore, f.wall, f.bore + f.wall * 3.2, HUB),
    )  # fmt: skip
    end.parts.append(Part("shell", body))
    first, each = box + b * 0.06, b * 0.05
    rings = [rect("ink", first + i * each, r + 2, first + (i + 1) * each - b * 0.013, r + wide - 2) for i in range(4)]
    follower = [rect("metal", x - b * 0.04, r + 3, x + b * 0.06, r + wide - 2), rect("metal", x + b * 0.06, r + 3, x + b * 0.14, rim.outer)]
    end.parts.append(Part("gland", both(*rings, *follower), (APART, 0)))
    if joint:
        bolts, parts = (rim.bolt, rim.stud, box + b * 0.05, x + b * 0.14), frozenset({"gland", "bundle"})
        held = ("shell", x - 14, rim.outer)
        end.spots.append(Spot(joint.id, first, x, (r, r + wide), (), bolts, parts, rim.outer, held, packed=True))


def _cover(f: Frame, end: End, rim: Flange, backing: float, rear: float) -> None:
    """The flat rear cover on the end of the skirt; its studs go through the backing flange."""
    head = f.exchanger.rear_cover if f.exchanger.rear_cover.thickness else f.exchanger.rear_head
    face = rear + GAP
    thick = mm(head.thickness, f.bore * 0.15)
    radius = max(mm(head.outside_diameter, 2 * rim.outer) / 2, rim.bolt + rim.stud * 0.6)
    shapes: list[Shape] = [rect("metal", face, -radius, face + thick, radius)]
    shapes += [rect("wall", f.far + f.far_sheet, y - f.plate / 2, face, y + f.plate / 2) for y in f.rear_plates]
    end.parts.append(Part("rear cover", tuple(shapes), (APART, 0)))
    joint, inner = joint_at(f.exchanger, REAR_HEAD), f.far_r - _skirt(f)
    if joint:
        bolts = (rim.bolt, rim.stud, backing, face + thick)
        parts = frozenset({"rear cover", "shear ring", "backing flange", "bundle"})
        held = ("bundle", rear - 14, f.far_r)
        ring = (inner + 4, f.far_r - 4)
        end.spots.append(Spot(joint.id, rear, face, ring, f.rear_plates, bolts, parts, max(radius, rim.outer), held))
    end.rooms.append(Room("tube", tuple(box_points(f.far + f.far_sheet, inner, face)), part="rear cover"))
