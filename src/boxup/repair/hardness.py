"""Hard or soft: how far a gasket is squeezed at assembly, from its kind. What the kind does not tell is asked for, never assumed."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from boxup.core.finding import Missing
from boxup.core.quantity import Quantity
from boxup.core.source import SAID
from boxup.reference.load import Row, read_table

HARD, SOFT = "hard", "soft"
NUMBER = "limit for a mark on this face"
ASK = "ask the maker how far the gasket is squeezed at assembly: more than 1.0 mm (0.04 in) is soft, no more than that is hard"
_NEAR = 1e-9


@dataclass(frozen=True, slots=True)
class Hardness:
    """`name` is hard or soft, `kind` the row of the table, or nothing where a person said hard or soft, and `why` a sentence."""

    name: str
    kind: str
    why: str


@cache
def kinds() -> dict[str, Row]:
    """The kinds of gasket the table knows."""
    return read_table(files("boxup.repair") / "data" / "gasket_kinds.csv", "gasket_kinds")


def hardness(kind: str, thickness: Quantity | None = None) -> Hardness | Missing:
    """Hard or soft, from a kind in words and the thickness as new, or what to ask for."""
    said = kind.strip().lower()
    if said in (HARD, SOFT):
        return Hardness(said, "", "as given")
    rows = [row for row in kinds().values() if any(word in said for word in row.text("words").split("|"))]
    if len(rows) == 1:
        return _taken(rows[0], thickness)
    return Missing(NUMBER, f"{_quoted(kind)} {'names more than one kind' if rows else 'is not a kind'} of gasket in the table; {ASK}")


def _quoted(kind: str) -> str:
    return repr(kind.strip()) if kind.strip() else "a gasket not named"


def _taken(row: Row, thickness: Quantity | None) -> Hardness | Missing:
    name = _by_thickness(row, thickness) if row.text("taken") == "by thickness" else row.text("taken")
    if name in (HARD, SOFT):
        return Hardness(name, row.key, f"{row.text('why')} ({SAID[row.cite.source.label]})")
    measure = "measure the gasket's thickness, new, or " if row.text("taken") == "by thickness" and thickness is None else ""
    return Missing(NUMBER, f"a {row.key} gasket is not hard or soft by its kind: {row.text('why')}; {measure}{ASK}")


def _by_thickness(row: Row, thickness: Quantity | None) -> str:
    """Hard up to one thickness, soft from another; between them, or with no thickness, nothing."""
    hard_to, soft_from = row.need("hard_to"), row.si("soft_from")
    if thickness is None:
        return ""
    if thickness.si <= hard_to * (1 + _NEAR):
        return HARD
    return SOFT if soft_from is not None and thickness.si >= soft_from * (1 - _NEAR) else ""
