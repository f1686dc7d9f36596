"""The pages served from this machine until somebody stops it."""

from __future__ import annotations

import os
import signal
import socket
import threading
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from boxup.store.base import Store, StoreError
from boxup.store.open import path_of
from boxup.web.app import LOCAL, app

if TYPE_CHECKING:
    import uvicorn

ANY = ("0.0.0.0", "::")
LAST_CALL = 5  # seconds for answers under way once the server is stopped


def serve(store: Store, url: str, host: str, port: int, names: Sequence[str], say: Callable[[str], object]) -> None:
    """Serve until stopped, by Ctrl-C or by the system. StoreError where the port is taken or the host is not of this machine."""
    import uvicorn

    listening = listen(host, port)
    named = [*names, *([host] if host not in (*LOCAL, *ANY) else [])]
    say(f"The pages: {address_of(host, listening.getsockname()[1], names)}    (stop with Ctrl-C)")
    if host not in LOCAL:
        say("They can be reached from other machines, and there is no sign-in: whoever reaches them can make entries in any name.")
    if host in ANY and not names:
        say("Other machines are answered only under a name given with --name.")
    config = uvicorn.Config(
        app(store, photos_of(url), named), log_level="warning", server_header=False, proxy_headers=False, http="h11", ws="none",
        loop="asyncio", timeout_graceful_shutdown=LAST_CALL,
    )  # fmt: skip
    _until_stopped(uvicorn.Server(config), listening)
    say("Stopped.")


def _until_stopped(server: uvicorn.Server, listening: socket.socket) -> None:
    """The server ends its answers first and only then hands on the signal that stopped it: that is the end we wanted, and no failure."""
    if threading.current_thread() is not threading.main_thread():
        server.run(sockets=[listening])
        return
    was = signal.signal(signal.SIGTERM, lambda *_: None)
    with suppress(KeyboardInterrupt):
        server.run(sockets=[listening])
    signal.signal(signal.SIGTERM, was)


def address_of(host: str, port: int, names: Sequence[str] = ()) -> str:
    """What is typed into a browser."""
    at = names[0] if names else "localhost" if host in ("127.0.0.1", *ANY) else host
    return f"http://{f'[{at}]' if ':' in at else at}:{port}/"


def photos_of(url: str) -> Path:
    """The folder of photos beside a record."""
    path = path_of(url)
    return path.with_name(f"{path.name}-photos")


def listen(host: str, port: int) -> socket.socket:
    """A socket that listens there; port 0 takes any that is free. StoreError where there is none to be had."""
    made = socket.socket(socket.AF_INET6 if ":" in host else socket.AF_INET)
    if os.name != "nt":  # there it would let two programs listen at one port
        made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        made.bind((host, port))
        made.listen()
    except (OSError, UnicodeError) as bad:
        made.close()
        why = getattr(bad, "strerror", None) or "it is no name of a machine"
        raise StoreError(f"{host}, port {port}, cannot be listened on ({why}). Is it in use? --port 0 takes any that is free") from bad
    return made
