"""The copy of a register in which every mistake is marked, for a person to mend and read again."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from boxup.exchanger.problem import sentence
from boxup.turnaround.blank import heads_for
from boxup.turnaround.book import At, Book, Sheet, Value, letter
from boxup.turnaround.columns import MAIN, column_named, plain
from boxup.turnaround.listing import Head, Listing
from boxup.turnaround.mistake import Mistake
from boxup.turnaround.rows import ASIDE, seen

TO_MEND = "To mend"
_WIDTHS = {"no.": 6, "sheet": 16, "cell": 10, "tag": 16, "column": 28, "what stands there": 30, "what is wrong, and what is accepted": 110}
_HEADS = tuple(Head(name, width=width) for name, width in _WIDTHS.items())


def copy_to_mend(book: Book, errors: Iterable[Mistake]) -> list[Listing]:
    """Every sheet as it was, good cells as text, the bad ones marked; in front the list of what to mend."""
    errors = list(errors)
    sheets = [s for s in book.sheets if plain(s.name) not in ASIDE]
    names = {s.name: _name(book, s) for s in sheets}
    return [_list(errors, names), *(_copied(s, names[s.name], [m for m in errors if m.sheet == s.name]) for s in sheets)]


def _name(book: Book, sheet: Sheet) -> str:
    return MAIN if book.kind == "csv" else sheet.name


def _list(errors: list[Mistake], names: dict[str, str]) -> Listing:
    rows = tuple(
        (str(n), names.get(m.sheet, m.sheet), m.cell, m.tag, m.name, m.seen, sentence(m.text)) for n, m in enumerate(errors, start=1)
    )
    links = {(n, 2): (names[m.sheet], _cell(m)) for n, m in enumerate(errors, start=1) if m.sheet in names and m.cell}
    return Listing(TO_MEND, _HEADS, rows, units=False, free=True, links=links)


def _cell(m: Mistake) -> str:
    return f"{letter(max(m.column, 0))}{m.row + 1}"


def _copied(sheet: Sheet, name: str, errors: list[Mistake]) -> Listing:
    heads = tuple(_head(sheet, name, n) for n in range(sheet.width))
    rows = tuple(tuple(_text(sheet, r, c) for c in range(sheet.width)) for r in range(1, len(sheet.rows)))
    marks = dict(_marks(errors))
    numbers = {at: float(v) for at in marks if isinstance(v := sheet.at(*at), int | float) and not isinstance(v, bool)}
    return Listing(name, heads, rows, marks=marks, merged=sheet.merged, units=False, numbers=numbers)


def _head(sheet: Sheet, name: str, n: int) -> Head:
    said = _text(sheet, 0, n)
    column = column_named(plain(name), said) if said else None
    known = heads_for([column])[0] if column else Head(said)
    return Head(said, note=known.note, choices=known.choices, group=known.group, width=known.width)


def _text(sheet: Sheet, row: int, column: int) -> str:
    at = (row, column)
    value: Value = sheet.faults.get(at) or sheet.empty_formulas.get(at) or sheet.at(row, column)
    return value if isinstance(value, str) else seen(value)


def _marks(errors: list[Mistake]) -> Iterator[tuple[At, str]]:
    """The sentences of each cell together; those of a whole row stand on its first cell."""
    at: dict[At, list[str]] = {}
    for m in errors:
        if m.row >= 0:
            at.setdefault((m.row, max(m.column, 0)), []).append(sentence(m.text))
    yield from ((place, "\n".join(texts)) for place, texts in at.items())
