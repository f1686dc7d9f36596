"""One cell: from what a spreadsheet holds to the text a person would have typed. What was changed on the way is said, never guessed."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Any

from boxup.core.unit import UNITS, unit, units_like
from boxup.exchanger.syntax import short
from boxup.turnaround.book import Value
from boxup.turnaround.columns import Column

HOW_TO = "format the cell as text and type it again"
_FAULT = re.compile(r"#(REF!|N/A|NAME\?|DIV/0!|VALUE!|NUM!|NULL!|SPILL!|CALC!)", re.IGNORECASE)
_NOTHING = re.compile(
    r"[-?.–—_/x]{1,5}|n\.?/?a\.?|tb[acd]\.?|unknown|not known|not given|to be (confirmed|advised|measured)", re.IGNORECASE
)
_NONE = re.compile(r"none|nil", re.IGNORECASE)  # an impingement plate may be none; a stud grade may not
_DITTO = re.compile(r"[\"'″〃”“,]{1,3}|ditto|do\.?|same|as above|see above|[↑^]", re.IGNORECASE)
_MONTH = r"(?:jan|jän|feb|fév|mar|mär|apr|avr|may|mai|jun|jul|aug|sep|sept|oct|okt|nov|dec|dez|déc)[a-z]*\.?"
_DAY = re.compile(
    rf"\d{{1,2}}[- /.]{{1,2}}{_MONTH}(?:[- /.]{{1,2}}\d{{2,4}})?|{_MONTH}[- /.]{{1,2}}\d{{2,4}}|\d{{1,2}}/\d{{1,2}}/\d{{2,4}}"
    r"|\d{4}-\d\d-\d\d(?:[T ]\d\d:\d\d(?::\d\d)?)?|\d{1,2}\.\d{1,2}\.(?:19|20)\d\d",
    re.IGNORECASE,
)
_POWER = re.compile(r"[+-]?\d+(?:[.,]\d+)?E[+-]?\d+", re.IGNORECASE)
_GARBLED = re.compile(r"[\u00c2\u00c3][\u0080-\u00bf]|â€|\ufffd")
_DASHES = "‐‑‒–—―−"
_PARTED = re.compile(r"[+-]?\d{1,3}(?:[ '’]\d{3})+(?!\d)")
_BARE = re.compile(r"(?P<number>[+-]?[\d.,/ -]*\d)\s*(?P<grade>,\s*[A-Za-z ]+)?")
_PLAIN = re.compile(r"-?(?:0|[1-9]\d*)(?:\.\d+)?")
_ROW = re.compile(r"(?P<y>.+),\s*(?P<holes>\d+)\s*,\s*(?P<tube_pass>\d+)")
_HELD = re.compile(r"'[=@]")  # as we write a text that begins like a formula


class OddCell(ValueError):
    """A cell that cannot be taken; the sentence says what was seen and what to do."""


@dataclass(slots=True)
class Reading:
    """What a cell says, as it will stand in the file; `notes` tell what was put right on the way."""

    value: Any = None
    notes: list[str] = field(default_factory=list)


def read_cell(raw: Value, column: Column, unit: str = "") -> Reading:
    """The value for the file, or None for an empty cell. `unit` is the one row 2 gives to bare numbers. Raises OddCell."""
    got = Reading()
    text = _typed(raw, column, got)
    if not text:
        return got
    if isinstance(text, bool):
        got.value = text
        return got
    got.value = _for_file(text, column, unit)
    return got


def _typed(raw: Value, column: Column, got: Reading) -> str | bool:
    match raw:
        case None:
            return ""
        case bool():
            return _tick(raw, column)
        case datetime() | date() | time() | timedelta():
            return _day(raw, column)
        case int() | float():
            return _number(raw, column)
        case str():
            return _text(raw, column, got)


def _tick(raw: bool, column: Column) -> str | bool:
    if column.kind == "yes" or column.accepted == ("yes", "no"):
        return raw if column.kind == "yes" else ("yes" if raw else "no")
    raise OddCell(f"the cell holds {str(raw).upper()}, where {_wanted(column)} is needed")


def _day(raw: date | time | timedelta, column: Column) -> str:
    if column.kind == "day" and isinstance(raw, date):
        return (raw.date() if isinstance(raw, datetime) else raw).isoformat()
    if isinstance(raw, time | timedelta):
        raise OddCell(f"the cell holds the time {raw}: a spreadsheet makes one of a colon; {HOW_TO}; {_wanted(column)} is needed")
    text = f"the cell holds the day {raw.strftime('%Y-%m-%d')}: a spreadsheet makes a day of 1/2, 1-8, 3/4-10 or 14-E-103"
    raise OddCell(f"{text}; {HOW_TO}, {_for_example(column)}")


def _number(raw: float, column: Column) -> str:
    text = f"{raw:.15g}"
    if column.exact:
        why = "a spreadsheet drops zeros in front, makes a power of ten of 14E103 and a decimal of 3/4"
        raise OddCell(f"the cell holds the number {text}, where a name is needed: {why}; {HOW_TO}, {_for_example(column)}")
    if column.kind in ("list", "rows", "day", "yes"):
        raise OddCell(f"the cell holds the number {text}, where {_wanted(column)} is needed; {HOW_TO}")
    if column.kind == "word" and raw != int(raw) and text not in column.accepted:
        raise OddCell(f"the cell holds the number {text}, where {_wanted(column)} is needed: was it a fraction? {HOW_TO}")
    return text


def _text(raw: str, column: Column, got: Reading) -> str:
    text = _trimmed(raw, got)
    if _HELD.match(text):
        return text[1:]
    text = _without_apostrophe(text, column, got)
    for refuse in (_not_a_value, _not_readable, _not_as_typed):
        if why := next(refuse(text, column), ""):
            raise OddCell(why)
    return text


def _trimmed(raw: str, got: Reading) -> str:
    text = raw
    if "\u00a0" in text or "\u202f" in text:
        text = text.replace("\u00a0", " ").replace("\u202f", " ")
        if text.strip():
            got.notes.append("a non-breaking blank was read as a blank")
    if text.strip(" ") != text and text.strip():
        got.notes.append(f"blanks around {short(text.strip(' '), 30)!r} were left out")
    return text.strip(" ")


def _without_apostrophe(text: str, column: Column, got: Reading) -> str:
    if not (text.startswith("'") and len(text) > 2 and (column.exact or column.kind in ("number", "list", "day"))):
        return text
    got.notes.append(f"the apostrophe in front of {short(text[1:], 30)!r} was left out: another program's sign for text")
    return text[1:]


def _not_a_value(text: str, column: Column) -> Iterator[str]:
    if _FAULT.fullmatch(text):
        yield f"the cell shows {text}: its formula has lost what it pointed at; write the value itself"
    if text.startswith("="):
        yield f"{short(text, 30)!r} is a formula written as text; write the value itself"
    if re.fullmatch(r"#{2,}", text):
        yield "the cell holds only # signs: it was too narrow when it was copied; write the value itself"
    if _DITTO.fullmatch(text):
        yield f"{text!r} points at the cell above, and rows get sorted; write the value itself"
    none = _NONE.fullmatch(text) and column.section != "bundle" and column.key != "hazards"
    if (_NOTHING.fullmatch(text) or none) and not (column.kind == "item" or text.lower() in column.accepted):
        yield f"{text!r} is no value; leave the cell empty while it is not known: Boxup then says what to measure or whom to ask"


def _not_readable(text: str, column: Column) -> Iterator[str]:
    if re.search(r"[\r\n\v\f\u2028\u2029]", text):
        yield "there is a line break in the cell; one line is accepted"
    if odd := next((c for c in text if unicodedata.category(c) in ("Cc", "Cf", "Co", "Cs") and c not in "\r\n"), ""):
        yield f"there is a character in it that cannot be seen (U+{ord(odd):04X}); type the cell again"
    if _GARBLED.search(text):
        yield f"{short(text, 30)!r} is garbled: saved in one encoding, read in another; save the file anew as XLSX, or as CSV UTF-8"


def _not_as_typed(text: str, column: Column) -> Iterator[str]:
    picky = column.exact or column.kind in ("number", "list", "rows")
    if picky and _DAY.fullmatch(text):
        yield f"{text!r} looks like a day: a spreadsheet makes one of 1/2, 1-8 or 3/4-10; {HOW_TO}, {_for_example(column)}"
    if column.exact and _POWER.fullmatch(text) and "+" in text:
        yield f"{text!r} is a power of ten: a spreadsheet makes one of 14E103; {HOW_TO}, {_for_example(column)}"
    if picky and (odd := next((c for c in text if c in _DASHES), "")):
        yield f"{odd!r} in {short(text, 30)!r} is a printer's dash (U+{ord(odd):04X}); type the hyphen of the keyboard: -"
    if column.kind == "number" and _PARTED.match(text):
        yield f"{short(text, 30)!r}: thousands are parted; write the number without it, {_for_example(column)}"


def _for_file(text: str, column: Column, unit: str) -> Any:
    how: dict[str, Callable[[str], Any]] = {"list": _list, "rows": _rows, "yes": _yes}
    if column.kind == "number":
        return _quantity(text, column, unit)
    return how[column.kind](text) if column.kind in how else text


def _quantity(text: str, column: Column, unit: str) -> Any:
    bare = _BARE.fullmatch(text)
    if not column.unit:
        return _plain(text)
    if not bare:
        return text
    if not unit:
        why = "and row 2 of this column names none"
        raise OddCell(f"{text!r} has no unit, {why}; write it behind the number, {_for_example(column)}, or name the unit in row 2")
    return f"{bare['number'].strip()} {unit}{bare['grade'] or ''}"


def _plain(text: str) -> Any:
    """A plain number as a number, so that the file looks as a person writes it; anything else as it is, for the reader to judge."""
    if not _PLAIN.fullmatch(text) or len(text) > 15:
        return text
    return float(text) if "." in text else int(text)


def _list(text: str) -> list[str]:
    return [part.strip() for part in re.split(r"[,;]", text) if part.strip()]


def _yes(text: str) -> Any:
    return {"yes": True, "true": True, "no": False, "false": False}.get(text.lower(), text)


def _rows(text: str) -> list[list[Any]]:
    rows = []
    for n, part in enumerate((p for p in text.split(";") if p.strip()), start=1):
        found = _ROW.fullmatch(part.strip())
        if not found:
            raise OddCell(f"row {n}, {short(part.strip(), 40)!r}, cannot be read; accepted: 315.9 mm, 16, 1 (height over the centre line, "
                          "holes, pass), a semicolon before the next row")  # fmt: skip
        rows.append([found["y"].strip(), int(found["holes"]), int(found["tube_pass"])])
    return rows


def _wanted(column: Column) -> str:
    return {"number": "a number", "list": f"a list such as {column.says}", "rows": "a list of rows", "day": "a day (year-month-day)",
            "yes": "yes or no"}.get(column.kind, column.says if column.accepted else "a word")  # fmt: skip


def _for_example(column: Column) -> str:
    example = column.example.strip('"[]').replace('"', "") or column.says
    return f"for example {example}"


def unit_of(text: str, column: Column) -> str:
    """The unit row 2 gives to the bare numbers of a column; empty where it names none. Raises OddCell when it is not one of this kind."""
    said = " ".join(text.replace("\u00a0", " ").split())
    if column.kind != "number" or not column.unit or not said:
        return ""
    try:
        found = unit(said)
    except KeyError:
        raise OddCell(f"{short(said, 30)!r} in row 2 is no unit; accepted: {units_like(column.unit)}") from None
    if found.dim != UNITS[column.unit].dim:
        raise OddCell(f"{said} in row 2 does not measure this; accepted: {units_like(column.unit)}")
    return said
