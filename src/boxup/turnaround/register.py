"""The register of a turnaround: every exchanger of a spreadsheet, read and checked as its own file is, all mistakes at once."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from boxup.exchanger.check import AlsoAsk, Report, check_text
from boxup.exchanger.problem import Problem
from boxup.exchanger.toml_text import toml_text
from boxup.turnaround.book import Book
from boxup.turnaround.mistake import Level, Mistake
from boxup.turnaround.rows import Entry, Place, Rows

_FIRST_WORD = re.compile(r"(\w+): missing")


@dataclass(frozen=True, slots=True)
class Row:
    """One exchanger of the register: the text of its file, what the reader says of it, and whether all its cells were taken."""

    tag: str
    row: int
    text: str
    report: Report
    good: bool

    @property
    def file(self) -> str:
        """A name for its file that any system takes."""
        return (re.sub(r"[^A-Za-z0-9._-]+", "_", self.tag).strip("._") or "exchanger") + ".toml"


@dataclass(frozen=True, slots=True)
class Register:
    """What was read. `errors` stop it; `notes` tell how something was read."""

    name: str
    rows: tuple[Row, ...]
    mistakes: tuple[Mistake, ...]
    notes: tuple[str, ...] = ()
    whole: bool = True  # whether every mistake is of one exchanger; one in a head, or of an item nobody owns, may touch any of them

    @property
    def errors(self) -> tuple[Mistake, ...]:
        return tuple(m for m in self.mistakes if m.level == "error")

    @property
    def good_rows(self) -> tuple[Row, ...]:
        """The rows without a mistake; none where a mistake may touch any row."""
        return tuple(r for r in self.rows if r.good) if self.whole else ()


def read_register(book: Book, also: Iterable[AlsoAsk] = ()) -> Register:
    """Every exchanger of a book. Never raises for what is in it."""
    rows, also = Rows(), tuple(also)
    rows.read(book)
    reports = [(entry, *_checked(entry, book.name, also)) for entry in (*rows.entries.values(), *rows.nobodys)]
    mistakes = [*rows.mistakes, *(m for entry, _, report in reports for m in _told(entry, report))]
    mistakes += _same_files(list(rows.entries.values()))
    spoilt = {m.tag for m in mistakes if m.level == "error"} | _spoilt_rows(rows)
    read = tuple(
        Row(e.tag, e.place.row, text, report, report.ok and not e.bad and e.tag not in spoilt)
        for e, text, report in reports
        if not e.nobody
    )
    order = {sheet.name: n for n, sheet in enumerate(book.sheets)}
    mistakes.sort(key=lambda m: (m.level == "note", order.get(m.sheet, -1), m.row, m.column))
    tags, main = {e.tag for e, _, _ in reports}, {e.place.sheet for e, _, _ in reports}
    whole = not any(
        m.level == "error" and (m.row < 2 or (m.tag not in tags and m.sheet not in main)) and m.tag not in tags for m in mistakes
    )
    return Register(book.name, read, tuple(dict.fromkeys(mistakes)), book.notes, whole)


def _checked(entry: Entry, name: str, also: Iterable[AlsoAsk]) -> tuple[str, Report]:
    heading = f"{entry.tag}, from the register {name}, {entry.place.sheet} row {entry.place.row + 1}."
    text = toml_text(entry.tables, heading)
    return text, check_text(text, f"{entry.tag}.toml", also)


def _spoilt_rows(rows: Rows) -> set[str]:
    """Exchangers with a mistake in their row that was found before the tag was known (hidden, merged)."""
    places = {(p.sheet, p.row): e.tag for e in rows.entries.values() for p in (e.place, *e.places.values())}
    wrong = rows.unseen | {(m.sheet, m.row) for m in rows.mistakes if m.level == "error"}
    return {places[at] for at in wrong if at in places}


def _told(entry: Entry, report: Report) -> Iterator[Mistake]:
    """The reader's problems, each at the cell of its key."""
    for p in (*report.errors, *report.warnings):
        path = _path(entry, p)
        if path in entry.bad:
            continue  # its cell was refused with a better sentence
        place = _place(entry, path)
        key = "" if path in entry.places else f"{p.key}: "
        level: Level = "error" if p.level == "error" else "note"
        yield Mistake(place.sheet, place.row, place.column, entry.tag, place.name, place.seen, f"{key}{p.text}", level)


def _path(entry: Entry, p: Problem) -> str:
    lacking = _FIRST_WORD.match(p.text)
    if lacking and (f"{p.key}.{lacking[1]}" in entry.places or f"{p.key}.{lacking[1]}" in entry.bad):
        return f"{p.key}.{lacking[1]}"
    key = re.sub(r"^(tubes\.rows)\.\d+$", r"\1", p.key)
    return key


def _place(entry: Entry, path: str) -> Place:
    while path:
        if path in entry.places:
            return entry.places[path]
        path = path.rpartition(".")[0]
    return entry.place


def _same_files(entries: list[Entry]) -> Iterator[Mistake]:
    """Two tags that would be the same file."""
    seen: dict[str, Entry] = {}
    for e in entries:
        name = Row(e.tag, 0, "", Report("", (), ()), True).file.lower()
        if name in seen:
            text = f"{e.tag!r} and {seen[name].tag!r} differ only in characters a file name cannot have ({name}); mend one of them"
            yield Mistake(e.place.sheet, e.place.row, e.place.column, e.tag, e.place.name, e.place.seen, text)
        seen.setdefault(name, e)
