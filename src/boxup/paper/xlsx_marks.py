"""What an XLSX sheet has besides its values: formulas, faults, merged cells, hidden rows. A reader of values does not tell them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import PurePosixPath
from xml.etree.ElementTree import Element, ParseError, fromstring
from zipfile import BadZipFile, ZipFile

from boxup.turnaround.book import At, BadBook

MOST_BYTES, MOST_ROWS, MOST_COLUMNS = 200_000_000, 50_000, 2_000  # unpacked; beyond them it is no register
_MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
_REL = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
_CELL = re.compile(r"([A-Z]{1,3})(\d{1,7})")


@dataclass(slots=True)
class Marks:
    """The marks of one sheet."""

    formulas: set[At] = field(default_factory=set)
    empty_formulas: dict[At, str] = field(default_factory=dict)
    faults: dict[At, str] = field(default_factory=dict)
    merged: list[tuple[At, At]] = field(default_factory=list)
    hidden_rows: set[int] = field(default_factory=set)
    hidden_columns: set[int] = field(default_factory=set)
    rows: int = 0
    columns: int = 0


def marks_of(archive: ZipFile, name: str) -> dict[str, Marks]:
    """By name of the sheet. Raises BadBook for what is no workbook, or too large for one."""
    if sum(i.file_size for i in archive.infolist()) > MOST_BYTES:
        raise BadBook(f"{name} unpacks to more than {MOST_BYTES // 1_000_000} MB; is this the right file?")
    try:
        links = {e.get("Id"): e.get("Target", "") for e in _xml(archive, "xl/_rels/workbook.xml.rels", name)}
        sheets = _xml(archive, "xl/workbook.xml", name).iter(f"{_MAIN}sheet")
        paths = {s.get("name", ""): links.get(s.get(_REL), "") for s in sheets}
        found = {sheet: _of_sheet(_xml(archive, _inside(path), name)) for sheet, path in paths.items() if "worksheets/" in path}
    except (KeyError, ParseError, BadZipFile, ValueError) as bad:
        raise BadBook(f"{name} is not a whole XLSX workbook ({bad}); open it in the spreadsheet and save it anew") from None
    for sheet, marks in found.items():
        if marks.rows > MOST_ROWS or marks.columns > MOST_COLUMNS:
            reach, most = f"row {marks.rows}, column {marks.columns}", f"{MOST_ROWS} rows and {MOST_COLUMNS} columns"
            raise BadBook(f"the sheet {sheet!r} of {name} reaches to {reach}; {most} are read: look for a cell far away from the others")
    return found


def _inside(path: str) -> str:
    return path.lstrip("/") if path.startswith("/") else str(PurePosixPath("xl") / path)


def _xml(archive: ZipFile, path: str, name: str) -> Element:
    text = archive.read(path)
    if b"\x00" in text[:200] or b"<!DOCTYPE" in text or b"<!ENTITY" in text:  # UTF-16 could hide them
        raise BadBook(f"{name} declares things no spreadsheet declares; it is not opened")
    return fromstring(text)


def _of_sheet(root: Element) -> Marks:
    marks = Marks()
    for row in root.iter(f"{_MAIN}row"):
        if row.get("hidden") in ("1", "true") and row.get("r"):
            marks.hidden_rows.add(int(row.get("r", "1")) - 1)
        for cell in row.iter(f"{_MAIN}c"):
            _cell(cell, marks)
    for column in root.iter(f"{_MAIN}col"):
        if column.get("hidden") in ("1", "true"):
            marks.hidden_columns |= set(range(int(column.get("min", "1")) - 1, min(int(column.get("max", "1")), MOST_COLUMNS)))
    marks.merged = [m for e in root.iter(f"{_MAIN}mergeCell") for m in _span(e.get("ref", ""))]
    return marks


def _cell(cell: Element, marks: Marks) -> None:
    at = _at(cell.get("r", ""))
    formula, value = cell.find(f"{_MAIN}f"), cell.find(f"{_MAIN}v")
    text = (value.text or "") if value is not None else ""
    if at is None or (formula is None and value is None and cell.find(f"{_MAIN}is") is None):
        return
    marks.rows, marks.columns = max(marks.rows, at[0] + 1), max(marks.columns, at[1] + 1)
    if cell.get("t") == "e":
        marks.faults[at] = text or "#N/A"
    elif formula is not None and not text and cell.get("t") != "str":
        marks.empty_formulas[at] = f"={formula.text or ''}"
    elif formula is not None:
        marks.formulas.add(at)


def _at(reference: str) -> At | None:
    found = _CELL.fullmatch(reference)
    if not found:
        return None
    column = 0
    for c in found[1]:
        column = column * 26 + ord(c) - 64
    return int(found[2]) - 1, column - 1


def _span(reference: str) -> Iterator[tuple[At, At]]:
    first, _, last = reference.partition(":")
    begin, end = _at(first), _at(last)
    if begin and end:
        yield begin, end
