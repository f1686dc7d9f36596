"""Passes laid one above the other: how many rows each takes, so that the bundle holds most tubes with its passes in balance."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

from boxup.exchanger.lattice import TINY, Lattice, Placed
from boxup.exchanger.passes import Grid, one_tube, zones

LEAST_BEND = 1.5  # least bend radius of a U-tube, in tube diameters
MOST_IMBALANCE = 0.2  # (largest pass - smallest) / mean, the search limit
_TRIES = 400  # about so many ways of sharing out the rows are looked at


class _Band(NamedTuple):
    """Rows of one grid row above the centre line: height of the first, how many, set-over of the first, holes of one pass."""

    start: float
    rows: int
    parity: int
    holes: int


class Stack:
    """Bands one above the other, the lower half a mirror of the upper. Inner bands take the row counts that give most holes in balance."""

    def __init__(self, lattice: Lattice, od: float, radius: float, passes: int, layout: str, lane: float, u_tubes: bool) -> None:
        self.radius, self.stagger = radius, 1 if lattice.shift else 0
        self.across, self.down, self.shift = lattice.across, lattice.down, lattice.shift
        self.grid: Grid = zones(passes, layout)
        self.columns = len(self.grid[0])
        bend_lane = max(lane, 2 * LEAST_BEND * od)
        self.lanes = _lanes(self.grid, lane, bend_lane, u_tubes)
        self.half_lane = _column_lane(self.grid, lane, bend_lane, u_tubes) / 2
        self.middle = len(self.grid) % 2 == 1
        self.upper = [r for r in reversed(range(len(self.grid))) if r <= (len(self.grid) - 1) / 2]
        inner = max(len(self.upper) - 1, 1)
        self.width = max(2, round(_TRIES ** (1 / inner)))
        self.sums: dict[tuple[float, int], list[int]] = {}

    def holes(self) -> list[Placed]:
        """Every hole, each in its pass; none when some pass has no room."""
        placed: list[Placed] = []
        for row, band in zip(self.upper, self._best(), strict=False):
            mirror = len(self.grid) - 1 - row
            for i in range(band.rows):
                y, parity = band.start + i * self.down, band.parity + i * self.stagger
                placed += self._row(y, parity, self.grid[row])
                if mirror != row:
                    placed += self._row(-y, parity, self.grid[mirror])
        return placed

    def _row(self, y: float, parity: int, passes: tuple[int, ...]) -> Iterator[Placed]:
        a, n = self.across, self._in_row(y, parity)
        if self.columns == 1:
            yield from (Placed((i - (n - 1) / 2) * a, y, passes[0]) for i in range(n))
            return
        first = self.half_lane + parity % 2 * self.shift
        for side, tube_pass in ((-1, passes[0]), (1, passes[1])):
            yield from (Placed(side * (first + i * a), y, tube_pass) for i in range(n))

    def _in_row(self, y: float, parity: int) -> int:
        """Holes of one pass in a row: an odd or an even number about the middle, or from the middle lane outward."""
        left = self.radius * self.radius - y * y
        if left < -TINY:
            return 0
        half, a = math.sqrt(max(left, 0.0)) + TINY, self.across
        if self.columns == 2:
            return max(0, math.floor((half - self.half_lane - parity % 2 * self.shift) / a) + 1)
        return 2 * math.floor(half / a + 0.5) if parity % 2 else 1 + 2 * math.floor(half / a)

    def _band(self, start: float, rows: int) -> _Band:
        """So many rows from that height up, with the better of their two centrings."""
        even, odd = (self._sum(start, parity, rows) for parity in (0, 1))
        return _Band(start, rows, 0, even) if even >= odd else _Band(start, rows, 1, odd)

    def _sum(self, start: float, parity: int, rows: int) -> int:
        """Holes of one pass in so many rows from that height up."""
        sums = self.sums.setdefault((start, parity), [0])
        while len(sums) <= rows:
            i = len(sums) - 1
            sums.append(sums[-1] + self._in_row(start + i * self.down, parity + i * self.stagger))
        return sums[rows]

    def _best(self) -> list[_Band]:
        found = list(self._choices([], self._share()))
        even = [b for b in found if self._imbalance(b) <= MOST_IMBALANCE]
        return max(even, key=self._total) if even else min(found, key=self._imbalance, default=[])

    def _choices(self, chosen: list[_Band], share: int) -> Iterator[list[_Band]]:
        """Ways of sharing out the rows, inner bands first; of each band those nearest to a fair share, no more than may be tried."""
        last = len(chosen) == len(self.upper) - 1
        for band in sorted(self._next(chosen), key=lambda b: abs(b.holes - share))[: self.width]:
            if last:
                yield [*chosen, band]
            else:
                yield from self._choices([*chosen, band], share)

    def _next(self, chosen: list[_Band]) -> list[_Band]:
        """The next band up with few rows or with many; the outermost takes what is left of the circle."""
        start = self._start(chosen)
        fits = math.floor((self.radius - start) / self.down + TINY) + 1
        last = len(chosen) == len(self.upper) - 1
        if self.middle and not chosen:
            rows = range(max(2 * fits - 2, 1) if last else 1, 2 * fits)
            found = [self._band(-(n - 1) / 2 * self.down, n) for n in rows]
            return [max(found, key=lambda b: b.holes)] if last and found else found
        found = [self._band(start, n) for n in range(fits if last else 1, fits + 1) if n > 0]
        return [b for b in found if b.holes]

    def _share(self) -> int:
        """The largest number of holes that every band can have."""
        low, high = 0, sum(self._in_row(i * self.down, 0) for i in range(math.floor(self.radius / self.down) + 1)) * 2
        while low < high:
            share = (low + high + 1) // 2
            low, high = (share, high) if self._all_have(share) else (low, share - 1)
        return low

    def _all_have(self, share: int) -> bool:
        chosen: list[_Band] = []
        for _ in self.upper:
            enough = next((b for b in self._next(chosen) if b.holes >= share), None)
            if enough is None:
                return False
            chosen.append(enough)
        return True

    def _start(self, chosen: list[_Band]) -> float:
        """Height of the first row of the next band up."""
        row = self.upper[len(chosen)]
        if chosen:
            return chosen[-1].start + (chosen[-1].rows - 1) * self.down + self.lanes[row]
        return 0.0 if self.middle else self.lanes[row] / 2

    def _total(self, bands: list[_Band]) -> int:
        return sum(b.holes * (1 if self.middle and i == 0 else 2) for i, b in enumerate(bands))

    def _imbalance(self, bands: list[_Band]) -> float:
        counts = [b.holes for b in bands]
        return (max(counts) - min(counts)) * len(counts) / sum(counts)


def _lanes(grid: Grid, lane: float, bend_lane: float, u_tubes: bool) -> dict[int, float]:
    """Between tube centres under each grid row: one above the other, two passes have a plate between them at the front or at the rear.

    U-tubes have no rear plates, but in the layouts they can have (`legs_why_not`) a front plate stands under each row, or bends turn across
    it and need their room.
    """
    lanes = dict.fromkeys(range(len(grid) - 1), lane)
    if u_tubes:
        lanes |= {r: bend_lane for r in lanes if any(one_tube(a, b) for a, b in zip(grid[r], grid[r + 1], strict=True))}
    return lanes


def _column_lane(grid: Grid, lane: float, bend_lane: float, u_tubes: bool) -> float:
    bends = u_tubes and any(len(row) == 2 and one_tube(*row) for row in grid)
    return bend_lane if bends else lane
