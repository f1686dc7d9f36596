"""What each kind of event says: its fields, their units, and what is accepted. `kinds.csv` and `fields.csv` are the definition."""

from __future__ import annotations

import csv
import difflib
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib import resources
from math import isfinite
from types import MappingProxyType
from typing import Any

from boxup.core.unit import UNITS
from boxup.record.event import MOST_TEXT, BadEvent, Draft, Payload, moment_of

MOST_LONG_TEXT = 1_000_000
# A quantity carries its unit in the name of its field.
SUFFIX = {"mm": "_mm", "m": "_m", "MPa": "_mpa", "N": "_n", "N.m": "_n_m", "degC": "_degc", "kg": "_kg", "L": "_l", "min": "_min", "-": ""}
_CONTROL = re.compile("[\x00-\x1f]").search
TYPED = "typed"  # what was typed, by field, where it was another unit


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a payload. `type`: a unit of `SUFFIX`, that unit with `*` (a list), or a word such as text, whole, studs."""

    name: str
    type: str
    must: bool
    accepted: tuple[str, ...]
    says: str

    @property
    def unit(self) -> str:
        """The unit its numbers are in, "" for what is no quantity."""
        bare = self.type.removesuffix("*")
        return bare if bare in SUFFIX else ""

    @property
    def typed_name(self) -> str:
        """The key a person types: the field without its unit."""
        return self.name.removesuffix(SUFFIX[self.unit]) if self.unit else self.name

    def problem(self, value: Any) -> str:
        """What is wrong with a value, "" for nothing."""
        if self.unit:
            many = self.type.endswith("*")
            numbers = value if many and isinstance(value, list | tuple) else [value]
            good = bool(numbers) and all(_finite(n) for n in numbers) and (not many or isinstance(value, list | tuple))
            return (
                ""
                if good
                else f"{value!r} is not {'a list of numbers' if many else 'a number'} in {UNITS[self.unit].sign or 'plain figures'}"
            )
        return _WRONG[self.type](self, value)


def _finite(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and isfinite(value)


def _text(most: int) -> Callable[[Field, Any], str]:
    def wrong(_: Field, value: Any) -> str:
        if not isinstance(value, str) or not value.strip():
            return f"{value!r} is not a text"
        return "" if len(value) <= most else f"has {len(value)} letters; accepted are {most}"

    return wrong


def _word(f: Field, value: Any) -> str:
    return "" if value in f.accepted else f"{value!r} is not accepted; accepted: {', '.join(f.accepted)}"


def _whole(_: Field, value: Any) -> str:
    good = isinstance(value, int) and not isinstance(value, bool) and value >= 0
    return "" if good else f"{value!r} is not a whole number from 0 up"


def _number(_: Field, value: Any) -> str:
    return "" if _finite(value) and value >= 0 else f"{value!r} is not a number from 0 up"


def _studs(_: Field, value: Any) -> str:
    good = isinstance(value, list | tuple) and all(isinstance(n, int) and not isinstance(n, bool) and n > 0 for n in value)
    return "" if good and len(set(value)) == len(value) else f"{value!r} is not a list of stud numbers, each once"


def _texts(_: Field, value: Any) -> str:
    good = isinstance(value, list | tuple) and all(isinstance(t, str) and t.strip() for t in value)
    return "" if good else f"{value!r} is not a list of texts"


def _moment(_: Field, value: Any) -> str:
    try:
        moment_of(value)
    except (TypeError, ValueError):
        return f"{value!r} is not a moment; accepted: date, time and zone, for example '2027-04-12T06:20:00+02:00'"
    return ""


_WRONG: dict[str, Callable[[Field, Any], str]] = {
    "text": _text(2000), "long text": _text(MOST_LONG_TEXT), "word": _word, "whole": _whole, "number": _number, "studs": _studs,
    "texts": _texts, "moment": _moment,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of event in its present version."""

    name: str
    version: int
    about: str
    says: str
    fields: Mapping[str, Field] = field(default_factory=dict)


@cache
def kinds() -> Mapping[str, Kind]:
    """Every kind by name, in the order of the table."""
    found: dict[str, tuple[dict[str, str], dict[str, Field]]] = {row["kind"]: (row, {}) for row in _rows("kinds.csv")}
    for row in _rows("fields.csv"):
        accepted = tuple(filter(None, row["accepted"].split("|")))
        one = Field(row["field"], row["type"], row["need"] == "must", accepted, row["says"])
        if not (one.unit or one.type in _WRONG) or row["kind"] not in found or row["need"] not in ("must", "may"):
            raise ValueError(f"fields.csv, {row['kind']}, {one.name}: kind, type or need is not known.")
        if one.unit and not one.name.endswith(SUFFIX[one.unit]):
            raise ValueError(f"fields.csv, {row['kind']}, {one.name}: the name does not carry its unit {one.unit}.")
        found[row["kind"]][1][one.name] = one
    made = {name: Kind(name, int(row["version"]), row["about"], row["says"], MappingProxyType(f)) for name, (row, f) in found.items()}
    return MappingProxyType(made)


def kind_of(name: str) -> Kind:
    """The kind of that name; BadEvent with near names where there is none."""
    if name in kinds():
        return kinds()[name]
    near = difflib.get_close_matches(name, kinds(), n=3, cutoff=0.5) or [one for one in kinds() if name.split(".")[0] in one][:4]
    raise BadEvent([f"There is no kind of event {name!r}; " + (f"did you mean {', '.join(near)}?" if near else "boxup log lists them.")])


def problems_of(kind: Kind, payload: Payload) -> list[str]:
    """Everything wrong with a payload of the present version of its kind."""
    return list(_problems(kind, payload))


def _problems(kind: Kind, payload: Payload) -> Iterator[str]:
    for name in payload:
        if name not in kind.fields and name != TYPED:
            near = difflib.get_close_matches(name, kind.fields, 1)
            hint = f"did you mean {near[0]}? " if near else ""
            yield f"{kind.name}: there is no field {name!r}; {hint}it has {', '.join(kind.fields) or 'none'}."
    if TYPED in payload and not _typed_texts(payload[TYPED]):
        yield f"{kind.name}, {TYPED}: {payload[TYPED]!r} is not what was typed, a text by field."
    for name, one in kind.fields.items():
        if name in payload:
            if wrong := one.problem(payload[name]):
                yield f"{kind.name}, {name}: {wrong}."
        elif one.must:
            yield f"{kind.name}, {name}: missing ({one.says})."


def _typed_texts(value: Any) -> bool:
    return isinstance(value, Mapping) and all(isinstance(k, str) and isinstance(v, str) for k, v in value.items())


def check(draft: Draft) -> None:
    """BadEvent with everything wrong with a draft of the present version of its kind."""
    wrong = [
        f"{name}: {text!r} is not accepted; accepted is a text of up to {MOST_TEXT} letters."
        for name, text in (("id", draft.id), ("job", draft.job), ("by", draft.by), ("entered_by", draft.entered_by))
        if not isinstance(text, str) or not text.strip() or len(text) > MOST_TEXT or _CONTROL(text)
    ]
    if not isinstance(draft.corrects, str) or len(draft.corrects) > MOST_TEXT:
        wrong.append(f"corrects: {draft.corrects!r} is not accepted; accepted is the id of an entry, or nothing.")
    if draft.happened_at.tzinfo is None:
        wrong.append(f"happened_at: {draft.happened_at} has no zone.")
    kind = kind_of(draft.kind)
    if draft.version != kind.version:
        wrong.append(f"version: {draft.kind} is written in version {kind.version}, not {draft.version}.")
    wrong += problems_of(kind, draft.payload)
    if draft.kind == "record.withdrawn" and not draft.corrects:
        wrong.append("corrects: record.withdrawn must name the event that is taken back.")
    if wrong:
        raise BadEvent(wrong)


def _rows(name: str) -> list[dict[str, str]]:
    text = (resources.files("boxup.record") / "data" / name).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))
