"""A register with one mistake an exchanger, each of another kind. Everything in it is invented."""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, time
from typing import Any

import xlsxwriter

RIGHT: dict[str, dict[str, Any]] = {
    "exchangers": {
        "tag": "", "type": "BEU", "bundle serial": "IN-1-A", "year": "2003", "position": "horizontal", "made up": "yes",
        "options: plugs": "yes", "shell side: hazards": "steam", "shell side: MAWP": "12 bar", "shell side: design temperature": "150 degC",
        "shell side: MDMT": "-7 degC", "shell side: test limit": "17", "shell side: limit reason": "nozzles",
        "shell side: test rule": "1.3", "tube side: MAWP": "10.3 bar", "tubes: OD": "19.05 mm", "tubes: wall": "2.11 mm",
        "tubes: count": "4", "tubes: pitch": "25.4 mm", "tubes: pattern": "90", "tubes: passes": "2",
        "tubes: rows": "30 mm, 2, 1; -30 mm, 2, 2", "baffles: cut": "0.25", "baffles: outside diameter": "605 mm",
        "bundle: impingement plate": "none", "plugs: to plug": "",
    },
    "gaskets": {
        "tag": "", "item": "G1", "joint": "J1", "follows": "exchanger", "kind": "kammprofile", "metal": "316L", "facing": "graphite",
        "OD": "650 mm", "ID": "622 mm", "thickness": "3.2 mm", "spares": "1",
    },
    "studs": {
        "tag": "", "item": "S1", "joints": "J1, J2", "count": "28", "size": "7/8-9", "grade": "B7", "length": "270 mm",
        "lubricant": "nickel anti-seize",
    },
    "nozzles": {"tag": "", "item": "N1", "side": "shell", "size": "10 in", "flange class": "150", "clock": "12", "stud size": "7/8-9"},
    "blinds": {"tag": "", "item": "B1", "use": "process", "nozzle": "N1", "kind": "spade", "thickness": "15.7 mm"},
    "tools": {
        "tag": "", "item": "W1", "kind": "pump", "serial": "TP-1", "calibrated until": "2027-10-31", "range": "0 to 100 bar",
    },
}  # fmt: skip
MAIN = "exchangers"
Rows = list[list[Any]]
Sheets = dict[str, Rows]
UNITS = {("exchangers", "shell side: test limit"): "bar", ("exchangers", "shell side: MAWP"): "bar"}


@dataclass(frozen=True)
class Formula:
    """A formula with the value it was saved with; None for none."""

    text: str
    value: Any = None


@dataclass(frozen=True)
class Kind:
    """A kind of mistake: the cell it is in, what is put there, the words that must be in its sentence."""

    name: str
    sheet: str
    column: str
    raw: Any
    words: tuple[str, ...]


def _in(column: str, *kinds: tuple[Any, ...], sheet: str = "exchangers") -> list[Kind]:
    return [Kind(name, sheet, column, raw, words) for name, raw, *words in kinds]


CELLS: list[Kind] = [
    *_in("bundle serial",
         ("a serial that became a day", date(2026, 10, 14), "2026-10-14", "makes a day"),
         ("a serial that became a power of ten", 1.4e104, "1.4e+104", "power of ten"),
         ("a serial that became a power of ten, as text", "1.4E+104", "power of ten"),
         ("a serial that lost its zeros", 412, "412", "zeros in front"),
         ("a printer's dash", "IN–1–A", "U+2013", "hyphen"),
         ("a character nobody sees", "IN-1\u200b-A", "U+200B", "type the cell again"),
         ("a question mark for unknown", "?", "leave the cell empty")),
    *_in("type", ("letters that no exchanger has", "BQU", "Q is not a shell"), ("two letters", "BE", "three TEMA letters")),
    *_in("position", ("a word that is not accepted", "upright", "horizontal, vertical")),
    *_in("made up", ("a sentence for yes or no", "certainly", "yes, no")),
    *_in("options: plugs", ("no yes and no no", "maybe", "true or false"), ("a number for a yes", 1, "yes or no")),
    *_in("shell side: hazards", ("garbled letters", "Å steam Ã©", "encoding"), ("a line break", "steam\nhot", "line break")),
    *_in("shell side: MAWP",
         ("a unit that measures something else", "12 kg", "kg", "bar"),
         ("a unit nobody knows", "12 baar", "baar", "bar"),
         ("nought for not known", "0 bar", "0 bar"),
         ("n/a for not known", "n/a", "leave the cell empty"),
         ("a lost reference", Formula("=Z9", "#REF!"), "#REF!", "write the value itself"),
         ("a formula saved without its value", Formula("=K3*1.1"), "without its value"),
         ("a formula as text", "=K3*1.1", "formula written as text"),
         ("a column too narrow when copied", "#####", "too narrow"),
         ("a ditto mark", '"', "cell above"),
         ("a tick for a number", True, "TRUE", "a number is needed"),
         ("words for a number", "as plate", "not a number"),
         ("a clock time", time(12, 30), "12:30", "colon")),
    *_in("shell side: design temperature", ("hotter than sense", "15000 degC", "1200"),
         ("a bare number where row 2 names no unit", 150, "row 2")),
    *_in("shell side: MDMT", ("a printer's minus", "−7 degC", "U+2212"),
         ("warmer than the design temperature", "180 degC", "changed places")),
    *_in("shell side: test rule", ("a factor that is not accepted", 1.4, "1.3", "1.5")),
    *_in("tubes: OD", ("thousands parted by a comma", "1,905 mm", "comma"), ("thousands parted by a blank", "1 905 mm", "thousands"),
         ("a size that became a day", date(2026, 4, 3), "2026-04-03"),
         ("a grade that is none", "19.05 mm, guessed", "guessed", "measured")),
    *_in("tubes: wall", ("a wall as thick as the tube", "9.6 mm", "no bore")),
    *_in("tubes: count", ("half a tube", 4.5, "whole number")),
    *_in("tubes: pattern", ("an angle that is not accepted", "50", "30, 45, 60, 90")),
    *_in("tubes: rows", ("rows that are not the count", "30 mm, 3, 1; -30 mm, 3, 2", "6 holes"),
         ("rows that cannot be read", "30 mm; 2; 1", "cannot be read", "315.9 mm, 16, 1")),
    *_in("baffles: cut", ("a cut of more than half", "0.8", "0.5"), ("per cent for a fraction", "25 %", "%")),
    *_in("plugs: to plug", ("a list that became a day", date(2026, 6, 2), "2026-06-02"),
         ("a hole that does not exist", "9-9", "no row 9"),
         ("a list that cannot be read", "second row", "2-6")),
    *_in("item", ("an item without a name", None, "name of the item"), sheet="gaskets"),
    *_in("joint", ("a joint these letters do not have", "J7", "no joint J7"), ("no joint", None, "joint"), sheet="gaskets"),
    *_in("OD", ("an outside smaller than the inside", "600 mm", "not larger"), sheet="gaskets"),
    *_in("ID", ("a bare size where row 2 names no unit", "622", "row 2"), sheet="gaskets"),
    *_in("metal", ("a metal nobody knows", "TBC", "leave the cell empty"), sheet="gaskets"),
    *_in("thickness", ("a fraction that became a day, as text", "1-Aug", "looks like a day"), sheet="gaskets"),
    *_in("size",
         ("a stud size that became a day", date(2010, 3, 4), "2010-03-04", "3/4-10"),
         ("a stud size that became a day, as text", "01/08/2026", "looks like a day"),
         ("a stud size that became a day in another language", "08. Mai", "looks like a day"),
         ("a stud size that became a number", 1, "the number 1"),
         ("a stud size without threads", '7/8"', "not a stud size"), sheet="studs"),
    *_in("count", ("studs below nought", -28, "-28"), sheet="studs"),
    *_in("joints", ("two joints in one number", 12, "a list"), sheet="studs"),
    *_in("side", ("a side that is none", "outside", "shell, tube"), sheet="nozzles"),
    *_in("flange class", ("a class that is none", 333, "150, 300"), sheet="nozzles"),
    *_in("clock", ("thirteen o'clock", 13, "12"), sheet="nozzles"),
    *_in("nozzle", ("a blind on a nozzle that is not there", "N9", "no nozzle N9"), sheet="blinds"),
    *_in("calibrated until", ("a day the other way round", "31.10.2027", "year-month-day"),
         ("a year for a day", 2027, "a day"), sheet="tools"),
]  # fmt: skip

# Kinds that are of a row or a sheet: spoilt in `with_other` below. Name: words of the sentence.
OTHERS: dict[str, tuple[str, ...]] = {
    "a tag that stands twice": ("99-E-TWICE stands twice", "row"),
    "two tags apart only in capitals": ("capitals do not tell",),
    "two tags that would be one file": ("a file name cannot have",),
    "a row without a tag": ("no tag in this row",),
    "a tag that became a day": ("the day 2026-10-14", "14-E-103"),
    "an item of an exchanger that is not there": ("no exchanger '99-E-GONE'",),
    "an item that stands twice": ("G1 of 99-E-PAIR stands twice",),
    "the row of units moved by a sort": ("a sort has moved it",),
    "merged cells": ("are merged",),
    "a hidden row": ("this row is hidden",),
    "a name over no column of ours": ("did you mean 'shell side: fluid'",),
    "a column that stands twice": ("this column stands twice",),
    "values under no name": ("no name over it",),
    "a unit in row 2 that is none": ("'baar' in row 2 is no unit",),
    "a unit in row 2 of another kind": ("kg in row 2 does not measure this",),
    "a sheet nobody knows": ("did you mean 'gaskets'",),
    "a hidden sheet": ("this sheet is hidden",),
}


def tag_of(n: int) -> str:
    return f"99-E-{n + 1:03}"


def right() -> dict[str, list[list[Any]]]:
    """The register as it should be: every mistake's exchanger, without it."""
    sheets = {}
    for sheet, cells in RIGHT.items():
        rows = [[tag_of(n), *list(cells.values())[1:]] for n in range(len(CELLS))]
        units = ["unit", *[UNITS.get((sheet, c), "") for c in list(cells)[1:]]]
        sheets[sheet] = [list(cells), units, *rows]
    return sheets


def spoilt() -> tuple[dict[str, list[list[Any]]], dict[str, tuple[str, int, int]]]:
    """The register with its mistakes, and where each of CELLS is."""
    sheets, places = right(), {}
    for n, kind in enumerate(CELLS):
        column = list(RIGHT[kind.sheet]).index(kind.column)
        sheets[kind.sheet][n + 2][column] = kind.raw
        places[kind.name] = (kind.sheet, n + 2, column)
    return sheets, places


def with_other(kind: str) -> tuple[Sheets, dict[str, Any]]:
    """Two right exchangers with one of OTHERS, and how the workbook is then to be written."""
    sheets = {name: rows[:4] for name, rows in right().items()}
    if kind in _HOW:
        return sheets, _HOW[kind]
    _OTHER_ROWS[kind](sheets, sheets[MAIN], sheets["gaskets"])
    return sheets, {}


_HOW: dict[str, dict[str, Any]] = {
    "merged cells": {"merged": {MAIN: (2, 1, 3, 1)}},
    "a hidden row": {"hidden_rows": {MAIN: 3}},
    "a hidden sheet": {"hidden": "gaskets"},
}


def _pair(sheets: Sheets, main: Rows, gaskets: Rows) -> None:
    main.append(["99-E-PAIR", *main[2][1:]])
    gaskets += [["99-E-PAIR", *gaskets[2][1:]], ["99-E-PAIR", "G1", "J2", *gaskets[2][3:]]]


def _under_no_name(sheets: Sheets, main: Rows, gaskets: Rows) -> None:
    main[2] = [*main[2], "hello"]


def _unit(text: str) -> Callable[[Sheets, Rows, Rows], None]:
    def spoil(sheets: Sheets, main: Rows, gaskets: Rows) -> None:
        main[1][8] = text

    return spoil


def _tags(*tags: Any) -> Callable[[Sheets, Rows, Rows], None]:
    def spoil(sheets: Sheets, main: Rows, gaskets: Rows) -> None:
        main.extend([tag, *main[2][1:]] for tag in tags)

    return spoil


_OTHER_ROWS: dict[str, Callable[[Sheets, Rows, Rows], Any]] = {
    "a tag that stands twice": _tags("99-E-TWICE", "99-E-TWICE"),
    "two tags apart only in capitals": _tags("99-e-001"),
    "two tags that would be one file": _tags("99-E-7/A", "99-E-7*A"),
    "a row without a tag": _tags(None),
    "a tag that became a day": _tags(date(2026, 10, 14)),
    "an item of an exchanger that is not there": lambda sheets, main, gaskets: gaskets.append(["99-E-GONE", "G2", "J2", *gaskets[2][3:]]),
    "an item that stands twice": _pair,
    "a name over no column of ours": lambda sheets, main, gaskets: main[0].append("shell side: fluit"),
    "the row of units moved by a sort": lambda sheets, main, gaskets: main.append(main.pop(1)),
    "a column that stands twice": lambda sheets, main, gaskets: main[0].append("Shell_side: mawp"),
    "values under no name": _under_no_name,
    "a unit in row 2 that is none": _unit("baar"),
    "a unit in row 2 of another kind": _unit("kg"),
    "a sheet nobody knows": lambda sheets, main, gaskets: sheets.setdefault("gasket", [["tag"], ["99-E-001"]]),
}


def workbook(sheets: dict[str, list[list[Any]]], *, merged: dict[str, tuple[int, int, int, int]] | None = None,
             hidden_rows: dict[str, int] | None = None, hidden: str = "") -> bytes:  # fmt: skip
    """An XLSX as a spreadsheet saves it: numbers as numbers, days as days."""
    to = io.BytesIO()
    book = xlsxwriter.Workbook(to, {"in_memory": True, "strings_to_formulas": False})
    days = book.add_format({"num_format": "d-mmm"})
    for name, rows in sheets.items():
        sheet = book.add_worksheet(name)
        for r, row in enumerate(rows):
            for c, value in enumerate(row):
                _write(sheet, r, c, value, days)
        if merged and name in merged:
            first = rows[merged[name][0]][merged[name][1]]
            sheet.merge_range(
                *merged[name], first, book.add_format()
            )  # with a format the cells behind it are emptied, as a spreadsheet does
        if hidden_rows and name in hidden_rows:
            sheet.set_row(hidden_rows[name], None, None, {"hidden": True})
        if name == hidden:
            sheet.hide()
    book.close()
    return to.getvalue()


def _write(sheet: Any, row: int, column: int, value: Any, days: Any) -> None:
    if isinstance(value, Formula):
        sheet.write_formula(row, column, value.text, None, "" if value.value is None else value.value)
    elif isinstance(value, time | date):
        sheet.write_datetime(row, column, value, days)
    elif value is not None and value != "":
        sheet.write(row, column, value)
