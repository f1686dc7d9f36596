"""A finger on the map of the tubesheet: the hole under it, those beside it, or its row where the holes lie too close for a finger."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import hypot

from boxup.exchanger.layout import Layout, Tube
from boxup.paper.html.element import Markup, el
from boxup.web.ask import Ask
from boxup.web.pages.tube_map import end_of, row_of

MANY = 12  # holes under one finger: more than that nobody picks from
WIDEST = 400.0  # mm that a finger covers on the steel; more is no finger
_AT = re.compile(r"(-?\d{1,5}(?:\.\d{1,3})?),(-?\d{1,5}(?:\.\d{1,3})?),(\d{1,5}(?:\.\d{1,3})?)")


@dataclass(frozen=True, slots=True)
class Tap:
    """The holes under a finger, the nearest first; `dense`: too many to pick one."""

    holes: tuple[Tube, ...]

    @property
    def dense(self) -> bool:
        return len(self.holes) > MANY


def tap_of(layout: Layout, text: str, od: float) -> Tap | None:
    """`x,y,r` in mm from the centre, seen from the front, r half a finger; None where that is no place. od: of a tube, mm.

    A finger narrower than a tube still finds the tube it lies on.
    """
    place = _AT.fullmatch(text)
    if place is None or (half := float(place[3])) > WIDEST:
        return None
    x, y = float(place[1]), float(place[2])
    apart = sorted((hypot(t.x - x, t.y - y), n) for n, t in enumerate(layout.tubes))
    return Tap(tuple(layout.tubes[n] for far, n in apart if far <= max(half, od / 2)))


def beside_part(ask: Ask, tap: Tap) -> Markup:
    """The other holes under the finger, as targets for a glove; nothing where there is one only."""
    if len(tap.holes) < 2:
        return Markup("")
    end = end_of(ask)
    way = 1 if end == "front" else -1
    others = sorted(tap.holes, key=lambda t: (t.row, way * t.x))
    links = [el("a", el("b", t.id), href=ask.link("tubes", tube=t.id, end=end), cls="here" if t is tap.holes[0] else "") for t in others]
    return el("nav", el("p", ask.w("tubes.beside", tube=tap.holes[0].id), cls="look"), el("div", links, cls="holes"))


def dense_part(ask: Ask, layout: Layout, tap: Tap) -> Markup:
    """The row of the nearest hole, that hole marked."""
    nearest = tap.holes[0]
    return el("div", el("p", ask.w("tubes.dense", tube=nearest.id), cls="look"), row_of(ask, layout, nearest.row, nearest.id))
