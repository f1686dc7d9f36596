"""The density, modulus and growth of a metal from the words the file names it with."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from importlib.resources import files

from boxup.core.quantity import Quantity
from boxup.core.working import Step, Working
from boxup.reference.load import Row, read_table, table

LIGHTEST, HEAVIEST = 1500.0, 23000.0  # kg/m3: below magnesium, above osmium; no tube is made of anything outside
OFF = 0.10  # a density further from its metal's is a slip of the pen until somebody says otherwise
STEEL = "carbon steel"
_ELASTIC = (("E", "modulus", "GPa"), ("nu", "poisson", "-"), ("a", "expansion", "1/K"))
_SAID = {"E": "modulus of the {}", "nu": "Poisson's ratio of the {}", "a": "growth of the {}, linear"}


@cache
def _metals() -> dict[str, Row]:
    return read_table(files("boxup.exchanger") / "data" / "metal_density.csv", "metal_density")


def metal(words: str) -> Row | None:
    """The row of the metal those words name, or None. The longest word found decides: `1.25Cr-0.5Mo` before `304`."""
    return named(_metals(), words)


def named(rows: Mapping[str, Row], words: str) -> Row | None:
    """The row whose longest word stands in those words, or None."""
    said = words.lower()
    hits = [(len(word), row) for row in rows.values() for word in row.text("words").split("|") if _stands_in(word, said)]
    return max(hits, key=lambda h: h[0])[1] if hits else None


def _stands_in(word: str, said: str) -> bool:
    """The word, not inside another one: `cs` is not in `physics`, `304` is in `304L`."""
    at = said.find(word)
    if at < 0 or said[at - 1 : at].isalnum():
        return False
    return len(word) > 2 or not said[at + len(word) : at + len(word) + 1].isalnum()


def density(w: Working, symbol: str, label: str, words: str) -> Step:
    """Put the density of the metal into a working: from the table, else that of steel, marked assumed."""
    row = metal(words)
    if row:
        return w.table(symbol, label, row.need("density"), "kg/m3", row.place("density"), row.cite)
    why = f"{words!r} is not a metal of our table" if words else "no material in the file"
    return w.assumed(symbol, label, 7850, "kg/m3", f"that of steel: {why}")


def doubtful_density(given: Quantity, words: str) -> str:
    """Why a density is doubtful beside the metal named, as a clause without its full stop; "" where it is not."""
    here = f"{given.typed or f'{given.si:.0f} kg/m3'}"
    if not LIGHTEST <= given.si <= HEAVIEST:
        return f"{here} is no metal's; accepted: {LIGHTEST:.0f} to {HEAVIEST:.0f} kg/m3"
    row = metal(words)
    if row and abs(given.si / row.need("density") - 1) > OFF:
        return f"{here} is more than a tenth off that of {row.key}, {row.need('density'):.0f} kg/m3; look at the metal and the figure again"
    return ""


def elastic(w: Working, what: str, words: str, mark: str = "", instead: str = "") -> None:
    """`E`, `nu` and `a` (linear growth) of a metal, each with `mark` behind it, where they are not in the working yet.

    `instead`: the metal of the part it belongs to, where nobody named its own; what is taken so, and carbon steel for a metal that is not
    in the table, is marked assumed.
    """
    rows = table("metal_elastic")
    row = named(rows, words)
    stand_in = (None if words else named(rows, instead)) or rows[STEEL]
    why = f"{words!r} is not a metal of our table" if words else f"no material in the file for the {what}"
    for symbol, column, unit in _ELASTIC:
        if symbol + mark in w.steps:
            continue
        label = _SAID[symbol].format(what)
        if row:
            w.table(symbol + mark, label, row.need(column), unit, row.place(column), row.cite)
        else:
            w.assumed(symbol + mark, label, float(stand_in.cells[column]), stand_in.units[column], f"that of {stand_in.key}: {why}")
