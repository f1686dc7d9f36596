"""Pieces of an exchanger in mm: x from the inner face of the stationary tubesheet, rearward +; y up from the axis."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from math import asin, cos, pi, sin
from typing import Literal

from boxup.drawing.svg import Point

Kind = Literal["wall", "metal", "tube", "bare", "ink"]
# wall: cut through and thin, solid black; metal: cut through and thick, outlined; tube: two lines, or one where it is thin on paper;
# bare: outline only; ink: solid, without outline
Openings = list[tuple[float, float, int]]  # where a wall is cut through: from x, to x, side +1 up or -1 down
Step = tuple[str, float, float] | tuple[str, float, float, float, float, int, int]  # ("L", x, y) or ("A", x, y, rx, ry, large, sweep)


@dataclass(frozen=True, slots=True)
class Shape:
    """A closed outline: straight steps and elliptical arcs. Sweep is as SVG means it (1: clockwise on the sheet)."""

    kind: Kind
    steps: tuple[Step, ...]
    closed: bool = True

    @property
    def straight(self) -> bool:
        """A rectangle or another outline of four straight sides."""
        return len(self.steps) == 4 and all(len(s) == 3 for s in self.steps)


@dataclass(frozen=True, slots=True)
class Part:
    """What comes off in one piece. `shift`: how far it is set apart when it is off, mm."""

    name: str
    shapes: tuple[Shape, ...]
    shift: Point = (0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a joint is: the gap its gasket fills, the studs, and where its balloon's line ends."""

    joint: str
    x0: float
    x1: float
    ring: tuple[float, float]  # inner and outer radius of the gasket
    ribs: tuple[float, ...]  # heights of the level ribs
    bolts: tuple[float, float, float, float]  # radius of the circle, stud diameter, from x, to x (outer faces under the nuts)
    parts: frozenset[str]  # those that must be in for the joint to be closed
    top: float  # radius at which the balloon's line ends while it is
    held: tuple[str, float, float]  # while it is open: the part the line ends on, and where
    axis: float = 0.0  # height of the joint's own axis
    packed: bool = False  # packing, which is drawn with its part: no flat gasket
    tapped: bool = False  # its studs stand in the part in front: nuts on the rear only


@dataclass(slots=True)
class End:
    """One end of the exchanger: its parts, joints and the room inside."""

    parts: list[Part] = field(default_factory=list)
    spots: list[Spot] = field(default_factory=list)
    rooms: list[Room] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Room:
    """What is hatched when a side is under pressure. `under`: painted before the parts, which then stand clear in it."""

    side: str
    outline: tuple[Point, ...]
    under: bool = True
    part: str = ""  # where that part is off there is no room
    ring: str = ""  # there only while this test ring is on


def rect(kind: Kind, x0: float, y0: float, x1: float, y1: float) -> Shape:
    """A rectangle between two corners."""
    return poly(kind, (x0, y0), (x1, y0), (x1, y1), (x0, y1))


def poly(kind: Kind, *points: Point, closed: bool = True) -> Shape:
    """Straight lines through points."""
    return Shape(kind, tuple(("L", x, y) for x, y in points), closed)


def flipped(shape: Shape) -> Shape:
    """The same below the axis."""
    turned: list[Step] = [(s[0], s[1], -s[2]) if len(s) == 3 else (s[0], s[1], -s[2], s[3], s[4], s[5], 1 - s[6]) for s in shape.steps]
    return replace(shape, steps=tuple(turned))


def both(*shapes: Shape) -> tuple[Shape, ...]:
    """Each shape above the axis and below it."""
    return tuple(s for shape in shapes for s in (shape, flipped(shape)))


def moved(shape: Shape, dx: float, dy: float) -> Shape:
    """The shape set elsewhere."""
    steps: list[Step] = [(s[0], s[1] + dx, s[2] + dy) if len(s) == 3 else (s[0], s[1] + dx, s[2] + dy, *s[3:]) for s in shape.steps]
    return replace(shape, steps=tuple(steps))


def lifted(shapes: Sequence[Shape], dy: float) -> list[Shape]:
    """The shapes about an axis `dy` higher."""
    return [moved(s, 0.0, dy) for s in shapes] if dy else list(shapes)


def dome(x: float, r: float, wall: float, depth: float, way: int) -> Shape:
    """A domed end cut through, from its straight edge at x; inside radius r and depth; way +1 bulges rearward, -1 forward."""
    out, sweep = (r + wall, depth + wall), 1 if way > 0 else 0
    return Shape(
        "wall",
        (
            ("L", x, out[0]),
            ("A", x, -out[0], out[1], out[0], 0, sweep),
            ("L", x, -r),
            ("A", x, r, depth, r, 0, 1 - sweep),
        ),
    )


def dome_points(x: float, r: float, depth: float, way: int, n: int = 24) -> list[Point]:
    """The inside of a domed end from (x, r) to (x, -r)."""
    return [(x + way * depth * sin(pi * i / n), r * cos(pi * i / n)) for i in range(n + 1)]


def dome_reach(r: float, depth: float, y: float) -> float:
    """How deep the inside of the dome is at height y."""
    return depth * cos(asin(min(1.0, abs(y) / r)))


def box_points(x0: float, r: float, x1: float) -> list[Point]:
    """The outline of a cylinder's inside."""
    return [(x0, r), (x1, r), (x1, -r), (x0, -r)]


def barrel(x0: float, x1: float, r: float, wall: float, openings: Sequence[tuple[float, float, int]] = ()) -> list[Shape]:
    """A cylinder cut through, both walls, interrupted at `openings` (from x, to x, side +1 up or -1 down)."""
    found: list[Shape] = []
    for side in (1, -1):
        at = x0
        for a, b in sorted((max(a, x0), min(b, x1)) for a, b, s in openings if s == side):
            if b <= a:
                continue
            if a > at:
                found.append(rect("wall", at, side * r, a, side * (r + wall)))
            at = max(at, b)
        if x1 > at:
            found.append(rect("wall", at, side * r, x1, side * (r + wall)))
    return found


def necked(face: float, way: int, thick: float, inner: float, wall: float, outer: float, hub: float) -> Shape:
    """The upper half of a welding-neck flange: face at x = face, the neck on the side `way`."""
    back, end = face + way * thick, face + way * (thick + hub)
    rise = min(2.2 * wall, (outer - inner) * 0.55)
    return poly("metal", (face, inner), (face, outer), (back, outer), (back, inner + rise + wall * 0.4), (end, inner + wall), (end, inner))
