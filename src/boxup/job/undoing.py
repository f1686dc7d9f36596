"""What an event undoes: the steps that have to be done again, for which items, and why. The rows are `undoing.csv`."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from boxup.job.card import incidents
from boxup.job.condition import Condition, check_names, parse
from boxup.job.flags import flag_names
from boxup.job.scope import kinds
from boxup.job.steps import steps
from boxup.job.table import TableError, read_table
from boxup.record.kinds import kinds as entry_kinds

# What `CODE:word` means: the instances of the item that the event names.
LINKS = ("joint", "gasket", "blind", "nozzle", "tube", "opening", "tool", "test", "lift")
SIDES = ("shell", "tube")
# Events that the program derives from an entry.
DERIVED = ("joint.weeped again", "test.result failed", "face.judged to repair", "water.chloride_read high")
# What an entry can be about beside the kinds of the lists.
ABOUT = ("shell side", "tube side", "shell", "channel", "rear head", "shell-cover space")
TESTS = ("", "B", "S1", "T", "S2", *SIDES)
_COLUMNS = ("event", "item", "when", "test", "once_done", "undoes", "guarded", "until", "new", "because", "evidence")


@dataclass(frozen=True, slots=True)
class Which:
    """Instances of a step: all, those of the item the event names (`of` item), of its side (`of` side), of one kind, or on one side."""

    step: str
    of: str = ""
    side: str = ""


@dataclass(frozen=True, slots=True)
class Undoing:
    """One row. It acts where `when` holds, on an event about such an `item`, on such a `test`, once one of `once_done` is done.

    `guarded`: a step falls only while a step that it guards is still to begin. `until`: it falls only until one of these is done.
    `new`: what must be new.
    """

    events: tuple[str, ...]
    item: str
    when: Condition
    test: str
    once_done: tuple[Which, ...]
    undoes: tuple[Which, ...]
    guarded: bool
    until: tuple[str, ...]
    new: str
    because: str
    evidence: tuple[str, ...]
    source: str
    label: str


@cache
def undoings() -> tuple[Undoing, ...]:
    """Every row in file order, checked: events, items, codes and flags are known. TableError otherwise."""
    found: dict[tuple[str, ...], Undoing] = {}
    for number, line in enumerate(read_table("undoing.csv", _COLUMNS), start=2):
        row = Undoing(
            tuple(_events(line["event"])), line["item"], parse(line["when"]), line["test"], _all(line["once_done"], " "),
            _all(line["undoes"], ";"), line["guarded"] == "yes", tuple(line["until"].split()), line["new"], line["because"],
            tuple(line["evidence"].split()), line["source"], line["label"],
        )  # fmt: skip
        check_names(row.when, flag_names())
        key = tuple(line[name] for name in ("event", "item", "when", "test", "once_done", "until", "guarded"))
        if wrong := [*_wrong(row, line["guarded"]), *(["stands twice"] if key in found else [])]:
            raise TableError(f"undoing.csv, line {number}, {line['event']} {row.item}: {'; '.join(wrong)}.")
        found[key] = row
    return tuple(found.values())


def _events(text: str) -> Iterator[str]:
    """`joint.weeped joint.weeped again` is two events: a word without a point goes on with the one before."""
    event = ""
    for word in text.split():
        if "." in word and event:
            yield event
            event = ""
        event = f"{event} {word}".strip()
    if event:
        yield event


def _all(text: str, sign: str) -> tuple[Which, ...]:
    return tuple(_which(part.strip()) for part in text.split(sign) if part.strip())


def _which(text: str) -> Which:
    """`CODE`, `CODE:joint`, `CODE:side`, `CODE:floating head`, `CODE@shell`."""
    code, _, side = text.partition("@")
    step, _, of = code.partition(":")
    return Which(step, "item" if of in LINKS else of, side)


def _wrong(row: Undoing, guarded: str) -> list[str]:
    known = {kind for list_ in kinds().values() for kind in list_}
    named = (*row.undoes, *row.once_done)
    checks = (
        (not row.events or any(e not in entry_kinds() and e not in DERIVED for e in row.events), "event is no kind of entry"),
        (row.item not in ("", *known, *ABOUT), f"item {row.item!r} is no kind of a list"),
        (row.test not in TESTS, f"test {row.test!r} is not known"),
        (not row.undoes, "undoes nothing"),
        (not row.because, "has no because"),
        (guarded not in ("", "yes"), f"guarded is {guarded!r}; accepted are yes or nothing"),
        (any(w.step not in steps() for w in named) or any(u not in steps() for u in row.until), "names a step that is not in steps.csv"),
        (any(w.of not in ("", "item", "side", *known) for w in named), "names an item that is no kind of a list"),
        (any(w.side not in ("", *SIDES) for w in named), "names a side that is not shell or tube"),
        (any(e not in incidents() for e in row.evidence), "names an incident that is not in incidents.csv"),
    )
    return [text for bad, text in checks if bad]
