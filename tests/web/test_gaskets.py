"""The gasket page against the story: which item is where, which is used up, and that none goes in twice."""

from __future__ import annotations

import re
from collections.abc import Callable
from html import unescape
from typing import Any

from boxup.job.fold import fold
from boxup.job.state import GasketItem

Sites = Callable[..., Any]


def plain(page: str) -> str:
    return re.sub(r"[ \n\t]+", " ", unescape(re.sub(r"<[^>]+>", " ", page)))


def part(page: str, joint: str) -> str:
    """The part of one gasket."""
    found = re.search(rf'<section class="gasket" id="{joint}">(.*?)</section>', page, re.S)
    assert found
    return found[1]


def item(site: Any, name: str) -> GasketItem:
    return fold(site.events).gaskets[name]


def test_every_item_is_where_the_story_has_it(told: Sites) -> None:
    """Day 6: G4-1 loaded once, taken out, used; G4-2 in J4; G5-1 still in the store."""
    page = told(6).page("gaskets")
    four = plain(part(page, "J4"))
    assert "G4-1" in four
    assert "USED: out of J4. It never goes back." in four
    assert "In J4 now: G4-2." in four
    assert "in J4, loaded" in four
    five = plain(part(page, "J5"))
    assert "G5-1" in five
    assert "in store, new" in five
    assert "Nothing is in J5." in five


def test_as_listed_and_as_measured(told: Sites) -> None:
    four = plain(part(told(6).page("gaskets"), "J4"))
    assert "kammprofile, 316L, graphite" in four
    assert "795 / 771 × 3.2 mm" in four
    assert "outside 795 mm, inside 771 mm, thick 3.2 mm" in four


def test_each_gasket_is_drawn(told: Sites) -> None:
    page = told(6).page("gaskets")
    for joint in ("J1", "J2", "J3", "J4", "J5"):
        assert "<svg" in part(page, joint)
    assert "143 mm above" in plain(part(page, "J1"))


def test_only_new_items_are_offered(told: Sites) -> None:
    """J5 is offered G5-1; after J4 was opened on day 6 nothing but a new one is offered for it."""
    page = told(6).page("gaskets")
    assert 'value="G5-1" checked' in part(page, "J5")
    assert 'value="G4-1"' not in part(page, "J4")


def test_the_same_item_twice_is_asked_first(own: Sites) -> None:
    """The trap: G4-1 was out of J4 at 15:20. Whatever joint it is to go into, nothing is entered before somebody has read why."""
    site = own(6)
    site.enter("gasket.removed", item="G4-2", why="a try")
    before = len(site.events)
    for joint in ("J4", "J5"):
        answer = site.enter("gasket.fitted", item="G4-1", joint=joint)
        assert answer.status_code == 409
        assert "this item has been in J4 before. A gasket is used once." in plain(answer.text)
    assert len(site.events) == before


def test_an_item_that_lies_elsewhere_is_asked_first(own: Sites) -> None:
    """G1-1 lies in J1: it cannot lie in J5."""
    site = own(6)
    answer = site.enter("gasket.fitted", item="G1-1", joint="J5")
    assert answer.status_code == 409
    assert "by the record this item lies in J1." in plain(answer.text)


def test_another_gasket_than_the_joint_takes_is_asked_first(own: Sites) -> None:
    site = own(5)
    assert site.enter("gasket.fitted", item="G5-1", joint="J4").status_code == 409


def test_fitted_all_the_same_it_stands_as_refused(own: Sites) -> None:
    """What happened is kept, and said before everything else."""
    site = own(6)
    site.enter("gasket.removed", item="G4-2", why="a try", happened="yes")
    assert site.enter("gasket.fitted", item="G4-1", joint="J4", happened="yes").status_code == 303
    page = site.page("gaskets")
    assert "J4: this item has been in J4 before." in plain(page)
    assert page.index('class="stop"') < page.index('class="gasket"')
    assert "Refused: this item has been in J4 before." in plain(part(page, "J4"))
    assert "this item has been in J4 before." in plain(site.page("joint", "J4"))


def test_received_measured_and_fitted(own: Sites) -> None:
    """A new one for J5, as the store would: number, three sizes, ribs."""
    site = own(6)
    sizes = {"od": "975.2", "od.unit": "mm", "its.id": "943", "its.id.unit": "mm", "thickness": "3.2", "thickness.unit": "mm"}
    assert site.enter("gasket.received", item="G5-2", gasket="G5", ribs="0", **{"its.kind": "kammprofile"}, **sizes).status_code == 303
    assert item(site, "G5-2").measured == {"od_mm": 975.2, "id_mm": 943.0, "thickness_mm": 3.2}
    assert 'value="G5-2"' in part(site.page("gaskets"), "J5")


def test_one_that_does_not_measure_as_listed_is_not_offered(own: Sites) -> None:
    """G5 is 975 mm outside; this one has G4's size. It is on record as it was measured, and asked about when it is to go in."""
    site = own(6)
    assert site.enter("gasket.received", item="G5-3", gasket="G5", od="795", **{"od.unit": "mm"}).status_code == 303
    five = part(site.page("gaskets"), "J5")
    assert "NOT AS LISTED: outside 795 mm, listed 975 mm. Not to be fitted." in plain(five)
    assert 'value="G5-3"' not in five
    assert 'value="G5-1"' in five
    assert site.enter("gasket.fitted", item="G5-3", joint="J5").status_code == 409


def test_taken_out_it_is_used_where_it_was_loaded(own: Sites) -> None:
    """G4-2 had every pass: out of J4 it never goes back, and the joint is open again."""
    site = own(6)
    answer = site.enter("gasket.removed", item="G4-2", why="a try", happened="yes")
    assert answer.status_code == 303
    assert "USED: out of J4. It never goes back." in plain(part(site.page("gaskets"), "J4")).partition("G4-2")[2]
    assert not fold(site.events).joint("J4").rounds  # type: ignore[union-attr]


def test_the_nozzles_gaskets_are_listed(told: Sites) -> None:
    assert "spiral wound, 316L and graphite, inner ring" in plain(told(6).page("gaskets"))
