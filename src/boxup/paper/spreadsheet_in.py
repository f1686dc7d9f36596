"""Spreadsheets in: XLSX, and CSV as different programs save it, to plain data."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from pathlib import Path
from zipfile import BadZipFile, ZipFile

from boxup.paper.xlsx_marks import Marks, marks_of
from boxup.turnaround.book import BadBook, Book, Sheet, Value

MOST_BYTES = 30_000_000
_SEPARATORS = {";": "semicolons", ",": "commas", "\t": "tabs"}


def book_of(path: Path) -> Book:
    """The spreadsheet of a file. Raises BadBook with one sentence for what cannot be opened or is none."""
    try:
        with path.open("rb") as file:
            raw = file.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise BadBook(f"there is no file {path}; `boxup register template -o {path.name}` writes one to fill in") from None
    except OSError as bad:
        raise BadBook(f"{path} cannot be opened: {bad.strerror or bad}") from None
    return book_of_bytes(raw, path.name)


def book_of_bytes(raw: bytes, name: str) -> Book:
    """The same, from the bytes of a file of that name."""
    if len(raw) > MOST_BYTES:
        raise BadBook(f"{name} is larger than {MOST_BYTES // 1_000_000} MB; a large register has one or two. Is this the right file?")
    if raw[:4] == b"\xd0\xcf\x11\xe0":
        raise BadBook(f"{name} is a spreadsheet of the old kind, or locked by a password; save it as XLSX, without one")
    if raw[:2] == b"PK":
        return _xlsx(raw, name)
    if name.lower().endswith((".xlsx", ".xlsm")):
        raise BadBook(f"{name} is no XLSX workbook, whatever its name says; open it in the spreadsheet and save it as XLSX or CSV")
    return _csv(raw, name)


def _xlsx(raw: bytes, name: str) -> Book:
    from python_calamine import CalamineError, CalamineWorkbook, SheetVisibleEnum

    try:
        with ZipFile(io.BytesIO(raw)) as archive:
            marks = marks_of(archive, name)
        workbook = CalamineWorkbook.from_filelike(io.BytesIO(raw))
        sheets = [
            (m, workbook.get_sheet_by_name(m.name).to_python(skip_empty_area=False)) for m in workbook.sheets_metadata if m.name in marks
        ]
    except (CalamineError, BadZipFile) as bad:
        raise BadBook(f"{name} is not a whole XLSX workbook ({bad}); open it in the spreadsheet and save it anew") from None
    return Book(name, tuple(_sheet(m.name, rows, marks.get(m.name, Marks()), m.visible != SheetVisibleEnum.Visible) for m, rows in sheets))


def _sheet(name: str, rows: Sequence[Sequence[Value]], marks: Marks, hidden: bool) -> Sheet:
    deep = max([len(rows), *(r + 1 for r, _ in (*marks.empty_formulas, *marks.faults))])
    whole = (*(tuple(row) for row in rows), *(() for _ in range(deep - len(rows))))
    return Sheet(name, whole, marks.empty_formulas, frozenset(marks.formulas), marks.faults, tuple(marks.merged),
                 frozenset(marks.hidden_rows), frozenset(marks.hidden_columns), hidden)  # fmt: skip


def _csv(raw: bytes, name: str) -> Book:
    text, notes = _decoded(raw, name)
    lines = text.splitlines(keepends=True)
    said = lines[0].strip().lower() if lines else ""
    separator = ""
    if said.startswith("sep=") and len(said) == 5:
        separator, lines = said[4], lines[1:]
    separator = separator or _separator("".join(lines), name)
    if separator != ",":
        notes.append(f"the cells of {name} are parted by {_SEPARATORS.get(separator, repr(separator))}")
    return Book(name, (Sheet(name, _parsed("".join(lines), separator, name)),), tuple(notes), "csv")


def _decoded(raw: bytes, name: str) -> tuple[str, list[str]]:
    if raw[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return _utf16(raw, name), [f"{name} was read as UTF-16"]
    if b"\x00" in raw:
        raise BadBook(f"{name} is neither XLSX nor text; save it as XLSX or as CSV UTF-8")
    try:
        return raw.decode("utf-8-sig"), []
    except UnicodeDecodeError as bad:
        line = raw.count(b"\n", 0, bad.start) + 1
        told = f"{name} is not UTF-8 (line {line}); it was read as Windows-1252: look at letters with accents and at the degree sign"
    try:
        return raw.decode("cp1252"), [told]
    except UnicodeDecodeError as bad:
        line = raw.count(b"\n", 0, bad.start) + 1
        raise BadBook(f"{name} is neither UTF-8 nor Windows-1252 (line {line}, byte {raw[bad.start]:#04x}); save it as CSV UTF-8") from None


def _utf16(raw: bytes, name: str) -> str:
    try:
        return raw.decode("utf-16")
    except UnicodeDecodeError:
        raise BadBook(f"{name} begins as UTF-16 and breaks off; save it as CSV UTF-8") from None


def _separator(text: str, name: str) -> str:
    """What parts the cells of the first line, outside quotes. Two that could both do it are not chosen between."""
    head, quoted, counts = text, False, dict.fromkeys(_SEPARATORS, 0)
    for c in head:
        if c == '"':
            quoted = not quoted
        elif c == "\n" and not quoted:
            break
        elif c in counts and not quoted:
            counts[c] += 1
    best = max(counts, key=lambda c: counts[c])
    rivals = [c for c in counts if c != best and counts[c] * 2 > counts[best]]
    if counts[best] and rivals:
        both = f"{counts[best]} {_SEPARATORS[best]} and {counts[rivals[0]]} {_SEPARATORS[rivals[0]]}"
        raise BadBook(f"the first line of {name} has {both}: which one parts the cells? Save it as XLSX, or quote names with a comma")
    return best if counts[best] else ","


def _parsed(text: str, separator: str, name: str) -> tuple[tuple[Value, ...], ...]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    try:
        rows = [tuple(row) for row in reader]
    except csv.Error as bad:
        what = f"near line {reader.line_num}: a quote that does not close, or stands inside a cell ({bad})"
        raise BadBook(f"{name}, {what}; save it as XLSX") from None
    wide = len(rows[0]) if rows else 0
    for n, row in enumerate(rows):
        if any(cell.strip() for cell in row[wide:]):
            what = f"{name}, row {n + 1} has {len(row)} cells and the head has {wide}"
            raise BadBook(f"{what}: a separator inside a value, perhaps a decimal comma; put that value in quotes")
    return tuple(tuple(row[:wide]) for row in rows)
