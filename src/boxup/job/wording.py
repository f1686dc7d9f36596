"""The words of a step for one exchanger: a bonnet is called a bonnet, and nothing is said of types that are not there (`wording.csv`)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from types import MappingProxyType

from boxup.job.condition import Condition, check_names, parse
from boxup.job.flags import Flags, flag_names
from boxup.job.only import Only, check_only, parse_only
from boxup.job.steps import Step, steps
from boxup.job.table import TableError, read_table


@dataclass(frozen=True, slots=True)
class Words:
    """One line: the words of a step where the condition holds and the item is of that kind or stands at one of these places.

    `who`, `looks_at`, `stops`: "" where the step's own words hold.
    """

    step: str
    when: Condition
    only: Only
    what: str
    who: str
    looks_at: str
    stops: str


@cache
def wording() -> Mapping[str, tuple[Words, ...]]:
    """Every line by step, in file order; the first that fits is the one."""
    found: dict[str, tuple[Words, ...]] = {}
    for line in read_table("wording.csv", ("step", "when", "only", "what", "who", "looks_at", "stops")):
        words = Words(
            line["step"], parse(line["when"]), parse_only(line["only"]), line["what"], line["who"], line["looks_at"], line["stops"]
        )
        check_names(words.when, flag_names())
        check_only(words.only, f"wording.csv, {words.step}")
        if words.step not in steps():
            raise TableError(f"wording.csv: there is no step {words.step!r}.")
        found[words.step] = (*found.get(words.step, ()), words)
    return MappingProxyType(found)


def step_here(step: Step, flags: Flags, words: Iterable[str] = ()) -> Step:
    """The step in the words of these flags, for an item of that kind and place (`words`); the general ones where no line fits."""
    about = tuple(words)
    fitting = (w for w in wording().get(step.code, ()) if w.when.holds(flags) and (not w.only or w.only.takes(about, ())))
    found = next(fitting, None)
    if found is None:
        return step
    return replace(
        step, what=found.what, who=found.who or step.who, looks_at=found.looks_at or step.looks_at, stops=found.stops or step.stops
    )
