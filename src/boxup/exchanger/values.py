"""One value of the file: a quantity with its grade, a word, a yes or no. Raises BadValue with a sentence."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from difflib import get_close_matches
from math import isfinite
from typing import Any

from boxup.core.calculation import check_bounds
from boxup.core.quantity import GRADES, BadValue, Grade, Quantity, example, quantity
from boxup.core.unit import UNITS, units_like
from boxup.exchanger.syntax import short

LONGEST_NUMBER, LONGEST_WORD = 60, 400
_TAIL = re.compile(r"^(.*?),\s*([A-Za-z][A-Za-z ]*?)\s*$")
_NOT_WHOLE = ("clock", "chloride_limit_mg_per_l")  # counted in "count", yet half past two is a clock position
_CHOICES = {"pattern": (30.0, 45.0, 60.0, 90.0)}


def as_quantity(raw: object, key: str, meta: Mapping[str, Any], grade: Grade, where: str) -> Quantity:
    """`"811.5 mm, measured"`, or a plain number where the key has no unit."""
    like: str = meta["unit"]
    if isinstance(raw, str):
        text, grade = _split_grade(raw, grade)
    elif isinstance(raw, int | float) and not isinstance(raw, bool):
        text = _plain_number(raw, key, like)
    else:
        raise BadValue(f"{_seen(raw)} where a number is needed ({meta['label']}); for example {key} = {_sample(like)}")
    got = quantity(text, like, grade, where)
    if not isfinite(got.si):
        raise BadValue(f"{text!r} is not a number anybody measured")
    check_bounds(got, meta)
    _check_count(got, key, like)
    return got


def _split_grade(raw: str, grade: Grade) -> tuple[str, Grade]:
    if len(raw) > LONGEST_NUMBER:
        raise BadValue(f"{short(raw, 30)!r} has {len(raw)} characters; a number with its unit is needed")
    tail = _TAIL.match(raw)
    if not tail:
        return raw, grade
    for known in GRADES:
        if tail.group(2).lower() == known:
            return tail.group(1), known
    raise BadValue(f"{tail.group(2)!r} after the comma is not a grade; accepted: {', '.join(GRADES)}")


def _plain_number(raw: float, key: str, like: str) -> str:
    if UNITS[like].dim != UNITS["-"].dim or like == "deg":
        how = f"write it in quotes with its unit, for example {key} = {_sample(like)}"
        raise BadValue(f"{raw} has no unit; {how}; accepted: {units_like(like)}")
    return str(raw)


def _sample(like: str) -> str:
    plain = UNITS[like].dim == UNITS["-"].dim and like != "deg"
    sample = example(like)
    return sample if plain else f'"{sample}"'


def _check_count(got: Quantity, key: str, like: str) -> None:
    if like == "count" and key not in _NOT_WHOLE and got.si != round(got.si):
        raise BadValue(f"{got.typed!r} is not a whole number")
    if key in _CHOICES and got.si not in _CHOICES[key]:
        raise BadValue(f"{got.typed!r} is not accepted; accepted: {', '.join(f'{c:g}' for c in _CHOICES[key])}")


def as_word(raw: object, meta: Mapping[str, Any]) -> str:
    """A word, checked against what is accepted; capitals do not matter there. A date or a plain number is read as it is written."""
    accepted = tuple(a for a in meta.get("accepted", ()) if a)
    if isinstance(raw, bool) and "yes" in accepted:
        return "yes" if raw else "no"
    if isinstance(raw, bool) or not isinstance(raw, str | int | float | date):
        raise BadValue(f"{_seen(raw)} where a word is needed ({meta['label']}){_accepts(accepted)}")
    text = raw.isoformat() if isinstance(raw, date) else str(raw).strip()
    if len(text) > LONGEST_WORD:
        raise BadValue(f"{len(text)} characters; at most {LONGEST_WORD}")
    if not accepted or not text:
        return text
    same = [known for known in accepted if text.lower() == str(known).lower()]
    if same:
        return str(same[0])
    near = get_close_matches(text.lower(), accepted, 1)
    hint = f"; did you mean {near[0]}?" if near else ""
    raise BadValue(f"{short(text)!r} is not accepted{_accepts(accepted)}{hint}")


def as_date(text: str) -> str:
    """A day as year-month-day."""
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError:
        raise BadValue(f"{short(text)!r} is not a day; accepted: year-month-day, for example 2027-09-30") from None


def as_yes(raw: object) -> bool:
    """true or false; "yes" and "no" are understood."""
    said = {"yes": True, "true": True, "no": False, "false": False}
    if isinstance(raw, bool):
        return raw
    if isinstance(raw, str) and raw.strip().lower() in said:
        return said[raw.strip().lower()]
    raise BadValue(f"{_seen(raw)} where true or false is needed")


def as_names(raw: object, form: str, sample: str) -> tuple[str, ...]:
    """A list of short names, each of `form` (a regular expression); one name alone may stand without brackets."""
    if isinstance(raw, str):
        raw = [raw]
    if not isinstance(raw, list):
        raise BadValue(f"{_seen(raw)} where a list is needed; for example {sample}")
    bad = [n for n in raw if not isinstance(n, str) or not re.fullmatch(form, n.strip())]
    if bad:
        raise BadValue(f"{', '.join(short(repr(n), 20) for n in bad[:5])} cannot be read; for example {sample}")
    return tuple(n.strip() for n in raw)


def _seen(raw: object) -> str:
    match raw:
        case bool():
            return str(raw).lower()
        case list():
            return "a list"
        case dict():
            return "a section"
        case _:
            return short(repr(raw))


def _accepts(accepted: tuple[str, ...]) -> str:
    return f"; accepted: {', '.join(accepted)}" if accepted else ""
