"""Between two printed rows the worse one is taken. Nothing here is interpolated."""

from __future__ import annotations

from collections.abc import Iterable

from boxup.reference.load import Row, table

_TIE = 1e-9  # a share: 45 typed and 45 printed are the same row however they were worked


def rows(name: str, **cells: str) -> tuple[Row, ...]:
    """The rows of a table whose cells hold these words."""
    return tuple(r for r in table(name).values() if all(r.text(column) == word for column, word in cells.items()))


def least_at(found: Iterable[Row], column: str, value: float) -> Row | None:
    """The row with the largest `column` that `value` (SI) still reaches: for what gets worse as it gets less. None below the table."""
    reached = [r for r in found if r.need(column) <= value + _TIE * abs(value)]
    return max(reached, key=lambda r: r.need(column), default=None)


def most_at(found: Iterable[Row], column: str, value: float) -> Row | None:
    """The row with the smallest `column` that is no less than `value` (SI): for what gets worse as it grows. None beyond the table."""
    beyond = [r for r in found if r.need(column) >= value - _TIE * abs(value)]
    return min(beyond, key=lambda r: r.need(column), default=None)


def in_band(found: Iterable[Row], value: float, factor: str) -> Row | None:
    """The row whose `from` to `to` holds `value`; in a gap or on an edge the one with the smaller factor."""
    bands = sorted(found, key=lambda r: r.need("from"))
    near = [r for r in bands if r.need("from") <= value + _TIE and value <= r.need("to") + _TIE]
    below = [r for r in bands if r.need("from") <= value + _TIE]
    return min(near or below[-1:], key=lambda r: r.need(factor), default=None)
