"""The columns of a register: which key of the exchanger file each one is, its name, its unit and what is accepted.

The names are made from the sections and keys of the file, so a key added there is a column here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import MISSING, dataclass, fields
from functools import cache
from typing import Any

from boxup.core.unit import UNITS
from boxup.exchanger.letters import Letters
from boxup.exchanger.sections import FIRST_NAMES, NAMED, PLAIN, sections_of
from boxup.exchanger.template import keys

MAIN = "exchangers"
SHEETS: dict[str, str] = {
    "gaskets": "gasket", "studs": "studs", "flanges": "flange", "nozzles": "nozzle", "small bore": "small_bore", "blinds": "blind",
    "tools": "tool", "gear": "gear",
}  # fmt: skip
UNIT_MARK = "unit, or what is accepted"  # in the tag column of row 2: this row is no exchanger
# Names a hyphen, a slash or a leading zero belongs to: a spreadsheet that took one for a number or a day has lost it.
_EXACT = ("tag", "item", "joint", "nozzle", "bundle_serial", "drawing", "serial", "size", "stud_size", "tool", "range")
_SAID = {
    "unit": "process unit", "od": "OD", "id": "ID", "mawp": "MAWP", "mdmt": "MDMT", "m": "factor m", "y": "factor y",
    "sling_points_m": "first sling point", "sling_points_far_m": "second sling point", "chloride_limit_mg_per_l": "chloride limit mg/L",
}  # fmt: skip
_LISTS = {"joints": "J2, J3", "fitted": "2-6, 14-3", "to_plug": "2-6, 14-3", "chart": "6 m: 12 t; 9 m: 6 t"}
ROWS = "height, holes, pass; next row; ..."


@dataclass(frozen=True, slots=True)
class Column:
    """One key of one section. `item` is the name of the section where it has one (`G1`) and the column names it itself."""

    section: str
    key: str
    kind: str  # number, word, list, rows, yes, day, tag, item
    unit: str = ""  # the one a bare number is in where row 2 says nothing else; empty for plain numbers and words
    accepted: tuple[str, ...] = ()
    label: str = ""
    remark: str = ""
    example: str = ""
    item: str = ""
    whole: bool = False
    needed: bool = False

    @property
    def path(self) -> str:
        """`shell_side.mawp`, `gasket.G1.od`."""
        return ".".join(filter(None, (self.section, self.item, self.key)))

    @property
    def name(self) -> str:
        """What stands over the column."""
        words = _SAID.get(self.key, self.key.replace("_", " "))
        if self.section in ("", "exchanger") or (self.section in NAMED and not self.item):
            return words
        return f"{self.section.replace('_', ' ')}{f' {self.item}' if self.item else ''}: {words}"

    @property
    def exact(self) -> bool:
        """Whether it is a name in which every character counts."""
        return self.key in _EXACT and self.kind in ("word", "tag", "item")

    @property
    def says(self) -> str:
        """What row 2 says of it."""
        if self.kind == "tag":
            return UNIT_MARK
        if self.accepted:
            return " / ".join(self.accepted)
        plain = "whole number" if self.whole else "number"
        said = {"number": self.unit or plain, "list": _LISTS.get(self.key, ""), "rows": ROWS, "yes": "yes / no", "day": "year-month-day"}
        return said.get(self.kind, self.example if self.kind == "item" else "text")


TAG = Column("exchanger", "tag", "tag", label="tag, as on the plate", example="14-E-103", needed=True)


@cache
def columns_of_section(section: str) -> tuple[Column, ...]:
    """Every column of a section; of a section with names, without its name."""
    if section in ("options", "plugs"):
        return tuple(_loose(section, k.key) for k in keys() if k.section == section and k.key)
    cls = PLAIN[section][1] if section in PLAIN else NAMED[section][1]
    skip = ("name",) if section.endswith("_side") else ("id",) if section in NAMED else ()
    return tuple(_column(section, f) for f in fields(cls) if f.name not in skip)


def _loose(section: str, key: str) -> Column:
    kind = "yes" if section == "options" else "list"
    return Column(section, key, kind, accepted=("yes", "no") if kind == "yes" else (), **_said(section, key))


def _column(section: str, f: Any) -> Column:
    key, meta = f.name.removesuffix("_"), f.metadata
    if (section, key) == ("exchanger", "tag"):
        return TAG
    said = _said(section, key)
    needed = f.default is MISSING and f.default_factory is MISSING
    if "unit" in meta:
        plain = UNITS[meta["unit"]].dim == UNITS["-"].dim and meta["unit"] != "deg"
        whole = meta["unit"] == "count" and key not in ("clock", "chloride_limit_mg_per_l")
        unit = "" if plain else _unit_in(said["example"]) or meta["unit"]
        return Column(section, key, "number", unit, whole=whole, **said | {"label": meta["label"]})
    kind = {"rows": "rows", "calibrated_until": "day", "inspected": "day"}.get(key, "list" if key in _LISTS else "word")
    accepted = tuple(a for a in meta.get("accepted", ()) if a)
    return Column(section, key, kind, accepted=accepted, needed=needed, **said | {"label": meta.get("label", said["label"])})


def _said(section: str, key: str) -> dict[str, Any]:
    k = next((k for k in keys() if (k.section, k.key) == (section, key)), None)
    return {"label": key.replace("_", " "), "remark": k.comment if k else "", "example": k.example if k else ""}


def _unit_in(example: str) -> str:
    found = re.fullmatch(r'"-?[\d.]+ (\S+)"', example)
    return found[1] if found and found[1] in UNITS else ""


def main_columns(types: Iterable[Letters] = ()) -> Iterator[Column]:
    """The columns of the first sheet, for those letters only, or for any."""
    types = tuple(types)
    sections = {s for t in types for s in sections_of(t)} if types else {*PLAIN, "options", "plugs"}
    for section in ("exchanger", "options", *tuple(PLAIN)[1:], "plugs"):
        if section in sections:
            yield from (c for c in columns_of_section(section) if _of(c, types))


def _of(c: Column, types: tuple[Letters, ...]) -> bool:
    k = next((k for k in keys() if (k.section, k.key) == (c.section, c.key)), None)
    return not types or k is None or any(k.of(t) for t in types)


def item_columns(sheet: str) -> tuple[Column, ...]:
    """The columns of a sheet of items: the tag of its exchanger, its name, then its keys."""
    section = SHEETS[sheet]
    return (TAG, Column(section, "item", "item", label="its name", example=FIRST_NAMES[section], needed=True), *columns_of_section(section))


def plain(name: str) -> str:
    """A column's name as it is compared: capitals, blanks and underscores do not matter."""
    return " ".join(name.replace("_", " ").replace("\u00a0", " ").lower().split())


@cache
def known_names(sheet: str) -> dict[str, Column]:
    """Every name a column of that sheet goes by."""
    found = tuple(main_columns()) if sheet == MAIN else item_columns(sheet)
    names: dict[str, Column] = {}
    for c in found:
        names |= {plain(n): c for n in (c.path, f"{c.section}: {_SAID.get(c.key, c.key)}", c.name)}
        names.setdefault(plain(c.key), c) if sheet != MAIN else None
    return names


_ITEM = re.compile(r"(?P<section>[a-z][a-z ]*?) (?P<item>[^\s:]+): ?(?P<key>.+)")
_ITEM_PATH = re.compile(r"(?P<section>[a-z][a-z ]*?)\.(?P<item>[^\s:]+)\.(?P<key>[^.]+)")


def column_named(sheet: str, name: str) -> Column | None:
    """The column of that name, or None. The first sheet also takes `gasket G1: OD`, and `options: ...` of any name."""
    if found := known_names(sheet).get(plain(name)):
        return found
    if sheet != MAIN:
        return None
    option = re.fullmatch(r"options[:.] ?([a-z0-9_ -]+)", plain(name))
    if option:
        return _loose("options", option[1].replace(" ", "_"))
    return _item_named(name)


def _item_named(name: str) -> Column | None:
    found = _ITEM.fullmatch(plain(name)) or _ITEM_PATH.fullmatch(plain(name))
    section = found["section"].replace(" ", "_") if found else ""
    if not found or section not in NAMED:
        return None
    sheet = next(s for s, of in SHEETS.items() if of == section)
    c = known_names(sheet).get(found["key"])
    if c is None or c.kind in ("tag", "item"):
        return None
    at = found.start("item")  # as it was typed, capitals and all
    return with_item(c, " ".join(name.replace("\u00a0", " ").split())[at : at + len(found["item"])])


def with_item(c: Column, item: str) -> Column:
    """The same key of one named section, as a column of the first sheet."""
    return Column(c.section, c.key, c.kind, c.unit, c.accepted, c.label, c.remark, c.example, item, c.whole, c.needed)
