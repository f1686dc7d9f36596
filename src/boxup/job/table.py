"""A table of this room: one CSV file of `data/`, read once, with its columns checked."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from functools import cache
from importlib import resources
from types import MappingProxyType
from typing import Any

LABELS = ("published", "practice", "memory", "computed", "demo")


class TableError(ValueError):
    """A table of the package is not as it should be: says file, row and what is wrong."""


@cache
def read_table(name: str, columns: tuple[str, ...]) -> tuple[Mapping[str, str], ...]:
    """Rows of `data/NAME`, each a mapping of stripped text. A missing column, an unnamed source or an unknown label is a TableError."""
    text = (resources.files("boxup.job") / "data" / name).read_text(encoding="utf-8")
    reader = csv.DictReader(text.splitlines())
    missing = [column for column in (*columns, "source", "label") if column not in (reader.fieldnames or ())]
    if missing:
        raise TableError(f"{name}: no column {', '.join(missing)}; the columns are {', '.join(reader.fieldnames or ())}.")
    return tuple(_stripped(name, number, row) for number, row in enumerate(reader, start=2))


def _stripped(name: str, number: int, row: Mapping[Any, Any]) -> Mapping[str, str]:
    if None in row or None in row.values():
        raise TableError(f"{name}, line {number}: more or fewer fields than the heading has.")
    clean = {str(key): str(value).strip() for key, value in row.items()}
    if not clean["source"]:
        raise TableError(f"{name}, line {number}: no source; write the page, or 'common practice', or 'from memory'.")
    if clean["label"] not in LABELS:
        raise TableError(f"{name}, line {number}: label {clean['label']!r} is not one of {', '.join(LABELS)}.")
    return MappingProxyType(clean)
