"""The front end in section: A, channel with a flat cover; B, bonnet."""

from __future__ import annotations

from boxup.drawing.frame import APART, GAP, Flange, Frame, flange, joint_at, mm
from boxup.drawing.part import End, Part, Room, Shape, Spot, barrel, both, box_points, dome, dome_points, dome_reach, necked, rect
from boxup.exchanger.joints import CHANNEL_COVER, CHANNEL_TUBESHEET, TUBESHEET_SHELL

HUB = 26.0  # mm of neck drawn behind a flange
Openings = list[tuple[float, float, int]]


def front_end(f: Frame, openings: Openings) -> End:
    """Parts, joints and rooms in front of the shell. Raises nothing: `frame_of` has refused what is not drawn."""
    end = End()
    bore = mm(f.exchanger.channel.inside_diameter, 2 * f.bore) / 2
    wall = mm(f.exchanger.channel.wall, f.wall * 1.2)
    girth = _girth(f, bore, wall)
    _tubesheet(f, end, girth)
    back = -f.sheet - GAP  # the channel's face to the tubesheet
    length = mm(f.exchanger.channel.length, f.bore * (1.5 if f.exchanger.letters.front == "A" else 0.9))
    tube_side = [*both(necked(back, -1, girth.thick, bore, wall, girth.outer, HUB))]
    if f.exchanger.letters.front == "A":
        _channel(f, end, girth, tube_side, back, back - length, bore, wall, openings)
    else:
        _bonnet(f, end, girth, tube_side, back, back - length, bore, wall, openings)
    ring = [*both(rect("metal", back - girth.thick * 0.8, girth.ring[0] - 14, back, girth.outer))]
    end.parts.append(Part("front ring", tuple(ring)))
    return end


def _girth(f: Frame, bore: float, wall: float) -> Flange:
    """The flange that takes the tubesheet; the studs of J2 and J3 are one set, so either joint may carry them."""
    e = f.exchanger
    joint = joint_at(e, CHANNEL_TUBESHEET) or joint_at(e, TUBESHEET_SHELL)
    return flange(joint, bore, wall, e.channel)


def _tubesheet(f: Frame, end: End, girth: Flange) -> None:
    """The stationary tubesheet: part of the bundle, or of the shell where it is welded in."""
    sheet = rect("metal", -f.sheet, -f.sheet_r, 0, f.sheet_r)
    if f.fixed:
        end.parts.append(Part("shell", (sheet,)))
    else:
        end.parts.append(Part("bundle", (sheet,), (-APART, 0)))
    tube, shell = joint_at(f.exchanger, CHANNEL_TUBESHEET), joint_at(f.exchanger, TUBESHEET_SHELL)
    head = "channel" if f.exchanger.letters.front == "A" else "bonnet"
    rear_face = 0.0 if f.fixed else GAP + girth.thick
    bolts = (girth.bolt, girth.stud, -f.sheet - GAP - girth.thick, rear_face)
    held = ("shell" if f.fixed else "bundle", -f.sheet + 14, f.sheet_r)
    if tube:
        parts = frozenset({head} if f.fixed else {head, "bundle"})
        end.spots.append(Spot(tube.id, -f.sheet - GAP, -f.sheet, girth.ring, f.front_plates, bolts, parts, girth.outer, held))
    if shell and not f.fixed:
        ring = flange(shell, f.bore, f.wall).ring
        end.spots.append(Spot(shell.id, 0, GAP, ring, (), bolts, frozenset({"bundle"}), girth.outer, ("shell", GAP + 14, girth.outer)))


def _channel(
    f: Frame, end: End, girth: Flange, shapes: list[Shape], back: float, face: float, bore: float, wall: float, openings: Openings
) -> None:
    cover = f.exchanger.channel_cover
    joint = joint_at(f.exchanger, CHANNEL_COVER)
    rim = flange(joint, bore, wall, f.exchanger.channel)
    shapes += both(necked(face, 1, rim.thick, bore, wall, rim.outer, HUB))
    shapes += barrel(face + rim.thick + HUB, back - girth.thick - HUB, bore, wall, openings)
    shapes += [rect("wall", face, y - f.plate / 2, back, y + f.plate / 2) for y in f.front_plates]
    end.parts.append(Part("channel", tuple(shapes), (-APART, 0)))
    thick = mm(cover.thickness, f.bore * 0.17)
    radius = max(mm(cover.outside_diameter, 2 * rim.outer) / 2, rim.bolt + rim.stud * 0.6)
    slab = rect("metal", face - GAP - thick, -radius, face - GAP, radius)
    end.parts.append(Part("channel cover", (slab,), (-APART, 0)))
    if joint:
        bolts = (rim.bolt, rim.stud, face - GAP - thick, face + rim.thick)
        top = max(rim.outer, radius)
        held = ("channel", face + 14, rim.outer)
        parts = frozenset({"channel cover", "channel"})
        end.spots.append(Spot(joint.id, face - GAP, face, rim.ring, f.front_plates, bolts, parts, top, held))
    end.rooms.append(Room("tube", tuple(box_points(face - GAP, bore, -f.sheet)), part="channel"))


def _bonnet(
    f: Frame, end: End, girth: Flange, shapes: list[Shape], back: float, face: float, bore: float, wall: float, openings: Openings
) -> None:
    depth = bore / 2
    shapes += barrel(face, back - girth.thick - HUB, bore, wall, openings)
    shapes.append(dome(face, bore, wall, depth, -1))
    for y in f.front_plates:
        shapes.append(rect("wall", face - dome_reach(bore, depth, y), y - f.plate / 2, back, y + f.plate / 2))
    end.parts.append(Part("bonnet", tuple(shapes), (-APART, 0)))
    outline = [(-f.sheet, bore), *dome_points(face, bore, depth, -1), (-f.sheet, -bore)]
    end.rooms.append(Room("tube", tuple(outline), part="bonnet"))
