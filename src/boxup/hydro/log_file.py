"""Logs of a test as tables: a column a quantity, its unit in the name (`t_min,T_water_C,P_MPa_gauge`). Every mistake at once."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite
from pathlib import Path

from boxup.core.calculation import BadInput
from boxup.core.unit import UNITS

# Column as it may be headed, and what its numbers are in. Minutes, kelvin steps from degC, MPa gauge, litres.
COLUMNS: dict[str, dict[str, str]] = {
    "time": {"t_min": "min", "t_s": "s", "t_h": "h"},
    "temperature": {"T_water_C": "degC", "T_water_F": "degF"},
    "pressure": {"P_MPa_gauge": "MPa", "P_bar_gauge": "bar", "P_kPa_gauge": "kPa", "P_psi_gauge": "psi", "P_gauge_MPa": "MPa",
                 "P_gauge_bar": "bar", "P_gauge_psi": "psi"},
    "pumped": {"pumped_L": "L", "pumped_mL": "mL", "pumped_gal": "gal"},
}  # fmt: skip
# What no log of a test holds: a slip of the finger, or a column in another unit. In SI.
BOUNDS: dict[str, tuple[float, float, str]] = {
    "time": (-6e7, 6e7, "up to 1,000,000 min"),
    "temperature": (243.15, 423.15, "-30 to 150 °C"),
    "pressure": (-0.102e6, 1e9, "0 to 1000 MPa, gauge"),
    "pumped": (-1e4, 1e4, "0 to 10,000,000 L"),
}
MOST_SHOWN, LARGEST = 10, 5_000_000  # mistakes told at once; bytes of a file


@dataclass(frozen=True, slots=True)
class LogTable:
    """The columns read, in SI, each as long as the others; `unit` by column as it was headed."""

    name: str
    columns: dict[str, list[float]]
    units: dict[str, str]

    def __len__(self) -> int:
        return len(next(iter(self.columns.values())))


def read_log(path: str, wanted: Sequence[str]) -> LogTable:
    """The wanted columns of a file. Raises BadInput with every mistake: no file, a column not headed so, a cell that is no number."""
    file = Path(path)
    try:
        if file.stat().st_size > LARGEST:
            raise BadInput([f"file: {file.name} is larger than {LARGEST // 1_000_000} MB; accepted: one hold or one filling"])
        text = file.read_text("utf-8-sig")
    except BadInput:
        raise
    except (OSError, ValueError) as bad:
        raise BadInput([f"file: {path!r} cannot be read as text ({type(bad).__name__}); accepted: a CSV file, {_heads(wanted)}"]) from bad
    return table_of(text, file.name, wanted)


def table_of(text: str, name: str, wanted: Sequence[str]) -> LogTable:
    """As `read_log`, from a text."""
    try:
        rows = [(n, r) for n, r in enumerate(csv.reader(text.splitlines()), start=1) if "".join(r).strip()]
    except csv.Error as bad:
        raise BadInput([f"file: {name} cannot be read as a table ({bad}); accepted: a CSV file, {_heads(wanted)}"]) from bad
    if not rows:
        raise BadInput([f"file: {name} is empty; accepted: {_heads(wanted)}"])
    heads = [h.strip() for h in rows[0][1]]
    at = {what: next((i for i, h in enumerate(heads) if h in COLUMNS[what]), None) for what in wanted}
    if lacks := [what for what, i in at.items() if i is None]:
        said = f"no column for {', '.join(lacks)}; the first line is {','.join(heads)!r}"
        raise BadInput([f"file: {name}: {said}; accepted: {_heads(wanted)}"])
    units = {what: COLUMNS[what][heads[i]] for what, i in at.items() if i is not None}
    places = {what: i for what, i in at.items() if i is not None}
    found = _quickly(rows[1:], places) or _cell_by_cell(rows[1:], places, name)
    columns = {what: _in_si(found[what], units[what]) for what in wanted}
    _refuse_beyond(columns, [n for n, _ in rows[1:]], name)
    return LogTable(name, columns, units)


def _refuse_beyond(columns: dict[str, list[float]], lines: list[int], name: str) -> None:
    """One sentence for each column with a number no test has."""
    problems = []
    for what, column in columns.items():
        low, high, said = BOUNDS[what]
        if line := next((n for n, x in zip(lines, column, strict=True) if not low <= x <= high), None):
            problems.append(f"file: {name}, line {line}: {what} is beyond what any test has; accepted: {said}")
    if problems:
        raise BadInput(problems)


Rows = list[tuple[int, list[str]]]


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
            found[what].append(_cell(row[i] if i < len(row) else "", f"{name}, line {number}", what, problems))
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
    return "a first line " + ",".join(next(iter(COLUMNS[what])) for what in wanted) + ", then numbers"
