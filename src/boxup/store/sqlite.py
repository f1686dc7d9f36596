"""The record in one SQLite file: each append is one transaction, and the place of an event in its chain is decided inside it."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from pathlib import Path
from threading import RLock
from types import TracebackType
from typing import Self

from boxup.record.canonical import payload_text, said_text
from boxup.record.event import BadEvent, Draft, Event, taken, written
from boxup.record.kinds import check
from boxup.store.backup import copy
from boxup.store.base import MovedOn, SaidDifferently, StoreError, Taken
from boxup.store.entry import COLUMNS, Entry, event_of, next_entry, no_head, wrong_with
from boxup.store.file import refusal, to_read, to_write
from boxup.store.verdict import Head, Verdict
from boxup.store.verify import verify

_BY_ID = f"SELECT {COLUMNS} FROM event WHERE id = ?"
_AT = f"SELECT {COLUMNS} FROM event WHERE job = ? AND number = ?"
_HEAD = "SELECT number, hash FROM event WHERE job = ? ORDER BY number DESC LIMIT 1"
_OF_JOB = f"SELECT {COLUMNS} FROM event WHERE job = ? AND number > ? ORDER BY number"
_ALL = f"SELECT {COLUMNS} FROM event ORDER BY seq"
_JOBS = "SELECT job FROM event WHERE number = 1 ORDER BY seq"
_HEADS = """SELECT job, number, hash FROM event JOIN (SELECT job, max(number) AS number, min(seq) AS began FROM event GROUP BY job)
USING (job, number) ORDER BY began"""
_ADD = f"INSERT INTO event ({COLUMNS}) VALUES ({', '.join('?' * len(Entry._fields))})"
_AT_A_TIME = 500  # entries fetched at once while reading them all


def now() -> datetime:
    """The store's own clock."""
    return datetime.now(UTC)


class SqliteStore:
    """A record in a SQLite file. `read_only`: appends are refused and the file is left alone."""

    def __init__(self, path: Path, *, create: bool = False, read_only: bool = False, clock: Callable[[], datetime] = now) -> None:
        self.path = path
        self._db = to_read(path) if read_only else to_write(path, create=create)
        self._clock = clock
        self._turn = RLock()
        self._last: dict[str, Head] = {}  # the head of each job as this store saw it last

    def append(self, drafts: Sequence[Draft], *, after: int | None = None) -> tuple[Event, ...]:
        """As `Store.append`."""
        if after is not None and len({draft.job for draft in drafts}) > 1:
            raise ValueError("`after` counts the entries of one job; the drafts are of several.")
        if len(drafts) == 1 and (event := self._straight_on(drafts[0], after)):
            return (event,)
        says = [_texts(draft) for draft in drafts]
        with self._writing() as db:
            kept = {draft.id: there for draft in drafts if (there := self._one(_BY_ID, draft.id))}
            if len(kept) < len(drafts):
                self._may_be_added([draft for draft in drafts if draft.id not in kept], after)
            recorded_at = taken(self._clock())
            for draft, (what, payload) in zip(drafts, says, strict=True):
                entry = kept.get(draft.id)
                if entry is None:
                    entry = kept[draft.id] = next_entry(draft, what, payload, self._head(draft.job), recorded_at)
                    db.execute(_ADD, entry)
                elif entry.said != what:
                    raise SaidDifferently(event_of(entry))
        self._last.update((entry.job, entry.head) for entry in kept.values())
        return tuple([event_of(kept[draft.id]) for draft in drafts])

    def _straight_on(self, draft: Draft, after: int | None) -> Event | None:
        """One draft behind the head this store saw last: a statement that is a transaction of its own.

        The database refuses it where the job has moved on or the id is there; then, as where anything else is in the way, None, and the
        long way is gone.
        """
        head = self._last.get(draft.job)
        if head is None or (after is not None and after != head.entries):
            return None
        try:
            check(draft)
            what, payload = _texts(draft)
            entry = next_entry(draft, what, payload, head, taken(self._clock()))
            with self._turn:
                self._db.execute(_ADD, entry)
        except (BadEvent, sqlite3.IntegrityError):
            return None
        except sqlite3.Error as bad:
            raise refusal(bad, self.path) from bad
        self._last[draft.job] = entry.head
        return event_of(entry)

    def _may_be_added(self, new: list[Draft], after: int | None) -> None:
        for draft in new:
            check(draft)
        if new and after is not None:
            self._not_moved_on(new[0].job, after)

    def _not_moved_on(self, job: str, after: int) -> None:
        last = self._head(job).entries
        if last > after:
            raise MovedOn(job, after, tuple(event_of(entry) for entry in self._of_job(job, after)))
        if last < after:
            raise StoreError(
                f"The writer has seen entry {after} of job {job}, and this record ends at {last}: it is an older copy, or another record. "
                "Nothing was written."
            )

    def events(self, job: str, *, after: int = 0) -> tuple[Event, ...]:
        """As `Store.events`."""
        with self._reading():
            return tuple(event_of(entry) for entry in self._of_job(job, after))

    def jobs(self) -> tuple[str, ...]:
        """As `Store.jobs`."""
        with self._reading() as db:
            return tuple(job for (job,) in db.execute(_JOBS))

    def heads(self) -> tuple[Head, ...]:
        """As `Store.heads`."""
        with self._reading() as db:
            return tuple(Head(*row) for row in db.execute(_HEADS))

    def entries(self, job: str | None = None) -> Iterator[Entry]:
        """As `Store.entries`; over a connection of its own, so that a long reading holds up nobody."""
        with self._told(), closing(to_read(self.path)) as db:
            rows = db.execute(_ALL) if job is None else db.execute(_OF_JOB, (job, 0))
            while some := rows.fetchmany(_AT_A_TIME):
                yield from (Entry(*row) for row in some)

    def take(self, entries: Iterable[Entry]) -> Taken:
        """As `Store.take`."""
        written = known = 0
        with self._writing() as db:
            for entry in entries:
                if self._is_there(entry):
                    known += 1
                    continue
                if wrong := wrong_with(entry, self._head(entry.job)):
                    raise StoreError(f"Job {entry.job}, entry {entry.number}: {wrong}. Nothing was written.")
                db.execute(_ADD, entry)
                written += 1
        return Taken(written, known)

    def _is_there(self, entry: Entry) -> bool:
        there = self._one(_AT, entry.job, entry.number)
        if there is None and (there := self._one(_BY_ID, entry.id)) is None:
            return False
        if there != entry:
            raise StoreError(
                f"Job {entry.job}, entry {entry.number} is not what this record has as job {there.job}, entry {there.number}: "
                "the two have different histories. Nothing was written; restore into a new record and compare."
            )
        return True

    def verify(self) -> Verdict:
        """As `Store.verify`; over a connection of its own, which has nothing in memory and sees the disk."""
        return verify(self.path)

    def backup(self, to: Path) -> None:
        """As `Store.backup`."""
        with self._told(), closing(to_read(self.path)) as db:
            copy(db, to)

    def close(self) -> None:
        """As `Store.close`."""
        with self._turn:
            self._db.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.close()

    def _one(self, query: str, *given: str | int) -> Entry | None:
        row = self._db.execute(query, given).fetchone()
        return None if row is None else Entry(*row)

    def _head(self, job: str) -> Head:
        row = self._db.execute(_HEAD, (job,)).fetchone()
        return no_head(job) if row is None else Head(job, *row)

    def _of_job(self, job: str, after: int) -> list[Entry]:
        return [Entry(*row) for row in self._db.execute(_OF_JOB, (job, after))]

    @contextmanager
    def _told(self) -> Iterator[None]:
        """What SQLite refuses is refused in our words."""
        try:
            yield
        except sqlite3.Error as bad:
            raise refusal(bad, self.path) from bad

    @contextmanager
    def _reading(self) -> Iterator[sqlite3.Connection]:
        with self._turn, self._told():
            yield self._db

    @contextmanager
    def _writing(self) -> Iterator[sqlite3.Connection]:
        """One transaction, with the right to write from its start: what it reads is still so when it writes."""
        with self._reading() as db:
            db.execute("BEGIN IMMEDIATE")
            try:
                yield db
                db.execute("COMMIT")
            except BaseException:
                if db.in_transaction:
                    db.execute("ROLLBACK")
                raise


def _texts(draft: Draft) -> tuple[str, str]:
    """What a draft says and its payload, as they will be kept. BadEvent where they cannot be written."""
    try:
        payload = payload_text(draft.payload)
        what = said_text(
            draft.id, draft.job, draft.kind, draft.version, written(draft.happened_at), draft.by, draft.entered_by, draft.corrects, payload
        )
        what.encode("utf-8")
        return what, payload
    except (ValueError, TypeError, RecursionError) as bad:
        raise BadEvent([f"{draft.kind} of job {draft.job}: it cannot be written: {bad}"]) from bad
