"""Blinds on a nozzle: the spade at the far end of its spool or between the flanges, and the test blank bolted on the face.

Two shapes that no copier can confuse. A process blind is a leaf between two flanges with a handle sticking out. A test blind is a black
disc over the whole flange, with its bolts and without a handle.
"""

from __future__ import annotations

from dataclasses import dataclass

from boxup.drawing.frame import mm
from boxup.drawing.nozzle import WALL, Placed
from boxup.drawing.part import Shape, rect
from boxup.exchanger.model import Blind

# mm as drawn
RING, BARREL, LEAF, BLANK = 32.0, 58.0, 26.0, 42.0  # flange of a spool, its pipe, the least of a spade, a test blank
LIFT, OVER_BLANK = 46.0, 84.0  # a spool set apart from a nozzle that is off, or that carries a test blank
STICKS_OUT = 76.0  # handle of a spade beyond the flange
BOLT = 16.0  # bolt end beyond a test blank


@dataclass(frozen=True, slots=True)
class Closing:
    """What closes one nozzle.

    spade: the process blind that is in. spool: there is a spool with the spade's place at its far end. blank: the test blind that is in.
    off: the part that carries the nozzle is off; a spool stays where it is then, and the blank goes with the part.
    """

    spade: Blind | None = None
    spool: bool = False
    blank: Blind | None = None
    off: bool = False

    @property
    def lift(self) -> float:
        """How far the spool is set apart from the nozzle's face, mm."""
        return OVER_BLANK if self.blank and not self.off else LIFT if self.off else 0.0

    @property
    def stays(self) -> Blind | None:
        """The process blind that is to be seen: on a spool always, at the nozzle while the part is in."""
        return self.spade if self.spool or not self.off else None

    @property
    def reach(self) -> float:
        """How far all of it stands out beyond the nozzle's face, mm."""
        leaf = leaf_of(self.spade) if self.spade else 0.0
        if self.spool:
            return self.lift + 2 * RING + BARREL + leaf + RING
        if self.stays:
            return leaf + RING
        return BLANK + BOLT if self.blank else 0.0

    @property
    def leaf_at(self) -> float:
        """From the nozzle's face to the middle of the spade, mm."""
        start = self.lift + 2 * RING + BARREL if self.spool else 0.0
        return start + (leaf_of(self.spade) if self.spade else 0.0) / 2


def far_end(blind: Blind) -> bool:
    """A process blind that sits at the far end of a spool, and not on the nozzle itself."""
    return blind.use == "process" and blind.at == "far end"


def leaf_of(blind: Blind) -> float:
    """Thickness of a spade as drawn, mm."""
    return max(mm(blind.thickness, LEAF), LEAF)


def spool(p: Placed, base: float) -> list[Shape]:
    """A short flanged pipe on the nozzle, from `base` mm off the axis outward."""
    s, top = p.way, base + RING + BARREL
    shapes = [*_flange(p, base), *_flange(p, top)]
    walls = [rect("wall", p.x + d * p.half, s * (base + RING), p.x + d * (p.half - WALL), s * top) for d in (1, -1)]
    return shapes + walls


def spade(p: Placed, base: float, leaf: float, side: int) -> list[Shape]:
    """The leaf of a spade from `base` mm off the axis, its handle to the rear (side 1) or to the front (-1)."""
    s, out = p.way, p.rim + STICKS_OUT
    return [
        rect("ink", p.x - p.rim + 14, s * base, p.x + p.rim - 14, s * (base + leaf)),
        rect("ink", p.x + side * (p.rim - 16), s * (base + leaf * 0.2), p.x + side * (out - 34), s * (base + leaf * 0.8)),
        rect("metal", p.x + side * (out - 36), s * (base - 8), p.x + side * out, s * (base + leaf + 8)),
    ]


def line_flange(p: Placed, base: float) -> list[Shape]:
    """The flange of the line that holds the spade against the nozzle or its spool."""
    return _flange(p, base)


def blank(p: Placed) -> list[Shape]:
    """A test blank over the whole face, with its bolts."""
    s, face = p.way, p.end
    disc = rect("ink", p.x - p.rim, s * face, p.x + p.rim, s * (face + BLANK))
    where = (p.x + d * (p.rim - 24) for d in (1, -1))
    bolts = [rect("ink", x - 11, s * (face - RING - BOLT * 2), x + 11, s * (face + BLANK + BOLT)) for x in where]
    return [disc, *bolts]


def _flange(p: Placed, base: float) -> list[Shape]:
    return [rect("metal", p.x + d * (p.half - WALL), p.way * base, p.x + d * p.rim, p.way * (base + RING)) for d in (1, -1)]
