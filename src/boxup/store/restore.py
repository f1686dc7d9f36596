"""Bringing a record back from an export or a backup, numbers, times and hashes as they were. It is proved before any of it is written."""

from __future__ import annotations

from pathlib import Path

from boxup.store.base import Store, StoreError, Taken
from boxup.store.export import Export
from boxup.store.sqlite import SqliteStore
from boxup.store.verify import verify

_SQLITE = b"SQLite format 3\0"


def check_source(source: Path) -> None:
    """StoreError where the export or backup is not sound from its first entry to its last."""
    if not _is_backup(source):
        Export(source).check()
    elif faults := verify(source).faults:
        raise StoreError(f"{source} is not sound, so nothing was taken from it. {faults[0]}")


def restore(source: Path, store: Store) -> Taken:
    """Take what that export or backup holds into a store. To be checked before. A job that is there with other entries is refused."""
    if not _is_backup(source):
        return store.take(Export(source).entries())
    with SqliteStore(source, read_only=True) as backup:
        return store.take(backup.entries())


def _is_backup(source: Path) -> bool:
    try:
        with source.open("rb") as file:
            return file.read(len(_SQLITE)) == _SQLITE
    except OSError as bad:
        raise StoreError(f"{source} cannot be read: {bad.strerror}. Give an export or a backup of a record.") from bad
