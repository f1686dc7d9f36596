"""From what a person types (`torque="455 lbf.ft" studs=1-12,15`) to a payload; what was typed is kept beside the number."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from boxup.core.calculation import STANDARD_GRAVITY
from boxup.core.quantity import BadValue, WhichTon, quantity, shared_unit
from boxup.core.unit import UNITS, units_like
from boxup.record.event import BadEvent
from boxup.record.kinds import TYPED, Field, Kind, problems_of

AS_LONG = {"crane.stood": ("chart_radii_m", "chart_kg")}  # lists of an entry that are read side by side
MOST_STUDS = 1000  # of one range; no joint has so many
CELL_READ = ("pull read", "hook read")  # fields that are read off a load cell
_RANGE = re.compile(r"(\d+)(?:-(\d+))?")


def payload_of(kind: Kind, words: Mapping[str, str]) -> dict[str, Any]:
    """The payload of typed keys. A quantity is typed with its unit, in any system. BadEvent with every problem at once."""
    fields = {f.typed_name: f for f in kind.fields.values()} | dict(kind.fields)
    payload: dict[str, Any] = {}
    typed: dict[str, str] = {}
    problems: list[str] = []
    for key, text in words.items():
        if key not in fields:
            payload[key] = text  # told below, with the keys there are
            continue
        try:
            payload[fields[key].name] = _value(fields[key], text)
            if fields[key].unit not in ("", "-"):
                typed[fields[key].name] = text.strip()
        except (BadValue, ValueError) as bad:
            problems.append(f"{kind.name}, {key}: {bad}.")
            payload[fields[key].name] = None
    refused = {name for name, value in payload.items() if value is None}
    kept = {name: value for name, value in payload.items() if value is not None}
    problems += [p for p in problems_of(kind, kept) if not any(p.startswith(f"{kind.name}, {name}:") for name in refused)]
    problems += _unequal(kind.name, kept)
    if problems:
        raise BadEvent(problems)
    return kept | ({TYPED: typed} if typed else {})


def _unequal(name: str, kept: Mapping[str, Any]) -> list[str]:
    """Two lists that belong together, of which one is longer."""
    one, other = AS_LONG.get(name, ("", ""))
    if one not in kept or other not in kept or len(kept[one]) == len(kept[other]):
        return []
    counts = f"{len(kept[one])} in {one.rpartition('_')[0]} and {len(kept[other])} in {other.rpartition('_')[0]}"
    return [f"{name}: {counts}; each row of the chart has one of each, in the same order."]


def _value(f: Field, text: str) -> Any:
    if f.unit:
        if f.unit == "N" and f.says in CELL_READ:
            return _cell(text)
        if f.type.endswith("*"):
            return [_number(part, f.unit) for part in shared_unit(text)]
        return _number(text, f.unit)
    if f.type == "whole":
        return int(text) if text.strip().isdecimal() else text
    if f.type == "number":
        return _plain(text)
    if f.type == "studs":
        return _studs(text)
    if f.type == "texts":
        return text.replace(",", " ").split()
    return text if f.type == "long text" else text.strip()


def _number(text: str, unit: str) -> float:
    """In that unit, without the last digits that only the change of unit made."""
    return float(f"{UNITS[unit].from_si(quantity(text, unit).si):.12g}")


def _cell(text: str) -> float:
    """N as a load cell shows it: many show kg, t or klb and mean the weight of so much."""
    try:
        return _number(text, "N")
    except BadValue as bad:
        try:
            kg = quantity(text, "kg").si
        except WhichTon:
            raise
        except BadValue:
            raise BadValue(f"{bad}; or as the cell shows it: {units_like('kg')}") from None
        return float(f"{kg * STANDARD_GRAVITY:.12g}")


def _plain(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        raise BadValue(f"{text!r} is not a plain number") from None


def _studs(text: str) -> list[int]:
    found: list[int] = []
    for part in text.replace(",", " ").split():
        match = _RANGE.fullmatch(part)
        if not match:
            raise BadValue(f"{text!r} is not a list of studs; accepted: numbers and ranges, for example 1-12,15")
        first, last = int(match[1]), int(match[2] or match[1])
        if last >= first + MOST_STUDS:
            raise BadValue(f"{part!r} is no range of studs; accepted are up to {MOST_STUDS} at a time")
        found += range(first, last + 1)
    return found
