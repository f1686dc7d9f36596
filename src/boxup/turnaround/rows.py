"""From the sheets of a register to the tables of each exchanger, with the cell every key came from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import date
from difflib import get_close_matches
from typing import Any

from boxup.exchanger.sections import FIRST_NAMES, NAMED
from boxup.exchanger.syntax import short
from boxup.turnaround.book import Book, Sheet, Value, letter
from boxup.turnaround.cell import OddCell, read_cell
from boxup.turnaround.columns import MAIN, SHEETS, Column, plain
from boxup.turnaround.heads import Heads, heads_of, is_units
from boxup.turnaround.mistake import Level, Mistake

ASIDE = ("to mend", "read me", "joints of the types")  # sheets of ours that say, and are not read
MOST_EXCHANGERS = 2000


@dataclass(frozen=True, slots=True)
class Place:
    """Where a value stood."""

    sheet: str
    row: int
    column: int
    name: str
    seen: str


@dataclass(slots=True)
class Entry:
    """One exchanger of the register: its tables as a file would have them, and where each key stood."""

    tag: str
    place: Place
    tables: dict[str, Any] = field(default_factory=dict)
    places: dict[str, Place] = field(default_factory=dict)
    bad: set[str] = field(default_factory=set)  # keys whose cell was refused: the reader is not to call them missing
    nobody: bool = False  # its row has no tag of its own: its mistakes are told at once, and it is never written

    def put(self, path: str, value: Any) -> None:
        """Set one key; `gasket.G1.od` makes the sections it needs."""
        section, *rest = path.split(".", 1) if not path.startswith(tuple(f"{n}." for n in NAMED)) else _three(path)
        table = self.tables.setdefault(section, {})
        for name in rest[:-1]:
            table = table.setdefault(name, {})
        table[rest[-1]] = value


def _three(path: str) -> list[str]:
    """`gasket.G1.a.od` into section, name and key: a name may have points in it."""
    section, _, rest = path.partition(".")
    item, _, key = rest.rpartition(".")
    return [section, item, key]


@dataclass(slots=True)
class Rows:
    """Reads a book; `entries` and `mistakes` grow as it goes."""

    entries: dict[str, Entry] = field(default_factory=dict)
    mistakes: list[Mistake] = field(default_factory=list)
    unseen: set[tuple[str, int]] = field(default_factory=set)  # sheet and row: hidden, or with a part of merged cells
    broken: list[int] = field(default_factory=list)  # places in `mistakes` of rows of the first sheet that are nobody's
    nobodys: list[Entry] = field(default_factory=list)  # those rows
    lost: dict[str, list[Place]] = field(default_factory=dict)  # rows of other sheets, by a tag that no row of the first sheet has

    def read(self, book: Book) -> None:
        """Every sheet, the exchangers first."""
        main = _main_of(book)
        if main is None:
            text = f"there is no sheet {MAIN!r}; this file has {', '.join(repr(s.name) for s in book.sheets) or 'none'}"
            self.mistakes.append(Mistake(book.name, -1, -1, "", "", "", text))
        else:
            self._sheet(main, MAIN)
        for sheet in book.sheets:
            if sheet is not main:
                self._other(sheet)
        self._say_lost()

    def _other(self, sheet: Sheet) -> None:
        name = plain(sheet.name)
        if name in SHEETS:
            self._sheet(sheet, name)
        elif name not in ASIDE and not name.startswith("#") and any(not sheet.is_empty(r) for r in range(len(sheet.rows))):
            near = get_close_matches(name, [MAIN, *SHEETS], 1)
            hint = f"; did you mean {near[0]!r}?" if near else f"; sheets that are read: {MAIN}, {', '.join(SHEETS)}"
            text = f"no sheet of a register has this name{hint}. A sheet of your own begins with #"
            self.mistakes.append(Mistake(sheet.name, -1, -1, "", "", "", text))

    def _sheet(self, sheet: Sheet, kind: str) -> None:
        heads = heads_of(sheet, kind)
        self.mistakes += heads.mistakes
        rows = [r for r in range(heads.first, len(sheet.rows)) if not sheet.is_empty(r)]
        self.mistakes += _unseen(sheet, heads, rows)
        spans = (range(first[0], last[0] + 1) for first, last in sheet.merged)
        self.unseen |= {(sheet.name, row) for row in (*sheet.hidden_rows, *(r for span in spans for r in span))}
        if kind == MAIN and not rows:
            self.mistakes.append(Mistake(sheet.name, -1, -1, "", "", "", "there is no exchanger in it; write one a row, under the heads"))
        if len(rows) > MOST_EXCHANGERS * (1 if kind == MAIN else 20):
            self.mistakes.append(
                Mistake(sheet.name, -1, -1, "", "", "", f"{len(rows)} rows; a register of up to {MOST_EXCHANGERS} is read")
            )
            return
        if heads.place("tag") < 0 or (kind != MAIN and heads.place("item") < 0):
            return
        for row in rows:
            self._row(sheet, kind, heads, row)

    def _row(self, sheet: Sheet, kind: str, heads: Heads, row: int) -> None:
        entry = self._owner(sheet, kind, heads, row)
        if entry is None:
            self._cells(sheet, heads, row, None, "")  # its own mistakes are said all the same
            return
        item = "" if kind == MAIN else self._item(sheet, SHEETS[kind], heads, row, entry)
        if kind == MAIN or item:
            self._cells(sheet, heads, row, entry, item)

    def _owner(self, sheet: Sheet, kind: str, heads: Heads, row: int) -> Entry | None:
        """The exchanger of a row: a new one on the first sheet, one that is there on the others."""
        before = len(self.mistakes)
        entry = self._named_by(sheet, kind, heads, row)
        if kind == MAIN and entry is None and len(self.mistakes) > before:
            self.broken.append(before)
            at = heads.place("tag")
            entry = Entry(f"row {row + 1}", _place(sheet, row, at, heads.columns[at]), bad={"exchanger.tag"}, nobody=True)
            self.nobodys.append(entry)
        return entry

    def _named_by(self, sheet: Sheet, kind: str, heads: Heads, row: int) -> Entry | None:
        at = heads.place("tag")
        tag = self._name(sheet, heads, row, at)
        place = _place(sheet, row, at, heads.columns[at])
        if tag is None:
            return None
        if not tag:
            self._say(place, "", "there is no tag in this row, and other cells are filled; a row is known by its tag")
            return None
        if is_units(tag):
            self._say(place, "", "the row of units stands here and not in row 2: a sort has moved it; put it back under the names")
            return None
        known = self.entries.get(tag.casefold())
        if kind == MAIN:
            return self._new(tag, place, known)
        if known is None or known.tag != tag:
            self.lost.setdefault(tag, []).append(place)
            return self.nobodys[0] if len(self.nobodys) == 1 and len(self.lost) == 1 else None
        return known

    def _say_lost(self) -> None:
        """One sentence for all the rows of a tag that is not there. While a row of the first sheet has no tag of its own, they may be
        its rows: then it is said there, and nothing is proposed."""
        if self.lost and self.broken:
            first = self.mistakes[self.broken[0]]
            theirs = "; ".join(f"{_counted(places)} belong to {tag!r}" for tag, places in self.lost.items())
            text = f"{first.text}. {theirs}, which no row of {MAIN} is: this row may be theirs"
            self.mistakes[self.broken[0]] = replace(first, text=text)
            return
        for tag, places in self.lost.items():
            near = get_close_matches(tag, [e.tag for e in self.entries.values()], 1)
            rest = f" ({_counted(places)})" if len(places) > 1 else ""
            hint = f"; did you mean {near[0]!r}?" if near else ""
            self._say(places[0], tag, f"no exchanger {tag!r} on the sheet {MAIN}{rest}{hint}")

    def _new(self, tag: str, place: Place, known: Entry | None) -> Entry | None:
        if known:
            same = "" if known.tag == tag else f" (as {known.tag!r}; capitals do not tell two exchangers apart)"
            self._say(place, tag, f"{tag} stands twice, first in row {known.place.row + 1}{same}; take one out, or mend its tag")
            known.bad.add("exchanger.tag")
            return None
        entry = Entry(tag, place)
        self.entries[tag.casefold()] = entry
        return entry

    def _item(self, sheet: Sheet, section: str, heads: Heads, row: int, entry: Entry) -> str:
        at = heads.place("item")
        place = _place(sheet, row, at, heads.columns[at])
        item = self._name(sheet, heads, row, at)
        if item and item in entry.tables.get(section, {}):
            first = next(p for k, p in entry.places.items() if k == f"{section}.{item}")
            self._say(
                place, entry.tag, f"{item} of {entry.tag} stands twice, first in row {first.row + 1} of {first.sheet}; give it another name"
            )
            return ""
        if item == "":
            self._say(place, entry.tag, f"there is no name of the item in this row; for example {FIRST_NAMES[section]}")
        if item:
            entry.tables.setdefault(section, {})[item] = {}
            entry.places[f"{section}.{item}"] = place
        return item or ""

    def _name(self, sheet: Sheet, heads: Heads, row: int, at: int) -> str | None:
        """The tag or the item of a row; None where its cell was refused, which is said."""
        column = heads.columns[at]
        try:
            got = read_cell(_raw(sheet, row, at), column)
        except OddCell as odd:
            self._say(_place(sheet, row, at, column), "", str(odd))
            return None
        for note in got.notes:
            self._say(_place(sheet, row, at, column), str(got.value), note, "note")
        return str(got.value or "")

    def _cells(self, sheet: Sheet, heads: Heads, row: int, entry: Entry | None, item: str) -> None:
        for at, column in heads.columns.items():
            if column.kind == "item" or (column.kind == "tag" and entry is None):
                continue
            path = column.path if not item or column.kind == "tag" else f"{column.section}.{item}.{column.key}"
            place = _place(sheet, row, at, column)
            if entry and not (item and column.kind == "tag"):
                entry.places[path] = place
            self._cell(sheet, row, at, column, heads.units.get(at, ""), entry, path)

    def _cell(self, sheet: Sheet, row: int, at: int, column: Column, unit: str, entry: Entry | None, path: str) -> None:
        place, tag = _place(sheet, row, at, column), entry.tag if entry else ""
        try:
            got = read_cell(_raw(sheet, row, at), column, unit)
        except OddCell as odd:
            self._say(place, tag, str(odd))
            if entry:
                entry.bad.add(path)
            return
        if column.kind != "tag":
            for note in got.notes:
                self._say(place, tag, note, "note")
        if entry and got.value is not None and (column.kind != "tag" or not path.count(".") > 1):
            entry.put(path, entry.tag if column.kind == "tag" else got.value)

    def _say(self, place: Place, tag: str, text: str, level: Level = "error") -> None:
        self.mistakes.append(Mistake(place.sheet, place.row, place.column, tag, place.name, place.seen, text, level))


def _counted(places: list[Place]) -> str:
    """`2 rows of gaskets and 1 row of studs`."""
    sheets: dict[str, int] = {}
    for p in places:
        sheets[p.sheet] = sheets.get(p.sheet, 0) + 1
    found = [f"{n} row{'s' * (n > 1)} of {sheet}" for sheet, n in sheets.items()]
    return found[0] if len(found) == 1 else f"{', '.join(found[:-1])} and {found[-1]}"


def _main_of(book: Book) -> Sheet | None:
    if book.kind == "csv":
        return book.sheets[0] if book.sheets else None
    return next((s for s in book.sheets if plain(s.name) == MAIN), None)


def _raw(sheet: Sheet, row: int, column: int) -> Value:
    if (row, column) in sheet.empty_formulas:
        raise OddCell("the cell holds a formula that was saved without its value: open the file in the spreadsheet, let it reckon, save it")
    return sheet.faults.get((row, column)) or sheet.at(row, column)


def _place(sheet: Sheet, row: int, column: int, c: Column) -> Place:
    value = sheet.faults.get((row, column)) or sheet.empty_formulas.get((row, column)) or sheet.at(row, column)
    return Place(sheet.name, row, column, c.name, seen(value))


def seen(value: Value) -> str:
    """A cell as a person sees it."""
    if isinstance(value, bool):
        return str(value).upper()
    if isinstance(value, int | float):
        return f"{value:.15g}"
    return value.isoformat() if isinstance(value, date) else short("" if value is None else str(value), 80)


def _unseen(sheet: Sheet, heads: Heads, rows: list[int]) -> Iterator[Mistake]:
    """What does not show to the eye: merged cells, hidden rows, columns and sheets; formulas with a value are only told."""
    if sheet.hidden and rows:
        yield Mistake(sheet.name, -1, -1, "", "", "", "this sheet is hidden and has rows; show it, or take it out: nobody has looked at it")
    for first, last in sheet.merged:
        if last[0] >= heads.first and first[0] < len(sheet.rows):
            span = f"{letter(first[1])}{first[0] + 1}:{letter(last[1])}{last[0] + 1}"
            text = f"{span} are merged and only the first of them holds the value; part them and write each cell"
            yield Mistake(sheet.name, first[0], first[1], "", "", seen(sheet.at(*first)), text)
    for row in rows:
        if row in sheet.hidden_rows:
            yield Mistake(sheet.name, row, -1, "", "", "", "this row is hidden, by hand or by a filter; show it, or delete it")
    for n in sorted(sheet.hidden_columns & set(heads.columns)):
        if any(sheet.at(r, n) is not None for r in rows):
            yield Mistake(sheet.name, 0, n, "", heads.columns[n].name, "", "this column is hidden and was read", "note")
    told = sorted(at for at in sheet.formulas if at[0] in rows and at[1] in heads.columns)
    if told:
        some = ", ".join(f"{letter(c)}{r + 1}" for r, c in told[:5]) + (", ..." if len(told) > 5 else "")
        yield Mistake(
            sheet.name, -1, -1, "", "", "", f"{len(told)} cells are formulas ({some}); the value they were saved with was read", "note"
        )
