"""The pages served from this machine until somebody stops it."""

from __future__ import annotations

import os
import signal
import socket
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path

from boxup.store.base import Store, StoreError
from boxup.store.open import path_of
from boxup.web.app import LOCAL, app

ANY = ("0.0.0.0", "::")
LAST_CALL = 5  # seconds for answers under way once the server is stopped


def serve(store: Store, url: str, host: str, port: int, names: Sequence[str], say: Callable[[str], object]) -> None:
    """Serve until stopped, by Ctrl-C or by the system. StoreError where the port is taken or the host is not of this machine."""
    import uvicorn

    listening = listen(host, port)
    named = [*names, *([host] if host not in (*LOCAL, *ANY) else [])]
    config = uvicorn.Config(
        app(store, photos_of(url), named), log_level="warning", server_header=False, proxy_headers=False, http="h11", ws="none",
        loop="asyncio", timeout_graceful_shutdown=LAST_CALL,
    )  # fmt: skip

    class Saying(uvicorn.Server):
        async def startup(self, sockets: list[socket.socket] | None = None) -> None:
            await super().startup(sockets)
            for line in _where(host, listening.getsockname()[1], names):  # from now on it answers, and is stopped cleanly
                say(line)

    with _stoppable():
        Saying(config).run(sockets=[listening])
    say("Stopped.")


def _where(host: str, port: int, names: Sequence[str]) -> Iterator[str]:
    """What whoever starts it should know."""
    yield f"The pages: {address_of(host, port, names)}    (stop with Ctrl-C)"
    if host not in LOCAL:
        yield "They can be reached from other machines, and there is no sign-in: whoever reaches them can make entries in any name."
    if host in ANY and not names:
        yield "Other machines are answered only under a name given with --name."


@contextmanager
def _stoppable() -> Iterator[None]:
    """To be stopped, by Ctrl-C or by the system, is the end we wanted, and no failure.

    The server ends its answers first and only then hands on the signal; one that comes before it listens stops us at once.
    """
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    was = signal.signal(signal.SIGTERM, signal.default_int_handler)
    try:
        with suppress(KeyboardInterrupt):
            yield
    finally:
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
