"""Looking at a whole SQLite record: every entry, every chain, the tables and triggers, and every byte of the file.

What it cannot see: bytes that are about to be written over (the log's earlier turns, and pages of the file that the log has anew; both are
gone once the last program has closed the record); that a record was cut back whole, chain, counter and all, as by taking an old copy or
leaving its `-wal` behind; that somebody worked out every hash anew. Against those only a head that was written down elsewhere helps.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

from boxup.store.anew import difference, only_this_library, wrong_header
from boxup.store.base import NoRecord, StoreError
from boxup.store.entry import COLUMNS, Entry
from boxup.store.file import TROUBLE, schema, to_read
from boxup.store.verdict import Fault, Verdict
from boxup.store.wal import wrong_with_log
from boxup.store.walk import Walk

_ROWS = f"SELECT seq, {COLUMNS} FROM event ORDER BY seq"
_OBJECTS = "SELECT sql FROM sqlite_master WHERE sql IS NOT NULL AND name NOT LIKE 'sqlite_%'"


def verify(path: Path) -> Verdict:
    """The verdict on a file. NoRecord where there is none; one that is there and cannot be read is a fault."""
    if not path.is_file():
        raise NoRecord(f"There is no record at {path}. Give the file of a record, with --db or in BOXUP_DB.")
    faults = [Fault(wrong)] if (wrong := wrong_with_log(path)) else []
    walk = Walk()
    remarks: list[str] = []
    try:
        with closing(to_read(path)) as db:
            db.text_factory = _text
            db.execute("BEGIN")  # everything as at one moment
            _read(db, walk)
            faults += (Fault(wrong) for wrong in _beside_the_entries(db, path, walk.seq))
            if not faults and not walk.faults:
                faults += _unused(db, remarks)
    except StoreError as bad:
        faults.append(Fault(str(bad)))
    except TROUBLE as bad:
        faults.append(Fault(f"The file cannot be read to its end: {bad}."))
    return Verdict(walk.sound, tuple(walk.heads.values()), (*walk.faults, *faults), tuple(remarks))


def _text(raw: bytes) -> str:
    """Damaged text is still read, so that the entry it stands in can be named."""
    return raw.decode("utf-8", "surrogateescape")


def _read(db: sqlite3.Connection, walk: Walk) -> None:
    try:
        for seq, *texts in db.execute(_ROWS):
            walk.step(Entry(*texts), seq)
    except TROUBLE as bad:
        walk.faults.append(Fault(f"Behind number {walk.seq} of the record the file cannot be read: {bad}."))


def _beside_the_entries(db: sqlite3.Connection, path: Path, last: int) -> Iterator[str]:
    """Tables, triggers and indexes; the counter of entries; SQLite's own look at the file; its length."""
    found = {sql for (sql,) in db.execute(_OBJECTS)}
    for statement in schema():
        if statement not in found:
            yield f"What keeps the record as it is was taken out or changed: {_name(statement)} is not as Boxup makes it."
    for statement in found - set(schema()):
        yield f"There is something in the record that is not of Boxup: {_name(statement)}."
    counted = [seq for (seq,) in db.execute("SELECT seq FROM sqlite_sequence WHERE name = 'event'")]
    if counted != ([last] if last else []):
        yield f"The record has counted {counted[0] if counted else 0} entries and holds {last}: entries at its end were cut off."
    for (said,) in db.execute("PRAGMA integrity_check(3)"):
        if said != "ok":
            yield f"The file is damaged: {said}."
    pages, size = (db.execute(f"PRAGMA {name}").fetchone()[0] for name in ("page_count", "page_size"))
    if path.stat().st_size > pages * size:
        yield f"The file is longer than the record in it: {path.stat().st_size} bytes for {pages * size}."


def _name(statement: str) -> str:
    """`CREATE TRIGGER event_stays BEFORE ...`: trigger event_stays."""
    words = statement.split()
    return f"{words[1].lower()} {words[2]}" if len(words) > 2 else statement


def _unused(db: sqlite3.Connection, remarks: list[str]) -> Iterator[Fault]:
    """Bytes that no entry uses. Where another SQLite wrote too, a difference there proves nothing and is a remark."""
    if not hasattr(db, "serialize"):
        remarks.append("This Python hands out no bytes of a database, so those that no entry uses were not looked at.")
        return
    image = db.serialize()
    if wrong := wrong_header(db, image[:100]):
        yield Fault(f"{wrong} No entry was changed by it.")
    found = difference(db, image)
    if found is None:
        return
    told = f"{found.many} bytes that no entry uses, the first at {found.first}, are not what these entries give when they are written anew"
    if only_this_library(db):
        yield Fault(f"{told}: the file was damaged there, or written to by another program. Restore an export of it into a new record.")
    else:
        libraries = ", ".join(name for (name,) in db.execute("SELECT library FROM written_with ORDER BY nth"))
        remarks.append(f"{told}. SQLite {libraries} wrote this record and {sqlite3.sqlite_version} looks at it, so they prove nothing.")
