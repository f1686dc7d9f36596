"""A plain tube layout: the most holes on a lattice inside the outer tube limit, each pass in its zone, a lane beside each pass plate.

No tie rods, no rows left out under a nozzle, no dummy tubes: a built bundle has some per cent fewer.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from boxup.exchanger.passes import Grid, chambers, ribs, zones

LEAST_BEND = 1.5  # least bend radius of a U-tube, in tube diameters
MOST_IMBALANCE = 0.2  # (largest pass - smallest) / mean, the search limit
_TINY = 1e-6


class Placed(NamedTuple):
    """A hole before it has a number: mm from the centre, seen from the front."""

    x: float
    y: float
    tube_pass: int


@dataclass(frozen=True, slots=True)
class Lattice:
    """Pitch in mm and pattern angle; rows lie flat. 30: triangles with the rows flat; 60: the same turned; 45: square on its corner."""

    pitch: float
    angle: int

    @property
    def across(self) -> float:
        """Between neighbours in a row, mm."""
        return self.pitch * {30: 1.0, 60: math.sqrt(3), 45: math.sqrt(2), 90: 1.0}[self.angle]

    @property
    def down(self) -> float:
        """Between rows, mm."""
        return self.pitch * {30: math.sqrt(3) / 2, 60: 0.5, 45: math.sqrt(0.5), 90: 1.0}[self.angle]

    @property
    def shift(self) -> float:
        """How far each next row is set over, mm."""
        return 0.0 if self.angle == 90 else self.across / 2


def generate(lattice: Lattice, od: float, outer_limit: float, passes: int, layout: str, lane: float, u_tubes: bool = False) -> list[Placed]:
    """Holes in mm; `od` the tube, `outer_limit` the circle round all tubes, `lane` between tube centres across a pass plate."""
    radius = (outer_limit - od) / 2
    if radius <= 0:
        return []
    if passes == 1:
        return _one_pass(lattice, radius)
    return _Stack(lattice, od, radius, passes, layout, lane, u_tubes).holes()


def _one_pass(lattice: Lattice, radius: float) -> list[Placed]:
    """The best of the usual centrings: on a tube, on a gap, on a third of the way between."""
    parts = (0.0, 1 / 2, 1 / 3, 1 / 6, 2 / 3)
    tries = [(x * lattice.across, y * lattice.down) for y in parts for x in parts]
    best = max(tries, key=lambda t: sum(last - first + 1 for _, _, first, last in _rows(lattice, radius, *t)))
    rows = _rows(lattice, radius, *best)
    return [Placed(start + i * lattice.across, y, 1) for y, start, first, last in rows for i in range(first, last + 1)]


def _rows(lattice: Lattice, radius: float, x0: float, y0: float) -> Iterator[tuple[float, float, int, int]]:
    """Rows of the whole lattice inside the circle: height, x of hole 0, first and last hole."""
    a = lattice.across
    for k in range(math.ceil((-radius - y0) / lattice.down), math.floor((radius - y0) / lattice.down) + 1):
        y = y0 + k * lattice.down
        half, start = math.sqrt(max(radius * radius - y * y, 0.0)) + _TINY, x0 + (lattice.shift if k % 2 else 0.0)
        yield y, start, math.ceil((-half - start) / a), math.floor((half - start) / a)


class _Band(NamedTuple):
    """Rows of one grid row above the centre line: heights, the set-over of the first row, holes of one pass."""

    heights: tuple[float, ...]
    parity: int
    holes: int


class _Stack:
    """Bands one above the other, the lower half a mirror of the upper. Inner bands take the row counts that give most holes in balance."""

    def __init__(self, lattice: Lattice, od: float, radius: float, passes: int, layout: str, lane: float, u_tubes: bool) -> None:
        self.lattice, self.radius, self.stagger = lattice, radius, 1 if lattice.shift else 0
        self.grid: Grid = zones(passes, layout)
        self.columns = len(self.grid[0])
        self.lanes = _lanes(self.grid, passes, lane, max(lane, 2 * LEAST_BEND * od), lattice, u_tubes)
        self.half_lane = _column_lane(self.grid, lane, max(lane, 2 * LEAST_BEND * od), u_tubes) / 2
        self.middle = len(self.grid) % 2 == 1
        self.upper = [r for r in reversed(range(len(self.grid))) if r <= (len(self.grid) - 1) / 2]

    def holes(self) -> list[Placed]:
        placed: list[Placed] = []
        for row, band in zip(self.upper, self._best(), strict=False):
            mirror = len(self.grid) - 1 - row
            for i, y in enumerate(band.heights):
                parity = band.parity + i * self.stagger
                placed += self._row(y, parity, self.grid[row])
                if mirror != row:
                    placed += self._row(-y, parity, self.grid[mirror])
        return placed

    def _row(self, y: float, parity: int, passes: tuple[int, ...]) -> Iterator[Placed]:
        a, n = self.lattice.across, self._in_row(y, parity)
        if self.columns == 1:
            yield from (Placed((i - (n - 1) / 2) * a, y, passes[0]) for i in range(n))
            return
        first = self.half_lane + parity % 2 * self.lattice.shift
        for side, tube_pass in ((-1, passes[0]), (1, passes[1])):
            yield from (Placed(side * (first + i * a), y, tube_pass) for i in range(n))

    def _in_row(self, y: float, parity: int) -> int:
        """Holes of one pass in a row: an odd or an even number about the middle, or from the middle lane outward."""
        left = self.radius * self.radius - y * y
        if left < -_TINY:
            return 0
        half, a = math.sqrt(max(left, 0.0)) + _TINY, self.lattice.across
        if self.columns == 2:
            return max(0, math.floor((half - self.half_lane - parity % 2 * self.lattice.shift) / a) + 1)
        return 2 * math.floor(half / a + 0.5) if parity % 2 else 1 + 2 * math.floor(half / a)

    def _band(self, heights: tuple[float, ...]) -> _Band:
        """The better of the two centrings of the rows."""
        both = [_Band(heights, p, sum(self._in_row(y, p + i * self.stagger) for i, y in enumerate(heights))) for p in (0, 1)]
        return max(both, key=lambda b: b.holes)

    def _best(self) -> list[_Band]:
        found = list(self._choices([], loose=False)) or list(self._choices([], loose=True))
        if not found:
            return []
        even = [b for b in found if self._imbalance(b) <= MOST_IMBALANCE]
        if even:
            return max(even, key=self._total)
        return min(found, key=self._imbalance)

    def _choices(self, chosen: list[_Band], loose: bool) -> Iterator[list[_Band]]:
        """Every choice of rows for the inner bands; the outermost takes what is left of the circle."""
        last = len(chosen) == len(self.upper) - 1
        start = self._start(chosen)
        fits = math.floor((self.radius - start) / self.lattice.down + _TINY) + 1
        if self.middle and not chosen:
            options = [self._centred(n) for n in range(1, 2 * max(fits, 0))]
            last = len(self.upper) == 1
        else:
            rows = range(fits, fits + 1) if last else range(1, fits + 1)
            options = [self._band(tuple(start + i * self.lattice.down for i in range(n))) for n in rows if n > 0]
        for band in options:
            if band.holes == 0 or (chosen and not loose and not 0.75 <= band.holes / chosen[0].holes <= 1.35):
                continue
            if last:
                yield [*chosen, band]
            else:
                yield from self._choices([*chosen, band], loose)

    def _centred(self, n: int) -> _Band:
        return self._band(tuple(((n - 1) / 2 - i) * self.lattice.down for i in range(n)))

    def _start(self, chosen: list[_Band]) -> float:
        """Height of the first row of the next band up."""
        row = self.upper[len(chosen)]
        if chosen:
            return max(chosen[-1].heights) + self.lanes[row]
        return 0.0 if self.middle else self.lanes[row] / 2

    def _total(self, bands: list[_Band]) -> int:
        return sum(b.holes * (1 if self.middle and i == 0 else 2) for i, b in enumerate(bands))

    def _imbalance(self, bands: list[_Band]) -> float:
        counts = [b.holes for b in bands]
        return (max(counts) - min(counts)) * len(counts) / sum(counts)


def _lanes(grid: Grid, passes: int, lane: float, bend_lane: float, lattice: Lattice, u_tubes: bool) -> dict[int, float]:
    """Between tube centres under each grid row: a lane where either end has a rib, room for the bend where U-tubes turn across it."""
    ends = chambers(passes, "front"), chambers(passes, "rear", u_tubes)
    ribbed = {rib.row for shared in ends for rib in ribs(grid, shared) if rib.way == "H"}
    lanes = {r: lane if r in ribbed else lattice.down for r in range(len(grid) - 1)}
    if u_tubes:
        lanes |= {r: bend_lane for r in lanes if any(_one_tube(a, b) for a, b in zip(grid[r], grid[r + 1], strict=True))}
    return lanes


def _column_lane(grid: Grid, lane: float, bend_lane: float, u_tubes: bool) -> float:
    bends = u_tubes and any(len(row) == 2 and _one_tube(*row) for row in grid)
    return bend_lane if bends else lane


def _one_tube(a: int, b: int) -> bool:
    """Passes 1 and 2, 3 and 4, ... are the two legs of the same U-tubes."""
    return (min(a, b) + 1) // 2 == (max(a, b) + 1) // 2
