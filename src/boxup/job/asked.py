"""What the words of the scope ask for and the order of work does not have: told, never guessed into the order (`asked.csv`)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from boxup.core.finding import Finding
from boxup.job.flags import Flags, option_names
from boxup.job.table import TableError, read_table


@dataclass(frozen=True, slots=True)
class Asked:
    """One word of the trade as a scope has it, what it asks for, and the option that puts its steps into the order ("" where none does)."""

    word: str
    option: str
    asks: str


@cache
def asked_words() -> tuple[Asked, ...]:
    """Every line, checked."""
    found = tuple(Asked(r["word"], r["option"], r["asks"]) for r in read_table("asked.csv", ("word", "option", "asks")))
    if strange := [one.option for one in found if one.option and one.option not in option_names()]:
        raise TableError(f"asked.csv: {', '.join(strange)} is no option; see flags.csv.")
    return found


def asked_for(scope_text: str, flags: Flags) -> tuple[Finding, ...]:
    """A finding for each thing the scope names in words and the order has no step for. What the words do not name is not looked for."""
    return tuple(dict.fromkeys(_findings(scope_text.casefold(), flags)))


def _findings(text: str, flags: Flags) -> Iterator[Finding]:
    for one in asked_words():
        if one.word not in text or (one.option and flags[one.option]):
            continue
        do = (
            f"Set {one.option} = true under [options] and its steps are there, or strike it from job_scope"
            if one.option
            else "There is none to set: write its steps, its hold points and its papers on a sheet of the site's own"
        )
        yield Finding("warn", f"The scope asks for {one.asks} ({one.word!r} in job_scope), and the order has no step for it. {do}.", "")
