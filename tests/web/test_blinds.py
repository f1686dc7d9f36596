"""The page of the blinds, on the invented job: two names in and two out, counts, and nothing handed back with a line open."""

from __future__ import annotations

import html
import re
from collections.abc import Callable
from datetime import datetime

import pytest
from tests.web.conftest import Site

Told = Callable[..., Site]
ONE_NAME = datetime.fromisoformat("2027-04-14T13:05:00+02:00")  # day 8: four in, four pulled, the fourth with one name
TWO_OUT = datetime.fromisoformat("2027-04-14T10:30:00+02:00")  # B1 and B2 out, B3 being pulled


def plain(page: str) -> str:
    """The words of a page, as they are read."""
    inside = re.split(r"<main[^>]*>|</main>", page)[1]
    inside = re.sub(r'<ul class="jumps abreast">.*?</ul>', " ", inside, flags=re.S)  # the way to each part says its name only
    text = html.unescape(re.sub(r"<(?:svg|form).*?</(?:svg|form)>|<[^>]+>", " ", inside, flags=re.S))
    return " ".join(text.replace("\u00a0", " ").replace("\u202f", " ").split())


def process(page: str) -> str:
    return plain(page).partition("Process blinds")[2].partition("Test blinds, shell side")[0]


def of_blind(page: str, id_: str) -> str:
    """What stands at one blind, its forms with it."""
    return page.partition(f'class="blind" id="{id_}"')[2].partition('class="blind"')[0].partition("<h2")[0]


@pytest.mark.demo
def test_four_in_three_out_and_the_fourth_waits_for_its_second_name(told: Told) -> None:
    page = told(ONE_NAME).page("blinds")
    said = process(page)
    assert "4 in, 3 out of 4 on the list" in said
    assert "Not to be handed back" in said
    assert "One name only, the line is not closed: B4." in said
    assert "One name only: it waits for the second name" in plain(f"<main>{of_blind(page, 'B4')}</main>")
    assert 'class="stop"' in page


@pytest.mark.practice
def test_hand_over_is_refused_with_that_reason(own: Told) -> None:
    site = own(ONE_NAME)
    before = len(site.events)
    answer = site.enter("step.started", step="HANDOVER", by="M. Trevanick")
    assert answer.status_code == 409
    assert "BLIND_OUT:B4" in answer.text
    assert "every line of the blind list is signed OUT, or LEFT IN by operations with a name" in answer.text
    assert "BLIND_OUT:B3" not in answer.text
    assert len(site.events) == before


@pytest.mark.practice
def test_signed_as_done_all_the_same_it_does_not_pass_either(own: Told) -> None:
    site = own(ONE_NAME)
    before = len(site.events)
    answer = site.enter("step.done", step="HANDOVER", by="M. Trevanick", second="D. Wrexholme")
    assert answer.status_code == 409
    assert "BLIND_OUT:B4" in answer.text
    assert len(site.events) == before


@pytest.mark.demo
def test_the_second_name_is_one_press_and_closes_the_line(own: Told) -> None:
    site = own(ONE_NAME)
    form = next(f for f in re.findall(r"<form.*?</form>", of_blind(site.page("blinds"), "B4"), re.S) if 'value="step.seconded"' in f)
    assert 'name="step" value="BLIND_OUT:B4"' in form
    assert site.enter("step.seconded", by="D. Wrexholme", step="BLIND_OUT:B4").status_code == 303
    said = process(site.page("blinds"))
    assert "4 in, 4 out of 4 on the list" in said
    assert "Not to be handed back" not in said
    assert "D. Olukoya-Finch + D. Wrexholme" in said


@pytest.mark.practice
def test_the_same_name_twice_is_no_second_name(own: Told) -> None:
    site = own(ONE_NAME)
    site.enter("step.seconded", by="D. Olukoya-Finch", step="BLIND_OUT:B4", happened="yes")
    assert "4 in, 3 out" in process(site.page("blinds"))


@pytest.mark.demo
def test_with_two_out_the_others_are_named_as_still_in(told: Told) -> None:
    said = process(told(TWO_OUT).page("blinds"))
    assert "4 in, 2 out of 4 on the list" in said
    assert "Still in: B3, B4." in said


@pytest.mark.practice
def test_before_the_work_nothing_is_out_and_nobody_is_told_to_stop(told: Told) -> None:
    said = process(told(4).page("blinds"))
    assert "4 in, 0 out of 4 on the list" in said
    assert "Not to be handed back" not in said


@pytest.mark.demo
def test_every_blind_with_place_size_thickness_and_names(told: Told) -> None:
    """As in the exchanger's file and the story of day 1."""
    said = process(told(4).page("blinds"))
    assert re.search(r"B1 N1, far end of its spool.*?10 in, 300 spade, 25.4 mm \(1.000 in\), 51.1 bar \(741 psi\) in", said)
    assert "I. Belmarsh + D. Wrexholme, 07 Apr 08:35" in said
    assert "C. Rhoswen + D. Wrexholme, 07 Apr 12:40" in said


@pytest.mark.practice
def test_process_blinds_stand_apart_from_test_blinds(told: Told) -> None:
    page = told(4).page("blinds")
    assert "TB1" not in process(page)
    text = plain(page)
    assert text.index("Process blinds") < text.index("Test blinds, shell side") < text.index("Test blinds, tube side")
    shell = text.partition("Test blinds, shell side")[2].partition("Test blinds, tube side")[0]
    assert "2 in, 0 out of 2 on the list" in shell
    assert "0 in, 0 out of 2 on the list" in text.partition("Test blinds, tube side")[2]
    assert 'value="blind.left_in"' not in of_blind(page, "TB1")  # a thin blind for water is never left as isolation
    assert 'value="blind.left_in"' in of_blind(page, "B1")


@pytest.mark.practice
def test_it_may_not_come_out_before_zero_and_gas_are_read_with_the_reason(told: Told) -> None:
    at = plain(f"<main>{of_blind(told(6).page('blinds'), 'B1')}</main>")
    zero, folded = at.split("It waits for", 1)
    assert "ZERO_OUT:B1" in zero
    assert "pressure or product sits behind the blind" in zero
    assert "GAS_BREAK" in zero
    assert "gas comes when the flange is sprung" in zero
    assert "DRAINDRY:shell" in folded
    assert "STEST2:S2" in folded


@pytest.mark.practice
def test_pulled_before_its_time_it_is_asked_first(own: Told) -> None:
    site = own(6)
    before = len(site.events)
    answer = site.enter("blind.out", blind="B1", by="I. Belmarsh", second="D. Wrexholme")
    assert answer.status_code == 409
    assert len(site.events) == before


@pytest.mark.demo
def test_left_in_has_its_owner_and_day_and_is_counted_apart(own: Told) -> None:
    site = own(TWO_OUT)
    answer = site.enter("blind.left_in", blind="B4", owner="P. Ngata-Lowe", until="2027-05-01", by="D. Wrexholme", happened="yes")
    assert answer.status_code == 303
    said = process(site.page("blinds"))
    assert "4 in, 2 out, 1 left in of 4 on the list" in said
    assert "P. Ngata-Lowe owns it until 2027-05-01" in said
    assert "Still in: B3." in said


@pytest.mark.demo
def test_each_blind_leads_from_the_drawing_to_its_line(told: Told) -> None:
    page = told(4).page("blinds")
    for id_ in ("B1", "B2", "B3", "B4", "TB1", "TB2"):
        assert f'<a href="#{id_}">' in page
        assert f'id="{id_}"' in page


def test_no_two_places_of_one_name(told: Told) -> None:
    ids = re.findall(r' id="([^"]+)"', told(ONE_NAME).page("blinds"))
    assert len(ids) == len(set(ids))
