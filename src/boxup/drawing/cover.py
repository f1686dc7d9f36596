"""A flat cover on the flange of a channel, front or rear."""

from __future__ import annotations

from boxup.drawing.frame import APART, GAP, Flange, Frame, mm
from boxup.drawing.part import End, Part, Spot, rect
from boxup.exchanger.model import Head, Joint


def flat_cover(
    f: Frame, end: End, names: tuple[str, str], joint: Joint | None, head: Head, face: float, way: int, rim: Flange, ribs: tuple[float, ...]
) -> None:
    """The cover and its joint; `names`: the cover and what it closes; `face`: of that part's flange; `way` +1 rearward."""
    near, far = face + way * GAP, face + way * (GAP + mm(head.thickness, f.bore * 0.17))
    radius = max(mm(head.outside_diameter, 2 * rim.outer) / 2, rim.bolt + rim.stud * 0.6)
    end.parts.append(Part(names[0], (rect("metal", min(near, far), -radius, max(near, far), radius),), (way * APART, 0)))
    if joint:
        flange_back = face - way * rim.thick
        bolts = (rim.bolt, rim.stud, min(far, flange_back), max(far, flange_back))
        held = (names[1], face - way * 14, rim.outer)
        ends = (min(face, near), max(face, near))
        end.spots.append(Spot(joint.id, *ends, rim.ring, ribs, bolts, frozenset(names), max(rim.outer, radius), held))
