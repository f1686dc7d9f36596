"""The jobs of the record as they stand, worked out once for every state and kept until an entry is added."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from pathlib import Path
from threading import Lock

from boxup.exchanger.model import Exchanger
from boxup.job.fold import fold
from boxup.job.moment import now_of
from boxup.job.numbers import Numbers
from boxup.job.state import JobState
from boxup.paper.sheet import Material
from boxup.record.chain import first_broken
from boxup.record.event import Draft, Event
from boxup.store.base import Store


class NotThere(LookupError):
    """A page, a job or an item that is not there, as a sentence."""


class Damaged(Exception):
    """A record that is not as it was entered, as a sentence."""


@dataclass(frozen=True)
class Live:
    """One job as it stands. `exchanger` is the one the record says it now is."""

    job: str
    events: tuple[Event, ...]
    state: JobState

    @property
    def exchanger(self) -> Exchanger:
        """The exchanger. Damaged where no entry holds a file that can be read."""
        if self.state.exchanger is None:
            raise Damaged(f"job {self.job} has no exchanger file that can be read on record")
        return self.state.exchanger

    @property
    def head(self) -> int:
        """The number of the last entry."""
        return self.events[-1].number if self.events else 0

    @cached_property
    def material(self) -> Material:
        """What the sheets of paper are written from, and the pages too: numbers, order, drawings."""
        return Material(self.exchanger, Path(), self.now().date(), state=self.state)

    def now(self) -> datetime:
        """Now; for a made-up exchanger not before its last entry."""
        return now_of(self.state)


class Jobs:
    """The record, and what was worked out of it. Usable from several threads."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self._kept: dict[str, Live] = {}
        self._numbers: dict[str, tuple[Exchanger, Numbers]] = {}
        self._lock = Lock()

    def names(self) -> tuple[str, ...]:
        """Every job on record, in the order in which they were begun."""
        return self.store.jobs()

    def __getitem__(self, job: str) -> Live:
        """The job as it stands. NotThere for one that is not on record; Damaged where an entry is not as it was entered."""
        with self._lock:
            kept = self._kept.get(job)
            behind = self.store.events(job, after=kept.head if kept else 0)
            if kept is None and not behind:
                raise NotThere(f"there is no job {job!r} on this record")
            if kept is None or behind:
                kept = self._kept[job] = self._made(job, kept, behind)
            return kept

    def append(self, drafts: Sequence[Draft], after: int) -> tuple[Event, ...]:
        """As `Store.append`."""
        return self.store.append(drafts, after=after)

    def _made(self, job: str, kept: Live | None, behind: tuple[Event, ...]) -> Live:
        last = kept.events[-1] if kept else None
        if broken := first_broken(behind, last.number + 1, last.hash) if last else first_broken(behind):
            raise Damaged(f"entry {broken} of job {job} is not as it was entered. Look with boxup record verify")
        events = (*kept.events, *behind) if kept else behind
        made = Live(job, events, fold(events))
        if made.state.exchanger is not None:
            self._hand_on(made)
        return made

    def _hand_on(self, made: Live) -> None:
        """The numbers are worked anew only where the exchanger has changed."""
        was = self._numbers.get(made.job)
        if was is None or was[0] != made.exchanger:
            was = self._numbers[made.job] = (made.exchanger, made.material.numbers)
        made.material.__dict__["numbers"] = was[1]
