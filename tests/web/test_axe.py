"""Every page for people who see or touch less well: WCAG 2.2 A and AA, in every light, with gloves, narrow, with large letters."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

import pytest
from axe_playwright_python.sync_playwright import Axe
from tests.web.conftest import Site
from tests.web.serving import served

from boxup.web.app import PAGES
from boxup.web.ask import address

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
HERE = {"step": "FH_TORQ:J4", "joint": "J4", "test": "T", "kind": "joint.pass_done", "code": "J4"}
WAYS = {  # how it is read: width, light, glove, size of letters
    "day": (1200, "day", "", 20),
    "night": (1200, "night", "", 20),
    "glove, narrow": (360, "day", "yes", 20),
    "letters twice as large": (1200, "day", "", 40),
}
HALF_WAY = 6  # the day at whose end the tube test has failed and the floating head is being made up anew


def pages(job: str) -> dict[str, str]:
    """Every address of the application, for one job, and what a page shows when it is asked for more."""
    found = {
        "a row of tubes": address(job, "tubes", row="9"),
        "a tube": address(job, "tubes", tube="9-14"),
        "a tube end rolled": address(job, "tubes", tube="9-14", hole_mm="19.3", bore_mm="14.83", od_mm="19.05", after_mm="15.5"),
        "an entry": address(job, "record", entry="380"),
        "after a form": address(job, said="378-378"),
        "a way with the bundle": address(job, "lift", **{"in": "3.8"}),
        "not there": address(job, "joint", "J99"),
    }
    for path in PAGES:
        names = re.findall(r"\{(\w+)\}", path)
        if any(name not in HERE and name != "job" for name in names):
            continue
        parts = [HERE.get(part[1:-1], part) if part.startswith("{") else part for part in path.split("/")[3:]]
        found[path] = address(job, *parts) if path.startswith("/job") else path
    return found


@pytest.fixture(scope="module")
def host(told: Callable[..., Site]) -> Iterator[tuple[str, str]]:
    site = told(HALF_WAY)
    with served(site) as address_:
        yield address_, site.job


def looked_at(page: Page) -> list[str]:
    """What axe has to say, a line a fault."""
    found = Axe().run(page, options={"runOnly": {"type": "tag", "values": TAGS}}).response["violations"]
    return [f"{v['id']}: {v['help']}: {[n['target'] for n in v['nodes']][:3]}" for v in found]


@pytest.mark.parametrize("way", WAYS)
def test_axe_finds_nothing(chromium: Browser, host: tuple[str, str], way: str) -> None:
    width, light, glove, letters = WAYS[way]
    context = chromium.new_context(viewport={"width": width, "height": 900})
    person = {"name": "M. Trevanick", "light": light, "glove": glove}
    context.add_cookies([{"name": "boxup-person", "value": _cookie(person), "url": host[0]}])
    page = context.new_page()
    faults, wide = {}, {}
    for name, path in pages(host[1]).items():
        page.goto(host[0] + path)
        page.evaluate("px => { document.documentElement.style.fontSize = px + 'px'; }", letters)
        if found := looked_at(page):
            faults[name] = found
        if (over := page.evaluate("document.documentElement.scrollWidth")) > width:
            wide[name] = over
    context.close()
    assert not faults, json.dumps(faults, indent=1)
    assert wide == {}, "these pages must be pushed sideways to be read"


@pytest.mark.parametrize(("kind", "words"), [("step.started", {"step": "SC_ON:J5"}), ("step.done", {"step": "NO_SUCH"})])
@pytest.mark.parametrize("way", ["night", "glove, narrow"])
def test_axe_finds_nothing_where_a_form_is_held_up(
    chromium: Browser, host: tuple[str, str], way: str, kind: str, words: dict[str, str]
) -> None:
    width, light, glove, _ = WAYS[way]
    context = chromium.new_context(viewport={"width": width, "height": 900})
    context.add_cookies([{"name": "boxup-person", "value": _cookie({"name": "X", "light": light, "glove": glove}), "url": host[0]}])
    page = context.new_page()
    page.goto(host[0] + address(host[1], "log", kind))
    for name, value in words.items():
        page.locator(f"form.entry [name={name}]").fill(value)
    with page.expect_navigation():
        page.locator("form.entry button[type=submit]").click()
    assert "Nothing was entered" in page.locator("main").inner_text()
    assert looked_at(page) == []
    context.close()


def test_axe_would_find_something(chromium: Browser) -> None:
    page = chromium.new_page()
    page.set_content("<!doctype html><html><body><img src='x'><input></body></html>")
    assert {found.partition(":")[0] for found in looked_at(page)} >= {"image-alt", "label", "html-has-lang"}
    page.close()


@pytest.mark.parametrize(("width", "glove", "least"), [(1200, "", 56), (360, "", 56), (360, "yes", 76)])
def test_targets_are_as_large_as_said(chromium: Browser, host: tuple[str, str], width: int, glove: str, least: int) -> None:
    """Buttons, boxes and links that stand alone; a link in a sentence, and what is folded away, are not counted."""
    context = chromium.new_context(viewport={"width": width, "height": 900})
    context.add_cookies([{"name": "boxup-person", "value": _cookie({"name": "X", "glove": glove}), "url": host[0]}])
    page = context.new_page()
    small = {}
    for name, path in pages(host[1]).items():
        page.goto(host[0] + path)
        if found := page.evaluate(_SMALL, least):
            small[name] = found[:5]
    context.close()
    assert small == {}


_SMALL = """least => [...document.querySelectorAll(
    "button, input:not([type=hidden]), select, summary, nav a, .button, .items a, .waits a, td a, .line a")]
  .filter(b => b.checkVisibility() && !b.closest('.words'))
  .map(b => [b, b.getBoundingClientRect()])
  .filter(([b, r]) => r.height > 0 && r.height < least - 0.5)
  .map(([b, r]) => `${b.tagName} ${b.name || b.textContent.slice(0, 30)} ${r.height}`)"""


def _cookie(person: dict[str, str]) -> str:
    from urllib.parse import quote

    return quote(json.dumps(person), safe="")
