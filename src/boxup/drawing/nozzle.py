"""Nozzles, vents and drains, each on the part it belongs to."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import cos, pi

from boxup.drawing.frame import Frame, mm, pipe_across
from boxup.drawing.part import Shape, poly, rect
from boxup.drawing.svg import Point
from boxup.exchanger.model import Nozzle, Opening

NECK, FLANGE, STUB = 130.0, 38.0, 88.0  # mm as drawn: neck and flange of a nozzle, length of a small pipe
WALL = 9.0
UP, DOWN, NEAR, AWAY = 1, -1, 0, 2  # NEAR: on the side that is seen; AWAY: on the far side


@dataclass(frozen=True, slots=True)
class Placed:
    """A nozzle or a small opening on its part, mm; `way` is UP, DOWN, NEAR or AWAY."""

    id: str
    x: float
    radius: float  # of the part's outside there
    half: float  # half the neck's outside diameter
    way: int
    y: float
    part: str
    side: str
    small: bool

    @property
    def upright(self) -> bool:
        """Stands up or down, in the plane of the section."""
        return self.way in (UP, DOWN)

    @property
    def open_bore(self) -> bool:
        """A neck that the section cuts through."""
        return self.upright and not self.small

    @property
    def rim(self) -> float:
        """Half the flange's outside diameter; of a small pipe half its plug's."""
        return self.half + 10 if self.small else self.half * 1.22 + 34

    @property
    def end(self) -> float:
        """Distance of the outermost face from the axis."""
        return self.radius + (STUB if self.small else NECK + FLANGE)


def placed(f: Frame) -> list[Placed]:
    """All nozzles, vents and drains whose place the file gives, those on the far side first: what is near is painted over them."""
    found = [_nozzle(f, n) for n in f.exchanger.nozzles] + [_opening(f, o) for o in f.exchanger.openings]
    return sorted(_beside([p for p in found if p]), key=lambda p: p.way != AWAY)


def _beside(found: list[Placed]) -> Iterable[Placed]:
    """A nozzle on the far side that one on the near side would hide stands a little forward and below, so that its edge is seen."""
    near = [p for p in found if p.way == NEAR and not p.small]
    for p in found:
        hidden = p.way == AWAY and not p.small and any(abs(p.x - n.x) < n.rim and abs(p.y - n.y) < n.rim for n in near)
        yield replace(p, x=p.x - p.rim * 0.6, y=p.y - p.rim * 0.4) if hidden else p


def _way(clock: float) -> int:
    hour = clock % 12
    if hour <= 0.3 or hour >= 11.7:
        return UP
    if 5.7 <= hour <= 6.3:
        return DOWN
    return NEAR if hour < 6 else AWAY  # with the front end on the left, 3 o'clock faces whoever looks at the drawing


def _nozzle(f: Frame, n: Nozzle) -> Placed | None:
    if n.position is None or n.clock is None:
        return None
    x = n.position.to("mm")
    part, radius = _host(f, x, n.side)
    way, y = _way(n.clock.si), radius * cos(n.clock.si * pi / 6)
    return Placed(n.id, x, radius, pipe_across(n, f.bore * 0.3) / 2, way, y, part, n.side, small=False)


def _opening(f: Frame, o: Opening) -> Placed | None:
    if o.position is None or o.clock is None or o.kind not in ("vent", "drain"):
        return None
    x = o.position.to("mm")
    part, radius = _host(f, x, o.side)
    return Placed(o.id, x, radius, 17.0, _way(o.clock.si), radius * cos(o.clock.si * pi / 6), part, o.side, small=True)


def _host(f: Frame, x: float, side: str) -> tuple[str, float]:
    """The part a nozzle at x stands on, and that part's outside radius."""
    e = f.exchanger
    if x < -f.sheet:
        radius = mm(e.channel.inside_diameter, 2 * f.bore) / 2 + mm(e.channel.wall, f.wall * 1.2)
        return ("channel" if e.letters.front == "A" else "bonnet"), radius
    if side == "tube" and x > f.far and f.fixed:
        return "rear bonnet", mm(e.rear_head.inside_diameter, 2 * f.bore) / 2 + mm(e.rear_head.wall, f.wall * 1.2)
    if x > f.shell_end and e.letters.rear == "S":
        return "shell cover", mm(e.shell_cover.inside_diameter, 2 * (f.far_r + f.bore * 0.17)) / 2 + mm(e.shell_cover.wall, f.wall)
    return "shell", f.bore + f.wall


def opening_in_wall(p: Placed) -> list[tuple[float, float, int]]:
    """Where the wall is cut through by the neck's bore."""
    return [(p.x - p.half + WALL, p.x + p.half - WALL, p.way)] if p.open_bore else []


def neck(p: Placed) -> list[Shape]:
    """The neck and its flange in section."""
    if not p.open_bore:
        return []
    s, face = p.way, p.radius + NECK
    shapes: list[Shape] = []
    for side in (1, -1):
        shapes.append(rect("wall", p.x + side * p.half, s * (p.radius - 6), p.x + side * (p.half - WALL), s * face))
        shapes.append(rect("metal", p.x + side * (p.half - WALL), s * face, p.x + side * p.rim, s * (face + FLANGE)))
    return shapes


def pipe(p: Placed, is_open: bool) -> list[Shape]:
    """A small vent or drain: shut, with its cap in black, or open."""
    if not (p.small and p.upright):
        return []
    s, top = p.way, p.end
    shapes = [poly("bare", (p.x + side * p.half, s * p.radius), (p.x + side * p.half, s * top), closed=False) for side in (1, -1)]
    if not is_open:
        shapes.append(rect("ink", p.x - p.rim, s * (top - 10), p.x + p.rim, s * (top + 22)))
    return shapes


def room(p: Placed) -> list[Point]:
    """The bore of the neck, for hatching."""
    inside, a, b = p.half - WALL, p.way * (p.radius - 14), p.way * p.end
    return [(p.x - inside, a), (p.x - inside, b), (p.x + inside, b), (p.x + inside, a)]
