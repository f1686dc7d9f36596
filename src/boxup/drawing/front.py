"""The front end in section: A, channel with a flat cover; B, bonnet; C, N and D, channel and tubesheet in one piece."""

from __future__ import annotations

from boxup.drawing.closure import closure
from boxup.drawing.cover import flat_cover
from boxup.drawing.frame import APART, GAP, HUB, Flange, Frame, flange, joint_at, mm, usual_length
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
from boxup.exchanger.joints import CHANNEL_COVER, CHANNEL_TUBESHEET, TUBESHEET_SHELL


def front_end(f: Frame, openings: Openings) -> End:
    """Parts, joints and rooms in front of the shell."""
    end = End()
    bore = mm(f.exchanger.channel.inside_diameter, 2 * f.bore) / 2
    wall = mm(f.exchanger.channel.wall, f.wall * 1.2)
    girth = _girth(f, bore, wall)
    _tubesheet(f, end, girth)
    letter = f.exchanger.letters.front
    length = mm(f.exchanger.channel.length, f.bore * usual_length(f))
    if f.one_piece:
        _one_piece(f, end, -f.sheet - length, bore, wall, openings)
        return end
    back = -f.sheet - GAP  # the channel's face to the tubesheet
    tube_side = [*both(necked(back, -1, girth.thick, bore, wall, girth.outer, HUB))]
    if letter == "A":
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
    least = girth.bolt + girth.stud if f.one_piece and not f.fixed else 0.0  # it is the flange that takes the studs
    radius = max(f.sheet_r, least)
    sheet = rect("metal", -f.sheet, -radius, 0, radius)
    if f.fixed:
        end.parts.append(Part("shell", (sheet,)))
    else:
        end.parts.append(Part("bundle", (sheet,), (-APART, 0)))
    tube, shell = joint_at(f.exchanger, CHANNEL_TUBESHEET), joint_at(f.exchanger, TUBESHEET_SHELL)
    head = "channel" if f.exchanger.letters.front == "A" else "bonnet"
    rear_face = 0.0 if f.fixed else GAP + girth.thick
    front_face = -f.sheet if f.one_piece else -f.sheet - GAP - girth.thick
    bolts = (girth.bolt, girth.stud, front_face, rear_face)
    held = ("shell" if f.fixed else "bundle", -f.sheet + 14, f.sheet_r)
    if tube:
        parts = frozenset({head} if f.fixed else {head, "bundle"})
        end.spots.append(Spot(tube.id, -f.sheet - GAP, -f.sheet, girth.ring, f.front_plates, bolts, parts, girth.outer, held))
    if shell and not f.fixed:
        ring, top = flange(shell, f.bore, f.wall).ring, max(girth.outer, radius)
        held = ("shell", GAP + 14, girth.outer)
        end.spots.append(Spot(shell.id, 0, GAP, ring, (), bolts, frozenset({"bundle"}), top, held))


def _channel(
    f: Frame, end: End, girth: Flange, shapes: list[Shape], back: float, face: float, bore: float, wall: float, openings: Openings
) -> None:
    joint = joint_at(f.exchanger, CHANNEL_COVER)
    rim = flange(joint, bore, wall, f.exchanger.channel)
    shapes += both(necked(face, 1, rim.thick, bore, wall, rim.outer, HUB))
    shapes += barrel(face + rim.thick + HUB, back - girth.thick - HUB, bore, wall, openings)
    shapes += [rect("wall", face, y - f.plate / 2, back, y + f.plate / 2) for y in f.front_plates]
    end.parts.append(Part("channel", tuple(shapes), (-APART, 0)))
    flat_cover(f, end, ("channel cover", "channel"), joint, f.exchanger.channel_cover, face, -1, rim, f.front_plates)
    end.rooms.append(Room("tube", tuple(box_points(face - GAP, bore, -f.sheet)), part="channel"))


def _one_piece(f: Frame, end: End, face: float, bore: float, wall: float, openings: Openings) -> None:
    """C and D ride with the bundle, N stays with the shell."""
    if f.exchanger.letters.front == "D":
        closure(f, end, face, bore, wall, openings)
        return
    joint = joint_at(f.exchanger, CHANNEL_COVER)
    rim = flange(joint, bore, wall, f.exchanger.channel)
    shapes: list[Shape] = [*both(necked(face, 1, rim.thick, bore, wall, rim.outer, HUB))]
    shapes += barrel(face + rim.thick + HUB, -f.sheet, bore, wall, openings)
    shapes += both(_root(f, bore, wall))
    shapes += [rect("wall", face, y - f.plate / 2, -f.sheet, y + f.plate / 2) for y in f.front_plates]
    end.parts.append(Part("channel", tuple(shapes), (0.0, 0.0) if f.fixed else (-APART, 0)))
    flat_cover(f, end, ("channel cover", "channel"), joint, f.exchanger.channel_cover, face, -1, rim, f.front_plates)
    end.rooms.append(Room("tube", tuple(box_points(face - GAP, bore, -f.sheet)), part="channel"))


def _root(f: Frame, bore: float, wall: float) -> Shape:
    """Where the barrel meets the tubesheet: C is turned from one forging, with a hub; N is welded on, with a fillet weld."""
    x, out = -f.sheet, bore + wall
    if f.exchanger.letters.front == "C":
        return poly("wall", (x, out), (x, out + max(wall, f.bore * 0.06)), (x - f.bore * 0.22, out))
    leg = max(16.0, f.bore * 0.05)
    return poly("ink", (x, out), (x, min(out + leg, f.sheet_r)), (x - leg, out))


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
