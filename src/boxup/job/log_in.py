"""A log of readings as somebody has it, a text with a line for each: what each line says, and when. Every mistake with its line."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import isfinite

from boxup.hydro.log_heads import ACCEPTED, HOURS, clock_of, columns_of, rows_of, sign_of

MOST_LINES = 400  # readings of one log: a minute each for six hours and more
MOST_TOLD = 20  # mistakes told at once; the rest is counted
_SAID = {"pressure": "the gauge", "gauge_b": "gauge B"}
_SECONDS = {"s": 1.0, "min": 60.0, "h": 3600.0}


@dataclass(frozen=True, slots=True)
class Line:
    """One reading. `at`: when; `words`: by typed name of a reading's field, as a person would type it, its unit behind it."""

    number: int
    at: datetime
    words: dict[str, str]


class BadLog(ValueError):
    """A log that cannot be taken. `problems`: every sentence."""

    def __init__(self, problems: Sequence[str]) -> None:
        more = [f"and {len(problems) - MOST_TOLD} more"] if len(problems) > MOST_TOLD else []
        self.problems = (*problems[:MOST_TOLD], *more)
        super().__init__("\n".join(self.problems))


def lines_of(text: str, start: datetime, *, start_said: bool) -> tuple[Line, ...]:
    """The readings of a log. start: the moment minutes count from, and the day of hours; start_said: whether anybody typed it.

    BadLog with every mistake. An hour that lies far before the one above it is of the next day.
    """
    try:
        rows = rows_of(text)
    except csv.Error as bad:
        raise BadLog([f"The log cannot be read as a table ({bad}); accepted: {ACCEPTED}."]) from bad
    if not rows:
        raise BadLog([f"The log is empty; accepted: {ACCEPTED}."])
    columns = _columns(rows[0][1])
    if any(field == "since" for field, _ in columns.values()) and not start_said:
        raise BadLog(["The log counts minutes, and from when is not said: type the moment it began at When."])
    if len(rows) - 1 > MOST_LINES:
        raise BadLog([f"{len(rows) - 1} readings; at most {MOST_LINES} at once. Send it in parts, or one reading a minute."])
    if len(rows) == 1:
        raise BadLog(["There is no reading under the first line."])
    return _read(rows[1:], columns, start, comma=sign_of(text) == ",")


def _columns(heads: Sequence[str]) -> dict[int, tuple[str, str]]:
    """What each column is, by its place. BadLog for a head nobody knows, one field twice, no time or no gauge."""
    found, problems = columns_of(heads)
    problems = [f"Line 1: {text}" for text in problems]
    fields = [field for field, _ in found.values()]
    if ("clock" in fields) == ("since" in fields):
        problems.append("Line 1: one column says when: time, or minutes.")
    if "pressure" not in fields:
        problems.append("Line 1: no column is the gauge.")
    if problems:
        raise BadLog([*problems, f"Accepted: {ACCEPTED}."])
    return found


def _read(rows: Sequence[tuple[int, list[str]]], columns: dict[int, tuple[str, str]], start: datetime, *, comma: bool) -> tuple[Line, ...]:
    found: list[Line] = []
    problems: list[tuple[int, str]] = []
    for number, row in rows:
        wrong: list[str] = []
        words, when = dict(_words(row, columns, wrong)), None
        cells = {field: (row[n] if n < len(row) else "", unit) for n, (field, unit) in columns.items() if field in ("clock", "since")}
        for field, (cell, unit) in cells.items():
            when = _when(field, cell, unit, start, found[-1].at if found else None, wrong)
        if len(row) > max(columns) + 1 and any(row[max(columns) + 1 :]):
            wrong.append("more cells than the first line has columns")
        if len(row) < len(columns) and comma:
            wrong.append("fewer cells than the first line has columns; between commas leave none out, and write 31.4 with a point")
        if "pressure" not in words and not any("gauge" in text for text in wrong):
            wrong.append("the gauge was not read")
        problems += [(number, text) for text in wrong]
        if when is not None:
            found.append(Line(number, when, words))
    if problems:
        raise BadLog(list(_at_once(problems)))
    return tuple(found)


def _at_once(problems: Sequence[tuple[int, str]]) -> Iterator[str]:
    """Each mistake with its line; hours written in a way nobody reads are one mistake, with the first of them."""
    hours = [(number, text) for number, text in problems if text.endswith(HOURS)]
    for number, text in problems:
        if (number, text) not in hours or (number, text) == hours[0]:
            more = f" and {len(hours) - 1} lines more" if len(hours) > 1 and (number, text) == hours[0] else ""
            yield f"Line {number}{more}: {text}."


def _words(row: Sequence[str], columns: dict[int, tuple[str, str]], wrong: list[str]) -> Iterator[tuple[str, str]]:
    for n, (field, unit) in columns.items():
        cell = row[n] if n < len(row) else ""
        if not cell or field in ("clock", "since"):
            continue
        if field == "note":
            yield field, cell
        elif (number := _number(cell)) is not None:
            yield field, f"{number} {unit}"
        else:
            wrong.append(f"{_SAID.get(field, field)} is {cell[:20]!r}, not a number")


def _number(cell: str) -> str | None:
    """As typed, with a point; None where it is no number."""
    text = cell.replace(",", ".").replace("−", "-")
    try:
        return text if isfinite(float(text)) else None
    except ValueError:
        return None


def _when(field: str, cell: str, unit: str, start: datetime, before: datetime | None, wrong: list[str]) -> datetime | None:
    found = _since(cell, unit, start) if field == "since" else clock_of(cell, before or start, before)
    if found is None:
        what = "minutes" if field == "since" else "time"
        wrong.append(f"{what} is {cell[:20]!r}; accepted: {'a number' if field == 'since' else HOURS}")
    elif before is not None and found <= before:
        wrong.append(f"{cell[:20]} is not after the line above it, {before:%H:%M:%S}")
    return found


def _since(cell: str, unit: str, start: datetime) -> datetime | None:
    number = _number(cell)
    if number is None or abs(float(number)) * _SECONDS[unit] > 7 * 86400:
        return None
    return start + timedelta(seconds=round(float(number) * _SECONDS[unit]))
