"""A number with its unit and where it came from. What was typed is kept as typed."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import isfinite
from typing import Literal

from boxup.core.unit import TONS, UNITS, Unit, known, unit, units_like

Grade = Literal["entered", "drawing", "measured", "assumed", "memory"]
GRADES: tuple[Grade, ...] = ("drawing", "measured", "assumed", "memory")

_NUMBER = re.compile(r"^\s*([+-]?(?:\d+[\s-]\d+/\d+|\d+/\d+|(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?))\s*(.*?)\s*$")

# 1,350 may be one and a bit or thirteen hundred and fifty: a load may hang on it, so nobody guesses. 1,350.5 and 1,350,000 are one number
# only, but so are not read here either: the next one typed is 1,350
_THOUSANDS = re.compile(r"^\s*[+-]?\d{1,3}(,\d{3})+(?!\d)")
_BLANKS = re.compile(r"^\s*[+-]?\d{1,3}(?:\s\d{3})+(?![\d/])")  # 5 000 kg, as it is printed here
_POINT = re.compile(r"^\s*[+-]?[1-9]\d{0,2}\.\d{3}(?![\d.eE])")  # 5.000 may be five thousand, as 5,000 may
_POINTS = re.compile(r"^\s*[+-]?[1-9]\d{0,2}(?:\.\d{3}){2,}(?!\d)")
_WHOLE = ("kg", "lb", "N", "lbf", "kgf", "N.m", "lbf.ft", "count")  # what nobody reads to a thousandth
_IN_A_LIST = re.compile(r"(?<![\d.,/-])[+-]?\d{1,3}(?:,\d{3})+(?![\d.,])")
_ITEM = re.compile(r"[+-]?(?:\d+-)?[\d./]+(?:[eE][+-]?\d+)?")
_WITH_UNIT = re.compile(r"[+-]?(?:\d+-)?[\d./]+[^\d\s.,/+-][^\s,]*")
_LIST = "accepted: numbers with one unit behind the last, as '6 9 12 m', or each with its own, as '6 m 9 m 12 m'"


class BadValue(ValueError):
    """A value that cannot be read; the sentence says what we saw and what is accepted."""


class WhichTon(BadValue):
    """A ton, and nobody said which of the three."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """`si` in coherent SI; `unit` the one to show it in; `typed` as it was written; `grade` how well it is known."""

    si: float
    unit: str
    typed: str = ""
    grade: Grade = "entered"
    where: str = ""

    def to(self, name: str) -> float:
        """The number in unit `name` (same dimension)."""
        target = unit(name)
        if target.dim != UNITS[self.unit].dim:
            raise BadValue(f"{self.typed or self.si} is not something measured in {name}")
        return target.from_si(self.si)


def number_of(text: str) -> float:
    """A decimal, a fraction `7/8` or a mixed number `1-1/4` or `1 1/4` as a float."""
    sign = -1.0 if text.startswith("-") else 1.0
    body = text.lstrip("+-")
    if "/" not in body:
        return sign * float(body)
    whole, _, fraction = body.replace(" ", "-").rpartition("-")
    top, bottom = fraction.split("/")
    if float(bottom) == 0:
        raise BadValue(f"{text!r} divides by zero")
    return sign * (float(whole or 0) + float(top) / float(bottom))


def quantity(text: str, like: str, grade: Grade = "entered", where: str = "") -> Quantity:
    """Read `text` as a quantity of the same kind as unit `like`.

    Raises BadValue with a sentence that names the value and what is accepted.
    """
    if commas := _THOUSANDS.match(text):
        raise BadValue(_thousands(text.strip(), commas.group().strip()))
    if blanks := _BLANKS.match(text):
        text, typed = re.sub(r"\s", "", blanks.group()) + text[blanks.end() :], text.strip()
    else:
        typed = text.strip()
    found = _NUMBER.match(text.replace(",", ".") if re.fullmatch(r"\s*[+-]?\d+,\d+\D*", text) else text)
    if not found:
        raise BadValue(f"{text!r} is not a number with a unit; accepted: a number and {units_like(like)}, for example {example(like)!r}")
    if not isfinite(number_of(found.group(1))):
        raise BadValue(f"{text.strip()!r} is too large to be a number here; accepted: a number and {units_like(like)}")
    asked = UNITS[like]
    if _POINTS.match(text):
        raise BadValue(f"{text.strip()!r}: points that part thousands are not read; write {text.strip().replace('.', '')!r}")
    u = _unit_of(text, found.group(2), asked)
    if u.name in _WHOLE and (point := _POINT.match(text)):
        raise BadValue(_parted(text.strip(), point.group().strip()))
    return Quantity(u.to_si(number_of(found.group(1))), u.name if u.name != "count" else like, typed, grade, where)


def _parted(text: str, number: str) -> str:
    """5.000 kg asked about as 5,000 kg is."""
    return (f"{text!r}: the point may be a decimal sign or part thousands; write {text.replace('.', '', 1)!r}, "
            f"or {text.replace(number, _decimal(number), 1)!r}")  # fmt: skip


def _decimal(number: str) -> str:
    """`5.000` or `5,000` as a decimal that nobody takes for thousands: `5.0`; `1.357` as `1.3570`."""
    plain = number.replace(",", ".")
    return re.sub(r"0{1,2}$", "", plain) if plain.endswith("0") else f"{plain}0"


def _thousands(text: str, number: str) -> str:
    plain = text.replace(",", "")
    if text.count(",") > 1 or "." in text:
        return f"{text!r}: commas that part thousands are not read; write {plain!r}"
    return f"{text!r}: the comma may be a decimal sign or part thousands; write {plain!r}, or {text.replace(number, _decimal(number), 1)!r}"


def quantities(text: str, like: str, grade: Grade = "entered", where: str = "") -> tuple[Quantity, ...]:
    """`3.1 3.1 3.3 3.2 mm`: one unit for all, or each with its own between commas: `1/8 in, 3.2 mm`. Raises BadValue as `quantity`."""
    return tuple(quantity(part, like, grade, where) for part in shared_unit(text))


def shared_unit(text: str) -> list[str]:
    """The parts of a list, each with its unit, as `quantities` reads it. BadValue for `3,000`, which may be one number or two."""
    if found := _IN_A_LIST.search(text):
        one = found.group().strip()
        raise BadValue(
            f"{one!r}: the comma may be a decimal sign, part thousands or two numbers; write {one.replace(',', '')!r}, "
            f"{_decimal(one)!r} or {one.replace(',', ' ')!r}"
        )
    if "," in text:
        return [part.strip() for part in text.split(",")]
    items = text.split()
    if own := _own_units(items):
        return own
    words = 2 if len(items) > 2 and known(" ".join(items[-2:])) else 1  # short ton
    numbers, unit_ = items[:-words], " ".join(items[-words:])
    if numbers and _ITEM.fullmatch(unit_):
        raise BadValue(f"{text.strip()!r} has no unit; write one behind the last number, or one behind each with commas between")
    if strange := next((n for n in numbers if not _ITEM.fullmatch(n)), ""):
        raise BadValue(f"{text.strip()!r}: {strange!r} is not a number; {_LIST}")
    _not_parted(text.strip(), numbers)
    return [f"{n} {unit_}" for n in numbers] or [text]


def _own_units(items: list[str]) -> list[str]:
    """`6 m 9 m 12 m` or `6m 9m`: each number with its unit; none where they are not written so."""
    if len(items) > 1 and all(_WITH_UNIT.fullmatch(one) for one in items):
        return items
    starts = [i for i, one in enumerate(items) if _ITEM.fullmatch(one)]
    parts = [items[i:j] for i, j in zip(starts, [*starts[1:], len(items)], strict=True)]
    return [" ".join(part) for part in parts] if starts[:1] == [0] and len(parts) > 1 and all(len(part) > 1 for part in parts) else []


def _not_parted(text: str, numbers: list[str]) -> None:
    """`9 000 7 500 kg` is two numbers as they are printed here, or four: asked."""
    pairs = list(zip(numbers[::2], numbers[1::2], strict=False))
    looks = len(numbers) % 2 == 0 and all(re.fullmatch(r"[+-]?[1-9]\d?", a) and re.fullmatch(r"\d{3}", b) for a, b in pairs)
    if numbers and (looks or any(re.fullmatch(r"0\d\d", n) for n in numbers)):
        raise BadValue(
            f"{text!r}: a blank may part thousands or two numbers; write each number without one, as '5000', or a comma between numbers"
        )


def _unit_of(text: str, spelling: str, asked: Unit) -> Unit:
    plain = asked.dim == UNITS["-"].dim and asked.name != "deg"
    if not spelling and not plain:
        raise BadValue(f"{text.strip()!r} has no unit; accepted: {units_like(asked.name)}, for example {example(asked.name)!r}")
    try:
        u = unit(spelling)
    except KeyError:
        if _ton(spelling) and asked.dim in (UNITS["kg"].dim, UNITS["N"].dim):
            raise WhichTon(_which_ton(text.strip())) from None
        raise BadValue(f"{text.strip()!r}: the unit {spelling!r} is not known; accepted: {units_like(asked.name)}") from None
    if u.dim != asked.dim or (u.name == "deg") != (asked.name == "deg"):
        raise BadValue(f"{text.strip()!r}: {u.name} does not measure this; accepted: {units_like(asked.name)}")
    return asked if plain else u


def _ton(spelling: str) -> bool:
    """Whether it is a ton that does not say which."""
    plain = spelling.strip(" .")
    return plain in TONS or plain.lower() in TONS


def _which_ton(text: str) -> str:
    return (
        f"{text!r}: a ton may be 2000 lb, 1000 kg or 2240 lb, and a load may hang on which; read it off the tag or the chart and write "
        "'short ton', 't' or 'long ton', or give kg or lb"
    )


def example(like: str) -> str:
    """A value a person could type for a unit of this kind."""
    return {"mm": "813 mm", "MPa": "24.1 bar", "N": "134.8 kN", "kN": "134.8 kN", "N.m": "455 lbf.ft", "degC": "12 degC", "kg": "4290 kg",
            "m": "6.1 m", "L": "1130 L", "-": "0.18", "count": "36", "deg": "60 deg"}.get(like, f"1 {like}")  # fmt: skip
