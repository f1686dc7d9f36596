"""Chromium without a window: found on this machine, or got; pages and drawings to pictures.

As a command: prints the browser that will be used, getting one if there is none; exit 1 and a sentence when none can be had.
"""

from __future__ import annotations

import os
import platform
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import Browser

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "msedge")
PLACES = (  # systems on which a browser is not on the PATH
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    r"C:\Program Files\Google\Chrome\Application\chrome.exe",
    r"C:\Program Files (x86)\Google\Chrome\Application\chrome.exe",
    r"C:\Program Files (x86)\Microsoft\Edge\Application\msedge.exe",
)
# Quiet: the browser is to draw our pages and talk to nobody. Playwright itself gives it a new, empty profile each time.
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
HOW_TO = (
    "No Chromium was found and none could be got. Install Chromium or Google Chrome so that one of these names starts it: "
    + ", ".join(NAMES)
    + ". On Debian: apt install chromium. Then start again."
)


class NoBrowser(RuntimeError):
    """There is no Chromium on this machine; the message says what to install."""


def find() -> str | None:
    """The full path of a Chromium that is already here: by name, by its usual place, or the one playwright keeps."""
    for name in NAMES:
        if path := shutil.which(name):
            return path
    for place in PLACES:
        if Path(place).exists():
            return place
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        kept = playwright.chromium.executable_path
    return kept if Path(kept).exists() else None


def get() -> str:
    """`find`, and where it finds nothing, get one: playwright's own, else the system's package where we may install.

    Raises NoBrowser when there is no way.
    """
    if path := find():
        return path
    for words in ways():
        print("Getting a Chromium:", " ".join(words), file=sys.stderr, flush=True)
        if subprocess.call(words, stdout=sys.stderr, env={**os.environ, "DEBIAN_FRONTEND": "noninteractive"}) == 0 and (path := find()):
            return path
    raise NoBrowser(HOW_TO)


def ways() -> list[list[str]]:
    """The commands that may bring a Chromium here, in the order to try them."""
    found = [[sys.executable, "-m", "playwright", "install", "chromium"]]
    if is_debian() and os.geteuid() == 0:
        package = ["apt-get", "install", "-y", "-q", "--no-install-recommends", "chromium"]
        found += [["sh", "-c", f"apt-get update -q && {' '.join(package)}"]]
    return found


def is_debian() -> bool:
    """Debian itself: elsewhere a package of that name may be an empty shell that points to another installer."""
    try:
        return platform.freedesktop_os_release().get("ID") == "debian"
    except OSError:
        return False


@contextmanager
def chromium() -> Iterator[Browser]:
    """A running browser, closed at the end. Raises NoBrowser when this machine has none."""
    path = find()
    if path is None:
        raise NoBrowser(HOW_TO)
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=list(FLAGS))
        try:
            yield browser
        finally:
            browser.close()


def shoot(browser: Browser, page_path: Path, png_path: Path, width: int, height: int, *, dark: bool = False, whole: bool = False) -> None:
    """A picture of one HTML or SVG file as `browser` shows it in a window of `width` x `height` CSS px.

    dark: the reader's system asks for dark colours. whole: as tall as the page is, however tall.
    """
    view = browser.new_page(viewport={"width": width, "height": height}, color_scheme="dark" if dark else "light")
    try:
        view.goto(page_path.resolve().as_uri())
        view.screenshot(path=png_path, full_page=whole)
    finally:
        view.close()


def screenshot(html_path: Path | str, png_path: Path | str, width: int, height: int) -> None:
    """One picture of one file; for many, open `chromium()` once and call `shoot`."""
    with chromium() as browser:
        shoot(browser, Path(html_path), Path(png_path), width, height)


if __name__ == "__main__":
    try:
        print("Browser:", get(), flush=True)
    except NoBrowser as trouble:
        sys.exit(str(trouble))
