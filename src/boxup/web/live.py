"""The jobs of the record as they stand, worked out once for every state and kept until an entry is added."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from pathlib import Path
from threading import Lock

from boxup.core.finding import Finding
from boxup.exchanger.model import Exchanger
from boxup.job.fold import fold
from boxup.job.moment import now_of
from boxup.job.state import JobState
from boxup.paper.sheet import Material
from boxup.record.chain import first_broken
from boxup.record.effective import standing
from boxup.record.event import Draft, Event
from boxup.store.base import Store

LOOK = "Look with boxup record verify"


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

    @cached_property
    def struck(self) -> dict[str, str]:
        """By id: the entry that took an entry back, or took its place."""
        return standing(self.events).struck

    @cached_property
    def numbers(self) -> dict[str, int]:
        """By id: the number of an entry."""
        return {e.id: e.number for e in self.events}

    @cached_property
    def noticed(self) -> dict[int, tuple[Finding, ...]]:
        """By entry: what was noticed at it."""
        found: dict[int, list[Finding]] = {}
        for one in self.state.story:
            found.setdefault(one.entry, []).append(one.finding)
        return {number: tuple(dict.fromkeys(some)) for number, some in found.items()}

    def entry(self, number: int) -> Event | None:
        """An entry by its number; None where there is none. They are numbered from 1 without a gap."""
        return self.events[number - 1] if 0 < number <= len(self.events) else None

    def now(self) -> datetime:
        """Now; for a made-up exchanger not before its last entry."""
        return now_of(self.state)


class Jobs:
    """The record, and what was worked out of it. Usable from several threads; each job has its own turn."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self._kept: dict[str, Live] = {}
        self._turns: defaultdict[str, Lock] = defaultdict(Lock)
        self._writers: defaultdict[str, Lock] = defaultdict(Lock)
        self._turn = Lock()

    def names(self) -> tuple[str, ...]:
        """Every job on record, in the order in which they were begun."""
        return self.store.jobs()

    def __getitem__(self, job: str) -> Live:
        """The job as it stands. NotThere for one that is not on record; Damaged where an entry is not as it was entered."""
        with self._turn:
            turn = self._turns[job]
        with turn:
            kept = self._kept.get(job)
            return self._later(kept) if kept else self._anew(job)

    def writing(self, job: str) -> Lock:
        """The turn of one who looks at a job and then writes to it: within one server nobody comes between."""
        with self._turn:
            return self._writers[job]

    def append(self, drafts: Sequence[Draft], after: int) -> tuple[Event, ...]:
        """As `Store.append`."""
        return self.store.append(drafts, after=after)

    def keep(self, before: Live, entered: Sequence[Event], state: JobState) -> None:
        """What was looked ahead to has become so: the state need not be worked out a second time.

        `state`: of `before` with these entries, worked before they had a hash. Left out where somebody else has been quicker.
        """
        with self._turns[before.job]:
            if self._kept.get(before.job) is before and [e.number for e in entered] == list(
                range(before.head + 1, before.head + 1 + len(entered))
            ):
                state.head = entered[-1].hash
                made = Live(before.job, (*before.events, *entered), state)
                _hand_on(before, made)
                self._kept[before.job] = made

    def _anew(self, job: str) -> Live:
        events = self._read(job, 0)
        if not events:
            self._turns.pop(job, None)
            raise NotThere(f"there is no job {job!r} on this record")
        if broken := first_broken(events):
            raise _not_as_entered(job, broken)
        return self._made(job, events)

    def _later(self, kept: Live) -> Live:
        """What came since; the last entry known is read again, to see that the new ones stand on it."""
        last = kept.events[-1]
        again, *behind = self._read(kept.job, last.number - 1) or (None,)
        if again is None or again.hash != last.hash:
            raise Damaged(
                f"entry {last.number} of job {kept.job} was on record a moment ago, and is not any more. {LOOK}; "
                "where an older copy was put back on purpose, stop the pages and start them again"
            )
        if broken := first_broken([again, *behind], last.number, last.previous):
            raise _not_as_entered(kept.job, broken)
        return self._made(kept.job, (*kept.events, *behind), kept) if behind else kept

    def _read(self, job: str, after: int) -> tuple[Event, ...]:
        try:
            return self.store.events(job, after=after)
        except (ValueError, KeyError, TypeError, RecursionError) as bad:  # a text that no entry was ever written as
            raise Damaged(f"an entry of job {job} cannot be read. {LOOK}") from bad

    def _made(self, job: str, events: tuple[Event, ...], before: Live | None = None) -> Live:
        made = Live(job, events, fold(events))
        if before is not None:
            _hand_on(before, made)
        self._kept[job] = made
        return made


def _hand_on(before: Live, made: Live) -> None:
    """The numbers, once worked, are worked anew only where the exchanger has changed."""
    was, now = before.state.exchanger, made.state.exchanger
    if was is not None and was == now and "material" in before.__dict__ and "numbers" in before.material.__dict__:
        made.material.__dict__["numbers"] = before.material.numbers


def _not_as_entered(job: str, number: int) -> Damaged:
    return Damaged(f"entry {number} of job {job} is not as it was entered. {LOOK}")
