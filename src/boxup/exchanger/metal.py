"""The density of a metal from the words the file names it with."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from boxup.core.working import Step, Working
from boxup.reference.load import Row, read_table


@cache
def _metals() -> dict[str, Row]:
    return read_table(files("boxup.exchanger") / "data" / "metal_density.csv", "metal_density")


def metal(words: str) -> Row | None:
    """The row of the metal those words name, or None. The longest word found decides: `1.25Cr-0.5Mo` before `304`."""
    said = words.lower()
    hits = [(len(word), row) for row in _metals().values() for word in row.text("words").split("|") if _stands_in(word, said)]
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
