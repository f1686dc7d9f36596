"""The record as it is read: counts, corrections and words held against the lines of the story; paging with a record made up for it."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta
from html import unescape
from pathlib import Path

import pytest
from tests.web.conftest import HOST, Site, story

from boxup.demo.story import story_text
from boxup.record.event import Draft
from boxup.store.open import open_store
from boxup.web.app import app

pytestmark = pytest.mark.demo
NUMBER = re.compile(r'<li id="e(\d+)">')


def numbers(page: str) -> list[int]:
    return [int(n) for n in NUMBER.findall(page)]


def item(page: str, number: int) -> str:
    """One entry of the list, as it stands on the page."""
    return page.partition(f'<li id="e{number}">')[2].partition("</li>")[0]


def number_of(site: Site, **payload: object) -> int:
    return next(e.number for e in site.events if all(e.payload.get(k) == v for k, v in payload.items()))


def slip_of(site: Site) -> int:
    """Pass 3 of J1 as it was typed first."""
    return next(e.number for e in site.events if e.payload.get("typed") == {"torque_n_m": "165 N.m"})


def test_every_entry_is_there_once_the_newest_first(told: Callable[..., Site]) -> None:
    site = told(8)
    pages = [site.page("record", page=str(n)) for n in (1, 2, 3)]
    found = [n for page in pages for n in numbers(page)]
    assert found == list(range(584, 0, -1))


def test_a_day_has_as_many_entries_as_the_story_has_lines_for_it(told: Callable[..., Site]) -> None:
    """Day 3 of the story: braces tell a line once for each, so that they are counted out."""
    day = story_text().partition("\nday 3 ")[2].partition("\nday 4 ")[0]
    lines = [line for line in day.splitlines()[1:] if re.match(r"\d\d:\d\d \|", line)]
    count = sum(len(group[1].split(",")) if (group := re.search(r"\{([^}]*)\}", line)) else 1 for line in lines)
    page = told(20).page("record", day="2027-04-09")
    assert len(numbers(page)) == count
    assert f"1 to {count} of {count}" in page


@pytest.mark.parametrize("day", ["2027-13-45", "yesterday", "2026-01-01"])
def test_a_day_without_entries_says_so(told: Callable[..., Site], day: str) -> None:
    page = told(8).page("record", day=day)
    assert numbers(page) == []
    assert "No entry is about that." in page


def test_about_a_joint_shows_it_and_its_steps_and_no_other(told: Callable[..., Site]) -> None:
    site = told(6)
    page = site.page("record", about="j4")
    assert number_of(site, finding=next(e.id for e in site.events if e.kind == "finding.raised")) not in numbers(page)
    shown = {e.number: e for e in site.events if e.number in numbers(page)}
    mine = [e for e in site.events if e.payload.get("joint") == "J4" or str(e.payload.get("step", "")).endswith(":J4")]
    assert set(shown) >= {e.number for e in mine}
    assert not [e for e in shown.values() if e.payload.get("joint") in ("J1", "J2", "J5")]


def test_a_correction_and_what_it_corrects_are_both_seen(told: Callable[..., Site]) -> None:
    """J1, pass 3: 165 N.m was a slip of the typist; 615 was meant."""
    site = told(8)
    slip, right = slip_of(site), number_of(site, note="165 was a slip of the typist")
    page = site.page("record", day="2027-04-11")
    assert "165 N.m" in item(page, slip)
    assert "<del>" in item(page, slip)
    assert f"struck out by entry {right}" in item(page, slip)
    assert f"takes the place of entry {slip}" in item(page, right)
    assert "<del>" not in item(page, right)
    assert "typed by M. Trevanick" in item(page, right)


def test_taking_back_the_taking_back_brings_it_again(told: Callable[..., Site]) -> None:
    """The bore of day 3: withdrawn for its heading, then brought back."""
    site = told(8)
    bore = number_of(site, diameter_mm=813.4)
    page = site.page("record", day="2027-04-09")
    assert "<del>" not in item(page, bore)
    first = number_of(site, why="the sheet is headed 14-E-104")
    assert "<del>" in item(page, first)
    assert f"takes back entry {bore}" in item(page, first)


def test_what_was_noticed_stands_under_its_entry(told: Callable[..., Site]) -> None:
    """J1, pass 3 typed as 165 N.m, day 5: less than the pass before; the other entries of that joint are left alone."""
    site = told(6)
    page = site.page("record", day="2027-04-12")
    weeps = number_of(site, joint="J4", clock="4 to 6")
    assert "J4" in item(page, weeps)
    bad = number_of(site, tool="W3", why="sticker 2027-04-09, given out in place of TW-217 without a look")
    assert 'class="look"' in item(page, bad)
    assert 'class="look"' not in item(page, bad + 1)


def test_the_summary_says_what_the_story_says(told: Callable[..., Site]) -> None:
    page = unescape(re.sub(r"<[^>]+>", " ", told(8).page("record")))
    text = " ".join(page.split())
    assert "584 entries, the last of 2027-04-14 17:50" in text
    assert "Process blinds 4 on the list; 0 in now, 4 taken out again" in text
    assert "2 open (B 1, C 1), 2 put right" in text
    for tube in ("2-6", "14-3", "19-9", "9-14"):
        assert tube in text.partition("Tubes plugged 4:")[2][:40]
    assert "failed 22.4 bar" in text  # S1, first attempt
    assert "tube 9-14 runs from the bore at both ends" in text
    assert "floating head dribbles from 4 to 6 o'clock" in text


def test_one_entry_is_corrected_with_what_was_typed(told: Callable[..., Site]) -> None:
    site = told(6)
    n = number_of(site, joint="J4", **{"pass": "pass 2"})
    page = unescape(site.page("record", entry=str(n)))
    link = re.search(r'href="(/job/[^"]*/log/joint\.pass_done\?[^"]*)"', page)
    assert link
    form = site.client.get(link[1]).text
    assert f"takes the place of entry {n}" in form
    assert 'value="288"' in form
    assert 'value="I. Belmarsh"' in form
    assert "2027-04-12T10:34" in form


def test_a_correction_goes_the_whole_way(own: Callable[..., Site]) -> None:
    site = own(2)
    n = number_of(site, position_m=3.8)
    link = re.search(r'href="(/job/[^"]*/log/bundle\.force_read\?[^"]*)"', unescape(site.page("record", entry=str(n))))
    assert link
    form = site.client.get(link[1]).text
    sent = dict(re.findall(r'<input type="hidden" name="([^"]*)" value="([^"]*)"', form))
    answer = site.client.post(
        site.address("enter"),
        data={**{k: unescape(v) for k, v in sent.items()}, "way": "pull", "position": "3.8", "position.unit": "m", "force": "12",
              "force.unit": "kN", "by": "J. Karlsby", "at": "2027-04-08T09:05:00+02:00"},
        headers={"origin": HOST}, follow_redirects=False,
    )  # fmt: skip
    assert answer.status_code == 303
    assert f"struck out by entry {site.events[-1].number}" in site.page("record", entry=str(n))
    assert "12.0 kN" in site.page("lift")
    assert "13.0 kN" not in site.page("lift")


def test_an_entry_that_is_struck_out_offers_no_correction(told: Callable[..., Site]) -> None:
    site = told(8)
    page = site.page("record", entry=str(slip_of(site)))
    assert "Correct it" not in page
    assert "165" in page


@pytest.mark.parametrize("entry", ["0", "585", "-1", "1.5", "x", "99999999999999999999", "٣"])
def test_an_entry_that_is_not_there(told: Callable[..., Site], entry: str) -> None:
    site = told(8)
    answer = site.client.get(site.address("record", entry=entry))
    assert answer.status_code == 404
    assert "584" in answer.text


@pytest.mark.parametrize("page", ["0", "-3", "x", "999", "²", "9" * 30])
def test_a_page_that_is_not_there_is_the_nearest(told: Callable[..., Site], page: str) -> None:
    assert numbers(told(8).page("record", page=page))


@pytest.fixture(scope="module")
def long(tmp_path_factory: pytest.TempPathFactory) -> Site:
    """The story and notes made up behind it: 20,000 entries."""
    folder = tmp_path_factory.mktemp("long")
    job, told = story(20)
    drafts = list(told)
    last = drafts[-1].happened_at
    for n in range(20_000 - len(drafts)):
        drafts.append(
            Draft(
                id=f"made-up-{n}", job=job, kind="note.written", version=1, happened_at=last + timedelta(minutes=n), by="N. Obody",
                entered_by="N. Obody", payload={"text": f"made up {n}"},
            )
        )  # fmt: skip
    store = open_store(str(folder / "record.db"), create=True)
    store.append(drafts)
    from tests.web.conftest import TestClient

    return Site(TestClient(app(store, Path(folder / "photos")), base_url=HOST), store, job, folder / "photos")


def test_twenty_thousand_entries_are_read_200_at_a_time(long: Site) -> None:
    first = long.page("record")
    assert numbers(first) == list(range(20_000, 19_800, -1))
    assert "1 to 200 of 20000" in first
    assert "1 / 100" in first
    last = long.page("record", page="100")
    assert numbers(last) == list(range(200, 0, -1))
    assert "Older" not in last
    assert len(first.encode()) < 150_000


def test_a_question_of_twenty_thousand_entries_is_answered_from_all_of_them(long: Site) -> None:
    assert numbers(long.page("record", about="9-14"))[-1] < 700
    assert set(numbers(long.page("record", day="2027-04-07", about="J5"))) == {
        e.number for e in long.events[:150] if e.payload.get("step") in ("MATCH:J5", "BREAK:J5")
    }


def test_every_sheet_on_paper_says_at_its_foot_what_it_belongs_to(told: Callable[..., Site]) -> None:
    site = told(4)
    last = site.events[-1]
    for name in ("record", "order", "blinds"):
        foot = site.page(name).partition('data-foot="')[2].partition('"')[0]
        assert "14-E-103 · Job OM-27-0103" in foot
        assert f"Last entry {last.number} · Hash {last.hash[:12]}" in foot
    css = site.client.get("/static/boxup.css").text
    assert "content: attr(data-foot)" in css
    assert 'counter(page) " / " counter(pages)' in css
