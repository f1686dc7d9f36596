"""A beam on supports that only push up: reactions, bending and droop, by the three-moment equation.

The beam is straight, of one stiffness from end to end, and level where nothing bends it. Places are metres from one end; what hangs beyond
the outermost support hangs on the beam's own stiffness. A support may lie lower than the line by a gap: the beam bears on it once it has
drooped so far. A support that would have to pull is left out, one that the beam would go through is put in, until neither happens.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

_ROUNDS = 400
_NOTHING = 1e-9  # a share of the load: a support that carries less carries nothing
_THROUGH = 1e-9  # m: the beam goes through a support by no more than this
_BALANCED = 1e-9  # a share of load times length: one support alone must have the load over it
_FACTORIAL = (1, 1, 2, 6, 24)


class Tips(ArithmeticError):
    """The load does not lie between the supports: nothing holds it level."""


@dataclass(frozen=True, slots=True)
class Load:
    """`force` N downward, at `at` or spread evenly from `at` to `to`, m."""

    at: float
    force: float
    to: float | None = None

    @property
    def middle(self) -> float:
        """Its centre, m."""
        return self.at if self.to is None else (self.at + self.to) / 2


@dataclass(frozen=True, slots=True)
class Support:
    """Where the beam may be held up: its name, its place, m, and how far below the line of the beam it lies, m."""

    name: str
    at: float
    gap: float = 0.0


@dataclass(frozen=True, slots=True)
class Bent:
    """A beam that is held. `bearing`: the supports that carry, from one end, and what each carries, N; `stiffness` N.m2."""

    stiffness: float
    loads: tuple[Load, ...]
    bearing: tuple[tuple[Support, float], ...]

    def reaction(self, name: str) -> float:
        """What the supports of that name carry, N; 0 where none of them does."""
        return sum(r for s, r in self.bearing if s.name == name)

    def moment(self, x: float) -> float:
        """Bending at x, sagging +, N.m."""
        return -sum(_power(f, x, 1) for f in self._forces())

    def droop(self, x: float) -> float:
        """How far the beam lies below its line at x, m."""
        first, last = self.bearing[0][0], self.bearing[-1][0]
        if first is last:  # balanced on one: level there
            slope = -sum(_power(f, first.at, 2) for f in self._forces()) / self.stiffness
        else:
            slope = (last.gap - first.gap - self._curve(last.at) + self._curve(first.at)) / (last.at - first.at)
        return first.gap + self._curve(x) - self._curve(first.at) + slope * (x - first.at)

    def worst(self) -> tuple[float, float]:
        """(place m, N.m) of the hardest bending, either way."""
        return max(((x, self.moment(x)) for x in self._turning_points()), key=lambda found: abs(found[1]))

    def _forces(self) -> list[Load]:
        """Everything that acts, a reaction as a force upward."""
        return [*self.loads, *(Load(s.at, -r) for s, r in self.bearing)]

    def _curve(self, x: float) -> float:
        """The deflection but for a straight line."""
        return sum(_power(f, x, 3) for f in self._forces()) / self.stiffness

    def _turning_points(self) -> Iterator[float]:
        """Every place where bending may be hardest: at a force, at an end of a spread load, where the shear goes through nothing."""
        forces = self._forces()
        at = sorted({x for f in forces for x in (f.at, f.at if f.to is None else f.to)})
        yield from at
        for a, b in itertools.pairwise(at):
            tiny = 1e-9 * (b - a)
            one, other = (sum(_power(f, x, 0) for f in forces) for x in (a + tiny, b - tiny))
            if one * other < 0:
                yield a + (b - a) * one / (one - other)


def _power(f: Load, x: float, n: int) -> float:
    """The force times <x - at>**n over n!, a spread load summed over its length."""
    if f.to is None:
        return f.force * (x - f.at) ** n / _FACTORIAL[n] if x >= f.at else 0.0
    here, there = max(x - f.at, 0.0), max(x - f.to, 0.0)
    return f.force / (f.to - f.at) * (here ** (n + 1) - there ** (n + 1)) / _FACTORIAL[n + 1]


def bent(stiffness: float, loads: Sequence[Load], supports: Sequence[Support]) -> Bent:
    """The beam on those of the supports that bear. Raises Tips where the load does not lie between any of them."""
    return _bent(stiffness, tuple(loads), tuple(supports))


@lru_cache(maxsize=512)  # page, sheet and command ask for the same places of the same bundle again and again
def _bent(stiffness: float, loads: tuple[Load, ...], supports: tuple[Support, ...]) -> Bent:
    total = sum(f.force for f in loads)
    on = sorted(supports, key=lambda s: s.at)
    _between(loads, on)
    for _ in range(_ROUNDS):
        got = Bent(stiffness, loads, tuple(zip(on, _reactions(stiffness, loads, on), strict=True)))
        worst = min(got.bearing, key=lambda pair: pair[1])
        if worst[1] < -_NOTHING * total:
            on = [s for s in on if s is not worst[0]]
            _between(loads, on)
            continue
        left_out = [(got.droop(s.at) - s.gap, s) for s in supports if not any(s is other for other in on)]
        through = max(left_out, key=lambda pair: pair[0], default=(0.0, None))
        if through[1] is None or through[0] <= _THROUGH:
            return Bent(stiffness, got.loads, tuple((s, max(r, 0.0)) for s, r in got.bearing))
        on = sorted([*on, through[1]], key=lambda s: s.at)
    raise Tips("no rest is found on these supports")


def _between(loads: Sequence[Load], on: Sequence[Support]) -> None:
    """Raises Tips unless the load hangs between the outermost supports."""
    total = sum(f.force for f in loads)
    centre = sum(f.force * f.middle for f in loads) / total
    slack = _BALANCED * max(abs(f.middle) for f in loads)
    if not on or not on[0].at - slack <= centre <= on[-1].at + slack:
        raise Tips("the load does not lie between the supports")


def _reactions(stiffness: float, loads: Sequence[Load], on: Sequence[Support]) -> list[float]:
    """What each of these supports carries, N; less than nothing where it would have to pull. From one end to the other."""
    spans = [_Span(a, b, _cut(loads, a.at, b.at)) for a, b in itertools.pairwise(on)]
    moments = _moments(stiffness, loads, on, spans)
    here = [sum(f.force for f in loads if f.to is None and f.at == s.at) for s in on]
    here[0] += sum(f.force for f in _cut(loads, -_FAR, on[0].at))
    here[-1] += sum(f.force for f in _cut(loads, on[-1].at, _FAR))
    for i, span in enumerate(spans):
        pushed = (moments[i + 1] - moments[i]) / span.length
        here[i] += span.share_left + pushed
        here[i + 1] += span.share_right - pushed
    return here


_FAR = 1e6  # m: beyond any end


def _cut(loads: Sequence[Load], low: float, high: float) -> list[Load]:
    """What of the loads lies between two places; what stands exactly on one of them belongs to the support there."""
    points = [f for f in loads if f.to is None and low < f.at < high]
    spread = [(f, max(f.at, low), min(f.to, high)) for f in loads if f.to is not None]
    return points + [Load(a, f.force * (b - a) / ((f.to or 0.0) - f.at), b) for f, a, b in spread if b > a]


@dataclass(frozen=True, slots=True)
class _Span:
    """The beam from one support to the next, with what hangs on it."""

    left: Support
    right: Support
    loads: Sequence[Load]

    @property
    def length(self) -> float:
        return self.right.at - self.left.at

    @property
    def share_left(self) -> float:
        """What its left end would carry alone, N."""
        return sum(f.force * (self.right.at - f.middle) for f in self.loads) / self.length

    @property
    def share_right(self) -> float:
        return sum(f.force * (f.middle - self.left.at) for f in self.loads) / self.length

    def turn(self, *, left: bool) -> float:
        """Slope its loads alone give one of its ends, times the stiffness: sum of P c (h2 - c2)/(6 h), c from the far end."""
        return sum(self._one(f, left) for f in self.loads) / (6 * self.length)

    def _one(self, f: Load, left: bool) -> float:
        h = self.length
        near, far = (self.right.at - x if left else x - self.left.at for x in (f.at, f.at if f.to is None else f.to))
        if f.to is None:
            return f.force * near * (h * h - near * near)
        low, high = sorted((near, far))
        return f.force / (high - low) * (h * h * (high**2 - low**2) / 2 - (high**4 - low**4) / 4)

    @property
    def fall(self) -> float:
        """How steeply its supports fall, down to the right +."""
        return (self.right.gap - self.left.gap) / self.length


def _moments(stiffness: float, loads: Sequence[Load], on: Sequence[Support], spans: Sequence[_Span]) -> list[float]:
    """Bending at the supports: known at the outermost, between them by the three-moment equation."""
    first = -sum(f.force * (on[0].at - f.middle) for f in _cut(loads, -_FAR, on[0].at))
    last = -sum(f.force * (f.middle - on[-1].at) for f in _cut(loads, on[-1].at, _FAR))
    if len(on) < 3:
        return [first, last][: len(on)] if len(on) > 1 else [first]
    rows = []
    for a, b in itertools.pairwise(spans):
        right = -6 * (a.turn(left=False) + b.turn(left=True)) + 6 * stiffness * (a.fall - b.fall)
        rows.append([a.length, 2 * (a.length + b.length), b.length, right])
    rows[0][3] -= rows[0][0] * first
    rows[-1][3] -= rows[-1][2] * last
    return [first, *_tridiagonal(rows), last]


def _tridiagonal(rows: list[list[float]]) -> list[float]:
    """The unknowns of rows (before, own, after, right side), from the first to the last."""
    for above, row in itertools.pairwise(rows):
        share = row[0] / above[1]
        row[1] -= share * above[2]
        row[3] -= share * above[3]
    found = [rows[-1][3] / rows[-1][1]]
    for row in reversed(rows[:-1]):
        found.insert(0, (row[3] - row[2] * found[0]) / row[1])
    return found
