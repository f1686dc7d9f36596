"""What a file says of the way up of its bundle and cannot be true at once, with both facts. Where there is any, no pose is right."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from boxup.bundle.way_marks import WayMarks, hours_in, said_hours, said_pose
from boxup.exchanger.model import Exchanger

CANNOT = "cannot say which way up: the file contradicts itself"
_TOP = re.compile(r"\b(?:on|at the) top of the bundle\b", re.I)
_FOOT = re.compile(r"\b(?:under|below|beneath|at the bottom of) the bundle\b", re.I)
_LIES = {"up": "horizontal", "down": "horizontal", "left": "vertical", "right": "vertical"}


def contradictions(x: Exchanger, m: WayMarks) -> tuple[str, ...]:
    """Clauses without their full stops; none where the file agrees with itself."""
    level = x.identity.position == "horizontal"
    return (*_said_twice(x), *(_bars(m) if level else ()), *(_plates(x, m) if level else ()), *_cut(x))


def low(hours: Iterable[float]) -> list[float]:
    """Those below the middle of a bundle that lies level."""
    return [h for h in hours if 3 < h < 9]


def _said_twice(x: Exchanger) -> Iterator[str]:
    """A key, and the words beside it."""
    b = x.bundle
    pairs = ("bars_at", b.bars_at, "sliding_bars", b.sliding_bars), ("mark_at", b.mark_at, "match_mark", b.match_mark)
    for key, said, name, words in pairs:
        one, other = hours_in(key, said), hours_in(key, words, words=True)
        if one and other and {h % 12 for h in one} != {h % 12 for h in other}:
            yield f"{key} says {said_hours(one)} o'clock, and {name} says {said_hours(other)} o'clock"


def _bars(m: WayMarks) -> Iterator[str]:
    """Bars carry the bundle: they go down. Beside them what else the file says of its pose."""
    if not m.bars or low(m.bars):
        return
    other = said_pose(m, bars=False) or "nothing else in the file says which way up"
    bars = f"sliding bars at {said_hours(m.bars)} o'clock are not below the middle, and bars carry the bundle"
    yield f"{bars}; the file has beside them: {other}"


def _plates(x: Exchanger, m: WayMarks) -> Iterator[str]:
    """The side of the bundle in words, and the clock position of the nozzle the plate faces."""
    words = x.bundle.impingement_plate
    for side, pattern, wrong in (("on top of", _TOP, lambda h: 3 <= h <= 9), ("under", _FOOT, lambda h: not 3 < h < 9)):
        for p in m.plates or ():
            if pattern.search(words) and wrong(p.clock):
                yield f"the impingement plate is {side} the bundle, and {p.nozzle}, which it faces, is at {p.clock:g} o'clock"


def _cut(x: Exchanger) -> Iterator[str]:
    b = x.baffles
    if b.first_cut and b.cut_direction and _LIES.get(b.first_cut) != b.cut_direction:
        yield f"first_cut says the first baffle is cut {b.first_cut}, and cut_direction says the cuts are {b.cut_direction}"
