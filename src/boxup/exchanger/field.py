"""How a key of the exchanger file is declared: a number or a word that nobody need give."""

from __future__ import annotations

from typing import Any

from boxup.core.calculation import number, word

COLDEST, HOTTEST = -273.0, 1200.0  # degC; beyond them a unit or a power of ten was mistyped


def num(symbol: str, label: str, unit: str, **bounds: Any) -> Any:
    """A number, None where it is not given."""
    return number(symbol, label, unit, optional=True, **bounds)


def opt(label: str, accepted: tuple[str, ...] = ()) -> Any:
    """A word, "" where it is not given."""
    return word(label, ("", *accepted) if accepted else (), default="")
