"""The lattice of a tube layout: pitch and pattern angle, and a hole on it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

ANGLES = (30, 45, 60, 90)
TINY = 1e-6


class NoLayout(ValueError):
    """Tubes that cannot be laid out so, one sentence why."""


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

    def rows(self, radius: float, x0: float, y0: float) -> Iterator[tuple[float, float, int, int]]:
        """Rows of the whole lattice inside the circle: height, x of hole 0, first and last hole."""
        a = self.across
        for k in range(math.ceil((-radius - y0 - TINY) / self.down), math.floor((radius - y0 + TINY) / self.down) + 1):
            y = y0 + k * self.down
            half, start = math.sqrt(max(radius * radius - y * y, 0.0)) + TINY, x0 + (self.shift if k % 2 else 0.0)
            yield y, start, math.ceil((-half - start) / a), math.floor((half - start) / a)
