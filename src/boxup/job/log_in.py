"""A log of readings as somebody has it, a text with a line for each: what each line says, and when. Every mistake with its line."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from math import isfinite

# What a column is, by its head in small letters, `°` left out and blanks as `_`: the field of a reading, and what its numbers are in.
HEADS: dict[str, tuple[str, str]] = {
    "time": ("clock", ""), "minutes": ("since", "min"), "min": ("since", "min"), "t_min": ("since", "min"), "t_s": ("since", "s"),
    "t_h": ("since", "h"), "note": ("note", ""),
    **{f"{name}_{unit}": (field, sign)
       for field, names, units in (
           ("pressure", ("gauge", "pressure", "p"), (("bar", "bar"), ("psi", "psi"), ("mpa", "MPa"), ("kpa", "kPa"))),
           ("water", ("water", "t_water"), (("c", "degC"), ("f", "degF"))),
           ("metal", ("metal", "t_metal"), (("c", "degC"), ("f", "degF"))),
           ("air", ("air", "t_air"), (("c", "degC"), ("f", "degF"))),
           ("pumped", ("pumped",), (("l", "L"), ("ml", "mL"), ("gal", "gal"))),
       ) for name in names for unit, sign in units},
    **{f"p_{unit}_gauge": ("pressure", sign) for unit, sign in (("bar", "bar"), ("psi", "psi"), ("mpa", "MPa"), ("kpa", "kPa"))},
    **{f"p_gauge_{unit}": ("pressure", sign) for unit, sign in (("bar", "bar"), ("psi", "psi"), ("mpa", "MPa"))},
    "litres": ("pumped", "L"), "gallons": ("pumped", "gal"),
}  # fmt: skip
ACCEPTED = (
    "a first line that names the columns with their units, such as time, gauge bar, water C, pumped L: time as 06:20, or minutes from a "
    "start; gauge bar, psi, MPa or kPa; water, metal, air C or F; pumped L, mL or gal; note"
)
MOST_LINES = 400  # readings of one log: a minute each for six hours and more
MOST_TOLD = 20  # mistakes told at once; the rest is counted
BACK = timedelta(hours=12)  # an hour that lies so far before the one above it is of the next day
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
    rows = _rows(text)
    if not rows:
        raise BadLog([f"The log is empty; accepted: {ACCEPTED}."])
    columns = _columns(rows[0][1])
    if any(field == "since" for field, _ in columns.values()) and not start_said:
        raise BadLog(["The log counts minutes, and from when is not said: type the moment it began at When."])
    if len(rows) - 1 > MOST_LINES:
        raise BadLog([f"{len(rows) - 1} readings; at most {MOST_LINES} at once. Send it in parts, or one reading a minute."])
    if len(rows) == 1:
        raise BadLog(["There is no reading under the first line."])
    return _read(rows[1:], columns, start, comma=_sign(text) == ",")


def _rows(text: str) -> list[tuple[int, list[str]]]:
    """Lines with something in them, cut where the first of them is: at tabs, semicolons or commas."""
    kept = [(n, line) for n, line in enumerate(text.lstrip("\ufeff").splitlines(), start=1) if line.strip(" \t;,")]
    if not kept:
        return []
    return [(n, [cell.strip() for cell in row]) for (n, line) in kept for row in csv.reader([line], delimiter=_sign(text))]


def _sign(text: str) -> str:
    """What parts the cells, by the first line with something in it."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    return next((sign for sign in "\t;" if sign in first), ",")


def _columns(heads: Sequence[str]) -> dict[int, tuple[str, str]]:
    """What each column is, by its place. BadLog for a head nobody knows, one field twice, no time or no gauge."""
    found, problems = {}, []
    for n, head in enumerate(heads):
        known = HEADS.get("_".join(head.lower().replace("°", " ").replace("_", " ").split()))
        if known:
            found[n] = known
        elif head:
            problems.append(f"Line 1: the column {head[:40]!r} is not known.")
    fields = [field for field, _ in found.values()]
    problems += [f"Line 1: {field} stands in two columns." for field in dict.fromkeys(fields) if fields.count(field) > 1]
    if ("clock" in fields) == ("since" in fields):
        problems.append("Line 1: one column says when: time, or minutes.")
    if "pressure" not in fields:
        problems.append("Line 1: no column is the gauge.")
    if problems:
        raise BadLog([*problems, f"Accepted: {ACCEPTED}."])
    return found


def _read(rows: Sequence[tuple[int, list[str]]], columns: dict[int, tuple[str, str]], start: datetime, *, comma: bool) -> tuple[Line, ...]:
    found: list[Line] = []
    problems: list[str] = []
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
        problems += [f"Line {number}: {text}." for text in wrong]
        if when is not None:
            found.append(Line(number, when, words))
    if problems:
        raise BadLog(problems)
    return tuple(found)


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
            wrong.append(f"{'the gauge' if field == 'pressure' else field} is {cell[:20]!r}, not a number")


def _number(cell: str) -> str | None:
    """As typed, with a point; None where it is no number."""
    text = cell.replace(",", ".").replace("−", "-")
    try:
        return text if isfinite(float(text)) else None
    except ValueError:
        return None


def _when(field: str, cell: str, unit: str, start: datetime, before: datetime | None, wrong: list[str]) -> datetime | None:
    found = _since(cell, unit, start) if field == "since" else _clock(cell, before or start, last=before)
    if found is None:
        what = "minutes" if field == "since" else "time"
        wrong.append(f"{what} is {cell[:20]!r}; accepted: {'a number' if field == 'since' else '06:20, or 2027-04-12 06:20'}")
    elif before is not None and found <= before:
        wrong.append(f"{cell[:20]} is not after the line above it, {before:%H:%M:%S}")
    return found


def _since(cell: str, unit: str, start: datetime) -> datetime | None:
    number = _number(cell)
    if number is None or abs(float(number)) * _SECONDS[unit] > 7 * 86400:
        return None
    return start + timedelta(seconds=round(float(number) * _SECONDS[unit]))


def _clock(cell: str, day: datetime, last: datetime | None) -> datetime | None:
    try:
        if len(cell) > len("06:20:00"):
            found = datetime.fromisoformat(cell)
            return found if found.tzinfo else found.replace(tzinfo=day.tzinfo)
        hour = time.fromisoformat(f"0{cell}" if cell[1:2] == ":" else cell)
    except ValueError:
        return None
    found = datetime.combine(day.date(), hour, day.tzinfo)
    return found + timedelta(days=1) if last is not None and last - found > BACK else found
