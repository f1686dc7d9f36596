"""Readings of the load cell in the order they were taken: has the pull risen by more than a quarter over its running value."""

from __future__ import annotations

from collections.abc import Sequence

RISE = 1.25
RUNNING = 3  # readings before it that make the running value
FLOOR = 0.05  # of the weight: under it a pull tells nothing yet


def running(forces: Sequence[float]) -> float | None:
    """The running value before the last reading, N: the mean of the three before it; None where there are fewer."""
    before = forces[-RUNNING - 1 : -1]
    return sum(before) / RUNNING if len(before) == RUNNING else None


def rises(forces: Sequence[float], weight: float) -> bool:
    """Whether the last reading is more than a quarter over the running value, and more than a twentieth of the weight."""
    value = running(forces)
    return value is not None and forces[-1] > RISE * value * (1 + 1e-12) and forces[-1] > FLOOR * weight
