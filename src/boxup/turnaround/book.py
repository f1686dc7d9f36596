"""A spreadsheet as plain data: sheets of cells as they were found, with what a person cannot see by reading the values."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta

Value = str | float | int | bool | date | datetime | time | timedelta | None
At = tuple[int, int]  # row, column, from 0


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet. Rows may be of unequal length; what lies beyond a row's end is empty."""

    name: str
    rows: tuple[tuple[Value, ...], ...] = ()
    empty_formulas: dict[At, str] = field(default_factory=dict)  # a formula that was saved without its value
    formulas: frozenset[At] = frozenset()  # with a value
    faults: dict[At, str] = field(default_factory=dict)  # #REF! and the like
    merged: tuple[tuple[At, At], ...] = ()  # first and last cell
    hidden_rows: frozenset[int] = frozenset()
    hidden_columns: frozenset[int] = frozenset()
    hidden: bool = False

    def at(self, row: int, column: int) -> Value:
        """The value of one cell; None where there is none."""
        if row >= len(self.rows) or column >= len(self.rows[row]):
            return None
        value = self.rows[row][column]
        return None if value == "" else value

    @property
    def width(self) -> int:
        """How many columns the longest row has."""
        return max((len(row) for row in self.rows), default=0)

    def is_empty(self, row: int) -> bool:
        """Whether a row holds nothing but blanks, no formula and no fault."""
        values = [self.at(row, c) for c in range(len(self.rows[row]))]
        return not any(v is not None and str(v).strip() for v in values) and not any(
            r == row for r, _ in (*self.empty_formulas, *self.faults)
        )


@dataclass(frozen=True, slots=True)
class Book:
    """A whole file; `notes` say how it was read (encoding, separator)."""

    name: str
    sheets: tuple[Sheet, ...]
    notes: tuple[str, ...] = ()
    kind: str = "xlsx"  # or csv


class BadBook(ValueError):
    """A file that is no spreadsheet we can read; one sentence."""


def letter(column: int) -> str:
    """`A`, `B`, ... `AA` for 0, 1, ... 26."""
    text, n = "", column + 1
    while n:
        n, rest = divmod(n - 1, 26)
        text = chr(65 + rest) + text
    return text
