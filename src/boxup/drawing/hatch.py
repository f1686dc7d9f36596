"""Hatching worked out line by line: no pattern to be lost on the way through a browser, a PDF or a copier."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from boxup.drawing.place import Box
from boxup.drawing.svg import Point

PITCH = 8.0  # px between lines, measured square to them


def hatch(outline: Sequence[Point], gap: Box | None = None, pitch: float = PITCH) -> list[tuple[Point, Point]]:
    """Lines at 45° inside a closed outline (px), none of them through `gap`."""
    step = pitch * 2**0.5  # along y, between lines x + y = c
    sums = [x + y for x, y in outline]
    first, last = int(min(sums) // step) + 1, int(max(sums) // step)
    return [piece for i in range(first, last + 1) for piece in _pieces(outline, i * step, gap)]


def _pieces(outline: Sequence[Point], c: float, gap: Box | None) -> Iterator[tuple[Point, Point]]:
    crossings = sorted(_crossings(outline, c))
    for a, b in zip(crossings[::2], crossings[1::2], strict=False):
        for left, right in _without(a, b, c, gap):
            if right - left > 1:
                yield (left, c - left), (right, c - right)


def _crossings(outline: Sequence[Point], c: float) -> Iterator[float]:
    """x where the line x + y = c meets the outline."""
    for (x1, y1), (x2, y2) in zip(outline, (*outline[1:], outline[0]), strict=True):
        s1, s2 = x1 + y1 - c, x2 + y2 - c
        if (s1 < 0) != (s2 < 0):
            yield x1 + (x2 - x1) * s1 / (s1 - s2)


def _without(a: float, b: float, c: float, gap: Box | None) -> Iterator[tuple[float, float]]:
    if gap is None:
        yield a, b
        return
    low, high = max(gap.left, c - gap.bottom), min(gap.right, c - gap.top)
    if low >= high or high <= a or low >= b:
        yield a, b
        return
    yield a, min(b, low)
    yield max(a, high), b
