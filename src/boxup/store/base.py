"""What every store does, whatever database stands behind it, and the sentences with which it refuses."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from types import TracebackType
from typing import NamedTuple, Protocol, Self

from boxup.record.event import Draft, Event
from boxup.store.entry import Entry
from boxup.store.verdict import Head, Verdict


class StoreError(Exception):
    """A store that cannot do what was asked, as a sentence."""


class NoRecord(StoreError):
    """Nothing there, or nothing that is a record this program can read."""


class Busy(StoreError):
    """Another program has been writing for longer than we wait."""


class SaidDifferently(StoreError):
    """An id that is on record already, with other words. `kept` is what is on record."""

    def __init__(self, kept: Event) -> None:
        super().__init__(
            f"Job {kept.job}, entry {kept.number} carries the id {kept.id!r} already and says something else. Nothing was written. "
            "A changed form gets a new id; to change what is on record, send a new entry that corrects the old one."
        )
        self.kept = kept


class MovedOn(StoreError):
    """The job has entries the writer has not seen: `since`, in their order. Nothing was written."""

    def __init__(self, job: str, after: int, since: tuple[Event, ...]) -> None:
        super().__init__(
            f"Job {job} has moved on: {len(since)} more entries since entry {after}, the last by {since[-1].by}. Nothing was written. "
            "Look at them, then send again."
        )
        self.job, self.after, self.since = job, after, since


class Taken(NamedTuple):
    """What `take` did: entries written, and entries that were there already."""

    written: int
    known: int


class Store(Protocol):
    """A record of many jobs. Usable from several threads; several programs may have the same record open."""

    def append(self, drafts: Sequence[Draft], *, after: int | None = None) -> tuple[Event, ...]:
        """Add drafts, all or none, and return them as events once they are safely on disk.

        A draft that is on record already comes back as the event it became. `after`: number of the last entry of that job the writer has
        seen; the drafts are then of one job. BadEvent for a draft that is wrong; MovedOn, SaidDifferently, Busy.
        """
        ...

    def events(self, job: str, *, after: int = 0) -> tuple[Event, ...]:
        """The events of a job behind entry `after`, first to last; none for a job that is not on record."""
        ...

    def jobs(self) -> tuple[str, ...]:
        """Every job, in the order in which they were begun."""
        ...

    def heads(self) -> tuple[Head, ...]:
        """The head of every job, in the order in which they were begun."""
        ...

    def entries(self, job: str | None = None) -> Iterator[Entry]:
        """The kept texts of one job or of all, in the order in which they were recorded, all as at one moment."""
        ...

    def take(self, entries: Iterable[Entry]) -> Taken:
        """Add entries of another record as they are, all or none; those that are here already are passed over. For `restore`."""
        ...

    def verify(self) -> Verdict:
        """Look at everything."""
        ...

    def backup(self, to: Path) -> None:
        """A whole copy as at one moment, while others may be writing, into a file that is not there yet."""
        ...

    def close(self) -> None:
        """Let go of the record; closing twice does no harm."""
        ...

    def __enter__(self) -> Self: ...

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None: ...
