"""What is to be put right, held against the story: one A item on day 6, three letters on day 8."""

from __future__ import annotations

import re
from collections.abc import Callable
from html import unescape

import pytest
from tests.web.conftest import Site

pytestmark = pytest.mark.demo
AGAINST = "no pressure before it is put right"


def section(page: str, head: str) -> str:
    """From a heading to the next one."""
    return unescape(page).partition(f"<h2>{head}</h2>")[2].partition("<h2>")[0]


def test_before_anybody_found_anything_nothing_is_open(told: Callable[..., Site]) -> None:
    page = told(3).page("findings")
    assert "Nothing is open." in page
    assert AGAINST not in page


def test_the_letters_of_day_8(told: Callable[..., Site]) -> None:
    page = told(8).page("findings")
    assert "Earth strap loose at the fixed saddle" in section(page, "B: before start")
    assert "Paint off the shell cover lug" in section(page, "C: later")
    assert "<h2>A: before pressure</h2>" not in page
    assert AGAINST not in page
    closed = section(page, "Put right")
    assert "<del>Cap on PG1 finger-tight</del>" in closed
    assert "<del>Floating tubesheet scored across the land at 5 o'clock: skim, measure, look again</del>" in closed
    assert "skimmed 0.4 mm, 74.6 mm left; accepted (S. Oduwale)" in closed


def test_the_strap_is_closed_on_day_19(told: Callable[..., Site]) -> None:
    page = told(19).page("findings")
    assert "<h2>B: before start</h2>" not in page
    assert "made good on 2027-04-19" in section(page, "Put right")


def test_an_a_item_stands_against_pressure_until_it_is_closed(own: Callable[..., Site]) -> None:
    site = own(4)
    assert site.enter("finding.raised", text="Lug <bent> & cracked", letter="A", about="J2").status_code == 303
    page = site.page("findings")
    assert AGAINST in page
    assert "Lug &lt;bent&gt; &amp; cracked" in section(page, "A: before pressure").replace("<bent>", "&lt;bent&gt;").replace(
        " & ", " &amp; "
    )
    assert "<bent>" not in page
    item = re.search(r'name="finding" value="([^"]+)"', page)
    assert item
    assert item[1] == site.events[-1].id
    assert site.enter("finding.closed", finding=item[1], how="new lug").status_code == 303
    page = site.page("findings")
    assert AGAINST not in page
    assert "new lug (M. Trevanick)" in section(page, "Put right")


def test_a_closed_item_names_its_entry(told: Callable[..., Site]) -> None:
    site = told(8)
    cap = next(e for e in site.events if e.payload.get("text") == "Cap on PG1 finger-tight")
    assert f"entry {cap.number}, S. Oduwale, 14 Apr 14:20" in section(site.page("findings"), "Put right")


def test_a_withdrawn_finding_is_not_on_the_list(own: Callable[..., Site]) -> None:
    site = own(8)
    paint = next(e for e in site.events if str(e.payload.get("text", "")).startswith("Paint off"))
    assert site.enter("record.withdrawn", corrects=paint.id, why="another exchanger").status_code == 303
    assert "Paint off" not in section(site.page("findings"), "C: later")


def test_the_letter_is_one_of_three(own: Callable[..., Site]) -> None:
    site = own(4)
    before = len(site.events)
    assert site.enter("finding.raised", text="x", letter="D").status_code == 422
    assert len(site.events) == before
