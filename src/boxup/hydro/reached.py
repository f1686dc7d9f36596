"""From which reading on the test pressure counts as reached: one share for every page, sheet and refusal, said wherever it is judged.

The code allows nothing under the test pressure. A dial that fits the test shows 1.5 to 4 times of it, and half of one of its marks is
about a hundredth of the test pressure: nobody can read it closer. With a gauge of finer marks half a mark is what it can be read to.
"""

from __future__ import annotations

from boxup.core.rounding import metric

READ_TO = 0.01  # of the test pressure


def reached_from(asked: float, step: float | None = None) -> float:
    """The reading from which `asked` counts as reached; both, and the mark `step` of a gauge, in any one unit."""
    return asked - min(READ_TO * asked, asked if step is None else step / 2)


def reached_said(asked: float, step: float | None = None) -> str:
    """`31.4 bar; from 31.1 bar on it counts, what a dial can be read to`; Pa."""
    least = reached_from(asked, step)
    return f"{metric('pressure', asked, 'up')}; {reading_counts(least)}"


def reading_counts(least: float) -> str:
    """The same without the test pressure; Pa."""
    return f"from {metric('pressure', least, 'up')} on it counts, what a dial can be read to"
