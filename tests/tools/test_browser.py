"""Pictures from a real Chromium."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from PIL import Image

import browser

if TYPE_CHECKING:
    from playwright.sync_api import Browser

PAGE = """<!doctype html><meta name="color-scheme" content="light dark">
<style>body { margin: 0; background: Canvas } i { display: block; height: 900px }
@media (width <= 360px) { i { background: #00f } }</style><i></i>
"""


def shot(running: Browser, folder: Path, width: int, *, dark: bool = False, whole: bool = False) -> Image.Image:
    page, picture = folder / "page.html", folder / "page.png"
    page.write_text(PAGE)
    browser.shoot(running, page, picture, width, 300, dark=dark, whole=whole)
    return Image.open(picture).convert("RGB")


def test_a_window_is_as_wide_as_asked(chromium: Browser, tmp_path: Path) -> None:
    narrow, wide = shot(chromium, tmp_path, 360), shot(chromium, tmp_path, 361)
    assert (narrow.size, narrow.getpixel((180, 150))) == ((360, 300), (0, 0, 255)), "the page's own rule for 360 px applies"
    assert (wide.size, wide.getpixel((180, 150))) == ((361, 300), (255, 255, 255))


def test_dark_is_asked_of_the_page(chromium: Browser, tmp_path: Path) -> None:
    ground = shot(chromium, tmp_path, 500, dark=True).getpixel((250, 150))
    assert isinstance(ground, tuple)
    assert max(ground) < 64


def test_whole_takes_the_page_below_the_window(chromium: Browser, tmp_path: Path) -> None:
    assert shot(chromium, tmp_path, 500, whole=True).size == (500, 900)


def test_no_browser_is_a_sentence_that_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(browser, "find", lambda: None)
    monkeypatch.setattr(browser, "ways", lambda: [[sys.executable, "-c", "raise SystemExit(1)"]])
    with pytest.raises(browser.NoBrowser, match="Install Chromium or Google Chrome"):
        browser.get()
