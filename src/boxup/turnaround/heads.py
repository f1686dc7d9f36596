"""The head of a sheet: which column is which, and the unit that row 2 gives to bare numbers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from difflib import get_close_matches

from boxup.exchanger.syntax import short
from boxup.turnaround.book import Sheet, letter
from boxup.turnaround.cell import OddCell, unit_of
from boxup.turnaround.columns import MAIN, Column, column_named, known_names, plain
from boxup.turnaround.mistake import Mistake

OWN = "#"  # a column of the planner's own, which is not read


@dataclass(slots=True)
class Heads:
    """Column number to column; `units` the unit of its bare numbers; `first` the first row that may be an exchanger."""

    columns: dict[int, Column] = field(default_factory=dict)
    units: dict[int, str] = field(default_factory=dict)
    first: int = 1
    mistakes: list[Mistake] = field(default_factory=list)

    def place(self, kind: str) -> int:
        """The number of the column of that kind (tag, item); -1 where there is none."""
        return next((n for n, c in self.columns.items() if c.kind == kind), -1)


def heads_of(sheet: Sheet, kind: str) -> Heads:
    """The heads of a sheet that is of that kind (`exchangers`, `gaskets`, ...)."""
    heads = Heads()
    heads.mistakes += _names(sheet, kind, heads)
    heads.mistakes += _needed(sheet, kind, heads)
    tag = heads.place("tag")
    if tag >= 0 and is_units(str(sheet.at(1, tag) or "")):
        heads.first = 2
        heads.mistakes += _units(sheet, heads)
    return heads


def is_units(tag: str) -> bool:
    """Whether a row with this in its tag column is the row of units."""
    return plain(tag) == "unit" or plain(tag).startswith("unit,")


def _names(sheet: Sheet, kind: str, heads: Heads) -> Iterator[Mistake]:
    seen: dict[str, int] = {}
    for n in range(sheet.width):
        name = sheet.at(0, n)
        said = str(name or "").strip()
        if not said:
            if any(sheet.at(r, n) is not None for r in range(1, len(sheet.rows))):
                yield _of(sheet, 0, n, "", "there are values under this column and no name over it; name it, or begin its name with #")
            continue
        if said.startswith(OWN):
            continue
        column = column_named(kind, said) if isinstance(name, str) else None
        if column is None:
            yield _of(sheet, 0, n, said, _unknown(kind, said))
        elif column.path in seen:
            yield _of(sheet, 0, n, said, f"this column stands twice, first as column {letter(seen[column.path])}; take one out")
        else:
            seen[column.path] = n
            heads.columns[n] = column


def _unknown(kind: str, said: str) -> str:
    names = list(known_names(kind))
    near = get_close_matches(plain(said), names, 1)
    hint = f"; did you mean {known_names(kind)[near[0]].name!r}?" if near else "."
    return (f"{short(said, 40)!r} is no column of this sheet{hint} `boxup register template` writes the names; "
            "a column of your own begins with # and is not read")  # fmt: skip


def _needed(sheet: Sheet, kind: str, heads: Heads) -> Iterator[Mistake]:
    for what in ("tag",) if kind == MAIN else ("tag", "item"):
        if heads.place(what) < 0:
            yield _of(sheet, 0, -1, "", f"there is no column {what!r} in row 1: without it no row is anybody's")


def _units(sheet: Sheet, heads: Heads) -> Iterator[Mistake]:
    for n, column in heads.columns.items():
        said = sheet.at(1, n)
        try:
            heads.units[n] = unit_of(str(said), column) if said is not None else ""
        except OddCell as odd:
            yield _of(sheet, 1, n, str(said), str(odd))


def _of(sheet: Sheet, row: int, column: int, seen: str, text: str) -> Mistake:
    return Mistake(sheet.name, row, column, "", "", seen, text)
