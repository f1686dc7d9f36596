"""The pages of the demo: on a record of its own under build/, kept from one start to the next until somebody wants a new one."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from boxup.demo.half_way import clear, write
from boxup.store.base import Store, StoreError
from boxup.store.open import open_store

RECORD = "demo-record.db"
PORT = 8070  # as boxup serve


def serve_demo(folder: Path, port: int | None, *, new: bool, say: Callable[[str], object]) -> None:
    """Serve until stopped. `port` None: the usual one, or any that is free where that is taken. StoreError.

    A record that is there is carried on with: what somebody tried out yesterday is theirs. `new` puts it away and begins again.
    """
    from boxup.web.serve import serve

    record = folder / RECORD
    if new:
        clear(record)
    with _opened(record) as store:
        if store.jobs():
            say(f"The record of the demo is carried on with: {record.resolve()}    (--new begins it again)")
        else:
            write(store)
            say(f"A record of invented jobs, the main one half-way: {record.resolve()}")
        serve(store, str(record), "127.0.0.1", free(port), (), say)


def free(port: int | None) -> int:
    """The port asked for; where none is, the usual one if nobody has it, else any."""
    from boxup.web.serve import listen

    if port is not None:
        return port
    try:
        listen("127.0.0.1", PORT).close()
    except StoreError:
        return 0
    return PORT


def _opened(record: Path) -> Store:
    try:
        return open_store(str(record), create=True)
    except StoreError as bad:
        raise StoreError(f"{bad} Begin the demo again with --new") from bad
