"""The pages served from this machine until somebody stops it."""

from __future__ import annotations

import socket
from collections.abc import Callable, Sequence
from pathlib import Path

from boxup.store.base import Store, StoreError
from boxup.store.open import path_of
from boxup.web.app import LOCAL, app

ANY = ("0.0.0.0", "::")


def serve(store: Store, url: str, host: str, port: int, names: Sequence[str], say: Callable[[str], object]) -> None:
    """Serve until stopped. StoreError where the port is taken or the host is not of this machine."""
    import uvicorn

    listening = _listening(host, port)
    named = [*names, *([host] if host not in (*LOCAL, *ANY) else [])]
    at = named[0] if named else ("localhost" if host in (*LOCAL, *ANY) else host)
    say(f"The pages: http://{at}:{listening.getsockname()[1]}/    (stop with Ctrl-C)")
    if host not in LOCAL:
        say("They can be reached from other machines, and there is no sign-in: whoever reaches them can make entries in any name.")
    if host in ANY and not names:
        say("Other machines are answered only under a name given with --name.")
    config = uvicorn.Config(app(store, photos_of(url), named), log_level="warning", server_header=False)
    uvicorn.Server(config).run(sockets=[listening])


def photos_of(url: str) -> Path:
    """The folder of photos beside a record."""
    path = path_of(url)
    return path.with_name(f"{path.name}-photos")


def _listening(host: str, port: int) -> socket.socket:
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    made = socket.socket(family)
    made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        made.bind((host, port))
    except OSError as bad:
        made.close()
        raise StoreError(
            f"{host}, port {port}, cannot be listened on ({bad.strerror}). Is it in use? --port 0 takes any that is free"
        ) from bad
    return made
