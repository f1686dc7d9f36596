"""The special high-pressure closure of a D front: its principle only. How it opens and shuts is its maker's procedure."""

from __future__ import annotations

from boxup.drawing.frame import APART, Frame, joint_at
from boxup.drawing.part import End, Openings, Part, Room, Shape, Spot, barrel, both, box_points, poly, rect
from boxup.exchanger.joints import CLOSURE

NOTE = "Special closure, drawn as a principle: open and shut by its maker's procedure."


def closure(f: Frame, end: End, face: float, bore: float, wall: float, openings: Openings) -> None:
    """A forged channel in one piece with the tubesheet; a plug inside it, held by a ring of shear blocks in a groove."""
    b, heavy = f.bore, max(wall, f.bore * 0.12)
    rim, mouth = bore + heavy + b * 0.14, face + b * 0.62  # the forging is heavier round the closure
    groove = (face + b * 0.14, face + b * 0.27)
    shapes: list[Shape] = [
        *both(_forging(face, groove, mouth, bore, rim, heavy)),
        *barrel(mouth + b * 0.1, -f.sheet, bore, heavy, openings),
        *both(poly("wall", (-f.sheet, bore + heavy), (-f.sheet, bore + heavy * 1.5), (-f.sheet - b * 0.2, bore + heavy))),
    ]
    shapes += [rect("wall", face + b * 0.6, y - f.plate / 2, -f.sheet, y + f.plate / 2) for y in f.front_plates]
    end.parts.append(Part("channel", tuple(shapes), (0.0, 0.0) if f.fixed else (-APART, 0)))
    end.parts.append(Part("closure", tuple(_plug(b, face, groove, bore)), (-APART, 0)))
    if joint := joint_at(f.exchanger, CLOSURE):
        inner, parts = face + b * 0.5, frozenset({"closure", "channel"})
        held = ("channel", face + b * 0.3, rim)
        end.spots.append(Spot(joint.id, inner, inner + b * 0.04, (bore * 0.9, bore - 4), (), (0, 0, face, face), parts, rim, held))
    end.rooms.append(Room("tube", tuple(box_points(face + b * 0.54, bore, -f.sheet)), part="channel"))


def _forging(face: float, groove: tuple[float, float], mouth: float, bore: float, rim: float, heavy: float) -> Shape:
    """The upper half of the channel's end with the groove for the shear blocks."""
    deep, end = bore + heavy * 0.55, mouth + (mouth - face) * 0.16
    return poly(
        "metal", (face, bore + 6), (face, rim), (mouth, rim), (end, bore + heavy), (end, bore), (groove[1], bore), (groove[1], deep),
        (groove[0], deep), (groove[0], bore + 6),
    )  # fmt: skip


def _plug(b: float, face: float, groove: tuple[float, float], bore: float) -> list[Shape]:
    """From the inside out: the plug, the shear blocks in their groove, the ring that keeps them there with its set screws."""
    plug = rect("metal", groove[1], 4 - bore, face + b * 0.5, bore - 4)
    blocks = both(rect("ink", groove[0] + 3, bore - b * 0.1, groove[1] - 3, bore + b * 0.05))
    keep = both(rect("metal", face - b * 0.02, bore * 0.55, groove[1], bore - b * 0.13))
    screws = both(*(rect("ink", face - b * 0.09, y - b * 0.025, face - b * 0.02, y + b * 0.025) for y in (bore * 0.63, bore * 0.78)))
    return [plug, *blocks, *keep, *screws]
