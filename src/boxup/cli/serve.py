"""`boxup serve`: the pages, on this machine."""

from __future__ import annotations

import click

from boxup.cli.live import DB, record_at, refused

PORT = 8070


@click.command("serve")
@DB
@click.option("--host", default="127.0.0.1", show_default=True, help="Where to listen. Anything but this machine itself must be asked for.")
@click.option("--port", default=PORT, show_default=True, type=click.IntRange(0, 65535), help="Port; 0 for any that is free.")
@click.option(
    "--name",
    "names",
    multiple=True,
    metavar="NAME",
    help="A name tablets call this machine by, such as boxup.lan; may come more than once.",
)
def serve_command(db: str | None, host: str, port: int, names: tuple[str, ...]) -> None:
    """Serve the pages of a record. It listens on this machine alone unless --host says otherwise.

    There is no sign-in: whoever reaches the pages can make entries in any name. Beyond this machine, let only the crew's network reach it.
    """
    from boxup.store.open import open_store
    from boxup.web.serve import serve

    with refused(), open_store(record_at(db), create=True) as store:
        serve(store, record_at(db), host, port, names, click.echo)
