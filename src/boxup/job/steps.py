"""The steps: one card each, as `steps.csv` has them, in a sensible reading order."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from boxup.job.condition import Condition, check_names, parse
from boxup.job.flags import flag_names
from boxup.job.only import SIDES, Only, check_only, parse_only
from boxup.job.table import TableError, read_table

PHASES = (
    "0 prepare", "1 isolate", "2 strip", "3 clean/inspect/repair", "4 insert", "5 box up", "6 test", "7 reinstate", "8 back in service",
)  # fmt: skip
PER = ("once", "joint", "stud set", "nozzle", "gasket", "blind", "opening", "side", "lift", "tool", "test", "tube")
_COLUMNS = (
    "step", "phase", "what", "exists_when", "per", "kind", "side", "only", "beside", "instead_of", "who", "names", "looks_at",
    "number_needed", "paper", "time", "stops",
)  # fmt: skip


class StepError(ValueError):
    """A step code that is not known or does not exist here: says which, and what comes near."""


@dataclass(frozen=True, slots=True)
class Step:
    """One card. `per` says how often it is done; `kind`, `side` and `only` narrow the list it is done for (empty: the whole list; of more
    than one kind: with a bar between).

    `what` is the sentence for every type; `Instance.what` gives the one of this exchanger. `beside`: it is read next to that step of the
    same item. `instead_of`: what it is done for here is not done at that step.
    """

    code: str
    phase: str
    what: str
    exists: Condition
    per: str
    kind: str
    side: str
    only: Only
    beside: str
    instead_of: str
    who: str
    names: int  # how many names its record carries: 2 where a second person must have looked
    looks_at: str
    number_needed: str
    paper: str
    time: str
    stops: str
    source: str
    label: str
    place: int  # line in the table: the reading order

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kinds of item it is done for; none: every kind."""
        return tuple(filter(None, self.kind.split("|")))

    @property
    def rank(self) -> tuple[int, int]:
        """Where it stands in reading order: phase, then line."""
        return PHASES.index(self.phase), self.place


@lru_cache(maxsize=1)
def steps() -> Mapping[str, Step]:
    """Every step by code, in file order."""
    found: dict[str, Step] = {}
    for place, line in enumerate(read_table("steps.csv", _COLUMNS)):
        step = Step(
            line["step"], line["phase"], line["what"], parse(line["exists_when"]), line["per"], line["kind"], line["side"],
            parse_only(line["only"]), line["beside"], line["instead_of"], line["who"], int(line["names"]), line["looks_at"],
            line["number_needed"], line["paper"], line["time"], line["stops"], line["source"], line["label"], place,
        )  # fmt: skip
        _check(step, found)
        found[step.code] = step
    for step in found.values():
        if not {step.beside, step.instead_of} <= {"", *found}:
            raise TableError(f"steps.csv, {step.code}: beside or instead_of names a step that is not in the table.")
    return MappingProxyType(found)


def step_of(code: str) -> Step:
    """The card of this code (an item after a colon is ignored); an unknown code is a StepError with near matches."""
    bare = code.partition(":")[0].strip().upper()
    if bare not in steps():
        raise StepError(unknown_step(code, steps()))
    return steps()[bare]


def unknown_step(code: str, among: Iterable[str]) -> str:
    """The sentence for a code that is not one of `among`."""
    known = list(among)
    near = difflib.get_close_matches(code.upper(), known, n=4, cutoff=0.5) or [one for one in known if code.upper() in one][:4]
    hint = f"did you mean {', '.join(near)}?" if near else f"the codes begin {', '.join(known[:6])} ..."
    return f"There is no step {code!r}; {hint}"


def _check(step: Step, above: Mapping[str, Step]) -> None:
    check_names(step.exists, flag_names())
    check_only(step.only, f"steps.csv, {step.code}")
    wrong = [
        text
        for bad, text in (
            (step.code in above, "stands twice"),
            (step.phase not in PHASES, f"phase {step.phase!r} is not one of {', '.join(PHASES)}"),
            (step.per not in PER, f"per {step.per!r} is not one of {', '.join(PER)}"),
            (step.side not in SIDES, f"side {step.side!r} is not shell or tube"),
            (step.per == "once" and bool(step.kind or step.side or step.only), "is done once and cannot have a kind, side or place"),
        )
        if bad
    ]
    if wrong:
        raise TableError(f"steps.csv, {step.code}: {'; '.join(wrong)}.")
