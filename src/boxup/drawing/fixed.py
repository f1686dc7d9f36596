"""Rear ends with a fixed tubesheet: L, channel with a flat cover; M, bonnet; N, channel welded on with a flat cover."""

from __future__ import annotations

from boxup.drawing.cover import flat_cover
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
    necked,
    poly,
    rect,
)
from boxup.exchanger.joints import REAR_COVER, REAR_HEAD


def bonnet(f: Frame, end: End, openings: Openings) -> None:
    """M."""
    back = _tubesheet(f, end)
    bore, wall = _bore_and_wall(f)
    head = f.exchanger.rear_head
    rim = flange(joint_at(f.exchanger, REAR_HEAD), bore, wall, head)
    face, depth = back + GAP, bore / 2
    straight = face + max(mm(head.length, f.bore * 0.5), rim.thick + HUB)
    shapes: list[Shape] = [*both(necked(face, 1, rim.thick, bore, wall, rim.outer, HUB))]
    shapes += barrel(face + rim.thick + HUB, straight, bore, wall, openings)
    shapes.append(dome(straight, bore, wall, depth, 1))
    shapes += [rect("wall", face, y - f.plate / 2, straight + dome_reach(bore, depth, y), y + f.plate / 2) for y in f.rear_plates]
    end.parts.append(Part("rear bonnet", tuple(shapes), (APART, 0)))
    _joint(f, end, "rear bonnet", back, rim)
    outline = [(back, bore), *dome_points(straight, bore, depth, 1), (back, -bore)]
    end.rooms.append(Room("tube", tuple(outline), part="rear bonnet"))


def channel(f: Frame, end: End, openings: Openings) -> None:
    """L, bolted to the tubesheet, and N, welded to it."""
    back = _tubesheet(f, end)
    bore, wall = _bore_and_wall(f)
    head, welded = f.exchanger.rear_head, f.exchanger.letters.rear == "N"
    front = flange(joint_at(f.exchanger, REAR_HEAD), bore, wall, head)
    joint = joint_at(f.exchanger, REAR_COVER)
    rim = flange(joint, bore, wall, head)
    start = back if welded else back + GAP
    root = 0.0 if welded else front.thick + HUB
    face = start + max(mm(head.length, f.bore * 1.1), root + rim.thick + HUB)
    shapes: list[Shape] = [*both(necked(face, -1, rim.thick, bore, wall, rim.outer, HUB))]
    shapes += both(_weld(f, back, bore + wall) if welded else necked(start, 1, front.thick, bore, wall, front.outer, HUB))
    shapes += barrel(start + root, face - rim.thick - HUB, bore, wall, openings)
    shapes += [rect("wall", start, y - f.plate / 2, face, y + f.plate / 2) for y in f.rear_plates]
    end.parts.append(Part("rear channel", tuple(shapes), (0.0 if welded else APART, 0)))
    _joint(f, end, "rear channel", back, front)
    flat_cover(f, end, ("rear cover", "rear channel"), joint, f.exchanger.rear_cover, face, 1, rim, f.rear_plates)
    end.rooms.append(Room("tube", tuple(box_points(back, bore, face + GAP)), part="rear channel"))


def _bore_and_wall(f: Frame) -> tuple[float, float]:
    head = f.exchanger.rear_head
    return mm(head.inside_diameter, 2 * f.bore) / 2, mm(head.wall, f.wall * 1.2)


def _tubesheet(f: Frame, end: End) -> float:
    """The rear tubesheet, welded to the shell; gives its rear face."""
    back = f.far + f.far_sheet
    end.parts.append(Part("shell", (rect("metal", f.far, -f.far_r, back, f.far_r),)))
    return back


def _weld(f: Frame, x: float, out: float) -> Shape:
    leg = max(16.0, f.bore * 0.05)
    return poly("ink", (x, out), (x, min(out + leg, f.far_r)), (x + leg, out))


def _joint(f: Frame, end: End, part: str, back: float, rim: Flange) -> None:
    if joint := joint_at(f.exchanger, REAR_HEAD):
        bolts = (rim.bolt, rim.stud, f.far, back + GAP + rim.thick)
        held = ("shell", back - 14, f.far_r)
        end.spots.append(Spot(joint.id, back, back + GAP, rim.ring, f.rear_plates, bolts, frozenset({part}), max(rim.outer, f.far_r), held))
