"""The first line of a log as plants write it: what each column is and its unit. One reading of it for the page and the command.

A head is read by its words, whatever stands between them: `gauge bar`, `P_MPa_gauge`, `gauge_top_barg`, `ambient [°C]`. One that is not
known, or a quantity that stands in two columns, is refused: nobody may choose silently which gauge is meant. Two gauges headed A and B, or
1 and 2, are both read: the first is `pressure`, the second `gauge_b`.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from datetime import datetime, time, timedelta

Column = tuple[str, str]  # a field of a reading, and what its numbers are in: a unit, or "" for a clock and for words

_UNITS: dict[str, dict[str, str]] = {
    "pressure": {"bar": "bar", "barg": "bar", "psi": "psi", "psig": "psi", "mpa": "MPa", "mpag": "MPa", "kpa": "kPa", "kpag": "kPa"},
    "temperature": {"c": "degC", "degc": "degC", "f": "degF", "degf": "degF"},
    "volume": {"l": "L", "litres": "L", "liters": "L", "ml": "mL", "gal": "gal", "gallons": "gal"},
    "time": {"min": "min", "mins": "min", "minutes": "min", "s": "s", "sec": "s", "seconds": "s", "h": "h", "hours": "h"},
}
_ABSOLUTE = {"bara", "psia", "mpaa", "kpaa", "abs", "absolute"}
# field: kind of unit, words one of which must stand there, words that may stand beside them
_FIELDS: dict[str, tuple[str, set[str], set[str]]] = {
    "pressure": ("pressure", {"gauge", "pressure", "p", "press"}, {"top", "low", "end", "bottom", "test", "a", "b", "1", "2"}),
    "water": ("temperature", {"water"}, {"t", "temp", "temperature"}),
    "metal": ("temperature", {"metal", "steel", "skin"}, {"t", "temp", "temperature"}),
    "air": ("temperature", {"air", "ambient"}, {"t", "temp", "temperature"}),
    "pumped": ("volume", {"pumped"}, {"in", "so", "far", "volume", "water"}),
}
_FIRST, _SECOND = {"a", "1"}, {"b", "2"}  # what parts the two gauges of a test in their heads
_NOTES = {"note", "notes", "remark", "remarks", "comment", "comments"}
ACCEPTED = (
    "a first line that names the columns with their units, such as time, gauge bar, water C, pumped L: time as 06:20, or minutes from a "
    "start; gauge bar, barg, psi, MPa or kPa, two of them as gauge A bar, gauge B bar; "
    "water, metal, air (or ambient) C or F; pumped L, mL or gal; note"
)
HOURS = "06:20, or 2027-04-12 06:20, or 6:20 AM"
_HALVES = re.compile(r"(.*?)(\d{1,2})((?::\d\d){1,2})\s*([ap])\.?\s?m\.?", re.I)
BACK = timedelta(hours=12)  # an hour that lies so far before the one above it is of the next day


def column_of(head: str) -> Column | None:
    """What a column is by its head; None for one that is not known, a quantity without its unit among them."""
    words = _words_of(head)
    units = [(kind, w) for w in words for kind, names in _UNITS.items() if w in names]
    rest = {w for w in words if not any(w == unit for _, unit in units)}
    if not words or _ABSOLUTE & rest or len(units) > 1:
        return None
    kind, unit = (units[0][0], _UNITS[units[0][0]][units[0][1]]) if units else ("", "")
    if not kind:
        return ("clock", "") if rest == {"time"} else ("note", "") if rest <= _NOTES else None
    if kind == "time":
        return ("since", unit) if rest <= {"t", "time", "elapsed"} else None
    if kind == "volume" and not rest and units[0][1] in ("litres", "liters", "gallons"):
        return "pumped", unit
    for field, (of, must, may) in _FIELDS.items():
        if kind == of and rest & must and rest <= must | may:
            return field, unit
    return None


def columns_of(heads: Sequence[str]) -> tuple[dict[int, Column], list[str]]:
    """What each column is, by its place; and what is wrong with the first line, each with the head that was seen."""
    found: dict[int, Column] = {}
    problems = []
    for n, head in enumerate(heads):
        if known := column_of(head):
            found[n] = known
        elif head:
            why = " It is absolute; a test is read in gauge pressure." if _ABSOLUTE & set(re.split(r"[\s_]+", head.lower())) else ""
            problems.append(f"the column {head[:40]!r} is not known.{why}")
    found = _both_gauges(found, heads)
    fields = [field for field, _ in found.values()]
    for field in dict.fromkeys(f for f in fields if f != "note" and fields.count(f) > 1):
        named = " and ".join(repr(heads[n][:40]) for n, (f, _) in found.items() if f == field)
        problems.append(f"{field} stands in two columns, {named}: leave in the one that is meant.")
    return found, problems


def _both_gauges(found: dict[int, Column], heads: Sequence[str]) -> dict[int, Column]:
    """The same with the second of two gauges by its own name, where their heads part them."""
    read = {n: set(_words_of(heads[n])) for n, (field, _) in found.items() if field == "pressure"}
    second = [n for n, words in read.items() if words & _SECOND]
    if len(read) != 2 or len(second) != 1 or not any(words & _FIRST for n, words in read.items() if n not in second):
        return found
    return {n: ("gauge_b" if n in second else field, unit) for n, (field, unit) in found.items()}


def _words_of(head: str) -> list[str]:
    return [w for w in re.split(r"[\s_\-.,/()\[\]°]+", head.lower()) if w]


def rows_of(text: str) -> list[tuple[int, list[str]]]:
    """Lines with something in them, each with its number, cut where the first of them is: at tabs, semicolons or commas."""
    kept = [(n, line) for n, line in enumerate(text.lstrip("\ufeff").splitlines(), start=1) if line.strip(" \t;,")]
    sign = sign_of(text)
    return [(n, [cell.strip() for cell in row]) for (n, line) in kept for row in csv.reader([line], delimiter=sign, skipinitialspace=True)]


def sign_of(text: str) -> str:
    """What parts the cells, by the first line with something in it."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    return next((sign for sign in "\t;" if sign in first), ",")


def clock_of(cell: str, day: datetime, last: datetime | None) -> datetime | None:
    """`06:20`, `06:20:30`, `6:20 PM` or a whole moment; an hour far before the one above it is of the next day. None where it is none."""
    cell = _of_24_hours(cell)
    try:
        if len(cell) > len("06:20:00"):
            found = datetime.fromisoformat(cell)
            return found if found.tzinfo else found.replace(tzinfo=day.tzinfo)
        hour = time.fromisoformat(f"0{cell}" if cell[1:2] == ":" else cell)
    except ValueError:
        return None
    found = datetime.combine(day.date(), hour, day.tzinfo)
    return found + timedelta(days=1) if last is not None and last - found > BACK else found


def _of_24_hours(cell: str) -> str:
    """`6:20 PM` as `18:20`; anything else as it is."""
    said = _HALVES.fullmatch(cell)
    if said is None or not 1 <= int(said[2]) <= 12:
        return cell
    return f"{said[1]}{int(said[2]) % 12 + 12 * (said[4].lower() == 'p'):02d}{said[3]}"
