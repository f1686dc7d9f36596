"""Gaskets that are no flat ring: the ring of a ring joint, an O-ring, packing in a box. No tab but their section, and what tells them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from math import cos, pi, sin
from typing import Literal

from boxup.drawing.svg import GROUND, WORD, Point, Sheet
from boxup.exchanger.model import Gasket

Form = Literal["ring joint", "O-ring", "packing"]
_FORMS: tuple[tuple[Form, str], ...] = (
    ("ring joint", r"octagonal|oval|ring[ -]?(type )?joint|\brtj\b"),
    ("O-ring", r"\bo[ -]?ring"),
    ("packing", r"packing|braid"),
)
_NUMBERS = {"two": 2, "three": 3, "four": 4, "five": 5, "six": 6}
HALF = 26.0  # px, half the height of the section


def form_of(g: Gasket) -> Form | None:
    """The form its kind names; None for a flat gasket."""
    return next((form for form, words in _FORMS if re.search(words, g.kind, re.IGNORECASE)), None)


def rings_of(g: Gasket) -> int | None:
    """How many rings of packing, where its kind says so."""
    said = re.search(r"(\d+|" + "|".join(_NUMBERS) + r") rings", g.kind, re.IGNORECASE)
    return None if said is None else _NUMBERS.get(said[1].lower()) or int(said[1])


def draw_form(sheet: Sheet, g: Gasket, form: Form, at: Point, outer: float, wide: float) -> None:
    """The section of one ring inside its plan; of packing the cuts as well. outer, wide: of the plan, px."""
    if form == "packing":
        _cuts(sheet, at, outer, wide, rings_of(g) or 4)
    _section(sheet, form, at, g)
    sheet.words(at[0], at[1] + HALF + 26, "section, enlarged")


def _ratio(g: Gasket) -> float:
    """Width of its section over its height, where the file gives both."""
    if g.od is None or g.id_ is None or g.thickness is None:
        return 1.0
    return min(max((g.od.si - g.id_.si) / 2 / g.thickness.si, 0.4), 2.5)


def _section(sheet: Sheet, form: Form, at: Point, g: Gasket) -> None:
    (x, y), ratio = at, _ratio(g)
    if form == "O-ring":
        sheet.circle(at, HALF, "edge", "ink")
    elif form == "packing":
        count = min(rings_of(g) or 4, 6)
        side = HALF * 1.4
        for i in range(count):
            sheet.rect(x + (i - count / 2) * side, y - side / 2, side, side, "edge", "ground", r=3)
            sheet.words(x + (i + 0.5 - count / 2) * side, y + 6, str(i + 1))
    elif re.search("oval", g.kind, re.IGNORECASE):
        w = HALF * ratio
        sheet.rect(x - w, y - HALF, 2 * w, 2 * HALF, "edge", "ink", r=w)
    else:
        w, c = HALF * ratio, HALF * min(ratio, 1.0) * 0.5
        corners = ((c, 1), (1, c), (1, -c), (c, -1), (-c, -1), (-1, -c), (-1, c), (-c, 1))
        points = [(x + _part(a, w, c), y + _part(b, HALF, c)) for a, b in corners]
        sheet.run(points, "edge", "ink", close=True)


def _part(share: float, half: float, corner: float) -> float:
    """A corner of the octagon: at the half, or in from it by the slope."""
    return share * half if abs(share) == 1 else (half - corner) * (1 if share > 0 else -1)


def _cuts(sheet: Sheet, at: Point, outer: float, wide: float, count: int) -> None:
    """One slanting cut a ring, each turned on from the one before."""
    for i in range(count):
        turn = 2 * pi * i / max(count, 2)
        ends = ((outer + 2, -0.02), (outer - wide - 2, 0.02))
        a, b = ((at[0] + r * sin(turn + d), at[1] - r * cos(turn + d)) for r, d in ends)
        sheet.raw(f'<path d="M{a[0]:.1f},{a[1]:.1f}L{b[0]:.1f},{b[1]:.1f}" stroke="{GROUND}" stroke-width="5"/>')
        far = outer - wide - 22
        sheet.words(at[0] + far * sin(turn), at[1] - far * cos(turn) + WORD * 0.35, str(i + 1), bold=True)


def form_words(g: Gasket, form: Form) -> Iterator[str]:
    """What is looked at before it goes in."""
    if form == "ring joint":
        yield "Ring number as stamped on its outside; it must be the one stamped on the flanges. No tab, no ribs."
        yield "Used once; groove and ring without a mark across."
    elif form == "O-ring":
        yield "No tab, no ribs: cord and inside diameter measured, or read off its bag. Not twisted, not cut, greased as its maker says."
    else:
        count = rings_of(g)
        turn = 360 // count if count else 90
        yield f"{count or 'The'} rings, each cut on its own at a slant; cuts staggered, {turn}° from one ring to the next."
        yield "Each ring pressed home before the next. Count what came out."
