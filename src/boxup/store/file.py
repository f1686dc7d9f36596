"""Opening a SQLite file as a record: made where it is asked for, never by looking, and only if it is one of ours."""

from __future__ import annotations

import os
import sqlite3
import time
from functools import cache
from importlib import resources
from pathlib import Path

from boxup.store.base import Busy, NoRecord, StoreError

APPLICATION = int.from_bytes(b"Bxup")  # stands in the file's header and says whose file it is
SCHEMA_VERSION = 1
PATIENCE = 30.0  # seconds to wait for another program that is writing
TROUBLE = (sqlite3.Error, UnicodeDecodeError)  # Python cannot read every message SQLite has for a damaged file
OLDEST = (3, 37, 0)  # the first SQLite with STRICT tables
# Said aloud because builds of SQLite differ in what they assume, and `anew` needs the same bytes from each. Small pages: an entry touches
# four of them, each goes to the disk whole.
LAYOUT = ("page_size = 2048", "auto_vacuum = NONE", "encoding = 'UTF-8'", "secure_delete = ON")
# synchronous FULL: an acknowledged entry is on the disk, not in a buffer; fullfsync: on a Mac too. recursive_triggers: REPLACE fires the
# trigger against removal as well. wal_autocheckpoint, in pages: a short log is soon written over instead of growing, which is quicker, and
# whoever forgets it on copying loses less.
WRITING = (
    "secure_delete = ON", "synchronous = FULL", "fullfsync = ON", "checkpoint_fullfsync = ON", "recursive_triggers = ON",
    "wal_autocheckpoint = 250",
)  # fmt: skip


@cache
def schema() -> tuple[str, ...]:
    """The statements that make an empty record."""
    text = (resources.files("boxup.store") / "schema.sql").read_text(encoding="utf-8")
    return tuple(statement.strip() for statement in text.split("\n\n"))


def to_write(path: Path, *, create: bool) -> sqlite3.Connection:
    """A connection that adds entries. `create`: an empty record is made where there is none. NoRecord, Busy."""
    if not create:
        _must_be_there(path)
    db = _connect(path, "rwc" if create else "rw")
    try:
        if create and _is_blank(db):
            _set(db, LAYOUT)
            make(db)
        recognise(db, path)
        _log_ahead(db)
        _set(db, WRITING)
        _sign(db)
    except BaseException as bad:
        db.close()
        if isinstance(bad, TROUBLE):
            raise refusal(bad, path) from bad
        raise
    return db


def to_read(path: Path) -> sqlite3.Connection:
    """A connection that only reads. It makes no file, and leaves a log that a killed program left behind as it found it."""
    _must_be_there(path)
    db = _connect(path, _mode_to_read(path))
    try:
        _set(db, ("query_only = ON",))
        recognise(db, path)
    except BaseException as bad:
        db.close()
        if isinstance(bad, TROUBLE):
            raise refusal(bad, path) from bad
        raise
    return db


def log_of(path: Path) -> Path:
    """Where SQLite keeps what is not yet in the file itself."""
    whole = path.resolve()
    return whole.with_name(whole.name + "-wal")


def recognise(db: sqlite3.Connection, path: Path) -> None:
    """NoRecord where it is not ours, or of a newer program."""
    application, version = (int(db.execute(f"PRAGMA {name}").fetchone()[0]) for name in ("application_id", "user_version"))
    if application != APPLICATION:
        whose = "has no entries and no mark of ours" if _is_blank(db) else "is the database of another program"
        raise NoRecord(f"{path} is no record of Boxup: it {whose}. It was left as it is; give the record's own file.")
    if version != SCHEMA_VERSION:
        raise NoRecord(f"{path} is a record in form {version}; this program knows form {SCHEMA_VERSION}. Bring Boxup up to date.")


def make(db: sqlite3.Connection) -> None:
    """An empty record in a blank file; another program that makes it at the same moment may have been first."""
    db.execute("BEGIN EXCLUSIVE")
    if _is_blank(db):
        for statement in schema():
            db.execute(statement)
        db.execute(f"PRAGMA application_id = {APPLICATION}")
        db.execute(f"PRAGMA user_version = {SCHEMA_VERSION}")
    db.execute("COMMIT")


def refusal(bad: sqlite3.Error | UnicodeDecodeError, path: Path) -> StoreError:
    """What SQLite said, as our sentence."""
    code = sqlite3.SQLITE_CORRUPT if isinstance(bad, UnicodeDecodeError) else getattr(bad, "sqlite_errorcode", None) or 0
    match code & 0xFF:
        case sqlite3.SQLITE_BUSY | sqlite3.SQLITE_LOCKED:
            return Busy(f"{path}: another program has been writing for {PATIENCE:.0f} s. Nothing was written; try again.")
        case sqlite3.SQLITE_NOTADB:
            return NoRecord(f"{path} is no record of Boxup, and no database at all. It was left as it is; give the record's own file.")
        case sqlite3.SQLITE_CANTOPEN:
            return NoRecord(f"{path} cannot be opened. Give a file in a folder that is there and open to you.")
        case sqlite3.SQLITE_READONLY | sqlite3.SQLITE_PERM:
            return StoreError(f"{path} may only be read here. Nothing was written; ask for the right to write to the file and its folder.")
        case sqlite3.SQLITE_FULL:
            return StoreError(f"{path}: the disk is full. Nothing was written; make room, then send again.")
        case sqlite3.SQLITE_CORRUPT:
            return StoreError(f"{path} is damaged ({bad}). Run boxup record verify, and take the last good backup.")
    return StoreError(
        f"{path}: the database says {str(bad)!r}. Nothing is sure to be on record; what is will be recognised when sent again."
    )


def _must_be_there(path: Path) -> None:
    if not path.exists():
        raise NoRecord(f"There is no record at {path}. Give the file of a record, with --db or in BOXUP_DB.")


def _mode_to_read(path: Path) -> str:
    if log_of(path).exists():
        return "ro"  # a connection that may write would put the log into the file on closing
    if os.access(path.parent, os.W_OK):
        return "rw"  # SQLite keeps two files beside the record while it reads, and this one takes them away again
    return "ro&immutable=1"  # a disc that cannot be written: nobody changes it under our hands


def _connect(path: Path, mode: str) -> sqlite3.Connection:
    if sqlite3.sqlite_version_info < OLDEST:
        raise StoreError(f"This Python has SQLite {sqlite3.sqlite_version}; the record needs {'.'.join(map(str, OLDEST))} or newer.")
    if path.is_dir():
        raise NoRecord(f"{path} is a folder. Give the file of a record.")
    try:
        # The store takes turns itself, so that its one connection may serve several threads.
        return sqlite3.connect(
            f"{path.absolute().as_uri()}?mode={mode}", uri=True, isolation_level=None, timeout=PATIENCE, check_same_thread=False
        )
    except sqlite3.Error as bad:
        raise refusal(bad, path) from bad


def _is_blank(db: sqlite3.Connection) -> bool:
    (tables,) = db.execute("SELECT count(*) FROM sqlite_master").fetchone()
    marks = [db.execute(f"PRAGMA {name}").fetchone()[0] for name in ("application_id", "user_version")]
    return not tables and not any(marks)


def _log_ahead(db: sqlite3.Connection) -> None:
    """WAL, so that readers and the writer do not wait for each other. SQLite does not wait for its turn to switch, so we do."""
    until = time.monotonic() + PATIENCE
    while True:
        try:
            db.execute("PRAGMA journal_mode = WAL")
            return
        except sqlite3.OperationalError as bad:
            if bad.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY or time.monotonic() > until:
                raise
            time.sleep(0.01)


def _sign(db: sqlite3.Connection) -> None:
    """Leave the version of the SQLite that writes, once: another version may lay out unused room differently, and `anew` must know."""
    signed = "SELECT 1 FROM written_with WHERE library = ?"
    if db.execute(signed, (sqlite3.sqlite_version,)).fetchone():
        return
    db.execute("BEGIN IMMEDIATE")
    if not db.execute(signed, (sqlite3.sqlite_version,)).fetchone():
        db.execute("INSERT INTO written_with (library) VALUES (?)", (sqlite3.sqlite_version,))
    db.execute("COMMIT")


def _set(db: sqlite3.Connection, pragmas: tuple[str, ...]) -> None:
    for pragma in pragmas:
        db.execute(f"PRAGMA {pragma}").fetchall()
