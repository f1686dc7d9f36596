"""W, the externally sealed floating tubesheet: a packing on either side of a lantern ring whose weep hole at the bottom stays open."""

from __future__ import annotations

from boxup.drawing.frame import APART, HUB, Flange, Frame, flange, joint_at, mm
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
    flipped,
    necked,
    rect,
)
from boxup.exchanger.joints import CHANNEL_PACKING, SHELL_PACKING


def lantern(f: Frame, end: End, openings: Openings) -> None:
    """One set of studs draws the shell's flange, the lantern ring and the bonnet together over the tubesheet's edge."""
    b, x, r = f.bore, f.shell_end, f.far_r
    ring, face = (x + b * 0.07, x + b * 0.2), x + b * 0.27
    back = f.far + f.far_sheet
    collar = both(rect("metal", back, r - b * 0.08, face + b * 0.02, r)) if back < face + b * 0.02 else ()
    end.parts.append(Part("bundle", (rect("metal", f.far, -r, back, r), *collar), (-APART, 0)))
    joint = joint_at(f.exchanger, SHELL_PACKING)
    rim = flange(joint, max(f.bore, r + b * 0.08), f.wall)
    end.parts.append(Part("shell", both(necked(x, -1, rim.thick, f.bore, f.wall, rim.outer, HUB))))
    end.parts.append(Part("lantern ring", tuple(_ring(f, ring, rim)), (APART, 0)))
    _bonnet(f, end, rim, face, openings)
    for kind, x0, x1 in ((SHELL_PACKING, x, ring[0]), (CHANNEL_PACKING, ring[1], face)):
        if one := joint_at(f.exchanger, kind):
            bolts = (rim.bolt, rim.stud, x - rim.thick, face + rim.thick)
            parts = frozenset({"lantern ring", "rear bonnet", "bundle"})
            held = ("shell", x - 14, rim.outer) if kind == SHELL_PACKING else ("lantern ring", (ring[0] + ring[1]) / 2, rim.outer)
            end.spots.append(Spot(one.id, x0, x1, (r, r + b * 0.08), (), bolts, parts, rim.outer, held, packed=True))
    stand_in = both(rect("metal", face, r - b * 0.12, face + b * 0.12, rim.outer), _packing(f, ring[1], face))
    end.parts.append(Part("rear ring", stand_in))
    end.rooms.append(Room("shell", tuple(box_points(x, r, x + b * 0.07)), ring="rear ring"))


def _packing(f: Frame, x0: float, x1: float) -> Shape:
    return rect("ink", x0 + 2, f.far_r + 2, x1 - 2, f.far_r + f.bore * 0.075)


def _ring(f: Frame, at: tuple[float, float], rim: Flange) -> list[Shape]:
    """The lantern ring with the packing on the shell's side; below, the weep hole goes through to the open air."""
    whole = rect("metal", at[0], f.far_r + 2, at[1], rim.outer)
    hole = f.bore * 0.022
    middle = (at[0] + at[1]) / 2
    halves = [rect("metal", at[0], -f.far_r - 2, middle - hole, -rim.outer), rect("metal", middle + hole, -f.far_r - 2, at[1], -rim.outer)]
    packing = _packing(f, f.shell_end, at[0])
    return [whole, *halves, packing, flipped(packing)]


def _bonnet(f: Frame, end: End, rim: Flange, face: float, openings: Openings) -> None:
    head = f.exchanger.rear_head
    bore, wall = mm(head.inside_diameter, 2 * f.bore) / 2, mm(head.wall, f.wall * 1.2)
    straight, depth = face + max(mm(head.length, f.bore * 0.45), rim.thick + HUB), bore / 2
    shapes: list[Shape] = [*both(necked(face, 1, rim.thick, bore, wall, rim.outer, HUB), _packing(f, face - f.bore * 0.07, face))]
    shapes += barrel(face + rim.thick + HUB, straight, bore, wall, openings)
    shapes.append(dome(straight, bore, wall, depth, 1))
    back = f.far + f.far_sheet
    shapes += [rect("wall", back, y - f.plate / 2, straight + dome_reach(bore, depth, y), y + f.plate / 2) for y in f.rear_plates]
    end.parts.append(Part("rear bonnet", tuple(shapes), (APART, 0)))
    low = bore - f.bore * 0.09
    outline = [(back, low), (face, bore), *dome_points(straight, bore, depth, 1), (face, -bore), (back, -low)]
    end.rooms.append(Room("tube", tuple(outline), part="rear bonnet"))
