"""What a bundle does that went in turned: plate, bars, notches, cut, long baffle, tube numbers, passes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import hypot

from boxup.bundle.way_against import low
from boxup.bundle.way_marks import WayMarks, inlets, said_hours
from boxup.core.finding import Missing
from boxup.exchanger.layout import Layout, Tube, numbered_layout
from boxup.exchanger.model import Exchanger

_SIDES = ("up", "right", "down", "left")  # clockwise, seen from the front
_OTHER = {"horizontal": "vertical", "vertical": "horizontal"}
HALF, QUARTERS = 180.0, (90.0, 270.0)


def harms(exchanger: Exchanger, marks: WayMarks, degrees: float) -> Iterator[str]:
    """Clauses, without their full stops, in the order of how much they hurt. Nothing where the file gives nothing that turns."""
    yield from _plates(marks, degrees)
    if exchanger.identity.position == "horizontal":
        yield from _bars(marks, degrees)
        yield from _notches(marks, degrees)
    yield from _cut(exchanger, marks, degrees)
    yield from _long_baffle(marks, degrees)
    yield from _passes(exchanger, degrees)


def turned(clock: float, degrees: float) -> float:
    """A clock position after the turn; 12, never 0."""
    return (clock + degrees / 30) % 12 or 12.0


def side_turned(side: str, degrees: float) -> str:
    """Up, right, down, left after quarters of a turn; "" for a turn between."""
    if degrees % 90 or side not in _SIDES:
        return ""
    return _SIDES[(_SIDES.index(side) + round(degrees / 90)) % 4]


def _plates(m: WayMarks, degrees: float) -> Iterator[str]:
    if not m.plates or _covered(m, degrees):
        return
    now = said_hours(turned(p.clock, degrees) for p in m.plates)
    names = " and ".join(p.nozzle for p in m.plates)
    what = "impingement plates stand" if len(m.plates) > 1 else "impingement plate stands"
    if degrees in (HALF, *QUARTERS):
        yield f"the {what} at {now} o'clock, away from {names}: the jet strikes bare tubes"
    else:
        yield f"the {what} {degrees:.3g} degrees off {names}: the jet strikes bare tubes beside it"


def _covered(m: WayMarks, degrees: float) -> bool:
    """Whether every inlet has a plate before it again, another's: plates at 12 and 6 of one place change over in half a turn."""
    places = {(p.clock % 12, p.position) for p in m.plates or ()}
    return {(turned(clock, degrees) % 12, at) for clock, at in places} == places and all(at is not None for _, at in places)


def _bars(m: WayMarks, degrees: float) -> Iterator[str]:
    if not m.bars:
        return
    now = [turned(h, degrees) for h in m.bars]
    below = low(now)
    if len(below) == len(now) or (any(h <= 6 for h in below) and any(h >= 6 for h in below)):
        return  # one on either side of the foot, of the same or of others
    where = "on top" if not below else "to one side"
    yield f"the bars are {where}, at {said_hours(now)} o'clock: the bundle rides on its baffle edges"


def _notches(m: WayMarks, degrees: float) -> Iterator[str]:
    if not m.notches or degrees not in (HALF, *QUARTERS):
        return
    was, now = {h % 12 for h in m.notches}, {turned(h, degrees) % 12 for h in m.notches}
    if 6.0 in was - now:
        yield "no notch is at the bottom: liquid stands between the baffles"
    if 0.0 in was - now:
        yield "no notch is at the top: air and vapour stay between the baffles"


def _cut(x: Exchanger, m: WayMarks, degrees: float) -> Iterator[str]:
    if degrees in QUARTERS and m.cut_direction:
        now = _OTHER[m.cut_direction]
        held = ("every baffle is a dam: condensate stands behind it, air under it" if now == "horizontal"
                else "the flow swings from side to side, and the end spaces are crossed past the nozzles")  # fmt: skip
        yield f"the baffle cut is {now}: {held}"
    elif degrees == HALF and m.first_cut:
        now = side_turned(m.first_cut, degrees)
        facing = _facing(x, now)
        slips = f": it faces {facing}, and the flow slips past the first space" if facing else ""
        yield f"the first baffle is cut {now}, not {m.first_cut}{slips}"
    if degrees in QUARTERS and m.pattern in (30, 60):
        where = "the flow" if x.letters.shell in "XK" else "the flow under the nozzles"
        yield f"the {m.pattern} degree pattern meets {where} as {90 - m.pattern}"


def _facing(x: Exchanger, side: str) -> str:
    """The first shell inlet on that side, before the first baffle; "" where there is none."""
    hour = {"up": 12.0, "right": 3.0, "down": 6.0, "left": 9.0}.get(side)
    first = x.baffles.first_position
    near = [n.id for n in inlets(x) if n.clock and n.clock.si == hour and n.position and first and n.position.si < first.si]
    return near[0] if near else ""


def _long_baffle(m: WayMarks, degrees: float) -> Iterator[str]:
    if m.long_baffle and degrees in QUARTERS:
        yield f"the baffle along the bundle is {_OTHER[m.long_baffle]}: the flow of the shell runs past it from inlet to outlet"


def _passes(x: Exchanger, degrees: float) -> Iterator[str]:
    if x.letters.front in "CD" and degrees == HALF and len([n for n in x.nozzles if n.side == "tube"]) > 1:
        yield "the channel turns with it: the inlet spool meets the outlet nozzle, and the passes run the other way"
    layout = numbered_layout(x)
    if isinstance(layout, Missing) or degrees != HALF:
        return
    yield from _numbers(x, layout)


def _numbers(x: Exchanger, layout: Layout) -> Iterator[str]:
    """Counts by pass and the tube numbers after half a turn."""
    passes = sorted(layout.by_pass)
    counts, now = ([of[p] for p in passes] for of in (layout.by_pass, turned_counts(layout)))
    if counts != now:
        yield f"the holes by pass are {' / '.join(map(str, now))}, not {' / '.join(map(str, counts))}"
    if x.plugged:
        one = x.plugged[0]
        where = half_turned(layout, one)
        if where and where != one:
            yield f"the tube numbers of the plug map are others: {one} stands where {where} was"


def turned_counts(layout: Layout) -> dict[int, int]:
    """Holes by pass of the channel after half a turn of the bundle: each hole counts to the pass of the hole nearest to its new place."""
    tubes, at = layout.tubes, {(round(t.x), round(t.y)): t.tube_pass for t in layout.tubes}
    found = dict.fromkeys(layout.by_pass, 0)
    for t in tubes:
        there = (at.get((round(-t.x) + a, round(-t.y) + b)) for a in (0, -1, 1) for b in (0, -1, 1))
        found[next(filter(None, there), 0) or _nearest(tubes, -t.x, -t.y).tube_pass] += 1
    return found


def _nearest(tubes: Sequence[Tube], x: float, y: float) -> Tube:
    return min(tubes, key=lambda t: hypot(t.x - x, t.y - y))


def half_turned(layout: Layout, id_: str) -> str:
    """The hole that stands, after half a turn, where that one was; "" where there is none."""
    try:
        t = layout.tube(id_)
    except KeyError:
        return ""
    return next((o.id for o in layout.tubes if abs(o.x + t.x) < 1 and abs(o.y + t.y) < 1), "")
