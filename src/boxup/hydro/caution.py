"""The cautions a test sheet shows, as data: an id, the sentence, where it comes from."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from boxup.core.source import Cite
from boxup.reference.load import read_table


@dataclass(frozen=True, slots=True)
class Caution:
    """One sentence; `when`: always, or what on the sheet calls for it."""

    id: str
    when: str
    sentence: str
    cite: Cite


@cache
def all_cautions() -> tuple[Caution, ...]:
    """Every caution in file order."""
    rows = read_table(files("boxup.hydro") / "data" / "cautions.csv", "cautions").values()
    return tuple(Caution(r.key, r.text("when"), r.text("sentence"), r.cite) for r in rows)


def cautions(called: Collection[str]) -> tuple[Caution, ...]:
    """Those that always stand and those `called` for (push, ring, bellows, chloride)."""
    return tuple(c for c in all_cautions() if c.when == "always" or c.when in called)
