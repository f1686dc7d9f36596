"""Spreadsheets out. Every cell is text, formatted as text: a spreadsheet then makes no day of 1/2 and no number of 14E103."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from typing import Any

from boxup.turnaround.listing import Head, Listing

ROWS_READY = 400  # rows under the heads that are formatted and have their lists
TEXT = 49  # the text format that every spreadsheet has built in
_LONGEST_LIST = 250  # characters a list of choices may have in XLSX
_LONGEST_NOTE = 1500


def xlsx(listings: Iterable[Listing]) -> bytes:
    """The bytes of a workbook."""
    from xlsxwriter import Workbook

    to = io.BytesIO()
    book = Workbook(to, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False})
    looks = _looks(book)
    for listing in listings:
        _sheet(book.add_worksheet(listing.name[:31]), listing, looks)
    book.close()
    return to.getvalue()


def csv_text(listing: Listing) -> str:
    """One table as CSV in UTF-8 with its mark in front, so that a spreadsheet opens it as such."""
    to = io.StringIO(newline="")
    out = csv.writer(to, lineterminator="\r\n")
    out.writerow([h.name for h in listing.heads])
    if listing.units:
        out.writerow([h.says for h in listing.heads])
    out.writerows(listing.rows)
    return "\ufeff" + to.getvalue()


def _looks(book: Any) -> dict[str, Any]:
    base = {"font_name": "Arial", "font_size": 10, "valign": "top"}
    head = {**base, "bold": True, "text_wrap": True, "bottom": 1, "num_format": TEXT}
    return {
        "text": book.add_format({**base, "num_format": TEXT}),
        "wrap": book.add_format({**base, "num_format": TEXT, "text_wrap": True}),
        "link": book.add_format({**base, "underline": 1}),
        "head0": book.add_format({**head, "bg_color": "#FFFFFF"}),
        "head1": book.add_format({**head, "bg_color": "#DDDDDD"}),
        "says": book.add_format({**base, "italic": True, "bottom": 1, "num_format": TEXT, "text_wrap": True}),
        "bad": book.add_format({**base, "num_format": TEXT, "bg_color": "#FFD966", "border": 2}),  # shows on a photocopy by its frame
    }


def _sheet(sheet: Any, listing: Listing, looks: dict[str, Any]) -> None:
    _columns(sheet, listing, looks)
    groups = list(dict.fromkeys(h.group for h in listing.heads))
    for n, head in enumerate(listing.heads):
        sheet.write_string(0, n, head.name, looks[f"head{groups.index(head.group) % 2}"])
        if head.note and (0, n) not in listing.marks:
            sheet.write_comment(0, n, head.note[:_LONGEST_NOTE], {"x_scale": 2, "y_scale": 1.3})
        if listing.units:
            sheet.write_string(1, n, head.says, looks["says"])
    first = 2 if listing.units else 1 if listing.heads else 0
    for r, row in enumerate(listing.rows, start=first):
        for c, text in enumerate(row):
            if text:
                sheet.write_string(r, c, text, looks["wrap" if listing.free else "text"])
    for (r, c), (to, cell) in listing.links.items():
        quoted = to.replace("'", "''")
        sheet.write_url(r, c, f"internal:'{quoted}'!{cell}", looks["link"], listing.rows[r - first][c])
    _marks(sheet, listing, first, looks)
    if listing.heads:
        sheet.freeze_panes(first, 0 if listing.free else 1)


def _columns(sheet: Any, listing: Listing, looks: dict[str, Any]) -> None:
    for n, head in enumerate(listing.heads):
        sheet.set_column(n, n, head.width, looks["wrap" if listing.free else "text"])
        if head.choices and len(",".join(head.choices)) <= _LONGEST_LIST:
            rule = {"validate": "list", "source": list(head.choices), "error_title": "Boxup",
                    "error_message": f"Accepted: {', '.join(head.choices)}"[:250]}  # fmt: skip
            sheet.data_validation(2, n, 1 + ROWS_READY, n, rule)
    if listing.heads:
        sheet.ignore_errors({"number_stored_as_text": f"A1:XFD{max(ROWS_READY, len(listing.rows)) + 2}"})


def _marks(sheet: Any, listing: Listing, first: int, looks: dict[str, Any]) -> None:
    for begin, end in listing.merged:
        if end > begin:
            sheet.merge_range(*begin, *end, _text_at(listing, *begin, first), looks["bad"])
    inside = {(r, c) for b, e in listing.merged for r in range(b[0], e[0] + 1) for c in range(b[1], e[1] + 1)}
    for (r, c), text in listing.marks.items():
        if (r, c) in listing.numbers:
            sheet.write_number(r, c, listing.numbers[r, c], looks["bad"])
        elif (r, c) not in inside:
            sheet.write_string(r, c, _text_at(listing, r, c, first), looks["bad"])
        sheet.write_comment(r, c, text[:_LONGEST_NOTE], {"x_scale": 2.5, "y_scale": 1.6})


def _text_at(listing: Listing, row: int, column: int, first: int) -> str:
    if row >= first:
        at = row - first
        line = listing.rows[at] if at < len(listing.rows) else ()
        return line[column] if column < len(line) else ""
    head: Head | None = listing.heads[column] if column < len(listing.heads) else None
    return (head.says if row else head.name) if head else ""
