"""Where each tube hole is: from the rows of the file, else from a plain generator. What the file says wins; the difference is told.

Millimetres from the centre of the tubesheet, seen from the front: x to the right, y up. Row 1 is the top row, column 1 the left one.
From the rear the picture is mirrored and the hole keeps its number.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Literal, NamedTuple

from boxup.core.finding import Finding, Missing
from boxup.core.quantity import BadValue, quantity
from boxup.exchanger.bends import partners
from boxup.exchanger.generate import generate
from boxup.exchanger.lattice import ANGLES, Lattice, NoLayout, Placed
from boxup.exchanger.model import Exchanger, Nozzle, TubeRow, Tubes
from boxup.exchanger.passes import usual_layout
from boxup.exchanger.taken import Inlet, Left, Obstacles, take_away

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
    rods: tuple[Placed, ...] = ()  # where a plain layout of ours puts the tie rods
    beside: tuple[Finding, ...] = ()  # how the file's own holes differ from a plain layout: a look at the map, no doubt about a number
    _by_id: dict[str, Tube] = field(default_factory=dict, init=False, repr=False, compare=False)

    @property
    def count(self) -> int:
        """Holes: the drawing's count, else those of the map."""
        return self.drawn if self.drawn is not None else len(self.tubes)

    @property
    def numbered(self) -> bool:
        """Whether its hole numbers are those of this tubesheet: not where a plain layout of ours has another count than the drawing."""
        return self.origin != "generated" or self.drawn in (None, len(self.tubes))

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
    return _layout(exchanger.tubes, exchanger.letters.rear == "U", _obstacles(exchanger))


def numbered_layout(exchanger: Exchanger) -> Layout | Missing:
    """The layout where somebody is sent to a hole by its number; Missing where ours has another count of holes than the drawing."""
    layout = layout_of(exchanger)
    if isinstance(layout, Missing) or layout.numbered:
        return layout
    return Missing("numbers of the tube holes", f"{_other_sheet(layout.tubes, layout.drawn)} {_NO_NUMBERS}")


def u_pairs(layout: Layout, legs: tuple[str, ...]) -> list[tuple[str, ...]]:
    """Legs that face each other across the lane of their bend are one U-tube; a leg without its other end stands alone."""
    other = partners(layout.tubes)
    left = list(legs)
    found: list[tuple[str, ...]] = []
    while left:
        one = layout.tube(left.pop(0))
        its = other.get(one)
        if its and its.id in left:
            left.remove(its.id)
            found.append((one.id, its.id))
        else:
            found.append((one.id,))
    return found


def _obstacles(x: Exchanger) -> Obstacles:
    """What a plain layout must leave room for: tie rods, and an impingement plate under each shell inlet."""
    if x.tubes.rows:
        return Obstacles()
    bore = x.shell.port_diameter if x.letters.shell == "K" else x.shell.inside_diameter
    plate = bool(x.bundle.impingement_plate) or bool(x.bundle.impingement_mass and x.bundle.impingement_mass.si)
    inlets = tuple(i for n in x.nozzles if (i := _inlet(n))) if bore and plate else ()
    return Obstacles(_mm(bore) if bore else 0.0, int(x.bundle.tie_rods.si) if x.bundle.tie_rods else 0, inlets)


def _inlet(n: Nozzle) -> Inlet | None:
    """A shell inlet whose clock position and size are known; the nominal size stands for its bore."""
    if n.side != "shell" or "inlet" not in n.duty or n.clock is None:
        return None
    try:
        return Inlet(n.id, n.clock.si, quantity(n.size, "mm").to("mm"))
    except BadValue:
        return None


@lru_cache(maxsize=256)
def _layout(t: Tubes, u_tubes: bool, obstacles: Obstacles) -> Layout | Missing:
    lacks = _lacks(t)
    if lacks:
        return Missing("tube layout", f"give {', '.join(lacks)} in [tubes]" + ("" if t.rows else ", or the rows of holes"))
    if (angle := round(_si(t.pattern))) not in ANGLES:
        return Missing("tube layout", f"pattern angle {angle}; accepted: {', '.join(map(str, ANGLES))}")
    lattice = Lattice(_mm(t.pitch), angle)
    drawn = int(t.count.si) if t.count else None
    try:
        plain = _plain(t, lattice, u_tubes) if not _lacks(replace(t, rows=())) else None
    except NoLayout as bad:
        if not t.rows:
            return Missing("tube layout", str(bad))
        plain = None
    if t.rows:
        return _told_rows(number(_from_rows(t, lattice)), drawn, plain)
    assert plain is not None, "nothing lacks"
    return _told_sketch(take_away(plain, _mm(t.od), obstacles, u_tubes), drawn)


def _plain(t: Tubes, lattice: Lattice, u_tubes: bool) -> list[Placed]:
    """The plain layout of the same tubes. Raises NoLayout."""
    passes = round(_si(t.passes))
    lane = _mm(t.lane) if t.lane else max(_mm(t.od) + USUAL_LANE, lattice.pitch)
    layout = t.layout or usual_layout(passes, u_tubes)
    return generate(lattice, _mm(t.od), _mm(t.outer_limit), passes, layout, lane, u_tubes)


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
_NO_NUMBERS = "Give the rows of holes in [tubes]; until then name a tube by its row and hole on the drawing or the tubesheet."
_PRACTICE = "common practice"


def _other_sheet(tubes: tuple[Tube, ...], drawn: int | None) -> str:
    found, told = len(tubes), drawn or 0
    return (f"A plain layout of ours has {found} holes and the file counts {told} ({told - found:+d}): it is another tubesheet, "
            "so no hole of it is shown or numbered.")  # fmt: skip


def _told_rows(tubes: tuple[Tube, ...], drawn: int | None, plain: list[Placed] | None) -> Layout:
    """The file's own holes; its count, where it differs, is the truth."""
    findings, beside = [], []
    if drawn is not None and drawn != len(tubes):
        text = f"The rows of the file give {len(tubes)} holes, the drawing's count is {drawn} ({drawn - len(tubes):+d}). "
        findings.append(Finding("warn", text + "The drawing's count is used; count the holes and mend the file.", _PRACTICE))
    if plain is not None and len(plain) != len(tubes):
        text = f"The rows of the file give {len(tubes)} holes, a plain layout of ours {len(plain)} ({_share(len(tubes), len(plain))}). "
        beside.append(Finding("note", text + "The rows are used; some per cent fewer are usual.", _PRACTICE))
    return Layout(tubes, drawn, "rows of the file", tuple(findings), beside=tuple(beside))


def _told_sketch(left: Left, drawn: int | None) -> Layout:
    """A layout of ours with what must be said about it: that it is a sketch, what was left out, the difference from the drawing."""
    tubes = number(left.holes)
    if not tubes:
        return Layout((), drawn, "generated", (Finding("warn", "No hole is left beside tie rods and impingement plate.", _PRACTICE),))
    findings = [Finding("warn", _SKETCH, _PRACTICE)]
    if drawn is not None and drawn != len(tubes):
        findings = [Finding("warn", f"{_other_sheet(tubes, drawn)} {_NO_NUMBERS} The file's count is used.", _PRACTICE)]
    if out := _left_out(left):
        findings.append(Finding("note", f"In the plain layout of ours {out}", _PRACTICE))
    return Layout(tubes, drawn, "generated", tuple(findings), left.rods)


def _left_out(left: Left) -> str:
    said = [f"{count} holes under {nozzle} for its impingement plate" for nozzle, count in left.under if count]
    said += [f"{len(left.rods)} places for tie rods"] if left.rods else []
    return f"left out: {', '.join(said)}." if said else ""


def _share(told: int, plain: int) -> str:
    return f"{told - plain:+d}, {100 * (told - plain) / plain:+.1f} %"
