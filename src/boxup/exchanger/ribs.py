"""Gasket ribs: how many there are at each end, and where they lie in the ring.

Everything is seen from the front, looking to the rear. The front gaskets are drawn as somebody sees them who stands before the channel;
the rear gasket seen from the rear is the mirror image (`mirrored`), with 12 o'clock in its place.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import sqrt
from typing import Any

from boxup.core.calculation import Answer, calculation, number, word
from boxup.core.finding import Missing
from boxup.core.quantity import Quantity
from boxup.core.source import Cite
from boxup.core.working import CannotWork, Step, Working
from boxup.exchanger.layout import Layout, Tube, layout_of
from boxup.exchanger.model import Exchanger
from boxup.exchanger.passes import (
    LAYOUTS,
    MOST_PASSES,
    End,
    Grid,
    Rib,
    Way,
    chambers,
    ribs,
    survives_half_turn,
    usual_layout,
    why_not,
    zones,
)  # fmt: skip
from boxup.reference.load import source

SEEN = "seen from the front, looking to the rear"
_PRACTICE = source("trade")
_GEOMETRY = source("geometry")
_UNCAUGHT = (
    "Half a turn of the bundle or of a gasket would not be caught by the ribs: they fall on themselves. "
    "Mark 12 o'clock on tubesheet, flange and gasket, and check the way up by the impingement plate and the match mark."
)


@dataclass(frozen=True, slots=True)
class PassLayout:
    """Tube passes and how they lie."""

    passes: Quantity = number("n_p", "tube passes", "count", least=1, most=MOST_PASSES)
    layout: str = word("how the passes lie", LAYOUTS)
    tubes: str = word("straight tubes, or U-tubes (no rear chambers)", ("straight", "u"), default="straight")

    def problems(self) -> list[str]:
        n = self.passes.si
        if abs(n - round(n)) > 1e-9:
            return [f"passes: {self.passes.typed!r} is not a whole number; accepted: 1 to {MOST_PASSES}"]
        if wrong := why_not(round(n), self.layout):
            return [f"layout: {wrong}"]
        if self.tubes == "u" and round(n) % 2:
            return [f"tubes: U-tubes come back to the channel, so their passes are even, not {n:g}; accepted: 2, 4, 6 ..."]
        return []


@calculation("ribs", _PRACTICE, PassLayout, "front_count=n_front@count rear_count=n_rear@count")
def rib_pattern(w: Working, given: PassLayout) -> dict[str, tuple[Any, str]]:
    """The ribs of each end, and whether half a turn of bundle or gasket would go unnoticed."""
    w.take_in(given)
    passes, u_tubes = round(given.passes.si), given.tubes == "u"
    grid = zones(passes, given.layout)
    shared = {end: chambers(passes, end, u_tubes) for end in ("front", "rear")}
    found = {end: ribs(grid, shared[end]) for end in ("front", "rear")}
    for end in ("front", "rear"):
        method = f"boundaries between touching passes in different chambers {_said(shared[end])}: {_pieces(found[end])}; {SEEN}"
        cite = Cite(_PRACTICE, "passes that turn share a chamber")
        w.kernel(f"n_{end}", f"rib pieces, {end} end", len(found[end]), "count", method, cite, ("n_p",))
    turns = {end: survives_half_turn(grid, found[end]) for end in ("front", "rear")}
    both = turns["front"] and turns["rear"]
    if both and passes > 1:
        w.say("warn", _UNCAUGHT)
    same = {p.place for p in found["front"]} == {p.place for p in found["rear"]}
    lists: dict[str, tuple[Any, str]] = {end: ([list(p.between) for p in found[end]], "count") for end in ("front", "rear")}
    lists |= {f"{end}_chambers": ([list(c) for c in shared[end]], "count") for end in ("front", "rear")}
    lists |= {f"{end}_survives_half_turn": (turns[end], "-") for end in ("front", "rear")}
    return lists | {"survives_half_turn": (both, "-"), "same_front_as_rear": (same, "-")}


def _said(shared: tuple[tuple[int, ...], ...]) -> str:
    return " ".join("{" + ",".join(map(str, c)) + "}" for c in shared) or "none: the tubes turn in their bends"


def _pieces(found: tuple[Rib, ...]) -> str:
    return " ".join(map(str, found)) or "plain ring"


@dataclass(frozen=True, slots=True)
class RibLine:
    """One piece of rib, its centre line in mm from the centre of the ring, seen from the front (x right, y up)."""

    x1: float
    y1: float
    x2: float
    y2: float
    between: tuple[int, int]
    way: Way

    @property
    def length(self) -> float:
        """mm."""
        return abs(self.x2 - self.x1) + abs(self.y2 - self.y1)


def mirrored(lines: tuple[RibLine, ...]) -> tuple[RibLine, ...]:
    """The same ribs as somebody at the rear end sees them."""
    flat = (RibLine(-r.x2, r.y1, -r.x1, r.y2, r.between, r.way) for r in lines)
    return tuple(flat)


def falls_on_itself(lines: tuple[RibLine, ...], tolerance: float = 1.5) -> bool:
    """True when the ribs as they really lie fall on themselves after half a turn, within `tolerance` mm (common practice: 1.5)."""

    def near(a: RibLine, b: RibLine) -> bool:
        ends = (-a.x2 - b.x1, -a.y2 - b.y1, -a.x1 - b.x2, -a.y1 - b.y2)
        return a.way == b.way and all(abs(d) <= tolerance for d in ends)

    return all(any(near(a, b) for b in lines) for a in lines)


def grid_of(exchanger: Exchanger) -> Grid | Missing:
    """Where the passes of this exchanger lie."""
    t = exchanger.tubes
    if t.passes is None:
        return Missing("pass layout", "give the number of tube passes in [tubes]")
    passes = round(t.passes.si)
    layout = t.layout or usual_layout(passes, exchanger.letters.rear == "U")
    wrong = why_not(passes, layout)
    return Missing("pass layout", wrong) if wrong else zones(passes, layout)


def ribs_of(exchanger: Exchanger, end: End) -> tuple[Rib, ...] | Missing:
    """The ribs of that end, without their places in mm."""
    grid = grid_of(exchanger)
    if isinstance(grid, Missing):
        return grid
    passes = max(p for row in grid for p in row)
    return ribs(grid, chambers(passes, end, exchanger.letters.rear == "U"))


def rib_lines(exchanger: Exchanger, end: End, inside: Quantity | None = None) -> tuple[RibLine, ...] | Missing:
    """Each rib of that end inside the gasket's inside diameter (`inside`, else the gasket of the joint that carries those ribs, else,
    where the plates end at no gasket, the bore of the channel).

    Places come from the tube rows on either side of each lane. Empty when the gasket is a plain ring.
    """
    got = _worked(exchanger, end, inside)
    return got if isinstance(got, Missing) else got[1]


def rib_length(exchanger: Exchanger, end: End, inside: Quantity | None = None) -> Answer | Missing:
    """The total length of rib inside the ring (answer `length`), with its working; 0 for a plain ring."""
    got = _worked(exchanger, end, inside)
    if isinstance(got, Missing):
        return got
    w, lines = got
    pieces = [((r.x1, r.y1), (r.x2, r.y2), r.between) for r in lines]
    return Answer(f"rib length, {end} end", w, {"length": w.steps["l_r"]}, {"lines": (pieces, "mm")}, {"length": "mm"})


def _worked(exchanger: Exchanger, end: End, inside: Quantity | None) -> tuple[Working, tuple[RibLine, ...]] | Missing:
    pieces, grid, layout = ribs_of(exchanger, end), grid_of(exchanger), layout_of(exchanger)
    if pieces == ():
        plain = Working(f"ribs, {end} end", _GEOMETRY)
        plain.step("l_r = 0*mm", "mm", "rib length", "plain ring: no passes to part at this end")
        return plain, ()
    name, inside = ("gasket inside diameter", inside) if inside else _inside(exchanger, end)
    if isinstance(pieces, Missing) or isinstance(grid, Missing) or isinstance(layout, Missing):
        return next(x for x in (pieces, grid, layout) if isinstance(x, Missing))
    if inside is None:
        return Missing(f"rib length, {end} end", "measure the inside diameter of the gasket, or give it as id in [gasket.*]")
    try:
        return _Lines(grid, layout, inside, end, name).work(pieces)
    except CannotWork as bad:
        return Missing(f"rib length, {end} end", f"the ribs do not fit the gasket ({bad}); check its inside diameter and the tube rows")


def _inside(exchanger: Exchanger, end: End) -> tuple[str, Quantity | None]:
    """What the ribs of that end reach to: the gasket that carries them, or the bore of a channel whose plates no gasket meets."""
    ribbed = [j for j in exchanger.joints if j.ribs_end == end]
    if not ribbed and end == "front":
        return "channel bore", exchanger.channel.inside_diameter
    return "gasket inside diameter", next((j.gasket.id_ for j in ribbed if j.gasket and j.gasket.id_), None)


class _Lines:
    """The ribs of one end, each in a part of its own."""

    def __init__(self, grid: Grid, layout: Layout, inside: Quantity, end: End, name: str) -> None:
        self.grid, self.layout = grid, layout
        self.w = Working(f"ribs, {end} end", _GEOMETRY)
        self.ring = self.w.given("G_i", name, inside, "mm")
        self.c2 = (inside.si * 500) ** 2

    def work(self, pieces: tuple[Rib, ...]) -> tuple[Working, tuple[RibLine, ...]]:
        lines = tuple(self._piece(p) for p in pieces)
        parts = list(self.w.parts)
        taken = [self.w.take(f"l_{i}", part.steps["l"], part.name).symbol for i, part in enumerate(parts, start=1)]
        self.w.step("l_r = " + " + ".join(taken), "mm", "rib length inside the ring", "centre lines")
        return self.w, lines

    def _piece(self, p: Rib) -> RibLine:
        part = self.w.part(f"rib {p}")
        part.take("G_i", self.ring)
        return self._flat(part, p) if p.way == "H" else self._upright(part, p)

    def _flat(self, part: Working, p: Rib) -> RibLine:
        a = self._level(part, "a", p.row)
        if len(self.grid[0]) == 1:
            part.step("l = 2*sqrt((G_i/2)**2 - a**2)", "mm", "chord", "circle")
            return RibLine(-self._chord(a), _mm(a), self._chord(a), _mm(a), p.between, "H")
        v = self._middle(part)
        if p.column == 0:
            part.step("l = sqrt((G_i/2)**2 - a**2) + v", "mm", "from the ring to the middle rib", "circle")
            return RibLine(-self._chord(a), _mm(a), _mm(v), _mm(a), p.between, "H")
        part.step("l = sqrt((G_i/2)**2 - a**2) - v", "mm", "from the middle rib to the ring", "circle")
        return RibLine(_mm(v), _mm(a), self._chord(a), _mm(a), p.between, "H")

    def _upright(self, part: Working, p: Rib) -> RibLine:
        v = self._middle(part)
        top = self._level(part, "a_1", p.row - 1) if p.row else None
        foot = self._level(part, "a_2", p.row) if p.row + 1 < len(self.grid) else None
        if top is None:
            line = "l = sqrt((G_i/2)**2 - v**2) - a_2"
        else:
            line = "l = a_1 - a_2" if foot else "l = a_1 + sqrt((G_i/2)**2 - v**2)"
        part.step(line, "mm", "upright rib", "circle")
        y1, y2 = _mm(top) if top else self._chord(v), _mm(foot) if foot else -self._chord(v)
        return RibLine(_mm(v), y1, _mm(v), y2, p.between, "V")

    def _chord(self, at: Step) -> float:
        return sqrt(max(self.c2 - _mm(at) ** 2, 0.0))

    def _level(self, part: Working, symbol: str, row: int) -> Step:
        """Middle of the lane under a row of passes."""
        above, below = self._row(row), self._row(row + 1)
        over = min((t.y for t in above), default=0.0)
        under = max((t.y for t in below), default=0.0)
        self._tubes(part, f"{symbol}_o", f"tube row over the lane ({SEEN})", over)
        self._tubes(part, f"{symbol}_u", "tube row under the lane", under)
        return part.step(f"{symbol} = ({symbol}_o + {symbol}_u)/2", "mm", "height of the rib", "middle of the lane")

    def _middle(self, part: Working) -> Step:
        left = max((t.x for t in self._column(0)), default=0.0)
        right = min((t.x for t in self._column(1)), default=0.0)
        self._tubes(part, "v_l", f"tube left of the middle lane ({SEEN})", left)
        self._tubes(part, "v_r", "tube right of the middle lane", right)
        return part.step("v = (v_l + v_r)/2", "mm", "upright rib, from the centre", "middle of the lane")

    def _tubes(self, part: Working, symbol: str, label: str, mm: float) -> None:
        part.kernel(symbol, label, mm / 1000, "mm", f"nearest tube centre; {self.layout.origin}", Cite(_GEOMETRY, "tube layout"))

    def _row(self, row: int) -> Iterator[Tube]:
        return (t for t in self.layout.tubes if t.tube_pass in self.grid[row])

    def _column(self, column: int) -> Iterator[Tube]:
        passes = {row[column] for row in self.grid}
        return (t for t in self.layout.tubes if t.tube_pass in passes)


def _mm(s: Step) -> float:
    return float(s.si) * 1000
