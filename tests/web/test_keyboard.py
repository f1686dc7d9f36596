"""The day by keyboard alone: no pointer touches anything, and where the keys are is always to be seen."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime
from typing import TYPE_CHECKING

import pytest
from tests.web.conftest import Site, story
from tests.web.crew import Crew, words_of
from tests.web.serving import served

from boxup.record.event import Draft, written

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Locator

MOST_TABS = 400
FROM, UNTIL = datetime.fromisoformat("2027-04-13T03:25+02:00"), datetime.fromisoformat("2027-04-13T08:01+02:00")
# One of each kind of the morning of day 7.
KINDS = ("joint.pass_done", "step.done", "test.reading", "test.result", "shift.changed", "tool.checked", "piece.in", "gasket.fitted")


class Keys(Crew):
    """A crew without a pointer: Tab, arrows, letters, blank and Enter."""

    def tab_to(self, target: Locator) -> None:
        """Press Tab until the keys are there; on the way they must be somewhere that shows."""
        wanted = target.element_handle()
        for _ in range(MOST_TABS):
            self.page.keyboard.press("Tab")
            if self.page.evaluate("wanted => document.activeElement === wanted", wanted):
                assert self.page.evaluate(_SHOWS), "where the keys are is not to be seen"
                return
        raise AssertionError(f"not reached with {MOST_TABS} tabs: {target}")

    def unfold(self, form: Locator) -> None:
        """Every fold round the form and in it, opened with Enter."""
        while (closed := self.page.evaluate_handle(_CLOSED, form.element_handle()).as_element()) is not None:
            self._walk_to(closed)
            self.page.keyboard.press("Enter")

    def _walk_to(self, element: object) -> None:
        for _ in range(MOST_TABS):
            if self.page.evaluate("one => document.activeElement === one", element):
                return
            self.page.keyboard.press("Tab")
        raise AssertionError("a fold that no key reaches")

    def type_in(self, box: Locator, value: str) -> None:
        """Into a box, a list or a row of words."""
        tag, kind = box.evaluate("box => [box.tagName, box.type]")
        element = box.element_handle()
        if kind == "radio":
            self._walk_to_group(box)
            while not self.page.evaluate("v => document.activeElement.value === v && document.activeElement.checked", value):
                self.page.keyboard.press("ArrowRight")
            return
        self._walk_to(element)
        if tag == "SELECT":
            for _ in range(60):
                if box.input_value() == value:
                    return
                self.page.keyboard.press("ArrowDown")
            raise AssertionError(f"{value} is not in the list")
        self.page.keyboard.press("Control+a")
        self.page.keyboard.type(value)

    def _walk_to_group(self, box: Locator) -> None:
        for _ in range(MOST_TABS):
            if self.page.evaluate(
                "name => document.activeElement.type === 'radio' && document.activeElement.name === name", box.get_attribute("name")
            ):
                if not self.page.evaluate("document.activeElement.checked"):
                    self.page.keyboard.press("Space")
                return
            self.page.keyboard.press("Tab")
        raise AssertionError("a row of words that no key reaches")


@pytest.fixture
def keys(chromium: Browser, own: Callable[..., Site]) -> Iterator[tuple[Keys, Site]]:
    site = own(FROM)
    with served(site) as host:
        page = chromium.new_page(viewport={"width": 1200, "height": 900})
        crew = Keys(page, host, site.job)
        crew.be("M. Trevanick")
        yield crew, site
        page.close()


@pytest.mark.demo
def test_a_morning_is_entered_by_keys(keys: tuple[Keys, Site]) -> None:
    """The second tube test and what goes with it, as the story has it, an entry of each kind."""
    crew, site = keys
    _, before = story(FROM)
    _, until = story(UNTIL)
    left = list(KINDS)
    for d in until[len(before) :]:
        if d.kind in left:
            left.remove(d.kind)
            by_keys(crew, d)
            assert (site.events[-1].kind, site.events[-1].by) == (d.kind, d.by)
        else:
            site.store.append([d])
    assert left == []


def by_keys(crew: Keys, d: Draft) -> None:
    form = crew.form_of(d)
    crew.unfold(form)
    crew.page.evaluate("document.activeElement.blur()")
    values = {**words_of(d), "by": d.by, "at": written(d.happened_at)}
    for name in form.evaluate("form => [...new Set([...form.elements].filter(b => b.type !== 'hidden' && b.name).map(b => b.name))]"):
        boxes = form.locator(f"[name='{name}']")
        if name in values:
            number, _, sign = values[name].rpartition(" ")
            has_unit = form.locator(f"[name='{name}.unit']").count()
            crew.type_in(boxes.first, number if has_unit else values[name])
            if has_unit:
                values[f"{name}.unit"] = sign
    crew.tab_to(form.locator("button[type=submit]").last)
    with crew.page.expect_navigation():
        crew.page.keyboard.press("Enter")
    assert "said=" in crew.page.url, crew.page.locator("main").inner_text()[:800]


@pytest.mark.demo
def test_from_today_to_the_joint_by_keys(keys: tuple[Keys, Site]) -> None:
    """Today, the exchanger, its joint, the working of its torque, and back: five links, each reached with Tab and followed with Enter."""
    crew, _ = keys
    crew.page.goto(crew.host + "/")
    for link in ("h2 a", "a[href$='/joint/J4']", "a.mark", "a.tag"):
        crew.tab_to(crew.page.locator(f"{link}:visible").first)
        with crew.page.expect_navigation():
            crew.page.keyboard.press("Enter")
    assert crew.page.locator("h1").inner_text() == "Where it stands"


def test_the_way_past_the_head_of_a_page(keys: tuple[Keys, Site]) -> None:
    crew, _ = keys
    crew.open()
    crew.page.keyboard.press("Tab")
    crew.page.keyboard.press("Enter")
    assert crew.page.evaluate("document.activeElement.id") == "main"


_AT_ROW = "name => document.activeElement.type === 'radio' && document.activeElement.name === name"
_SHOWS = """() => { const one = document.activeElement, at = one.matches('.words input') ? one.nextElementSibling : one;
  const style = getComputedStyle(at); return style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2; }"""
_CLOSED = """form => {
  const round = []; for (let d = form.closest('details'); d; d = d.parentElement.closest('details')) round.unshift(d);
  const closed = [...round, ...form.querySelectorAll('details')].find(d => !d.open);
  return closed ? closed.querySelector('summary') : null; }"""
