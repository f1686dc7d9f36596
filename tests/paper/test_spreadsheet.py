"""Spreadsheets in and out: what is refused before it is read, and what a spreadsheet is told about our cells."""

from __future__ import annotations

import io
from collections.abc import Callable
from zipfile import ZIP_DEFLATED, ZipFile

import pytest

from boxup.paper import xlsx_marks
from boxup.paper.spreadsheet_in import book_of_bytes
from boxup.paper.spreadsheet_out import csv_text, xlsx
from boxup.turnaround.book import BadBook
from boxup.turnaround.listing import Head, Listing

PLAIN = Listing("exchangers", (Head("tag"), Head("size", "text", "Its size.", ("1/2", "3/4"))), (("0412", "1/2"), ("14E103", "=1+1")))
SHEET = "xl/worksheets/sheet1.xml"


def changed(part: str, change: Callable[[bytes], bytes]) -> bytes:
    """The workbook with one of its parts changed."""
    to = io.BytesIO()
    with ZipFile(io.BytesIO(xlsx([PLAIN]))) as old, ZipFile(to, "w", ZIP_DEFLATED) as new:
        for name in old.namelist():
            new.writestr(name, change(old.read(name)) if name == part else old.read(name))
    return to.getvalue()


def part_of(name: str) -> str:
    with ZipFile(io.BytesIO(xlsx([PLAIN]))) as archive:
        return archive.read(name).decode()


def test_what_is_written_is_read_as_it_was() -> None:
    rows = book_of_bytes(xlsx([PLAIN]), "r.xlsx").sheets[0].rows
    assert rows == (("tag", "size"), ("", "text"), ("0412", "1/2"), ("14E103", "=1+1"))


def test_every_cell_is_text_with_its_list_and_its_frozen_head() -> None:
    sheet = part_of(SHEET)
    assert "<f>" not in sheet
    assert 'topLeftCell="B3"' in sheet
    assert '"1/2,3/4"' in sheet
    assert 'numberStoredAsText="1"' in sheet
    assert 'numFmtId="49"' in part_of("xl/styles.xml"), "49 is the text format"


@pytest.mark.parametrize(
    "change",
    [
        lambda raw: raw.replace(b"<worksheet", b'<!DOCTYPE x [<!ENTITY a "b">]><worksheet', 1),
        lambda raw: raw.decode().replace("UTF-8", "UTF-16").encode("utf-16"),
    ],
)
def test_xml_that_declares_things_is_not_opened(change: Callable[[bytes], bytes]) -> None:
    with pytest.raises(BadBook, match="declares things no spreadsheet declares"):
        book_of_bytes(changed(SHEET, change), "r.xlsx")


def test_a_cell_far_away_is_refused_before_memory_is_filled() -> None:
    far = changed(SHEET, lambda raw: raw.replace(b"</sheetData>", b'<row r="1048576"><c r="XFD1048576"><v>1</v></c></row></sheetData>'))
    with pytest.raises(BadBook, match="reaches to row 1048576, column 16384"):
        book_of_bytes(far, "r.xlsx")


def test_a_workbook_that_unpacks_to_too_much_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(xlsx_marks, "MOST_BYTES", 1000)
    with pytest.raises(BadBook, match="unpacks to more than"):
        book_of_bytes(xlsx([PLAIN]), "r.xlsx")


@pytest.mark.parametrize("part", [SHEET, "xl/workbook.xml", "xl/_rels/workbook.xml.rels"])
def test_a_torn_workbook_is_one_sentence(part: str) -> None:
    with pytest.raises(BadBook, match="not a whole XLSX workbook"):
        book_of_bytes(changed(part, lambda raw: raw[: len(raw) // 2]), "r.xlsx")


def test_marks_are_seen() -> None:
    def mark(raw: bytes) -> bytes:
        told = raw.replace(b'<row r="3"', b'<row hidden="1" r="3"', 1)
        cells = b'<row r="9"><c r="A9" t="e"><f>1/0</f><v>#DIV/0!</v></c><c r="B9"><f>A1</f></c><c r="C9"><f>1+1</f><v>2</v></c></row>'
        cells = cells + b'</sheetData><mergeCells count="1"><mergeCell ref="A3:B4"/></mergeCells>'
        return told.replace(b"</sheetData>", cells, 1)

    sheet = book_of_bytes(changed(SHEET, mark), "r.xlsx").sheets[0]
    assert sheet.hidden_rows == {2}
    assert sheet.merged == (((2, 0), (3, 1)),)
    assert sheet.faults == {(8, 0): "#DIV/0!"}
    assert sheet.empty_formulas == {(8, 1): "=A1"}
    assert sheet.formulas == {(8, 2)}


def test_csv_has_its_mark_and_its_quotes() -> None:
    text = csv_text(Listing("x", (Head("tag"), Head("words")), (("99-E-1", 'a "b", c'),), units=False))
    assert text == '\ufefftag,words\r\n99-E-1,"a ""b"", c"\r\n'
    assert book_of_bytes(text.encode(), "x.csv").sheets[0].rows[1] == ("99-E-1", 'a "b", c')
