"""Load a table: first row names, second row units, then rows; every row names a source of sources.toml.

A row without a source, with an unknown source, or a numeric column without a unit is refused: a number nobody can trace is no number.
"""

from __future__ import annotations

import csv
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable

from boxup.core.source import LABELS, Cite, Source
from boxup.core.unit import UNITS
from boxup.core.working import TableRow


class BadTable(ValueError):
    """Everything wrong with a table, a sentence each."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row: text by column, units by column, and its place for the working."""

    table: str
    key: str
    cells: Mapping[str, str]
    units: Mapping[str, str]
    cite: Cite

    def text(self, column: str) -> str:
        return self.cells[column]

    def si(self, column: str) -> float | None:
        """The number in SI, or None where the table has a blank."""
        cell = self.cells[column]
        return UNITS[self.units[column]].to_si(float(cell)) if cell else None

    def need(self, column: str) -> float:
        """The number in SI; LookupError when the table has a blank there."""
        value = self.si(column)
        if value is None:
            raise LookupError(f"{self.table} has no {column} for {self.key}")
        return value

    def place(self, column: str) -> TableRow:
        return TableRow(self.table, self.key, column.replace("_", " "))


@cache
def sources() -> dict[str, Source]:
    """Every source by its id, from sources.toml."""
    raw = tomllib.loads((files("boxup.reference") / "sources.toml").read_text("utf-8"))
    for key, entry in raw.items():
        if entry.get("label") not in LABELS or not entry.get("title"):
            raise BadTable(f"sources.toml, [{key}]: needs a title and a label, one of {', '.join(LABELS)}")
    return {k: Source(k, e["title"], e["label"], e.get("note", "")) for k, e in raw.items()}


def source(key: str) -> Source:
    """One source by its id."""
    return sources()[key]


@cache
def table(name: str) -> dict[str, Row]:
    """The rows of `tables/<name>.csv` by their first column."""
    return read_table(files("boxup.reference") / "tables" / f"{name}.csv", name)


def read_table(path: Traversable, name: str) -> dict[str, Row]:
    """Read and check one table file. Raises BadTable with every problem at once."""
    lines = [r for r in csv.reader(path.read_text("utf-8").splitlines()) if r and not r[0].startswith("#")]
    names, units = lines[0], dict(zip(lines[0], lines[1], strict=True))
    problems = [f"{name}: column {c} has the unit {u!r}, which is not known; 'text' for words" for c, u in units.items()
                if u != "text" and u not in UNITS]  # fmt: skip
    rows: dict[str, Row] = {}
    for number, line in enumerate(lines[2:], start=3):
        row, wrong = _row(name, names, units, line, number)
        problems += wrong
        if row:
            rows[row.key] = row
    if problems:
        raise BadTable("\n".join(problems))
    return rows


def _row(name: str, names: list[str], units: dict[str, str], line: list[str], number: int) -> tuple[Row | None, list[str]]:
    place = f"{name}, row {number}"
    if len(line) != len(names):
        return None, [f"{place}: {len(line)} cells where the head has {len(names)}"]
    cells = {c: v.strip() for c, v in zip(names, line, strict=True)}
    wrong = [f"{place}: {c} is {v!r}, not a number" for c, v in cells.items() if units[c] in UNITS and v and not _is_number(v)]
    origin = sources().get(cells.get("source", ""))
    if origin is None:
        return None, [*wrong, f"{place}: the source {cells.get('source', '')!r} is not in sources.toml; no number without a source"]
    label = cells.get("label") or origin.label
    if label not in LABELS:
        wrong.append(f"{place}: the label {label!r} is none of {', '.join(LABELS)}")
    shown = Source(origin.id, origin.title, label, origin.note)  # type: ignore[arg-type]
    return Row(name, cells[names[0]], cells, units, Cite(shown, cells.get("where", ""))), wrong


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True
