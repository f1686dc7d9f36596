"""Numbers of nozzles, vents, drains and blinds, names of test rings, each beside its own and on nothing else."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import hypot

from boxup.drawing import nozzle as noz
from boxup.drawing.assembly import Assembly, Stretch, shifted
from boxup.drawing.blind import BLANK, BOLT, RING, STICKS_OUT, Closing
from boxup.drawing.half import Half
from boxup.drawing.mouth import LEAST, apart, least
from boxup.drawing.place import Box, Ground, Place
from boxup.drawing.svg import Point, Sheet
from boxup.exchanger.model import Blind

AROUND = ((1, -1), (-1, -1), (1, 1), (-1, 1), (0.4, 1), (-0.4, 1), (0.4, -1), (-0.4, -1), (1.6, 0.4), (-1.6, 0.4))


LONGEST = 90.0  # px, from a small pipe on the side to its number: a longer line would run across what is nothing to it


@dataclass(frozen=True, slots=True)
class Wanted:
    """One thing to be named. `words`: what to write, the fullest first; the last stands for it where there was no room."""

    words: tuple[str, ...]
    places: tuple[Place, ...]
    tip: Point
    bold: bool = False
    clear: bool = False
    first: int = 1  # the order in which room is given


def label(a: Assembly, stretch: Stretch, half: Half, sheet: Sheet, ground: Ground) -> list[str]:
    """Write them all; gives those no place was found for. Of one on the side whose part is off there is nothing to see, so no number."""
    wanted = [w for item in stretch.items for w in _of(a, item, half)] + list(_rings(a, stretch, half))
    without = []
    for w in sorted(wanted, key=lambda w: w.first):
        if not any(ground.write(sheet, t, w.places, tip=w.tip, bold=w.bold, clear=w.clear) for t in w.words):
            without.append(w.words[-1])
    return without


def cover(a: Assembly, stretch: Stretch, half: Half, ground: Ground) -> None:
    """Take the ground of all nozzles of a half view with what closes them: for every half view, before any is labelled."""
    for item in stretch.items:
        ground.take(*_taken(a, item, half))


def _of(a: Assembly, item: noz.Placed, half: Half) -> Iterator[Wanted]:
    """What is to be named at one nozzle, vent or drain."""
    p, c, gone = shifted(item, a.shift_of(item.part)), a.closing(item), item.part in a.off
    is_open = p.id in a.view.open and not gone
    if (a.view.balloons or is_open) and (p.upright or not gone):
        words = (f"{p.id} open", p.id) if is_open else (p.id,)
        small_and_open = 14 * p.way if is_open and p.small else 0
        yield Wanted(
            words, tuple(_places(p, half, c, small_and_open)), _tip(p, half), clear=not p.upright or p.small, first=2 if is_open else 3
        )
    for blind in (c.stays, c.blank):
        if blind and (p.upright or not gone or (blind is c.stays and c.spool)):
            yield _blind(a, item, half, blind, c)


def _blind(a: Assembly, item: noz.Placed, half: Half, blind: Blind, c: Closing) -> Wanted:
    """The number of a blind: at the end of its handle, or beside its disc."""
    first, spade = 0 if blind.id in a.named() else 1, blind is c.stays
    s = item.way
    if not item.upright:
        return _blind_on_end(item, half, blind, c, first)
    if spade:
        side, level = a.handle(item), half.y(s * (item.end + c.leaf_at))
        end = half.x(item.x + side * (item.rim + STICKS_OUT))
        anchor = "start" if side > 0 else "end"
        flat = [Place(end + 6 * side, level + 6 + dy, anchor) for dy in (0, -10, 10)]
        top = half.y(s * (item.end + c.reach))
        rest = [Place(half.x(item.x), top + (-6 if s > 0 else 20)), Place(end, level + (-14 if s > 0 else 26)), *_off(end, level + 6, s)]
        return Wanted((blind.id,), (*flat, *rest), (end, level), True, False, first)
    p = shifted(item, a.shift_of(item.part))
    x, rim, level = half.x(p.x), p.rim * half.scale, half.y(s * (p.end + BLANK / 2))
    top = half.y(s * (p.end + BLANK + BOLT)) + (-5 if s > 0 else 19)
    beside = [Place(x + d * (rim + 6), level + 6 + dy, "start" if d > 0 else "end") for dy in (0, 12 * s, -8 * s) for d in (1, -1)]
    over = [] if c.spool and not c.off else [Place(x, top)]
    far = [replace(q, tip=(x + d * rim, level)) for d in (1, -1) for q in _off(x + d * (rim + 20), level + 6, s)]
    return Wanted((blind.id,), (*beside, *over, *far), (x + rim, level), True, True, first)


def _blind_on_end(item: noz.Placed, half: Half, blind: Blind, c: Closing, first: int) -> Wanted:
    spade, near = blind is c.stays, item.way == noz.NEAR
    x, y = half.at(apart(item, c) if spade else (item.x, item.y))
    r = least(item, half)
    if not near:  # its edge is seen on the left
        edge = (x - r * 0.94, y + r * 0.34)
        beside = [
            Place(x + dx, y + dy, m)
            for dx, dy, m in ((-r - 5, 8, "end"), (-r - 5, 26, "end"), (-r * 0.5, r + 19, "end"), (0, r + 19, "middle"))
        ]
        out = [
            Place(edge[0] + dx, edge[1] + dy, far=True, tip=edge)
            for dy in (24, -24, 44, -44, 64, 84, 106, 128, 150)
            for dx in (0, -30, -54, 30, 54)
        ]
        return Wanted((blind.id,), (*beside, *out), edge, True, True, first)
    if spade:
        top = y - r - STICKS_OUT * half.scale
        beside = [Place(x + d * 16, top + 12, m) for d, m in ((1, "start"), (-1, "end"))]
        return Wanted((blind.id,), (Place(x, top - 8), *beside, *_round(x, y, r)), (x, top), True, True, first)
    places = [q for q in _round(x, y, r) if q.y > y or not c.spool]  # the spool stands over its upper half
    return Wanted((blind.id,), tuple(places), (x, y), True, True, first)


def _off(x: float, y: float, s: int) -> list[Place]:
    """Farther off, with a line."""
    near = [Place(x + dx, y - dy * s, far=True) for dy in (26, 40, -26, 56) for dx in (0, 24, -24, 44, -44)]
    return near + [Place(x + dx, y - dy * s, far=True) for dy in (-40, -56, -76, 76, 96) for dx in (0, 30, -30, 60, -60)]


def _rings(a: Assembly, stretch: Stretch, half: Half) -> Iterator[Wanted]:
    """The test rings that are on, by name, over the ring or under it."""
    for name in sorted(a.view.rings):
        boxes = [half.box(s) for part in stretch.end.parts if part.name == name for s in part.shapes if s.kind == "metal"]
        if not boxes:
            continue
        highest = min(boxes, key=lambda b: b.top)
        x, top, foot = (highest.left + highest.right) / 2, highest.top, max(b.bottom for b in boxes)
        where = name.split()[0]
        spots = [(dx, out, anchor) for out in (12, 24, 36, 48, 62) for dx in (0, 20, -20, 44, -44) for anchor in ("middle", "start", "end")]
        over = [Place(x + dx, top - out, anchor, far=True, tip=(x, top)) for dx, out, anchor in spots]
        under = [Place(x + dx, foot + out + 14, anchor, far=True, tip=(x, foot)) for dx, out, anchor in spots]
        yield Wanted((f"{where} test ring", f"{where} ring"), (*over, *under), (x, top), first=4 if a.view.balloons else 2)


def _round(x: float, y: float, r: float) -> list[Place]:
    """Round a circle, near it and then farther off with a line."""
    near = [Place(x + r + 5, y + 6, "start"), Place(x - r - 5, y + 6, "end"), Place(x, y - r - 5), Place(x, y + r + 19)]
    rim = 0.7 * r if r > 2 * LEAST else 0.0
    out = [(far, a, b) for far in (24.0, 36.0, 50.0, 64.0, 84.0, 104.0, 128.0, 156.0) for a, b in AROUND]
    on = {a: max(-1.25, min(a, 1.25)) for a, _ in AROUND}  # the line ends on what it names, not beside it
    far = [Place(x + a * (rim + n * 1.2), y + 6 + b * (rim + n), far=True, tip=(x + on[a] * rim, y + b * rim)) for n, a, b in out]
    return near + far


def _tip(p: noz.Placed, half: Half) -> Point:
    """Where a line from a number ends."""
    if not p.upright:
        x, y = half.at((p.x, p.y))
        return (x - p.rim * half.scale * 0.92, y) if p.way == noz.AWAY and not p.small else (x, y)
    return half.x(p.x), half.y(p.way * (p.end + (24 if p.small else 0)))


def _taken(a: Assembly, item: noz.Placed, half: Half) -> Iterator[Box]:
    """What the nozzle itself covers and what closes it, px."""
    p, c = shifted(item, a.shift_of(item.part)), a.closing(item)
    if not p.upright:
        if item.part not in a.off:
            yield _disc(*half.at((p.x, p.y)), least(p, half))
        if c.stays and item.way == noz.NEAR:
            x, y = half.at(apart(item, c))
            yield _disc(x, y, least(item, half))
            yield Box(x - 8, y - (item.rim + STICKS_OUT) * half.scale - 4, x + 8, y)
        return
    s = p.way
    yield _between(half, p.x - p.half, p.x + p.half, s * p.radius, s * p.end)
    if p.small:
        yield _between(half, p.x - p.rim, p.x + p.rim, s * (p.end - 12), s * (p.end + 24))
        if p.id in a.view.open and item.part not in a.off:
            x, y = half.x(p.x), half.y(s * p.end)
            yield Box(x - 11, min(y, y - 20 * s), x + 11, max(y, y - 20 * s))
        return
    behind = RING + 2 * BOLT + 8 if c.blank else noz.FLANGE + 10  # the bolts of a blank come out behind the flange
    yield _between(half, p.x - p.rim, p.x + p.rim, s * (p.end - behind), s * p.end)
    if c.blank:
        yield _between(half, p.x - p.rim, p.x + p.rim, s * p.end, s * (p.end + BLANK + BOLT))
    if c.spool or c.stays:
        yield _between(half, item.x - item.rim, item.x + item.rim, s * (item.end + c.lift), s * (item.end + c.reach))
    if c.stays:
        ends = sorted((item.x, item.x + a.handle(item) * (item.rim + STICKS_OUT)))
        yield _between(half, ends[0], ends[1], s * (item.end + c.leaf_at - 22), s * (item.end + c.leaf_at + 22))


def _between(half: Half, x0: float, x1: float, y0: float, y1: float) -> Box:
    high, low = sorted((half.y(y0), half.y(y1)))
    return Box(half.x(x0), high, half.x(x1), low)


def _disc(x: float, y: float, r: float) -> Box:
    return Box(x - r, y - r, x + r, y + r)


def _places(p: noz.Placed, half: Half, c: Closing, outward: float) -> list[Place]:
    """Where the number of a nozzle or small pipe may stand, best first. outward: px kept clear for what runs out of it."""
    if not p.upright:
        x, y = half.at((p.x, p.y))
        return [q for q in _round(x, y, least(p, half)) if not p.small or not q.far or hypot(q.x - x, q.y - y) <= LONGEST]
    s = p.way
    tip = half.y(s * (p.end + (26 if p.small else 0) + c.reach))
    over = tip + (-6 if s > 0 else 19) - outward
    x, wide = half.x(p.x), p.rim * half.scale
    side = wide + 6 if p.small else p.half * half.scale + 6
    beside = half.y(s * (p.end - (30 if p.small else noz.FLANGE + 40))) + 6
    far = (
        [Place(x + dx, over - dy * s, "middle", far=True) for dy in (22, 40, 58, 4) for dx in (0, -16, 16, -32, 32, -50, 50, -72, 72)]
        if p.small
        else []
    )
    return [
        Place(x, over), Place(x - side, beside, "end"), Place(x + side, beside, "start"), Place(x - wide, over, "start"),
        Place(x + wide, over, "end"), Place(x - wide - 6, tip + 8 * s, "end"), Place(x + wide + 6, tip + 8 * s, "start"),
        Place(x, over - 20 * s), Place(x - wide - 6, over, "end"), Place(x + wide + 6, over, "start"),
        Place(x - wide - 6, beside - 12 * s, "end"), Place(x + wide + 6, beside - 12 * s, "start"), *far,
    ]  # fmt: skip
