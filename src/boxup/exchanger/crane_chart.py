"""Rows of a crane's chart as they are typed: radius and capacity, nearest radius first."""

from __future__ import annotations

from itertools import pairwise

from boxup.core.quantity import BadValue, Grade, Quantity, quantity
from boxup.exchanger.lifting import ChartRow
from boxup.exchanger.syntax import short

SAMPLE = '["6 m: 12 t", "9 m: 6 t"]'
MOST_ROWS, FARTHEST, HEAVIEST = 40, 200.0, 5e6  # rows; m; kg


def as_chart(raw: object, grade: Grade, where: str) -> tuple[ChartRow, ...]:
    """The rows of a list such as `["6 m: 12 t", "9 m: 6 t"]`, by radius. Raises BadValue with a sentence."""
    if not isinstance(raw, list | tuple) or not all(isinstance(one, str) for one in raw) or len(raw) > MOST_ROWS:
        raise BadValue(f"{short(repr(raw))} where rows of the chart are needed; for example chart = {SAMPLE}")
    return in_order([_row(one, grade, where) for one in raw])


def in_order(rows: list[ChartRow]) -> tuple[ChartRow, ...]:
    """By radius, each once, and none that carries more farther out. Raises BadValue."""
    rows = sorted(rows, key=lambda row: row.radius.si)
    for near, far in pairwise(rows):
        if near.radius.si == far.radius.si:
            raise BadValue(f"{far.radius.typed} stands twice in the chart; each radius once")
        if far.capacity.si > near.capacity.si:
            said = f"{far.capacity.typed} at {far.radius.typed} and only {near.capacity.typed} at {near.radius.typed}"
            raise BadValue(f"{said}: no crane carries more farther out; read the chart again")
    return tuple(rows)


def _row(text: str, grade: Grade, where: str) -> ChartRow:
    radius, colon, capacity = text.partition(":")
    if not colon:
        raise BadValue(f"{short(text, 30)!r} is no row of a chart; accepted: radius, colon, capacity, for example {SAMPLE}")
    return row(quantity(radius.strip(), "m", grade, where), quantity(capacity.strip(), "kg", grade, where))


def row(radius: Quantity, capacity: Quantity) -> ChartRow:
    """One row within sense. Raises BadValue."""
    if not 0 < radius.si <= FARTHEST or not 0 < capacity.si <= HEAVIEST:
        limits = f"radius up to {FARTHEST:g} m, capacity up to {HEAVIEST / 1000:g} t, both more than 0"
        raise BadValue(f"{radius.typed}: {capacity.typed} is no row of a chart; accepted: {limits}")
    return ChartRow(radius=radius, capacity=capacity)
