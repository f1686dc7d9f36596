"""Growth and modulus of a metal at a temperature: ASME II-D, Tables TE-1 and TM-1, by a line between printed temperatures."""

from __future__ import annotations

from itertools import pairwise

from boxup.core.quantity import Quantity
from boxup.core.unit import UNITS
from boxup.core.working import Step, Working
from boxup.exchanger.metal import named
from boxup.reference.load import Row, table

FROM_F = 70.0  # the temperature the mean coefficients count from


class TooHot(LookupError):
    """The table stops below the temperature asked for."""


def growth_row(words: str) -> Row | None:
    """The row of the metal those words name in the table of growth, or None."""
    return named(table("metal_expansion"), words)


def modulus_row(words: str) -> Row | None:
    """The row of the metal those words name in the table of moduli, or None."""
    return named(table("metal_modulus"), words)


def growth(w: Working, mark: str, row: Row, temperature: Quantity) -> Step:
    """`a_<mark>`: the mean coefficient from 70 °F to a temperature. Raises TooHot."""
    return _at(w, "a", mark, row, temperature, "mean growth from 70 °F", "1/K", "mean_")


def modulus(w: Working, mark: str, row: Row, temperature: Quantity) -> Step:
    """`E_<mark>`: the modulus at a temperature. Raises TooHot."""
    return _at(w, "E", mark, row, temperature, "modulus", "GPa", "modulus_")


def _at(w: Working, letter: str, mark: str, row: Row, temperature: Quantity, label: str, unit: str, prefix: str) -> Step:
    points = [(UNITS["degF"].to_si(int(c.removeprefix(prefix))), c) for c in row.units if c.startswith(prefix) and row.cells[c]]
    symbol = f"{letter}_{mark}"
    if f"T_{mark}" not in w.steps:
        w.given(f"T_{mark}", "temperature", temperature, "degC")
    if temperature.si <= points[0][0]:
        return w.table(symbol, f"{label}, {row.key}", row.need(points[0][1]), unit, row.place(points[0][1]), row.cite)
    for (cold, at_cold), (hot, at_hot) in pairwise(points):
        if temperature.si <= hot * (1 + 1e-9):
            return _between(w, symbol, mark, row, (cold, at_cold), (hot, at_hot), label, unit)
    last = f"{points[-1][1].removeprefix(prefix)} °F ({UNITS['degC'].from_si(points[-1][0]):.0f} °C)"
    raise TooHot(f"the table of {row.key} stops at {last}; {temperature.typed} is above it")


def _between(w: Working, symbol: str, mark: str, row: Row, cold: tuple[float, str], hot: tuple[float, str], label: str, unit: str) -> Step:
    for end, (at, column) in (("c", cold), ("h", hot)):
        w.table(f"T_{symbol}{end}", "printed temperature", at, "degC", row.place(column), row.cite)
        w.table(f"{symbol}{end}", f"{label} there, {row.key}", row.need(column), unit, row.place(column), row.cite)
    s = symbol
    line = f"{s} = {s}c + ({s}h - {s}c)*(T_{mark} - T_{s}c)/(T_{s}h - T_{s}c)"
    return w.step(line, unit, f"{label}, {row.key}", row.cite.where, "between two printed temperatures", row.cite.source)
