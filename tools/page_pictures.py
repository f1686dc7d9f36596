"""Every page of the demo's record as a tablet, a phone, a night shift, a glove and a printer have it."""

from __future__ import annotations

import io
import json
import socket
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import quote

import uvicorn
from PIL import Image

from boxup.demo.half_way import write
from boxup.store.base import Store
from boxup.store.open import open_store
from boxup.web.app import app
from boxup.web.person import COOKIE
from pages import addresses

if TYPE_CHECKING:
    from playwright.sync_api import Browser

TALLEST = 2600  # px of one page on a contact sheet; what is below is in the single picture


@dataclass(frozen=True)
class PageLook:
    """One way of looking at the pages, and how many such pictures stand side by side."""

    name: str
    width: int
    columns: int
    light: str = "day"
    glove: str = ""
    printed: bool = False


LOOKS = (
    PageLook("wide", 1200, 3),
    PageLook("360px", 360, 6),
    PageLook("night", 1200, 3, light="night"),
    PageLook("glove", 800, 4, glove="yes"),
    PageLook("print", 794, 4, printed=True),
)


def pictures(running: Browser, job: str, single: Path) -> Iterator[tuple[PageLook, list[tuple[str, Image.Image]]]]:
    """For each look every page with its name; whole pictures go into `single`."""
    with served() as base:
        for look in LOOKS:
            yield look, [(name, _shot(running, base + where, look, single)) for name, where in addresses(job)]


def _shot(running: Browser, url: str, look: PageLook, single: Path) -> Image.Image:
    person = {"name": "M. Trevanick", "role": "crew lead", "language": "en", "light": look.light, "glove": look.glove}
    context = running.new_context(viewport={"width": look.width, "height": 900})
    try:
        context.add_cookies([{"name": COOKIE, "value": quote(json.dumps(person), safe=""), "url": url}])
        view = context.new_page()
        if look.printed:
            view.emulate_media(media="print")
        view.goto(url)
        picture = Image.open(io.BytesIO(view.screenshot(full_page=True))).convert("RGB")
    finally:
        context.close()
    name = url.partition("//")[2].partition("/")[2].replace("/", "_").replace(":", "-") or "today"
    picture.save(single / f"page-{name}-{look.name}.png")
    return picture.crop((0, 0, picture.width, min(picture.height, TALLEST)))


@contextmanager
def served() -> Iterator[str]:
    """The address of a server on a new record of the demo."""
    with tempfile.TemporaryDirectory() as folder, open_store(str(Path(folder) / "demo.db"), create=True) as store:
        write(store)
        with serving(store, Path(folder) / "photos") as address:
            yield address


@contextmanager
def serving(store: Store, photos: Path) -> Iterator[str]:
    """The address of a server on a record, until the block is left."""
    with socket.socket() as listening:
        listening.bind(("127.0.0.1", 0))
        server = uvicorn.Server(uvicorn.Config(app(store, photos), log_level="warning", lifespan="off"))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
        thread.start()
        while not server.started:
            time.sleep(0.01)
        try:
            yield f"http://localhost:{listening.getsockname()[1]}"
        finally:
            server.should_exit = True
            thread.join(10)
