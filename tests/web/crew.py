"""A person at the pages in a real browser: finds the page of an entry, fills its form as it stands there, presses the button."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from boxup.record.event import Draft, written
from boxup.record.kinds import kind_of
from boxup.web.ask import address
from boxup.web.form import name_of

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

# The page on which a crew would look for an entry; what is not named here has the page of all kinds.
PLACES = {
    "joint": ("joint", "joint.pass_done", "joint.stud_done", "joint.gap_read", "joint.loads_read", "joint.weeped", "joint.opened"),
    "gaskets": ("gaskets", "gasket.received", "gasket.fitted", "gasket.removed"),
    "blinds": ("blinds", "blind.in", "blind.out", "blind.left_in"),
    "test": ("test", "test.reading", "test.result", "water.chloride_read"),
    "tubes": ("tubes", "tube.leaks", "tube.to_plug", "tube.pierced", "tube.plugged", "tube.repaired"),
    "lift": ("lift", "bundle.force_read", "bundle.pulled", "bundle.weighed", "crane.stood"),
    "findings": ("findings", "finding.raised", "finding.closed"),
    "step": ("step", "step.started", "step.done", "step.seconded", "hold.signed", "step.reopened"),
}
OF = {kind: place for place, (_, *kinds) in PLACES.items() for kind in kinds}
ENTRIES = "form[action$='/enter']"


class NotTaken(AssertionError):
    """A form that was not taken, with what the page said."""


@dataclass
class Crew:
    """One browser page on one job. `own`: entries on their own page; `elsewhere`: on that of all kinds; `asked`: when, what was said."""

    page: Page
    host: str
    job: str
    own: int = 0
    elsewhere: list[str] = field(default_factory=list)
    asked: list[tuple[str, str]] = field(default_factory=list)

    def be(self, name: str, **said: str) -> None:
        """Take the tablet over."""
        person = {"name": name, "role": "", "language": "en", "light": "day", "glove": ""} | said
        value = quote(json.dumps(person), safe="")
        self.page.context.add_cookies([{"name": "boxup-person", "value": value, "url": self.host}])

    def open(self, *parts: str, **query: str) -> None:
        """A page of the job."""
        answer = self.page.goto(self.host + address(self.job, *parts, **query))
        assert answer is not None
        assert answer.status == 200, f"{parts}: {answer.status}"

    def enter(self, d: Draft, *, all_the_same: bool = True, **more: str) -> str:
        """Put a draft on record through its page. Where it is asked first, say that it happened, or go back. Returns what was asked."""
        form = self.form_of(d)
        form.evaluate(_UNFOLD)
        for name, value in {**words_of(d), **more}.items():
            self._fill(form, name, value)
        self._by_and_at(form, d)
        return self._send(form, d, all_the_same)

    def form_of(self, d: Draft) -> Locator:
        """The form a crew would use: on the page of the thing where there is one, else on the page of all kinds."""
        words = words_of(d)
        place = OF.get(d.kind, "")
        parts = {"joint": words.get("joint"), "test": words.get("test"), "step": words.get("step")}
        if place and not d.corrects:
            self.open(place, *([parts[place]] if parts.get(place) else []))
            if form := self._fitting(d, words):
                self.own += 1
                return form
        self.elsewhere.append(d.kind)
        self.open("log", d.kind, **({"corrects": d.corrects} if d.corrects else {}))
        found = self._fitting(d, words)
        assert found is not None, f"{d.kind}: its own form does not take {sorted(words)}"
        return found

    def _fitting(self, d: Draft, words: dict[str, str]) -> Locator | None:
        """The first form on the page that is of this kind, does not settle anything else, and has room for all of it."""
        found = self.page.evaluate(_FIT, [d.kind, words])
        return None if found < 0 else self.page.locator(ENTRIES).nth(found)

    def _fill(self, form: Locator, name: str, value: str) -> None:
        boxes = form.locator(f"[name='{name}']:not([type=hidden])")
        if boxes.count() == 0:
            return  # settled by the page
        box = boxes.first
        tag, type_ = box.evaluate("box => [box.tagName, box.type]")
        unit = form.locator(f"[name='{name}.unit']")
        if type_ in ("radio", "checkbox"):
            form.evaluate(
                "(form, [n, v]) => form.querySelectorAll(`input[name='${n}']`).forEach(b => b.checked = b.value == v)", [name, value]
            )
        elif tag == "SELECT":
            box.select_option(value)
        elif boxes.count() > 1 and type_ == "text":  # a box for each reading
            *numbers, sign = value.split()
            for n, number in enumerate(numbers):
                boxes.nth(n).fill(number)
            unit.select_option(sign)
        elif unit.count():
            number, _, sign = value.rpartition(" ")
            options = unit.locator("option").evaluate_all("all => all.map(o => o.value)")
            bare = "," not in value and sign in options
            box.fill(number if bare else value)
            if bare:
                unit.select_option(sign)
        else:
            box.fill(value)

    def _by_and_at(self, form: Locator, d: Draft) -> None:
        form.locator("[name=by]").fill(d.by)
        form.locator("[name=at]").fill(written(d.happened_at))

    def _send(self, form: Locator, d: Draft, all_the_same: bool) -> str:
        with self.page.expect_navigation():
            form.locator("button[type=submit]").last.click()
        main = self.page.locator("main")
        if self.page.locator("button.second", has_text="It was done").count():
            said = main.inner_text()
            self.asked.append((f"{d.happened_at:%Y-%m-%dT%H:%M}", said))
            if not all_the_same:
                return said
            with self.page.expect_navigation():
                self.page.locator("button.second", has_text="It was done").click()
        if self.page.locator(".problems").count():
            raise NotTaken(f"{d.kind} {words_of(d)}: {self.page.locator('.problems').inner_text()}")
        assert "said=" in self.page.url, self.page.url
        return ""


_UNFOLD = """form => {
  form.querySelectorAll("details").forEach(d => d.open = true);
  for (let d = form.closest("details"); d; d = d.parentElement.closest("details")) d.open = true;
}"""
_CHECK = "(form, [name, value]) => form.querySelectorAll(`input[name='${name}']`).forEach(b => b.checked = b.value == value)"
_FIT = """([kind, words]) => [...document.querySelectorAll("form[action$='/enter']")].findIndex(form => {
  const boxes = [...form.elements].filter(b => b.name);
  const settled = boxes.filter(b => b.type === 'hidden');
  const says = (name, value) => settled.some(b => b.name === name && b.value === value);
  const room = (name, n) => {
    const all = boxes.filter(b => b.name === name && b.type === 'text');
    return all.length < 2 || all.length === n;
  };
  return says('kind', kind)
    && Object.entries(words).every(([name, text]) => boxes.some(b => b.name === name) && room(name, text.split(' ').length - 1))
    && settled.every(b => ['kind', 'id', 'back', 'corrects'].includes(b.name) || (b.name in words && says(b.name, words[b.name])));
})"""


def words_of(d: Draft) -> dict[str, str]:
    """A payload as it is typed."""
    kind = kind_of(d.kind)
    typed: dict[str, str] = dict(d.payload.get("typed", {}))
    said = {name: typed.get(name) or _plain(value) for name, value in d.payload.items() if name != "typed"}
    return {name_of(kind.fields[name].typed_name): text for name, text in said.items()}


def _plain(value: Any) -> str:
    if isinstance(value, list | tuple):
        return ",".join(map(str, value))
    return str(value)
