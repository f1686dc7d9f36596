"""Where each tube hole is: from the rows of the file, else from a plain generator.

Millimetres from the centre of the tubesheet, seen from the front: x to the right, y up. Row 1 is the top row, column 1 the left one.
From the rear the picture is mirrored and the hole keeps its number.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Literal, NamedTuple

from boxup.core.finding import Finding, Missing
from boxup.exchanger.generate import Lattice, Placed, generate
from boxup.exchanger.model import Exchanger, TubeRow, Tubes
from boxup.exchanger.passes import usual_layout, why_not

Origin = Literal["rows of the file", "generated"]
USUAL_LANE = 19.05  # mm of clear lane and tube wall beside a pass plate, added to the tube diameter


class Tube(NamedTuple):
    """One hole: its number `row-col`, its place in mm seen from the front, its pass."""

    id: str
    row: int
    col: int
    x: float
    y: float
    tube_pass: int


@dataclass(frozen=True, slots=True)
class Layout:
    """All holes. `drawn` is the count the drawing or the plate gives: where it differs from the map, it is the truth."""

    tubes: tuple[Tube, ...]
    drawn: int | None
    origin: Origin
    findings: tuple[Finding, ...] = ()
    _by_id: dict[str, Tube] = field(default_factory=dict, init=False, repr=False, compare=False)

    @property
    def count(self) -> int:
        """Holes: the drawing's count, else those of the map."""
        return self.drawn if self.drawn is not None else len(self.tubes)

    @property
    def by_pass(self) -> dict[int, int]:
        """Holes of the map by pass."""
        return dict(sorted(Counter(t.tube_pass for t in self.tubes).items()))

    @property
    def imbalance(self) -> float:
        """(largest pass − smallest pass) / mean pass."""
        counts = list(self.by_pass.values())
        return (max(counts) - min(counts)) * len(counts) / sum(counts)

    def tube(self, id_: str) -> Tube:
        """One hole by its number; KeyError saying what that row has."""
        if not self._by_id:
            self._by_id.update((t.id, t) for t in self.tubes)
        if id_ not in self._by_id:
            raise KeyError(f"there is no hole {id_}: {self._row_has(id_)}")
        return self._by_id[id_]

    def _row_has(self, id_: str) -> str:
        row = id_.partition("-")[0]
        holes = sum(str(t.row) == row for t in self.tubes)
        rows = max(t.row for t in self.tubes)
        return f"row {row} has {holes} holes" if holes else f"rows run from 1 at the top to {rows}; a hole is written row-column, as 9-14"

    def from_rear(self) -> tuple[Tube, ...]:
        """The same holes as somebody at the rear end sees them: x changes its sign, the numbers stay."""
        return tuple(t._replace(x=-t.x) for t in self.tubes)


def layout_of(exchanger: Exchanger) -> Layout | Missing:
    """The tube layout of an exchanger, or what is missing for it."""
    return _layout(exchanger.tubes, exchanger.letters.rear == "U")


def u_pairs(layout: Layout, legs: tuple[str, ...]) -> list[tuple[str, ...]]:
    """Legs that stand straight across the centre line are taken as one U-tube; a leg without its other end stands alone."""
    left = list(legs)
    found: list[tuple[str, ...]] = []
    while left:
        one = layout.tube(left.pop(0))
        other = next((o for o in left if abs(layout.tube(o).x - one.x) < 1 and abs(layout.tube(o).y + one.y) < 1), None)
        if other:
            left.remove(other)
        found.append((one.id, other) if other else (one.id,))
    return found


@lru_cache(maxsize=256)
def _layout(t: Tubes, u_tubes: bool) -> Layout | Missing:
    lacks = _lacks(t)
    if lacks:
        return Missing("tube layout", f"give {', '.join(lacks)} in [tubes]" + ("" if t.rows else ", or the rows of holes"))
    drawn = int(t.count.si) if t.count else None
    lattice = Lattice(_mm(t.pitch), round(_si(t.pattern)))
    if t.rows:
        return _told(number(_from_rows(t, lattice)), drawn, "rows of the file")
    passes = round(_si(t.passes))
    layout = t.layout or usual_layout(passes)
    if wrong := why_not(passes, layout):
        return Missing("tube layout", wrong)
    lane = _mm(t.lane) if t.lane else _mm(t.od) + USUAL_LANE
    return _told(number(generate(lattice, _mm(t.od), _mm(t.outer_limit), passes, layout, lane, u_tubes)), drawn, "generated")


def _lacks(t: Tubes) -> list[str]:
    needed = {"pitch": t.pitch, "pattern": t.pattern}
    if not t.rows:
        needed |= {"od": t.od, "outer_limit": t.outer_limit, "passes": t.passes}
    return [name for name, q in needed.items() if q is None]


def _mm(q: object) -> float:
    return _si(q) * 1000


def _si(q: object) -> float:
    return q.si  # type: ignore[attr-defined,no-any-return]


def _from_rows(t: Tubes, lattice: Lattice) -> Iterable[Placed]:
    """Each row centred; where two entries share a height, they lie left and right of the middle lane."""
    levels: dict[float, list[TubeRow]] = {}
    for row in t.rows:
        levels.setdefault(round(_mm(row.y), 3), []).append(row)
    half_lane = (_mm(t.lane) if t.lane else lattice.pitch) / 2
    for y, entries in levels.items():
        if len(entries) == 1:
            only = entries[0]
            left = -lattice.across * (only.holes - 1) / 2
            yield from (Placed(left + i * lattice.across, y, only.tube_pass) for i in range(only.holes))
        else:
            left_row, right_row = entries[0], entries[1]
            yield from (Placed(-half_lane - i * lattice.across, y, left_row.tube_pass) for i in range(left_row.holes))
            yield from (Placed(half_lane + i * lattice.across, y, right_row.tube_pass) for i in range(right_row.holes))


def number(placed: Iterable[Placed]) -> tuple[Tube, ...]:
    """Number the holes: rows from the top, columns from the left, seen from the front."""
    tubes: list[Tube] = []
    row, col, last = 0, 0, float("inf")
    for x, y, tube_pass in sorted(placed, key=lambda p: (-round(p.y, 2), p.x)):
        if last - y > 0.05:
            row, col, last = row + 1, 0, y
        col += 1
        tubes.append(Tube(f"{row}-{col}", row, col, x, y, tube_pass))
    return tuple(tubes)


_SKETCH = ("No rows of holes in the file: the tube map is a plain layout of ours, a sketch. "
           "Find a tube by its place on the drawing or on the tubesheet, not by this map.")  # fmt: skip


def _told(tubes: tuple[Tube, ...], drawn: int | None, origin: Origin) -> Layout:
    """The layout with what must be said about it: a sketch of ours, and any difference from the drawing's count."""
    findings = [Finding("note", _SKETCH, "common practice")] if origin == "generated" else []
    if drawn is not None and drawn != len(tubes):
        map_, level = ("plain layout gives", "note") if origin == "generated" else ("rows of the file give", "warn")
        text = f"The {map_} {len(tubes)} holes, the drawing's count is {drawn} ({drawn - len(tubes):+d}). The drawing's count is used"
        text += "." if origin == "generated" else "; count the holes and mend the file."
        findings.append(Finding(level, text, "common practice"))  # type: ignore[arg-type]
    return Layout(tubes, drawn, origin, tuple(findings))
