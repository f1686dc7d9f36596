"""The focus exchanger carried through the pages in a real browser, from the bundle on the ground to the handover, every entry by its form.

The invented story says what was done. On the way a crew in a hurry asks for what it must not have, and every time the page says so first.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING
from uuid import uuid4

import pytest
from tests.web.conftest import Site, story
from tests.web.crew import Crew
from tests.web.serving import served

from boxup.job.fold import fold
from boxup.record.event import Draft
from boxup.record.kinds import kind_of

if TYPE_CHECKING:
    from playwright.sync_api import Browser

ON_THE_GROUND = 3  # the day at whose end the bundle lies cleaned, inspected and plugged
HANDED_BACK = 8
ZONE = "+02:00"


@dataclass(frozen=True)
class Hurry:
    """What somebody asks for, after the entry of that moment, and words of the answer. `trap`: its number in the list of traps."""

    trap: int
    after: str
    kind: str
    payload: dict[str, object]
    said: tuple[str, ...]


HURRIES = [
    Hurry(19, "2027-04-11T10:46", "step.started", {"step": "TTEST:T"}, ("STEST1_DRAIN",)),
    Hurry(4, "2027-04-12T11:34", "step.started", {"step": "TTEST:T"}, ("FH_TORQ:J4", "W3", "13-19")),
    Hurry(14, "2027-04-12T15:20", "gasket.fitted", {"item": "G4-1", "joint": "J4"}, ("G4-1",)),
    Hurry(15, "2027-04-12T19:42", "step.started", {"step": "SC_ON:J5"}, ("TTEST",)),
    Hurry(
        20, "2027-04-13T16:45", "joint.pass_done",
        {"joint": "J5", "pass": "corrective", "torque_n_m": 410.0, "tool": "W2", "typed": {"torque_n_m": "410 N.m"}}, ("22.4 bar",),
    ),
    Hurry(18, "2027-04-14T13:10", "step.started", {"step": "HANDOVER"}, ("BLIND_OUT:B4",)),
]  # fmt: skip
# What the story itself does against the order of work: asked first, and put on record because it happened.
HAPPENED = {
    "2027-04-11T13:12": "27%",  # a slip of the typist, put right later
    "2027-04-12T09:20": "TOOLCAL:W3",  # the first stud with a wrench out of date
    "2027-04-12T09:58": "W3",
    "2027-04-12T10:34": "W3",
    "2027-04-12T11:20": "13-19",
    "2027-04-12T11:40": "FH_TORQ:J4",
    "2027-04-12T13:20": "FH_TORQ:J4",
}


@pytest.mark.demo
def test_from_the_bundle_on_the_ground_to_the_handover(chromium: Browser, own: Callable[..., Site]) -> None:
    site = own(ON_THE_GROUND)
    _, before = story(ON_THE_GROUND)
    _, whole = story(HANDED_BACK)
    with served(site) as host:
        page = chromium.new_page(viewport={"width": 1200, "height": 900})
        crew = Crew(page, host, site.job)
        crew.be("M. Trevanick")
        traps = walk(crew, site, whole[len(before) :])
        page.close()
    assert traps == [19, 4, 14, 15, 20, 18]
    assert happened(crew) == HAPPENED.keys()
    assert_told(site.events, whole)
    assert crew.own >= 200, "most entries have a page of their own"


def walk(crew: Crew, site: Site, drafts: Sequence[Draft]) -> list[int]:
    """Every entry of the story through its page; hurries in between. The numbers of the traps that were noticed."""
    ids: dict[str, str] = {}
    noticed, waiting = [], list(HURRIES)
    for d in drafts:
        while waiting and d.happened_at > moment(waiting[0].after) and not d.corrects:
            noticed.append(hurry(crew, site, waiting.pop(0)))
        crew.enter(renamed(d, ids))
        ids[d.id] = site.events[-1].id
        look(crew, d)
    noticed += [hurry(crew, site, one) for one in waiting]
    return noticed


def renamed(d: Draft, ids: dict[str, str]) -> Draft:
    """The same entry, speaking of earlier ones by the ids they got here."""
    finding = d.payload.get("finding")
    payload = {**d.payload, "finding": ids[finding]} if finding in ids else d.payload
    return replace(d, corrects=ids.get(d.corrects, d.corrects), payload=payload)


def hurry(crew: Crew, site: Site, one: Hurry) -> int:
    """Ask for it, read the answer, go back: nothing is on record."""
    kind, entries = kind_of(one.kind), len(site.events)
    at = moment(one.after) + timedelta(seconds=30)
    d = Draft(
        id=str(uuid4()), job=site.job, kind=kind.name, version=kind.version, happened_at=at, by="C. Rhoswen", entered_by="C. Rhoswen",
        payload=one.payload,
    )  # fmt: skip
    said = crew.enter(d, all_the_same=False)
    crew.asked.pop()
    for word in one.said:
        assert word in said, f"trap {one.trap}: {said[:1500]}"
    crew.page.get_by_role("link", name="Back, nothing entered").click()
    assert len(site.events) == entries
    return one.trap


def look(crew: Crew, d: Draft) -> None:
    """What must be seen on the page after some entries of the story."""
    text = crew.page.locator("main").inner_text()
    if d.kind == "face.measured":  # trap 3: a score over three quarters of the land, under a hard gasket
        assert "No depth is allowed" in text, text[:1500]
    if d.kind == "shift.changed" and d.happened_at == moment("2027-04-12T11:00"):  # trap 16: in the middle of pass 3
        crew.open()
        assert "Ran out" in crew.page.locator("main").inner_text()
        assert "PERMIT" in crew.page.locator("main").inner_text()


def moment(text: str) -> datetime:
    return datetime.fromisoformat(text + ZONE)


def happened(crew: Crew) -> set[str]:
    """When something was put on record although it was asked first."""
    for at, said in crew.asked:
        assert HAPPENED.get(at, "?") in said, f"{at}: {said[:800]}"
    return {at for at, _ in crew.asked}


PRESET = {"lubricant", "tool", "torque_n_m"}  # what a form has in it already, where the story leaves it out


def assert_told(events: Sequence[Draft], story_: Sequence[Draft]) -> None:
    """The record says what the story says, entry by entry, whatever the ids and who typed it."""
    assert len(events) == len(story_)
    for got, wanted in zip(plain(events), plain(story_), strict=True):
        assert got[:4] == wanted[:4]
        assert {key: got[4].get(key) for key in wanted[4]} == wanted[4]
        assert got[4].keys() - wanted[4].keys() <= PRESET, got


def plain(said: Sequence[Draft]) -> Iterator[tuple[str, datetime, str, int | str, dict[str, object]]]:
    numbers = {d.id: n for n, d in enumerate(said)}
    for d in said:
        payload = {key: numbers.get(value, value) if key == "finding" else value for key, value in d.payload.items() if key != "typed"}
        payload = {key: list(value) if isinstance(value, tuple) else value for key, value in payload.items()}
        yield d.kind, d.happened_at, d.by, numbers.get(d.corrects, ""), payload


def test_the_state_at_the_end_is_that_of_the_story(own: Callable[..., Site]) -> None:
    """What the browser test compares, entry by entry, is enough: the same entries fold to a job that is handed back."""
    state = fold(own(HANDED_BACK).events)
    assert "HANDOVER" in state.done
