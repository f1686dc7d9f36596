"""How long one entry takes until it is safely on disk, beside bare sqlite3 that writes the same texts just as safely."""

from __future__ import annotations

import sqlite3
import statistics
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from uuid import uuid4

from boxup.record.event import Draft
from boxup.store.entry import TYPES, Entry
from boxup.store.sqlite import SqliteStore

EACH = 300  # appends of a round
TURN = 1200  # appends after which bare sqlite3 too writes over its log instead of making it longer, which is quicker
GOAL = 0.75  # of the rate of bare sqlite3

Round = tuple[float, float]  # seconds of one append: ours, bare


def rows(rounds: int, folder: Path) -> Iterator[str]:
    """The table. `folder` must be on a disk: in memory there is nothing to wait for."""
    yield f"One entry appended and on disk; medians of {rounds} rounds of {EACH}, µs."
    yield f"{'append':44}{'median':>8}{'least':>8}{'most':>8}{'goal':>7}  {'':10}{'bare':>10}{'rate':>7}"
    with tempfile.TemporaryDirectory(dir=folder) as place:
        yield _row("to a new record", list(_new(rounds, Path(place))))
        yield _row(f"to a record in use, log of {TURN} behind it", list(_in_use(rounds, Path(place))))
        yield _row("the same, and bare keeps its ids unique too", list(_in_use(rounds, Path(place), unique=True)))
    yield "Bare: WAL, synchronous FULL, BEGIN IMMEDIATE, INSERT of the same texts, COMMIT; no index, but for one on the id in the last row."
    yield "Rate: entries a second, as a part of what bare sqlite3 does."


def _new(rounds: int, folder: Path) -> Iterator[Round]:
    """Files of their own for each round."""
    for number in range(rounds):
        with _Pair(folder / f"new {number}") as pair:
            yield pair.round(EACH)


def _in_use(rounds: int, folder: Path, unique: bool = False) -> Iterator[Round]:
    """The same two files for all rounds."""
    with _Pair(folder / f"in use{' unique' if unique else ''}", unique) as pair:
        pair.round(TURN)
        for _ in range(rounds):
            yield pair.round(EACH)


def _row(name: str, found: list[Round]) -> str:
    ours = [one * 1e6 for one, _ in found]
    bare = statistics.median(other for _, other in found) * 1e6
    rate = statistics.median(other / one for one, other in found)
    verdict = "in goal" if rate >= GOAL else "below goal"
    return f"{name:44}{statistics.median(ours):8.0f}{min(ours):8.0f}{max(ours):8.0f}{GOAL:7.2f}  {verdict:11}{bare:9.0f}{rate:7.2f}"


class _Pair:
    """A record of ours and a bare file beside it."""

    def __init__(self, stem: Path, unique: bool = False) -> None:
        self._store = SqliteStore(stem.with_suffix(".db"), create=True)
        self._bare = _bare(stem.with_suffix(".bare"), unique)
        self._turn = 0

    def round(self, count: int) -> Round:
        """Seconds of one append of each, one after the other; who begins changes from round to round."""
        drafts = [_draft(number) for number in range(count)]
        rows = [_texts(draft) for draft in drafts]
        works = [lambda: self._ours(drafts), lambda: self._theirs(rows)]
        self._turn += 1
        times = {n: _seconds(works[n]) / count for n in ((0, 1) if self._turn % 2 else (1, 0))}
        return times[0], times[1]

    def _ours(self, drafts: list[Draft]) -> None:
        for draft in drafts:
            self._store.append([draft])

    def _theirs(self, rows: list[Entry]) -> None:
        insert = f"INSERT INTO event VALUES ({', '.join('?' * len(Entry._fields))})"
        for row in rows:
            self._bare.execute("BEGIN IMMEDIATE")
            self._bare.execute(insert, row)
            self._bare.execute("COMMIT")

    def __enter__(self) -> _Pair:
        return self

    def __exit__(self, *_: object) -> None:
        with closing(self._bare):
            self._store.close()


def _bare(path: Path, unique: bool) -> sqlite3.Connection:
    db = sqlite3.connect(path, isolation_level=None)
    db.execute("PRAGMA journal_mode = WAL")
    db.execute("PRAGMA synchronous = FULL")
    columns = (f'"{name}" {"INTEGER" if kind is int else "TEXT"} NOT NULL' for name, kind in zip(Entry._fields, TYPES, strict=True))
    db.execute(f"CREATE TABLE event ({', '.join(columns)}{', UNIQUE (id)' if unique else ''})")
    return db


def _draft(number: int) -> Draft:
    payload = {"joint": "J4", "pass": "pass 1", "stud": number + 1, "torque_n_m": 123.0, "typed": {"torque_n_m": "123 N.m"}}
    return Draft(
        id=str(uuid4()), job=f"14-E-103/{number % 3}", kind="joint.stud_done", version=1, happened_at=datetime.now(UTC), by="I. Belmarsh",
        entered_by="I. Belmarsh", payload=payload,
    )  # fmt: skip


def _texts(draft: Draft) -> Entry:
    """What of that draft a bare table would hold: the same lengths, ready made."""
    payload = '{"joint":"J4","pass":"pass 1","stud":100,"torque_n_m":123.0,"typed":{"torque_n_m":"123 N.m"}}'
    at, hash = "2027-04-12T06:20:00+00:00", "0" * 64
    return Entry(
        draft.id, draft.job, 1, draft.kind, 1, at, "2027-04-12T06:20:00.000+00:00", draft.by, draft.entered_by, "", payload, hash, hash
    )  # fmt: skip


def _seconds(work: Callable[[], None]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start
