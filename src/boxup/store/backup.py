"""A whole copy of a SQLite record as at one moment, byte for byte, while others may be writing."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from boxup.store.base import StoreError


def copy(db: sqlite3.Connection, to: Path) -> None:
    """Copy what that connection sees. StoreError where there is a file already: a backup is never written over."""
    try:
        to.open("xb").close()
    except FileExistsError:
        raise StoreError(f"{to} is there already; it is not written over. Give another name.") from None
    except OSError as bad:
        raise StoreError(f"{to} cannot be written: {bad.strerror}. Give a folder that is there and open to you.") from bad
    try:
        with closing(sqlite3.connect(to, isolation_level=None)) as copied:
            db.backup(copied)
            # The copying counts as a change of the schema; the copy is to be the same to the last byte.
            (schema_version,) = db.execute("PRAGMA schema_version").fetchone()
            copied.execute(f"PRAGMA schema_version = {int(schema_version)}")
    except BaseException:
        to.unlink()  # half a copy is none
        raise
