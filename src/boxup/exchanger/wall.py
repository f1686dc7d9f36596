"""The wall of a tube as an inspection read it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Wall:
    """The wall of one tube as an inspection read it: hole by its front number, loss as a fraction, wall left in m, either None.

    said: a bound, a range or a word of the report ("<20 %", "blocked"); where: the line or the entry it is from.
    """

    hole: str
    loss: float | None = None
    left: float | None = None
    method: str = ""
    said: str = ""
    where: str = ""

    @property
    def unread(self) -> bool:
        """Listed, and not measured."""
        return self.loss is None and self.left is None
