"""Exchanger files as a register: what stands in them, as it was typed, cell by cell."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from boxup.exchanger.letters import letters
from boxup.exchanger.sections import NAMED
from boxup.turnaround.blank import blank, heads_for
from boxup.turnaround.columns import MAIN, SHEETS, Column, column_named, columns_of_section, item_columns, main_columns, with_item
from boxup.turnaround.listing import Listing

Tables = Mapping[str, Any]


def filled(exchangers: Sequence[Tables]) -> list[Listing]:
    """The sheets of a register of those exchangers (each the tables of its file), ready to be filled in further."""
    types = list(dict.fromkeys(letters(str(t["exchanger"]["type"])) for t in exchangers))
    columns = _used(exchangers, tuple(main_columns(types)))
    rows = tuple(tuple(cell(_value(t, c)) for c in columns) for t in exchangers)
    sheets = {
        MAIN: Listing(MAIN, heads_for(columns), rows),
        **{n: Listing(n, heads_for(item_columns(n)), _items(exchangers, n)) for n in SHEETS},
    }
    return [sheets.get(listing.name, listing) for listing in blank(types)]


def filled_table(exchangers: Sequence[Tables]) -> Listing:
    """The same as one table with only the columns that are used: one row an exchanger, its items in further columns."""
    main = [c for c in _used(exchangers, tuple(main_columns())) if any(_value(t, c) is not None for t in exchangers)]
    columns = (*main, *_item_columns(exchangers))
    return Listing(MAIN, heads_for(columns), tuple(tuple(cell(_value(t, c)) for c in columns) for t in exchangers))


def _used(exchangers: Sequence[Tables], columns: tuple[Column, ...]) -> tuple[Column, ...]:
    """Those columns, and any other one of the first sheet that a file has: an option of its own, a section its letters do not call for."""
    there = {c.path for c in columns}
    paths = dict.fromkeys(f"{s}.{k}" for t in exchangers for s, table in t.items() if s not in NAMED for k in table)
    more = tuple(c for path in paths if path not in there and (c := column_named(MAIN, path)))
    return columns + more


def _items(exchangers: Sequence[Tables], sheet: str) -> tuple[tuple[str, ...], ...]:
    section, (_, _, *columns) = SHEETS[sheet], item_columns(sheet)
    found = [(str(t["exchanger"]["tag"]), name, item) for t in exchangers for name, item in t.get(section, {}).items()]
    return tuple((cell(tag), cell(name), *(cell(item.get(c.key)) for c in columns)) for tag, name, item in found)


def _item_columns(exchangers: Sequence[Tables]) -> Iterable[Column]:
    for section in NAMED:
        for name in _in_order([list(t.get(section, {})) for t in exchangers]):
            used = {k for t in exchangers for k in t.get(section, {}).get(name, {})}
            yield from (with_item(c, name) for c in columns_of_section(section) if c.key in used)


def _in_order(lists: Iterable[list[str]]) -> list[str]:
    """Every name once, each behind the one it follows in its own list: an exchanger's items keep their order where the lists agree."""
    order: list[str] = []
    for names in lists:
        at = 0
        for name in names:
            if name not in order:
                order.insert(at, name)
            at = order.index(name) + 1
    return order


def _value(tables: Tables, c: Column) -> Any:
    table = tables.get(c.section, {})
    return (table.get(c.item, {}) if c.item else table).get(c.key)


def cell(value: Any) -> str:
    """A value of the file as a person types it into a cell."""
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case list() if value and isinstance(value[0], list):
            return "; ".join(", ".join(str(v) for v in row) for row in value)
        case list():
            return ", ".join(str(v) for v in value)
        case _:
            text = str(value)
            return f"'{text}" if text.startswith(("=", "@")) else text
