"""Which items of a list are meant: their kind, the kind of the joint they belong to, or the place they stand at; `not` turns one round."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from boxup.job.table import TableError, read_table

SIDES = ("", "shell", "tube")
NONE = "none"


@dataclass(frozen=True, slots=True)
class Only:
    """A choice of items, as a table has it: `floating head|process nozzle@tube`, `far end|none`, `not floating head`.

    Parts between bars are alternatives. `or_none`: where no item is chosen, none is meant; without it a rule falls back on the whole list.
    """

    text: str
    wanted: tuple[tuple[str, str], ...]
    unwanted: frozenset[str]
    or_none: bool

    def __bool__(self) -> bool:
        return bool(self.text)

    @property
    def words(self) -> str:
        """As it is read: `process nozzle on the tube side or rear head`, `not floating head`."""
        plain = [f"{word} on the {side} side" if side else word for word, side in self.wanted]
        return " or ".join([*plain, *(f"not {word}" for word in sorted(self.unwanted))])

    def takes(self, words: Iterable[str | None], sides: Iterable[str | None]) -> bool:
        """Whether an item with these words (kind, place, kind of its joint) and sides is one of them. A side nobody said may be either."""
        said, where = set(words), set(sides)
        if said & self.unwanted:
            return False
        return not self.wanted or any(word in said and (not side or side in where or where <= {None, ""}) for word, side in self.wanted)

    def unknown(self, more: Iterable[str] = ()) -> tuple[str, ...]:
        """Words that are neither a kind nor a place nor one of `more`, and sides that are none."""
        words = {word for word, _ in self.wanted} | self.unwanted
        return (*sorted(words - known_words() - set(more)), *sorted(side for _, side in self.wanted if side not in SIDES))


@cache
def parse_only(text: str) -> Only:
    """Reads one cell; an empty cell means every item."""
    parts = [part.strip() for part in text.split("|") if part.strip()]
    turned = frozenset(part.removeprefix("not ").strip() for part in parts if part.startswith("not "))
    plain = [part.partition("@") for part in parts if not part.startswith("not ") and part != NONE]
    return Only(text.strip(), tuple((word.strip(), side.strip()) for word, _, side in plain), turned, NONE in parts)


@cache
def known_words() -> frozenset[str]:
    """Kinds and places, from their tables."""
    kinds = {line["kind"] for line in read_table("kinds.csv", ("list", "kind", "strip", "meaning"))}
    return frozenset(kinds | {place for of_list in places().values() for place in of_list})


@cache
def places() -> dict[str, tuple[str, ...]]:
    """The places an item of each list can be said to stand at, from `places.csv`; the first one is meant where nothing is said."""
    found: dict[str, tuple[str, ...]] = {}
    for line in read_table("places.csv", ("list", "place", "meaning")):
        found[line["list"]] = (*found.get(line["list"], ()), line["place"])
    return found


def check_only(only: Only, where: str, more: Iterable[str] = ()) -> None:
    """A word that neither a table nor `more` has is a TableError."""
    if unknown := only.unknown(more):
        raise TableError(f"{where}: {', '.join(unknown)} is neither a kind, a place nor a side; see kinds.csv and places.csv.")
