"""Logs of a test as tables: a column a quantity, its unit in the name (`t_min,T_water_C,P_MPa_gauge`). Every mistake at once.

Heads are read as the page reads them (`log_heads`); hours become seconds from the first of them.
"""

from __future__ import annotations

import csv
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from math import isfinite, nan
from pathlib import Path

from boxup.core.calculation import BadInput
from boxup.core.unit import UNITS
from boxup.hydro.log_heads import ACCEPTED, HOURS, clock_of, columns_of, rows_of

# A column that is wanted: the fields of a log it is read from, and its head as it is shown.
COLUMNS: dict[str, tuple[tuple[str, ...], str]] = {
    "time": (("since", "clock"), "t_min"), "temperature": (("water",), "T_water_C"), "pressure": (("pressure",), "P_MPa_gauge"),
    "pumped": (("pumped",), "pumped_L"), "gauge_b": (("gauge_b",), "P_B_MPa_gauge"),
}  # fmt: skip
# What no log of a test holds: a slip of the finger, or a column in another unit. In SI.
BOUNDS: dict[str, tuple[float, float, str]] = {
    "time": (-6e7, 6e7, "up to 1,000,000 min"),
    "temperature": (243.15, 423.15, "-30 to 150 °C"),
    "pressure": (-0.102e6, 1e9, "0 to 1000 MPa, gauge"),
    "pumped": (-1e4, 1e4, "0 to 10,000,000 L"),
    "gauge_b": (-0.102e6, 1e9, "0 to 1000 MPa, gauge"),
}
NOT_ALWAYS = ("gauge_b",)  # columns whose cells may be empty: nan
Rows = list[tuple[int, list[str]]]
_DAY = datetime(2000, 1, 1, tzinfo=UTC)  # of hours without a day: any
MOST_SHOWN, LARGEST = 10, 5_000_000  # mistakes told at once; bytes of a file


@dataclass(frozen=True, slots=True)
class LogTable:
    """The columns read, in SI, each as long as the others; `unit` by column as it was headed."""

    name: str
    columns: dict[str, list[float]]
    units: dict[str, str]

    def __len__(self) -> int:
        return len(next(iter(self.columns.values())))


def read_log(path: str, wanted: Sequence[str], also: Sequence[str] = ()) -> LogTable:
    """The wanted columns of a file, and those of `also` that are there.

    Raises BadInput with every mistake: no file, a column not headed so, a cell that is no number.
    """
    file = Path(path)
    try:
        if file.stat().st_size > LARGEST:
            raise BadInput([f"file: {file.name} is larger than {LARGEST // 1_000_000} MB; accepted: one hold or one filling"])
        text = file.read_text("utf-8-sig")
    except BadInput:
        raise
    except (OSError, ValueError) as bad:
        raise BadInput([f"file: {path!r} cannot be read as text ({type(bad).__name__}); accepted: a CSV file, {_heads(wanted)}"]) from bad
    return table_of(text, file.name, wanted, also)


def table_of(text: str, name: str, wanted: Sequence[str], also: Sequence[str] = ()) -> LogTable:
    """As `read_log`, from a text."""
    try:
        rows = rows_of(text)
    except csv.Error as bad:
        raise BadInput([f"file: {name} cannot be read as a table ({bad}); accepted: a CSV file, {_heads(wanted)}"]) from bad
    if not rows:
        raise BadInput([f"file: {name} is empty; accepted: {_heads(wanted)}"])
    places, units = _places(rows[0][1], name, wanted, also)
    _refuse_ragged(rows, name)
    rows = _by_the_clock(rows, places["time"], name) if units.get("time") == "clock" else rows
    units = {what: "s" if unit == "clock" else unit for what, unit in units.items()}
    found = _quickly(rows[1:], places) or _cell_by_cell(rows[1:], places, name)
    columns = {what: _in_si(found[what], units[what]) for what in places}
    _refuse_beyond(columns, [n for n, _ in rows[1:]], name)
    return LogTable(name, columns, units)


def _places(heads: list[str], name: str, wanted: Sequence[str], also: Sequence[str]) -> tuple[dict[str, int], dict[str, str]]:
    """Where each wanted column stands and its unit, `clock` for hours. BadInput for heads nobody knows and for what is absent."""
    found, problems = columns_of(heads)
    places = {what: n for what in (*wanted, *also) for n, (field, _) in found.items() if field in COLUMNS[what][0]}
    fields = [field for field, _ in found.values()]
    if {"since", "clock"} <= set(fields):
        problems.append("one column says when: time, or minutes.")
    if lacks := [what for what in wanted if what not in places]:
        problems.append(f"no column for {', '.join(lacks)}; the first line is {','.join(heads)!r}")
    if problems:
        said = [f"file: {name}: {text}" for text in problems]
        raise BadInput([*said[:-1], f"{said[-1].rstrip('.')}; accepted: {_heads(wanted)}"])
    return places, {what: found[n][1] or "clock" for what, n in places.items()}


def _refuse_ragged(rows: Rows, name: str) -> None:
    """A line with more cells than heads: a comma for the point between commas, so that every cell behind it is another's."""
    most = len(rows[0][1])
    late = [n for n, row in rows[1:] if any(row[most:])]
    if late:
        more = f" and {len(late) - 1} lines more" if len(late) > 1 else ""
        said = "more cells than the first line has columns; accepted: 31.4 with a point, or semicolons between the cells"
        raise BadInput([f"file: {name}, line {late[0]}{more}: {said}"])


def _by_the_clock(rows: Rows, place: int, name: str) -> Rows:
    """The same rows with seconds since the first in place of hours; an hour far before the one above it is of the next day."""
    first = last = None
    late, found = list[tuple[int, str]](), [rows[0]]
    for number, row in rows[1:]:
        cell = row[place] if place < len(row) else ""
        now = clock_of(cell, last or _DAY, last)
        if now is None:
            late.append((number, cell))
            continue
        first, last = first or now, now
        found.append((number, [*row[:place], f"{(now - first).total_seconds():g}", *row[place + 1 :]]))
    if late:
        more = f" and {len(late) - 1} lines more" if len(late) > 1 else ""
        raise BadInput([f"file: {name}, line {late[0][0]}{more}: time is {late[0][1][:20]!r}; accepted: {HOURS}"])
    return found


def _refuse_beyond(columns: dict[str, list[float]], lines: list[int], name: str) -> None:
    """One sentence for each column with a number no test has."""
    problems = []
    for what, column in columns.items():
        low, high, said = BOUNDS[what]
        if line := next((n for n, x in zip(lines, column, strict=True) if x < low or x > high), None):
            problems.append(f"file: {name}, line {line}: {what} is beyond what any test has; accepted: {said}")
    if problems:
        raise BadInput(problems)


def _quickly(rows: Rows, places: dict[str, int]) -> dict[str, list[float]] | None:
    """Columns of a log that is numbers throughout; None where any cell needs a second look."""
    try:
        found = {what: [float(row[i]) for _, row in rows] for what, i in places.items()}
    except (ValueError, IndexError):
        return None
    return found if all(isfinite(sum(column)) for column in found.values()) else None


def _cell_by_cell(rows: Rows, places: dict[str, int], name: str) -> dict[str, list[float]]:
    problems: list[str] = []
    found: dict[str, list[float]] = {what: [] for what in places}
    for number, row in rows:
        for what, i in places.items():
            cell = row[i] if i < len(row) else ""
            empty = what in NOT_ALWAYS and not cell.strip()
            found[what].append(nan if empty else _cell(cell, f"{name}, line {number}", what, problems))
    if problems:
        more = [f"and {len(problems) - MOST_SHOWN} more"] if len(problems) > MOST_SHOWN else []
        raise BadInput(problems[:MOST_SHOWN] + more)
    return found


def _in_si(column: list[float], unit: str) -> list[float]:
    scale, offset = UNITS[unit].scale, UNITS[unit].offset
    return [x * scale + offset for x in column]


def _cell(text: str, where: str, what: str, problems: list[str]) -> float:
    try:
        value = float(text.strip().replace(",", "."))
    except ValueError:
        value = float("nan")
    if not isfinite(value):
        problems.append(f"file: {where}: {what} is {text.strip()!r}, not a number")
    return value


def _heads(wanted: Sequence[str]) -> str:
    heads = ",".join(COLUMNS[what][1] for what in wanted)
    return f"a first line {heads}, then numbers; or as on the page of the test: {ACCEPTED.partition('such as ')[2]}"
