"""The words of a step for one exchanger: a bonnet is called a bonnet, and nothing is said of types that are not there (`wording.csv`)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from boxup.job.condition import Condition, check_names, parse
from boxup.job.flags import Flags, flag_names
from boxup.job.only import Only, check_only, parse_only
from boxup.job.steps import Step, steps
from boxup.job.table import TableError, read_table


@dataclass(frozen=True, slots=True)
class Words:
    """One line: the sentence of a step where the condition holds and the item stands at one of these places."""

    step: str
    when: Condition
    only: Only
    what: str


@cache
def wording() -> Mapping[str, tuple[Words, ...]]:
    """Every line by step, in file order; the first that fits is the one."""
    found: dict[str, tuple[Words, ...]] = {}
    for line in read_table("wording.csv", ("step", "when", "only", "what")):
        words = Words(line["step"], parse(line["when"]), parse_only(line["only"]), line["what"])
        check_names(words.when, flag_names())
        check_only(words.only, f"wording.csv, {words.step}")
        if words.step not in steps():
            raise TableError(f"wording.csv: there is no step {words.step!r}.")
        found[words.step] = (*found.get(words.step, ()), words)
    return MappingProxyType(found)


def what_of(step: Step, flags: Flags, place: str = "") -> str:
    """What is done at this step for these flags, for an item at that place; the general sentence where no line fits."""
    fitting = (w.what for w in wording().get(step.code, ()) if w.when.holds(flags) and (not w.only or w.only.takes((place,), ())))
    return next(fitting, step.what)
