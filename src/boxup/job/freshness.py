"""The checks that run out: how long a step's tick is good, and for which steps."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from boxup.job.steps import steps
from boxup.job.table import TableError, read_table

SHIFT = "shift"
_COLUMNS = ("step", "expires", "guards", "because")


@dataclass(frozen=True, slots=True)
class Fresh:
    """One line of `freshness.csv`: a tick of `step` is good for so many minutes (None: to the end of the shift) for the steps it guards."""

    step: str
    minutes: int | None
    guards: frozenset[str]
    because: str
    source: str
    label: str


@lru_cache(maxsize=1)
def freshness() -> Mapping[str, Fresh]:
    """Every check that runs out, by step code, in file order, checked: codes are known, no step stands twice or guards itself."""
    found: dict[str, Fresh] = {}
    for line in read_table("freshness.csv", _COLUMNS):
        row = _row(line)
        _check(row, line, found)
        found[row.step] = row
    return MappingProxyType(found)


def _row(line: Mapping[str, str]) -> Fresh:
    expires = line["expires"]
    minutes = int(expires) if expires.isascii() and expires.isdigit() else None
    return Fresh(line["step"], minutes, frozenset(line["guards"].split()), line["because"], line["source"], line["label"])


def _check(row: Fresh, line: Mapping[str, str], above: Mapping[str, Fresh]) -> None:
    unknown = sorted({row.step, *row.guards} - set(steps()))
    wrong = [
        text
        for bad, text in (
            (row.step in above, "stands twice"),
            (bool(unknown), f"names {', '.join(unknown)}, not in steps.csv"),
            (not row.minutes and line["expires"] != SHIFT, f"expires {line['expires']!r}; accepted are whole minutes above 0, or {SHIFT}"),
            (not row.guards, "guards nothing"),
            (len(row.guards) < len(line["guards"].split()), "guards a step twice"),
            (row.step in row.guards, "guards itself"),
            (not row.because, "has no because"),
        )
        if bad
    ]
    if wrong:
        raise TableError(f"freshness.csv, {row.step}: {'; '.join(wrong)}.")
