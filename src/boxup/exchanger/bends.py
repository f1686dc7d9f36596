"""U-tubes: which two holes are the legs of one tube. A bend stands square to the lane it turns across, so legs are mirror images."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import Protocol, TypeVar


class Leg(Hashable, Protocol):
    """A hole: mm from the centre, and its pass."""

    @property
    def x(self) -> float: ...
    @property
    def y(self) -> float: ...
    @property
    def tube_pass(self) -> int: ...


L = TypeVar("L", bound=Leg)
_NEAR = 1.0  # mm: places in a file are rounded


def partners(holes: Sequence[L]) -> dict[L, L]:
    """Each leg and its other leg, both ways; a leg without one is not there. Passes 1 and 2, 3 and 4, ... share their tubes."""
    found: dict[L, L] = {}
    passes: dict[int, list[L]] = {}
    for h in holes:
        passes.setdefault(h.tube_pass, []).append(h)
    for p in sorted(passes):
        if p % 2 and p + 1 in passes:
            found |= _across(passes[p], passes[p + 1])
    return found


def radius(a: Leg, b: Leg) -> float:
    """Bend radius in mm: half the distance between the legs."""
    return float(((a.x - b.x) ** 2 + (a.y - b.y) ** 2) ** 0.5) / 2


def _across(these: Sequence[L], those: Sequence[L]) -> dict[L, L]:
    """Legs that face each other across the middle of the lane between two passes."""
    axis = _axis(these, those)
    middle = _middle([_place(h)[axis] for h in these], [_place(h)[axis] for h in those])
    at = {_cell(_place(h)): h for h in those}
    found: dict[L, L] = {}
    for h in these:
        image = list(_place(h))
        image[axis] = 2 * middle - image[axis]
        if (other := _nearest(at, image)) is not None:
            found |= {h: other, other: h}
    return found


def _axis(these: Sequence[Leg], those: Sequence[Leg]) -> int:
    """Along which way the two passes lie side by side: 0 for x (bends lie flat), 1 for y (they stand upright)."""
    apart = [abs(sum(_place(h)[i] for h in these) / len(these) - sum(_place(h)[i] for h in those) / len(those)) for i in (0, 1)]
    return 1 if apart[1] >= apart[0] else 0


def _middle(these: Sequence[float], those: Sequence[float]) -> float:
    """The middle of the lane between two passes that lie side by side."""
    low, high = sorted((these, those), key=lambda way: sum(way) / len(way))
    return (max(low) + min(high)) / 2


def _place(h: Leg) -> tuple[float, float]:
    return h.x, h.y


def _cell(at: Sequence[float]) -> tuple[int, int]:
    return round(at[0] / _NEAR), round(at[1] / _NEAR)


def _nearest(at: dict[tuple[int, int], L], image: Sequence[float]) -> L | None:
    i, k = _cell(image)
    around = (at.get((i + di, k + dk)) for di in (0, -1, 1) for dk in (0, -1, 1))
    return next((h for h in around if h is not None and abs(h.x - image[0]) <= _NEAR and abs(h.y - image[1]) <= _NEAR), None)
