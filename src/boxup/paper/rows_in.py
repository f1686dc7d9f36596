"""The rows of a report as text with their line numbers, from a spreadsheet: what a reader of reports takes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime

from boxup.turnaround.book import BadBook, Book, Sheet, Value

Row = tuple[int, list[str]]


def rows_of(book: Book) -> list[Row]:
    """Rows of the one sheet that is filled, from 1. Raises BadBook where several are: which one is the report is not guessed."""
    filled = [s for s in book.sheets if not s.hidden and any(not s.is_empty(n) for n in range(len(s.rows)))]
    if len(filled) > 1:
        names = ", ".join(s.name for s in filled)
        raise BadBook(f"{book.name} has {len(filled)} filled sheets ({names}); keep the one that is the report, or save it as CSV")
    return list(_rows(filled[0])) if filled else []


def _rows(sheet: Sheet) -> Iterator[Row]:
    for n, row in enumerate(sheet.rows, 1):
        if lost := next((c for (r, c) in (*sheet.empty_formulas, *sheet.faults) if r == n - 1), None):
            raise BadBook(f"{sheet.name}, row {n}, column {lost + 1}: a formula without a value; open the file, let it work, and save it")
        yield n, [_text(v) for v in row]


def _text(value: Value) -> str:
    """As a person reads it: 9, not 9.0; a date as one, so that nobody takes it for a tube."""
    if value is None:
        return ""
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return value.isoformat()[:10] if isinstance(value, datetime | date) else str(value)


def csv_text(rows: Sequence[Row]) -> str:
    """The same as text with tabs, a line a row, empty ones kept so that the numbers stay."""
    by_number = dict(rows)
    last = max(by_number, default=0)
    return "\n".join("\t".join(c.replace("\t", " ").replace("\n", " ") for c in by_number.get(n, [])) for n in range(1, last + 1))
