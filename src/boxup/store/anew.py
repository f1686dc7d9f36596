"""Bytes that no entry uses: the same entries, written anew by the same SQLite, must give the same file to the last byte.

SQLite leaves room between its rows and keeps old bytes there. Nobody ever reads them, so nothing else in a verification can see them
change. But SQLite lays a file out by what is added and in which order, and by nothing else: not by who wrote, how much at a time, what was
rolled back or where a program was killed. Two versions of SQLite may leave different bytes there, therefore the record says which wrote it.
"""

from __future__ import annotations

import sqlite3
import tempfile
from collections.abc import Iterable, Iterator
from contextlib import closing
from pathlib import Path
from typing import NamedTuple

from boxup.store.file import LAYOUT, make

COUNTER, COUNTER_AGAIN, LIBRARY = slice(24, 28), slice(92, 96), slice(96, 100)  # fields of the header
LOG_AHEAD = slice(18, 20)
_PAGE = 4096  # bytes compared at once
_ADD = "INSERT INTO event VALUES ({})"
_SIGN = "INSERT INTO written_with VALUES (?, ?)"


class Difference(NamedTuple):
    """How many bytes differ, and where the first of them is."""

    many: int
    first: int


def difference(db: sqlite3.Connection, image: bytes) -> Difference | None:
    """Between the bytes of a record and the same entries written anew; None where there is none. `image`: what `db.serialize` gives.

    The header may differ in the fields that tell how and by whom it was written; `wrong_header` looks at those.
    """
    libraries = db.execute("SELECT nth, library FROM written_with ORDER BY nth").fetchall()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "anew.db"
        _write(path, libraries, db.execute("SELECT * FROM event ORDER BY seq"))
        places = list(_differing(image, path))
    return Difference(len(places), places[0]) if places else None


def wrong_header(db: sqlite3.Connection, header: bytes) -> str:
    """What is wrong in the fields that differ from file to file, "" for nothing."""
    known = {library for (library,) in db.execute("SELECT library FROM written_with")}
    if header[LOG_AHEAD] != b"\x02\x02":
        return "The header does not say that the record is kept with a log ahead of it (WAL)."
    if header[COUNTER] != header[COUNTER_AGAIN]:
        return "The two counters of changes in the header differ: one of them was changed."
    if _library(int.from_bytes(header[LIBRARY])) not in known:
        return "The header names a version of SQLite that never signed this record."
    return ""


def only_this_library(db: sqlite3.Connection) -> bool:
    """Whether the SQLite that looks is the one that wrote everything."""
    return db.execute("SELECT library FROM written_with").fetchall() == [(sqlite3.sqlite_version,)]


def _write(path: Path, libraries: Iterable[tuple[int, str]], rows: Iterable[tuple[object, ...]]) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        for pragma in (*LAYOUT, "journal_mode = OFF", "synchronous = OFF"):
            db.execute(f"PRAGMA {pragma}")
        make(db)
        db.execute("BEGIN")
        db.executemany(_SIGN, libraries)
        width = len(db.execute("SELECT * FROM event").description)
        db.executemany(_ADD.format(", ".join("?" * width)), rows)
        db.execute("COMMIT")


def _differing(image: bytes, path: Path) -> Iterator[int]:
    """The places where they differ; what one has and the other has not differs too."""
    with path.open("rb") as anew:
        for start in range(0, max(len(image), path.stat().st_size), _PAGE):
            ours, page = image[start : start + _PAGE], anew.read(_PAGE)
            if start == 0:
                page = _with_fields_of(ours, page)
            if ours != page:
                yield from (start + i for i in range(max(len(ours), len(page))) if ours[i : i + 1] != page[i : i + 1])


def _with_fields_of(ours: bytes, page: bytes) -> bytes:
    fields = bytearray(page)
    for field in (LOG_AHEAD, COUNTER, COUNTER_AGAIN, LIBRARY):
        fields[field] = ours[field]
    return bytes(fields)


def _library(number: int) -> str:
    """A version from the number SQLite writes into the header: 3040001 is 3.40.1."""
    return f"{number // 1_000_000}.{number // 1000 % 1000}.{number % 1000}"
