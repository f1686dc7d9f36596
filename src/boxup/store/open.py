"""From the name of a record to its store: a path, or sqlite:///path."""

from __future__ import annotations

import re
from pathlib import Path

from boxup.store.base import Store, StoreError
from boxup.store.sqlite import SqliteStore
from boxup.store.verdict import Verdict
from boxup.store.verify import verify

_SCHEME = re.compile(r"[A-Za-z][A-Za-z0-9+.-]+://")


def open_store(url: str, *, create: bool = False, read_only: bool = False) -> Store:
    """The store of that name. `create`: an empty record is made where there is none. StoreError where it cannot be opened."""
    return SqliteStore(path_of(url), create=create, read_only=read_only)


def exists(url: str) -> bool:
    """Whether there is anything of that name yet."""
    return path_of(url).exists()


def verify_store(url: str) -> Verdict:
    """The verdict on a record, also on one too damaged to be opened."""
    return verify(path_of(url))


def path_of(url: str) -> Path:
    """The file of a record: `site.db`, `sqlite:///site.db` beside us, `sqlite:////srv/site.db` from the root."""
    if not _SCHEME.match(url):
        return Path(url)
    if not url.startswith("sqlite:///") or url == "sqlite:///":
        raise StoreError(f"{url!r}: a record is named by its file, or as sqlite:///its-file; no other database is read yet.")
    return Path(url.removeprefix("sqlite:///"))
