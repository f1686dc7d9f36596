"""The register: every kind of mistake named at its cell, all at once; the copy mends; files go out and come back the same."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from tests.turnaround import spoilt

from boxup.core.quantity import Quantity
from boxup.demo.fleet import files_of_the_demo
from boxup.exchanger.check import check_text
from boxup.exchanger.file import load
from boxup.exchanger.letters import FRONTS, REARS, SHELLS, letters
from boxup.exchanger.model import Exchanger
from boxup.exchanger.sections import NAMED, PLAIN
from boxup.exchanger.toml_text import toml_text
from boxup.paper.spreadsheet_in import book_of_bytes
from boxup.paper.spreadsheet_out import csv_text, xlsx
from boxup.turnaround.blank import blank, blank_table
from boxup.turnaround.book import Book, Sheet
from boxup.turnaround.cell import OddCell, read_cell
from boxup.turnaround.columns import MAIN, SHEETS, column_named, item_columns, main_columns, plain
from boxup.turnaround.filled import filled, filled_table
from boxup.turnaround.mend import copy_to_mend
from boxup.turnaround.register import Register, read_register

DEMO = files_of_the_demo()


def read_bytes(raw: bytes, name: str = "register.xlsx") -> Register:
    return read_register(book_of_bytes(raw, name))


def read_rows(rows: list[list[Any]], **sheets: list[list[Any]]) -> Register:
    return read_bytes(spoilt.workbook({MAIN: rows, **sheets}))


@pytest.fixture(scope="module")
def register() -> Register:
    return read_bytes(spoilt.workbook(spoilt.spoilt()[0]))


def test_there_are_more_than_forty_kinds() -> None:
    names = [k.name for k in spoilt.CELLS] + list(spoilt.OTHERS)
    assert len(set(names)) == len(names) >= 70


def test_without_its_mistakes_the_register_reads() -> None:
    got = read_bytes(spoilt.workbook(spoilt.right()))
    assert got.errors == ()
    assert len(got.good_rows) == len(spoilt.CELLS)


@pytest.mark.parametrize("kind", spoilt.CELLS, ids=lambda k: k.name)
def test_each_mistake_is_named_at_its_cell(kind: spoilt.Kind, register: Register) -> None:
    sheet, row, column = spoilt.spoilt()[1][kind.name]
    here = [m for m in register.errors if (m.sheet, m.row, m.column) == (sheet, row, column)]
    assert here, [str(m) for m in register.errors if m.row == row]
    assert any(all(w in str(m) for w in kind.words) for m in here), [str(m) for m in here]
    assert all(str(m).endswith((".", "?", "!")) for m in here)


def test_nothing_else_is_called_a_mistake(register: Register) -> None:
    """Each exchanger has its own mistake and no other: a mistake in one cell is not told at three, and no row is dragged along."""
    places = set(spoilt.spoilt()[1].values())
    assert [str(m) for m in register.errors if (m.sheet, m.row, m.column) not in places] == []
    assert register.good_rows == ()


def others(kind: str) -> Register:
    """A register of two right exchangers and that mistake."""
    sheets, how = spoilt.with_other(kind)
    return read_bytes(spoilt.workbook(sheets, **how))


@pytest.mark.parametrize("kind", spoilt.OTHERS)
def test_each_mistake_of_a_row_or_sheet_is_named(kind: str) -> None:
    told = [str(m) for m in others(kind).errors]
    assert any(all(w in line for w in spoilt.OTHERS[kind]) for line in told), told


GOOD = {
    "a row without a tag": 2,
    "a hidden row": 1,
    "merged cells": 0,
    "a tag that stands twice": 2,
    "a name over no column of ours": 0,
    "an item of an exchanger that is not there": 0,
    "an item that stands twice": 2,
    "a unit in row 2 that is none": 0,
}


@pytest.mark.parametrize(("kind", "good"), GOOD.items())
def test_good_rows_are_those_no_mistake_can_touch(kind: str, good: int) -> None:
    assert len(others(kind).good_rows) == good


def mended(raw: bytes) -> bytes:
    """The copy as a person mends it: each cell on the list gets what belongs there, and nothing else is touched."""
    book, right = book_of_bytes(raw, "register-corrected.xlsx"), spoilt.right()
    sheets = {s.name: [list(row) for row in s.rows] for s in book.sheets}
    to_mend = sheets["To mend"]
    assert to_mend[0][1:4] == ["sheet", "cell", "tag"]
    for _, sheet, cell, *_ in to_mend[1:]:
        column, row = ord(cell[0]) - 65, int(cell[1:]) - 1
        sheets[sheet][row][column] = right[sheet][row][column]
    return spoilt.workbook(sheets)


def test_the_corrected_copy_has_the_same_mistakes_until_it_is_mended_and_then_loads(register: Register) -> None:
    book = book_of_bytes(spoilt.workbook(spoilt.spoilt()[0]), "register.xlsx")
    copy = xlsx(copy_to_mend(book, register.errors))
    again = read_bytes(copy, "register-corrected.xlsx")
    cells = {(m.sheet, m.row, m.column) for m in register.errors}
    assert {(m.sheet, m.row, m.column) for m in again.errors} == cells, "no mistake is lost by being copied"
    loaded = read_bytes(mended(copy))
    assert [str(m) for m in loaded.errors] == []
    right = read_bytes(spoilt.workbook(spoilt.right()))
    assert [r.text.split("\n", 1)[1] for r in loaded.rows] == [r.text.split("\n", 1)[1] for r in right.rows]


def test_the_copy_marks_the_cell_and_notes_the_sentence() -> None:
    import io
    from zipfile import ZipFile

    book = book_of_bytes(spoilt.workbook(spoilt.spoilt()[0]), "register.xlsx")
    errors = read_register(book).errors
    with ZipFile(io.BytesIO(xlsx(copy_to_mend(book, errors)))) as archive:
        notes = "".join(archive.read(n).decode() for n in archive.namelist() if "comments" in n)
        styles = archive.read("xl/styles.xml").decode()
    assert "FFD966" in styles
    assert "makes a day" in notes
    assert "saved without its value" in notes


def test_merged_cells_stay_merged_in_the_copy_and_are_told_again() -> None:
    rows = [["tag", "type"], ["99-E-1", "BEU"], ["99-E-2", None]]
    book = book_of_bytes(spoilt.workbook({MAIN: rows}, merged={MAIN: (1, 1, 2, 1)}), "r.xlsx")
    got = read_register(book)
    again = read_bytes(xlsx(copy_to_mend(book, got.errors)))
    assert any("B2:B3 are merged" in str(m) for m in got.errors)
    assert any("B2:B3 are merged" in str(m) for m in again.errors)


def bare(value: Any) -> Any:
    """Without where it was read: files and lines differ, the exchanger must not."""
    if isinstance(value, Quantity):
        return replace(value, where="")
    if isinstance(value, tuple):
        return tuple(bare(v) for v in value)
    if hasattr(value, "__dataclass_fields__") and not isinstance(value, type):
        return replace(value, **{f: bare(getattr(value, f)) for f in value.__dataclass_fields__ if f != "lines"})
    return value


def same(x: Exchanger | None) -> Any:
    assert x is not None
    return bare(replace(x, lines={}))


def in_order(x: Exchanger) -> Exchanger:
    named = ("nozzles", "openings", "blinds", "tools", "gear")
    return replace(x, **{what: tuple(sorted(getattr(x, what), key=lambda i: i.id)) for what in named})


@pytest.mark.parametrize("ending", ["xlsx", "csv"])
def test_every_demo_file_goes_out_and_comes_back(ending: str) -> None:
    tables = [tomllib.loads(p.read_text("utf-8")) for p in DEMO.values()]
    raw = xlsx(filled(tables)) if ending == "xlsx" else csv_text(filled_table(tables)).encode()
    got = read_bytes(raw, f"register.{ending}")
    assert [str(m) for m in got.errors] == []
    back = [same(r.report.exchanger) for r in got.rows]
    assert [in_order(x) for x in back] == [in_order(same(load(p))) for p in DEMO.values()]
    if ending == "xlsx":
        assert back == [same(load(p)) for p in DEMO.values()], "a sheet of items keeps their order too; one table for all has one order"
    assert [r.file for r in got.rows] == [p.name for p in DEMO.values()]


@pytest.mark.parametrize("path", DEMO.values(), ids=lambda p: p.stem)
def test_the_text_of_a_file_written_anew_says_the_same(path: Path) -> None:
    tables = tomllib.loads(path.read_text("utf-8"))
    assert tomllib.loads(toml_text(tables, "a heading\nof two lines")) == {k: v for k, v in tables.items() if v}


def test_every_key_of_the_file_has_its_column() -> None:
    for section, (_, cls) in (*PLAIN.items(), *NAMED.items()):
        sheet = next((s for s, of in SHEETS.items() if of == section), MAIN)
        there = {c.path for c in (main_columns() if sheet == MAIN else item_columns(sheet))}
        fixed = {"name", "id"} if section.endswith("_side") or section in NAMED else {"name"}
        keys = {f.removesuffix("_") for f in cls.__dataclass_fields__ if f not in fixed}
        assert {f"{section}.{k}" for k in keys} <= there


@pytest.mark.parametrize("sheet", [MAIN, *SHEETS])
def test_no_two_columns_have_one_name_and_each_is_found_by_its_own(sheet: str) -> None:
    columns = tuple(main_columns()) if sheet == MAIN else item_columns(sheet)
    assert len({plain(c.name) for c in columns}) == len(columns)
    assert all(column_named(sheet, c.name) == c and column_named(sheet, c.path) == c for c in columns)


@pytest.mark.parametrize(
    "name", ["gasket G1: OD", "gasket.G1.od", "Gasket  g.1-a: od", "small bore V1: clock", "options: no_st1", "shell_side.mawp"]
)
def test_the_first_sheet_takes_items_and_options_too(name: str) -> None:
    assert column_named(MAIN, name) is not None


@pytest.mark.parametrize("name", ["", "gasket", "gasket G1: joy", "gasket G1: tag", "robot R1: od", "mawp", "remark"])
def test_other_names_are_no_column(name: str) -> None:
    assert column_named(MAIN, name) is None


def test_the_name_of_an_item_is_kept_as_typed() -> None:
    got = read_rows([["tag", "type", "gasket Gx.1: joint"], ["99-E-1", "BEU", "J1"]])
    assert got.errors == ()
    assert '[gasket."Gx.1"]' in got.rows[0].text


def test_letters_choose_the_columns() -> None:
    def names(*types: str) -> set[str]:
        return {h.name for h in blank([letters(t) for t in types])[0].heads}

    assert "floating head: mass" in names("AES")
    assert "floating head: mass" not in names("BEU")
    assert "shell: port diameter" in names("AKT") - names("AES")
    assert names("AES") | names("BEU") == names("AES", "BEU")


def test_any_letters_make_a_template_that_reads_back_to_sentences() -> None:
    every = [letters(f + s + r) for f in FRONTS for s in SHELLS for r in REARS if not (f == "N" and r in "PSTUW")]
    for types in ([], every, every[:1]):
        for raw, name in ((xlsx(blank(types)), "t.xlsx"), (csv_text(blank_table(types)).encode(), "t.csv")):
            got = read_bytes(raw, name)
            assert [m.text for m in got.errors] == ["there is no exchanger in it; write one a row, under the heads"]


def mawp(x: Exchanger | None, side: str) -> Quantity:
    assert x is not None
    q = x.side(side).mawp
    assert q is not None
    return q


def test_the_unit_of_row_2_is_that_of_bare_numbers_and_only_there() -> None:
    head = ["tag", "type", "shell side: MAWP", "tube side: MAWP"]
    got = read_rows([head, ["unit", "", "psi", "bar"], ["99-E-1", "BEU", 250, "10.3, measured"], ["99-E-2", "BEU", "17.2 bar", "7/8"]])
    assert got.errors == ()
    first, second = (r.report.exchanger for r in got.rows)
    assert [mawp(first, "shell").typed, mawp(first, "tube").typed, mawp(first, "tube").grade] == ["250 psi", "10.3 bar", "measured"]
    assert mawp(second, "shell").typed == "17.2 bar"
    without = read_rows([head, ["99-E-1", "BEU", 250, "10.3 bar"]])
    assert ["250" in m.seen and "row 2" in m.text for m in without.errors] == [True]


def test_what_was_put_right_is_told() -> None:
    got = read_rows([["tag", "type", "shell side: MAWP"], [" 99-E-1 ", "'BEU", "12\u00a0bar"], ["'99-E-2", "BEU", "12 bar "]])
    notes = [m.text for m in got.mistakes if m.level == "note"]
    assert [r.tag for r in got.rows] == ["99-E-1", "99-E-2"]
    assert sum("blanks around" in n for n in notes) == 2
    assert sum("non-breaking" in n for n in notes) == 1
    assert sum("apostrophe" in n for n in notes) == 1
    assert len(got.errors) == 1, "an apostrophe before a word may be meant: the letters refuse it"


def test_formulas_with_a_value_are_read_and_told() -> None:
    got = read_rows([["tag", "type", "tubes: count"], ["99-E-1", "BEU", spoilt.Formula("=2*2", 4)]])
    assert got.errors == ()
    assert any("1 cells are formulas (C2)" in m.text for m in got.mistakes)


def test_columns_and_sheets_of_ones_own_are_not_read() -> None:
    got = read_rows([["tag", "# priority", "type"], ["99-E-1", "1/2", "BEU"]], **{"#notes": [["anything"]]})
    assert got.errors == ()


def csv_register(text: str, encoding: str = "utf-8") -> Register:
    return read_register(book_of_bytes(text.encode(encoding), "register.csv"))


LINES = "tag{0}type{0}shell side: fluid{0}shell side: MAWP\r\n99-E-1{0}BEU{0}Öl, heiß{0}12,5 bar\r\n"


@pytest.mark.parametrize(
    ("text", "encoding", "note"),
    [
        (LINES.format(";"), "utf-8", "semicolons"),
        (LINES.format(";"), "utf-8-sig", "semicolons"),
        (LINES.format(";"), "cp1252", "Windows-1252"),
        (LINES.format("\t"), "utf-16", "UTF-16"),
        ("sep=;\r\n" + LINES.format(";"), "utf-8", "semicolons"),
    ],
)
def test_csv_as_different_programs_save_it(text: str, encoding: str, note: str) -> None:
    got = csv_register(text, encoding)
    assert got.errors == ()
    assert any(note in n for n in got.notes)
    x = got.rows[0].report.exchanger
    assert x is not None
    assert x.shell_side.fluid == "Öl, heiß"
    assert mawp(x, "shell").to("bar") == pytest.approx(12.5)


def test_a_corrected_copy_of_a_csv_is_a_workbook_that_loads() -> None:
    book = book_of_bytes(b"tag;type;shell side: MAWP\n99-E-1;BEU;12\n", "r.csv")
    copy = xlsx(copy_to_mend(book, read_register(book).errors))
    sheets = {s.name: [list(r) for r in s.rows] for s in book_of_bytes(copy, "r-corrected.xlsx").sheets}
    assert list(sheets) == ["To mend", MAIN]
    sheets[MAIN][1][2] = "12 bar"
    assert read_bytes(spoilt.workbook(sheets)).errors == ()


written = st.one_of(st.text(max_size=40), st.from_regex(r"[0-9/., -]{1,8}( ?(mm|bar|in))?", fullmatch=True))
numbers = st.one_of(st.integers(), st.floats(allow_nan=False, allow_infinity=False), st.booleans())
words = st.one_of(written, numbers, st.none(), st.dates(), st.datetimes(), st.times(), st.timedeltas())


def said(raw: Any, column: Any, unit: str) -> str:
    try:
        return repr(read_cell(raw, column, unit))
    except OddCell as odd:
        return str(odd)


@given(words, st.sampled_from([*main_columns(), *(c for s in SHEETS for c in item_columns(s))]), st.sampled_from(["", "mm", "bar"]))
@example("1/2", item_columns("nozzles")[4], "")
def test_any_cell_is_a_value_or_a_sentence(raw: Any, column: Any, unit: str) -> None:
    assert len(said(raw, column, unit)) > 15


@settings(suppress_health_check=[HealthCheck.too_slow], max_examples=60)
@given(st.lists(st.lists(words, min_size=4, max_size=4), min_size=1, max_size=4))
def test_any_register_is_read_to_its_end(rows: list[list[Any]]) -> None:
    heads = ("tag", "type", "shell side: MAWP", "gasket G1: OD")
    got = read_register(Book("any.xlsx", (Sheet(MAIN, (heads, *(tuple(r) for r in rows))),)))
    assert all(str(m) for m in got.mistakes)
    assert all(check_text(r.text).ok for r in got.good_rows)


@given(st.text(max_size=60))
def test_any_word_of_a_file_survives_the_register(text: str) -> None:
    """What is read is what was typed, but for blanks around it; else it is refused."""
    got = read_register(Book("any.xlsx", (Sheet(MAIN, (("tag", "type", "plant"), ("99-E-1", "BEU", text))),)))
    if not got.errors and text.strip():
        x = got.rows[0].report.exchanger
        assert x
        assert x.identity.plant in (text.replace("\u00a0", " ").replace("\u202f", " ").strip(" "), text.strip(" ")[1:], text.strip())
