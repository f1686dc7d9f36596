"""A person mends a register once: nothing is told only after something else was mended, and one mistake is told once."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from tests.turnaround import spoilt

from boxup.exchanger.check import check_text
from boxup.job.options import ASKED
from boxup.paper.spreadsheet_in import book_of_bytes
from boxup.turnaround.register import Register, read_register

Sheets = dict[str, list[list[Any]]]


def read(sheets: Sheets) -> Register:
    return read_register(book_of_bytes(spoilt.workbook(sheets), "register.xlsx"), ASKED)


def put(sheets: Sheets, sheet: str, row: int, column: str, value: Any) -> None:
    sheets[sheet][row][sheets[sheet][0].index(column)] = value


def told(sheets: Sheets) -> list[str]:
    return [str(m) for m in read(sheets).errors]


def test_a_tag_written_over_another_one_is_one_mistake_and_proposes_nothing() -> None:
    sheets = spoilt.right()
    lost = sheets["exchangers"][4][0]
    put(sheets, "exchangers", 4, "tag", sheets["exchangers"][3][0])
    (line,) = told(sheets)
    assert "stands twice" in line
    assert f"belong to {lost!r}" in line
    assert "did you mean" not in line


def test_the_rows_of_the_tag_that_was_written_over_are_looked_through_at_the_same_reading() -> None:
    sheets = spoilt.right()
    put(sheets, "gaskets", 4, "OD", "600 mm")
    put(sheets, "blinds", 4, "nozzle", "N9")
    put(sheets, "exchangers", 4, "tag", sheets["exchangers"][3][0])
    lines = told(sheets)
    assert len(lines) == 3
    assert any("600 mm is not larger than the inside diameter 622 mm" in line for line in lines)
    assert any("no nozzle N9" in line for line in lines)


def test_a_wrong_tag_on_many_rows_of_items_is_one_mistake_with_its_proposal() -> None:
    sheets = spoilt.right()
    for sheet in ("gaskets", "studs", "blinds"):
        put(sheets, sheet, 4, "tag", "99-E-0O3")
    lines = [line for line in told(sheets) if "no exchanger" in line]
    assert len(lines) == 1
    assert "did you mean '99-E-" in lines[0]
    assert "1 row of gaskets, 1 row of studs and 1 row of blinds" in lines[0]


def bad_type(sheets: Sheets) -> None:
    put(sheets, "exchangers", 4, "type", "ZZZ")


def bad_number(sheets: Sheets) -> None:
    put(sheets, "exchangers", 4, "tubes: OD", "nineteen")


@pytest.mark.parametrize("other", [bad_type, bad_number], ids=lambda f: f.__name__)
def test_what_does_not_fit_is_told_beside_any_other_mistake(other: Callable[[Sheets], None]) -> None:
    sheets = spoilt.right()
    other(sheets)
    put(sheets, "gaskets", 4, "OD", "600 mm")
    put(sheets, "blinds", 4, "nozzle", "N9")
    lines = told(sheets)
    assert any("not larger than the inside diameter" in line for line in lines), lines
    assert any("no nozzle N9" in line for line in lines), lines


def test_a_stud_grade_that_is_in_no_table_is_an_error_at_its_cell_beside_the_others() -> None:
    sheets = spoilt.right()
    put(sheets, "studs", 4, "grade", "B77")
    put(sheets, "gaskets", 4, "OD", "600 mm")
    errors = read(sheets).errors
    assert {(m.sheet, m.row, m.name) for m in errors} == {("studs", 4, "grade"), ("gaskets", 4, "OD")}
    assert any("'B77' is not a stud grade in the table" in m.text for m in errors)


@pytest.mark.parametrize(("section", "key"), [("studs.S1", "grade"), ("nozzle.N1", "stud_grade")])
def test_in_a_file_too_at_its_line(section: str, key: str) -> None:
    more = 'joints = ["J1", "J2"]' if section[0] == "s" else 'side = "shell"'
    text = f'[exchanger]\ntag = "99-E-9"\ntype = "BEU"\n[{section}]\n{more}\n{key} = "B77"\n'
    report = check_text(text, "99-E-9.toml", ASKED)
    assert [(p.line, p.key) for p in report.errors] == [(6, f"{section}.{key}")]
    assert check_text(text.replace("B77", "SA-193 B7"), "99-E-9.toml", ASKED).ok
