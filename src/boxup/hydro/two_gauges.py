"""Two gauges on one side: the first named judges the hold, the second bears witness. Decision 0032.

Neither is right because it reads higher or lower. That they differ by more than two gauges may says that one of them is wrong.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isnan

from boxup.core.rounding import both

CLASS = 0.01  # of the range: what a usual test gauge may be off (common practice)
RANGE = 2.0  # times the highest reading: a gauge of about twice the test pressure is best, and the log does not name its own
BEGINS = "gauges A and B"
MARKS = 2.0  # of the graduation: a mark of each


@dataclass(frozen=True, slots=True)
class Apart:
    """Where two gauges stand furthest from each other: Pa of each, and what they may differ by."""

    first: float
    second: float
    may: float

    @property
    def too_far(self) -> bool:
        return abs(self.first - self.second) > self.may * (1 + 1e-9)

    @property
    def said(self) -> str:
        """In words, both figures and what to do."""
        apart, a, b = (both("pressure", p) for p in (abs(self.first - self.second), self.first, self.second))
        read = f"gauges A and B stand {apart} apart, {a} and {b}"
        may = f"two gauges may differ by {both('pressure', self.may)}: two marks, or 1 % of a range of twice the reading"
        return f"{read}; {may}. One of them is wrong: gauge to 0, see both at 0 and their valves open, compare each with a third"

    @property
    def on_the_way(self) -> str:
        """In words while pressure goes up or down: what nobody does by one of them alone."""
        apart, a, b = (both("pressure", p) for p in (abs(self.first - self.second), self.first, self.second))
        read = f"gauges A and B read {a} and {b}, {apart} apart; two may differ by {both('pressure', self.may)}"
        if min(self.first, self.second) <= 0:
            return f"{read}. Not let down: one is blocked or shut off. Vent opened, both at 0, before anything is opened"
        return f"{read}. Do not raise it: one may be blocked or shut off. Down to 0, see both at 0 and their valves open"


def apart_on_the_way(first: float, second: float, asked: float | None) -> Apart:
    """One reading of each, Pa. They may differ by 1 % of the range of a gauge for this test, twice the pressure `asked` at the gauge: a
    gauge is no better at the foot of its range than at the top."""
    return Apart(first, second, CLASS * RANGE * max(first, second, asked or 0.0))


def furthest(first: Sequence[float], second: Sequence[float], mark: float = 0.0) -> Apart | None:
    """The reading at which they differ most; None where the second was never read. Pa; `mark`: of the gauge, 0 where nobody gave it."""
    pairs = [(a, b) for a, b in zip(first, second, strict=True) if not isnan(b)]
    if not pairs:
        return None
    a, b = max(pairs, key=lambda pair: abs(pair[0] - pair[1]))
    return Apart(a, b, max(MARKS * mark, CLASS * RANGE * max(max(pair) for pair in pairs)))
