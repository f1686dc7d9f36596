"""Nozzles, vents and drains, each on the part it belongs to."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import cos, pi

from boxup.drawing.frame import Frame, mm, pipe_across
from boxup.drawing.part import Shape, poly, rect
from boxup.drawing.shell import roof
from boxup.drawing.svg import Point
from boxup.drawing.usual import Stand, usual_stands
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
    """All nozzles, vents and drains, those on the far side first: what is near is painted over them.

    Where the file does not say where one stands, it stands where it usually does on these letters; `usual_stands` says which those are.
    """
    usual = usual_stands(f)
    found = [_nozzle(f, n, _given(n) or usual.get(n.id)) for n in f.exchanger.nozzles]
    found += [_opening(f, o, _given(o) or usual.get(o.id)) for o in f.exchanger.openings]
    return sorted(_beside([p for p in found if p]), key=lambda p: p.way != AWAY)


def _beside(found: list[Placed]) -> Iterable[Placed]:
    """A nozzle on the far side that one on the near side would hide stands a little forward and below, so that its edge is seen."""
    near = [p for p in found if p.way == NEAR and not p.small]
    for p in found:
        hidden = p.way == AWAY and not p.small and any(abs(p.x - n.x) < n.rim and abs(p.y - n.y) < n.rim for n in near)
        yield replace(p, x=p.x - p.rim * 0.6, y=p.y - p.rim * 0.4) if hidden else p


def _given(item: Nozzle | Opening) -> Stand | None:
    if item.position is None or item.clock is None:
        return None
    return Stand(item.position.to("mm"), item.clock.si)


def _way(clock: float) -> int:
    hour = clock % 12
    if hour <= 0.3 or hour >= 11.7:
        return UP
    if 5.7 <= hour <= 6.3:
        return DOWN
    return NEAR if hour < 6 else AWAY  # with the front end on the left, 3 o'clock faces whoever looks at the drawing


def _nozzle(f: Frame, n: Nozzle, stand: Stand | None) -> Placed | None:
    if stand is None:
        return None
    across = pipe_across(n, f.bore * (0.62 if f.exchanger.letters.shell == "X" and n.side == "shell" else 0.3))
    return _at(f, n.id, n.side, stand, across / 2, small=False)


def _opening(f: Frame, o: Opening, stand: Stand | None) -> Placed | None:
    if stand is None or o.kind not in ("vent", "drain"):
        return None
    return _at(f, o.id, o.side, stand, 17.0, small=True)


def _at(f: Frame, id_: str, side: str, stand: Stand, half: float, *, small: bool) -> Placed:
    part, radius, up = _host(f, stand.x, side)
    way = _way(stand.clock)
    level = up + radius * cos(stand.clock * pi / 6)
    if small and way in (NEAR, AWAY):
        level = _off_plates(f, part, level)
    reach = roof(f, stand.x) + f.wall if part == "shell" and way == UP else radius + up * way if way in (UP, DOWN) else radius
    return Placed(id_, stand.x, reach, half, way, level, part, side, small=small)


def _off_plates(f: Frame, part: str, y: float) -> float:
    """The height at which a small pipe on the side is drawn: clear of the pass plate it stands close over or under, on its own side."""
    plates, room = (f.rear_plates if "rear" in part or part == "floating head" else f.front_plates), max(46.0, f.bore * 0.24)
    near = min(plates, key=lambda plate: abs(plate - y), default=None)
    if near is None or part == "shell" or abs(y - near) >= room:
        return y
    return near + (room if y > near else -room)


def _host(f: Frame, x: float, side: str) -> tuple[str, float, float]:
    """The part a nozzle at x stands on, that part's outside radius and the height of its axis."""
    e, rear = f.exchanger, f.exchanger.letters.rear
    if x < -f.sheet:
        radius = mm(e.channel.inside_diameter, 2 * f.bore) / 2 + mm(e.channel.wall, f.wall * 1.2)
        if e.letters.front == "D":
            radius = max(radius, f.bore * 1.12)
        return ("bonnet" if e.letters.front == "B" else "channel"), radius, 0.0
    if side == "tube" and x > f.far and rear in "LMNW":
        part = "rear channel" if rear in "LN" else "rear bonnet"
        return part, mm(e.rear_head.inside_diameter, 2 * f.bore) / 2 + mm(e.rear_head.wall, f.wall * 1.2), 0.0
    if x > f.shell_end and f.covered:
        usual = max(f.far_r + f.bore * 0.17, f.body) if rear == "S" else f.body
        return "shell cover", mm(e.shell_cover.inside_diameter, 2 * usual) / 2 + mm(e.shell_cover.wall, f.wall), f.up
    return "shell", f.body + f.wall, f.up


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
