"""The pages of the pressure tests, on the invented job: what its story says must be told, no more and no less."""

from __future__ import annotations

import html
import re
from collections.abc import Callable
from datetime import datetime, timedelta
from functools import partial
from types import SimpleNamespace
from typing import TYPE_CHECKING

import pytest
from tests.job.telling import Story
from tests.web.conftest import Site, person

from boxup.web.pages.test import _how

if TYPE_CHECKING:
    from playwright.sync_api import Browser

Told = Callable[..., Site]
WEEPING = datetime.fromisoformat("2027-04-12T13:37:00+02:00")  # the gauge at 22.2 bar, the floating head dribbles
# What the story of the day reads off, in its order: hour, bar at the gauge.
T_FIRST = {"13:02": "0", "13:20": "15.7", "13:31": "20.0", "13:36": "22.2", "13:38": "21.1", "13:40": "20.1", "13:42": "19.2",
           "13:44": "18.4", "13:52": "0"}  # fmt: skip
T_AGAIN = {"05:15": "0", "05:31": "15.7", "05:40": "31.3", "05:50": "31.4", "06:00": "31.5", "06:10": "31.6", "06:14": "0"}


def plain(page: str) -> str:
    """The words of a page, as they are read."""
    inside = re.split(r"<main[^>]*>|</main>", page)[1]
    text = html.unescape(re.sub(r"<(?:svg|form).*?</(?:svg|form)>|<[^>]+>", " ", inside, flags=re.S))
    return " ".join(text.replace("\u00a0", " ").replace("\u202f", " ").split())


def section(page: str, head: str, until: str) -> str:
    return plain(page).partition(head)[2].partition(until)[0]


def charts(page: str) -> list[str]:
    """The charts of a page in its wide form."""
    wide = re.findall(r'<div class="wide">(.*?)</div>', page, re.S)
    return [one for one in wide if "gauge and temperatures" in one]


def readings(page: str) -> list[tuple[str, str]]:
    """Hour and gauge of every row that is listed."""
    rows = re.findall(r'<td data-h="Time"><span>\d+ \w+ (\d\d:\d\d)</span></td><td data-h="Gauge"><span>([\d.]+)', page)
    return [(hour, bar) for hour, bar in rows]


@pytest.mark.demo
def test_all_tests_in_their_order_with_every_attempt(told: Told) -> None:
    text = plain(told(7).page("tests"))
    assert text.index("S1: Ring test") < text.index("T: Tube-side test") < text.index("S2: Last shell test")
    assert "2: failed, 11 Apr 08:38" in text
    assert "3: passed, 11 Apr 10:43" in text
    assert "1: failed, 12 Apr 13:53" in text
    assert "2: passed, 13 Apr 06:10" in text


@pytest.mark.demo
def test_of_day_six_the_tube_test_failed_and_the_last_one_is_not_begun(told: Told) -> None:
    text = plain(told(6).page("tests"))
    assert re.search(r"T: Tube-side.*?1: failed, 12 Apr 13:53 failed", text)
    assert re.search(r"S2: Last shell.*?– not begun", text)


@pytest.mark.demo
def test_gauge_pressure_is_the_number_of_the_moment_in_both_systems_with_its_working(told: Told) -> None:
    page = told(6).page("test", "T")
    moment = re.search(r'<p class="moment">(.*?)</p>', page, re.S)
    assert moment
    assert plain(f"<main>{moment[1]}</main>").startswith("31.4 bar (455 psi)")
    assert told(6).address("why", "T") in moment[1]


@pytest.mark.demo
def test_relief_metal_and_litres_stand_beside_it(told: Told) -> None:
    """As on the test sheet: relief no higher than 33.5 bar, 7 °C, 1130 L."""
    text = plain(told(6).page("test", "T"))
    for said in ("33.5 bar (485 psi)", "7 °C (45 °F)", "1 130 L (300 US gal)"):
        assert said in text


@pytest.mark.practice
def test_at_the_end_of_day_six_it_may_not_begin_before_the_floating_head_is_pulled_up(told: Told) -> None:
    waits = section(told(6).page("test", "T"), "may not begin yet", "Its own steps")
    assert "FH_TORQ:J4" in waits
    assert "carries the tube pressure in this test" in waits
    assert "round after the wait is not on record" in waits
    for step in ("RV_T:T", "FILL_T:T", "MDT_T:T", "TESTZONE_T:T"):
        assert step in waits


@pytest.mark.practice
def test_before_the_shell_is_drained_the_tube_test_waits_for_it_with_the_reason(told: Told) -> None:
    page = told(4).page("test", "T")
    waits = section(page, "may not begin yet", "Its own steps")
    assert "STEST1_DRAIN:S1" in waits
    assert "a drip from the floating head or a tube is seen only with the shell empty" in waits
    assert "TBLIND_T:TB3" in waits  # before water: blinds on the channel nozzles
    assert "We begin this test" not in page


@pytest.mark.practice
def test_beginning_it_all_the_same_is_refused_with_that_reason(own: Told) -> None:
    site = own(4)
    before = len(site.events)
    answer = site.enter("step.started", step="TTEST:T")
    assert answer.status_code == 409
    assert "STEST1_DRAIN:S1" in answer.text
    assert "only with the shell empty" in answer.text
    assert len(site.events) == before


@pytest.mark.practice
def test_pressure_put_on_too_early_is_asked_first(own: Told) -> None:
    site = own(4)
    before = len(site.events)
    answer = site.enter("test.reading", test="T", pressure="5", **{"pressure.unit": "bar"})
    assert answer.status_code == 409
    assert "STEST1_DRAIN:S1" in answer.text
    assert len(site.events) == before


@pytest.mark.demo
def test_every_reading_of_both_attempts_is_listed_and_drawn(told: Told) -> None:
    page = told(7).page("test", "T")
    assert readings(page) == [*T_AGAIN.items(), *T_FIRST.items()]  # the last attempt stands first
    discs = [len(re.findall(r'<circle [^>]*r="4.5"[^>]*fill="currentColor"', chart)) for chart in charts(page)]
    assert discs == [2 * len(T_AGAIN), 2 * len(T_FIRST)]  # gauge and water have discs


@pytest.mark.demo
def test_readings_between_the_attempts_go_to_the_one_they_belong_to(told: Told) -> None:
    """07:48 lets down the first raising, for the ring packing; 08:40 the ring test that fails; 10:00 is the filling for the next."""
    page = told(5).page("test", "S1")
    first, second = (part.partition("</details>")[0] for part in reversed(re.split(r"<details[^>]*><summary><h3>Attempt", page)[1:3]))
    assert [hour for hour, _ in readings(first)][-1] == "08:40"
    assert len(readings(first)) == 7
    assert [hour for hour, _ in readings(second)] == ["10:00", "10:05", "10:12", "10:27", "10:42", "10:46"]


@pytest.mark.demo
def test_the_hold_is_drawn_where_the_record_counts_it(told: Told) -> None:
    second, first = charts(told(7).page("test", "T"))
    assert "held 30 min" in second
    assert "held" not in first  # 22.2 bar is not the test pressure
    for chart in (first, second):
        assert "test 31.4" in chart
        assert "least 7" in chart


@pytest.mark.demo
def test_water_is_shown_as_it_was_read(told: Told) -> None:
    """A rise of some hundredths is the sun on the channel: it must not be rounded away."""
    text = plain(told(7).page("test", "T"))
    for read in ("12.07 °C", "12.14 °C", "12.21 °C"):
        assert read in text


@pytest.mark.demo
def test_what_the_record_says_to_the_second_tube_test(told: Told) -> None:
    said = section(told(7).page("test", "T"), "How it came out Looking", "What we saw")
    assert "Attempt 2: passed 13 Apr 06:10, S. Oduwale + H. Achterberg" in said
    assert "Accepted by the record." in said
    assert "30 min 30 min" in said
    assert "7 °C (45 °F) 13.0 °C (55.4 °F)" in said


@pytest.mark.demo
def test_a_failed_attempt_says_what_was_seen_and_what_now(told: Told) -> None:
    said = section(told(6).page("test", "T"), "How it came out Looking", "What we saw")
    assert "Attempt 1: failed 12 Apr 13:53, S. Oduwale + D. Olukoya-Finch" in said
    assert "floating head dribbles from 4 to 6 o'clock" in said
    assert "Find the cause, cure it" in said
    assert "Accepted" not in said


@pytest.mark.practice
def test_looking_is_the_acceptance_and_no_estimate_is_made_up(told: Told) -> None:
    text = plain(told(7).page("test", "T"))
    assert "Looking is the acceptance" in text
    assert "proves nothing" in text
    assert "no leak" not in text.lower()
    assert "leak rate" not in text.lower()


@pytest.mark.practice
def test_passed_below_the_test_pressure_and_too_short_is_not_accepted(own: Told) -> None:
    site = own(WEEPING)
    form = {"test": "T", "verdict": "passed", "second": "S. Oduwale"}
    answer = site.enter("test.result", **form, happened="yes")
    assert answer.status_code == 303
    said = section(site.page("test", "T"), "How it came out Looking", "What we saw")
    assert "the record does not accept it" in said
    assert "highest reading 22.2 bar" in said
    assert "held 0 min by the readings, 30 min are asked for" in said
    assert "Accepted by the record" not in said


@pytest.mark.practice
def test_one_signature_waits_for_the_second_and_then_stands(own: Told) -> None:
    site = own(datetime.fromisoformat("2027-04-13T06:05:00+02:00"))  # 20 min into the hold of the second tube test
    at_end = {"pressure": "31.6", "pressure.unit": "bar", "metal": "13", "metal.unit": "degC", "at": "06:10"}
    assert site.enter("test.reading", by="P. Duvenhage", test="T", **at_end).status_code == 303
    assert site.enter("test.result", by="S. Oduwale", test="T", verdict="passed", at="06:11", happened="yes").status_code == 303
    page = site.page("test", "T")
    assert "One name" in plain(page) or "one name" in plain(page)
    assert "Accepted by the record" not in page
    assert 'value="step.seconded"' in page
    assert site.enter("step.seconded", by="H. Achterberg", step="TTEST:T", at="06:12").status_code == 303
    assert "Accepted by the record" in site.page("test", "T")


@pytest.mark.practice
def test_with_pressure_on_readings_come_first_and_what_may_not_be_done(told: Told) -> None:
    page = told(WEEPING).page("test", "T")
    text = plain(page)
    assert "PRESSURE ON" in page
    assert "Last reading 22.2 bar (322 psi), 12 Apr 13:36" in text
    assert "No tool touches a joint, a plug, a blind or a fitting" in text
    assert text.index("Last reading") < text.index("Readings") < text.index("pump relief at most")


@pytest.mark.practice
def test_over_the_limit_is_a_stop_at_the_top_at_every_reading_with_the_limit_beside_the_gauge(own: Told) -> None:
    """No part of the tube side may see more than 33.5 bar, and 0.080 bar of water stands under the gauge: 33.4 bar."""
    site = own(WEEPING)
    for bar, at in (("36", "13:38"), ("50", "13:39")):
        answer = site.enter("test.reading", test="T", pressure=bar, at=at, **{"pressure.unit": "bar"})
        assert answer.status_code == 303
        told = plain(site.client.get(answer.headers["location"]).text).partition("Last reading")[0]
        later = plain(site.page("test", "T")).partition("Last reading")[0]
        for top in (told, later):
            assert top.count(f"gauge at {bar}.0 bar") >= 1
            assert "limit 33.5 bar" in top
            assert "Down to 0; the engineer says what is looked at" in top
    assert re.search(r"test pressure, at the gauge, .*?; never over 33\.4 bar 31\.4 bar \(455 psi\)", plain(site.page("test", "T")))
    assert site.enter("test.reading", test="T", pressure="0", at="13:40", **{"pressure.unit": "bar"}).status_code == 303
    text = plain(site.page("test", "T"))
    assert "Down to 0; the engineer" not in text.partition("Readings")[0]
    assert "Attempt 1: let down, no result" in text
    assert "The gauge went above what this side may see: gauge at 50.0 bar" in text


@pytest.mark.practice
def test_raised_again_from_0_is_another_attempt_on_the_page(own: Told) -> None:
    site = own(WEEPING)
    for bar, at in (("0", "13:38"), ("20", "13:39")):
        answer = site.enter("test.reading", test="T", pressure=bar, at=at, happened="yes", **{"pressure.unit": "bar"})
        assert answer.status_code == 303
    text = plain(site.page("test", "T"))
    assert "Attempt 2: under way" in text
    assert "Attempt 1: let down, no result" in text


@pytest.mark.practice
def test_at_the_gauge_the_page_is_short_and_nothing_may_start(told: Told, chromium: Browser) -> None:
    """What was for preparing is folded: a third of what a narrow page was tall. Nothing says that a step may start with pressure on."""
    site = told(WEEPING)
    text = plain(site.page("test", "T"))
    pressed = text.partition("May it begin")[2].partition("Its own steps")[0]
    assert "Pressure is on" in pressed
    assert "Can start now" not in text
    with chromium.new_context(viewport={"width": 360, "height": 800}) as context:
        page = context.new_page()
        page.route("**/*", lambda route: _serve(site, route, ""))
        page.goto("http://localhost" + site.address("test", "T"))
        assert page.evaluate("document.documentElement.scrollHeight") < 12_000
        assert page.get_by_text("Water here means").first.is_visible()  # one touch away: that is when it is asked
        assert not page.get_by_text("all round the floating head").is_visible()


@pytest.mark.demo
def test_a_hold_is_read_in_tenths_in_both_systems(told: Told) -> None:
    """The second tube test warmed from 12 to 12.21 °C: 53.6 to 54.0 °F. Whole degrees would say that it stood."""
    text = plain(told(13).page("test", "T"))
    assert "12.21 °C (54.0 °F)" in text.replace("\u00a0", " ")
    assert "12 °C (53.6 °F)" in text.replace("\u00a0", " ")


@pytest.mark.practice
def test_last_values_are_shown_pale_and_never_sent(told: Told) -> None:
    form = next(f for f in re.findall(r"<form.*?</form>", told(WEEPING).page("test", "T"), re.S) if 'value="test.reading"' in f)
    gauge = re.search(r'<input name="pressure"[^>]*>', form)
    assert gauge
    assert 'placeholder="was 22.2 bar"' in gauge[0]
    assert " value=" not in gauge[0]
    assert 'placeholder="was 14 °C"' in form


@pytest.mark.demo
def test_a_reading_goes_on_record_and_shows(own: Told) -> None:
    site = own(WEEPING)
    answer = site.enter(
        "test.reading", by="C. Rhoswen", test="T", pressure="307", **{"pressure.unit": "psi", "metal": "15", "metal.unit": "degC"}
    )
    assert answer.status_code == 303
    e = site.events[-1]
    assert e.payload["pressure_mpa"] == pytest.approx(2.1167, abs=1e-3)  # 307 psi by the inch and the pound
    text = plain(site.page("test", "T"))
    assert "307 psi (21.2 bar)" in text
    assert 'placeholder="was 307 psi"' in site.page("test", "T")


@pytest.mark.demo
def test_a_reading_taken_back_is_gone_from_list_and_chart(own: Told) -> None:
    site = own(WEEPING)
    wrong = next(e for e in site.events if e.kind == "test.reading" and e.payload.get("note", "").startswith("half, floating head"))
    assert site.enter("record.withdrawn", corrects=wrong.id, why="read off gauge B").status_code == 303
    page = site.page("test", "T")
    assert [hour for hour, _ in readings(page)] == ["13:02", "13:31", "13:36"]
    assert "13:31: 20.0" in charts(page)[0].replace("\u00a0", " ")
    assert "13:20: 15.7" not in charts(page)[0].replace("\u00a0", " ")


@pytest.mark.demo
def test_chloride_on_record_is_no_longer_called_missing(told: Told) -> None:
    page = plain(told(6).page("test", "T"))
    assert "41 mg/L, 12 Apr 11:30" in page
    assert "chloride of this water" not in page
    assert "chloride of this water" in plain(told(4).page("test", "T"))


@pytest.mark.practice
def test_no_water_before_the_push_is_accepted_then_by_whom(told: Told) -> None:
    """The ring test: the rear is free and only the tubes hold it."""
    assert "No water before the engineer has accepted the end push" in plain(told(4).page("test", "S1"))
    after = plain(told(5).page("test", "S1"))
    assert "accepted by A. Castellane, 11 Apr 09:26" in after
    assert "No water before the engineer" not in after


def test_a_test_there_is_not(told: Told) -> None:
    answer = told(6).get("test/X9")
    assert answer.status_code == 404
    assert "there is no test 'X9' in this job; there are S1, T, S2" in html.unescape(answer.text)


@pytest.mark.practice
def test_what_a_leak_means_and_what_was_seen_have_their_place(told: Told) -> None:
    page = told(6).page("test", "T")
    assert "all round the floating head" in plain(page)
    for kind in ("joint.weeped", "tube.leaks", "test.over_pressure", "water.chloride_read", "water.changed", "water.froze"):
        assert f'name="kind" value="{kind}"' in page


def test_every_page_stays_small(told: Told) -> None:
    for name in ("S1", "T", "S2"):
        assert len(told(7).page("test", name).encode()) < 170_000  # style and script come on top


@pytest.mark.parametrize("glove", ["", "yes"])
def test_number_pad(told: Told, chromium: Browser, glove: str) -> None:
    """In a browser: with gloves the pad is there and the tablet's keyboard is not; else a button brings it. It writes where it says."""
    site = told(WEEPING)
    with chromium.new_context(viewport={"width": 360, "height": 800}) as context:
        page = context.new_page()
        page.route("**/*", lambda route: _serve(site, route, glove))
        page.goto("http://localhost" + site.address("test", "T"))
        pad = page.locator("form.reading .pad")
        assert pad.is_visible() == bool(glove)
        if not glove:
            page.get_by_role("button", name="Number pad").first.click()
        for key in "22.4":
            pad.get_by_role("button", name=key, exact=True).click()
        pad.get_by_role("button", name="Next").click()
        for key in ("−", "1", "3"):
            pad.get_by_role("button", name=key, exact=True).click()
        assert page.locator("form.reading [name=pressure]").input_value() == "22.4"
        assert page.locator("form.reading [name=water]").input_value() == "-13"
        assert "Water" in pad.locator("output").inner_text()
        assert page.locator("form.reading [name=pressure]").evaluate("box => box.inputMode") == "none"
        assert page.evaluate("document.documentElement.scrollWidth") <= 360
        small = pad.locator("button").evaluate_all("all => all.filter(b => b.getBoundingClientRect().height < 56).length")
        assert small == 0


def _serve(site: Site, route: object, glove: str) -> None:
    from urllib.parse import urlsplit

    url = urlsplit(route.request.url)  # type: ignore[attr-defined]
    answer = site.client.get(url.path, headers=dict(person(name="C. Rhoswen", glove=glove)))
    route.fulfill(status=answer.status_code, body=answer.content, headers={"content-type": answer.headers["content-type"]})  # type: ignore[attr-defined]


@pytest.mark.practice
def test_a_check_that_has_run_out_is_not_called_done() -> None:
    """Metal read before the test is good for 30 minutes; with pressure on, what counts is whether it was good when it went on."""
    story = Story()
    story.done_until("before TTEST")
    ask = SimpleNamespace(w=lambda key, **_: key, live=SimpleNamespace(state=story.state), at=story.now + timedelta(minutes=5))
    how = partial(_how, ask, story.state.tests["T"], "MDT_T:T", ["MDT_T:T", "TTEST:T"])
    assert how().startswith("step.done")
    ask.at = story.now + timedelta(minutes=55)
    assert how().startswith("test.ran_out_again")
    story.say("test.reading", test="T", pressure_mpa=1.57)
    ask.live.state = story.state
    assert _how(ask, story.state.tests["T"], "MDT_T:T", ["MDT_T:T", "TTEST:T"]).startswith("step.done")
