"""The hold as the record has it: which readings are the hold, and what four afternoons at a gauge show. Invented readings."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from tests.job.telling import DAY, Story

from boxup.demo.fleet import files_of_the_demo
from boxup.exchanger.file import load
from boxup.job.held import Held, held, said_of
from boxup.job.reading import Reading
from boxup.job.stretch import hold_of

Row = tuple[float, ...]  # min, bar, then water, metal, litres pumped

# The needle stands, the water warms: a tight side would have gained.
MASKED = [(0, 20.1, 12.0, 15), (10, 20.1, 12.14, 15), (20, 20.1, 12.27, 15), (30, 20.1, 12.4, 16)]
TIGHT = [(0, 0, 12, 13), (16, 15.7, 12, 13), (25, 31.3, 12.0, 13), (35, 31.4, 12.07, 13), (45, 31.5, 12.14, 13), (55, 31.6, 12.21, 13),
         (59, 0, 12.6, 13)]  # fmt: skip
FAILED = [(0, 0, 14, 15), (18, 15.7, 14, 15), (29, 20.0, 14, 15), (34, 22.2, 14, 15), (36, 21.1, 14, 15), (38, 20.1, 14, 15),
          (40, 19.2, 14, 15), (42, 18.4, 14, 15), (50, 0, 14, 15)]  # fmt: skip
TWO_READINGS = [(0, 0, 14, 15), (15, 11.2, 14, 15), (25, 22.4, 14, 15), (55, 22.4, 14, 15), (60, 0, 14, 15)]


def log(rows: list[Row]) -> list[Reading]:
    """Readings of rows."""
    return [Reading(DAY + timedelta(minutes=r[0]), round(r[1] / 10, 6), *r[2:]) for r in rows]


def judged(tag: str, code: str, rows: list[Row], **more) -> Held:
    return held(load(files_of_the_demo()[tag]), code, log(rows), **more)


def span(rows: list[Row], **more) -> list[float]:
    """Minutes of the readings that are the hold."""
    return [(r.at - DAY).total_seconds() / 60 for r in hold_of(log(rows), **more)]


# which readings are the hold


def test_a_hold_begins_at_test_pressure_and_ends_where_it_is_let_down():
    assert span(TIGHT) == [25, 35, 45, 55]
    assert span(FAILED) == [34, 36, 38, 40, 42]
    assert span([]) == span([(0, 0), (5, 0)]) == []


def test_lowering_for_the_examination_is_no_leak():
    assert span([(0, 26), (10, 26), (20, 26), (25, 20), (40, 20), (45, 0)]) == [0, 10, 20]


def test_a_leak_that_falls_slowly_stays_in_the_hold():
    assert span([(0, 26), (10, 25), (20, 24), (30, 23), (40, 22)]) == [0, 10, 20, 30, 40]


def test_pumping_begins_the_hold_anew():
    rows = [
        (0, 26, None, None, 5.0),
        (10, 25.8, None, None, 5.0),
        (20, 26, None, None, 5.1),
        (30, 26, None, None, 5.1),
        (50, 26, None, None, 5.1),
    ]
    assert span(rows) == [20, 30, 50]


def test_of_two_holds_the_longer_is_taken_and_of_equals_the_later():
    up_and_down = [(0, 26), (5, 26), (8, 0), (20, 26), (50, 26), (55, 0)]
    assert span(up_and_down) == [20, 50]
    assert span([(0, 26), (10, 26), (12, 0), (20, 26), (30, 26)]) == [20, 30]


def test_a_hold_that_warms_begins_where_it_was_planned():
    warming = [(0, 26.0), (20, 26.3), (40, 26.7), (60, 27.0)]
    assert span(warming) == [60]
    assert span(warming, gauge=2.6) == [0, 20, 40, 60]


def test_warming_is_no_pumping():
    """14-E-103, tubes: 0.147 MPa/K, so 0.2 K in ten minutes is 0.3 bar."""
    rows = [(10 * n, 31.3 + 0.3 * n, 12 + 0.2 * n) for n in range(7)]
    assert len(judged("14-E-103", "T", rows).readings) == 7


def test_a_gauge_that_rises_more_than_the_warming_was_pumped_though_nobody_wrote_it_down():
    rows = [(0, 31.3, 12.0), (10, 30.9, 12.0), (20, 30.5, 12.0), (30, 31.3, 12.0), (40, 30.9, 12.0), (50, 30.5, 12.0), (60, 30.1, 12.0)]
    found = judged("14-E-103", "T", rows)
    assert [r.pressure for r in found.readings] == [3.13, 3.09, 3.05, 3.01]
    assert found.leaks


# four afternoons


def test_the_needle_stands_on_warming_water_and_that_is_a_leak():
    """By hand: 0.40 K of 0.133 MPa/K and 814 mL/MPa in 30 min are 1.44 mL/min."""
    found = judged("22-E-207", "T", MASKED)
    assert found.verdict == "leak shown"
    assert found.value("Q") == pytest.approx(0.40 * 0.133 * 814 / 30, rel=0.01)
    assert "the gauge stood still; for +0.40 °C it should have gone +0.5 bar" in said_of(found)


def test_four_readings_that_rise_with_the_warming_show_no_leak_and_rule_none_out():
    found = judged("14-E-103", "T", TIGHT)
    assert len(found.readings) == 4
    assert found.verdict == "cannot judge"
    assert "4 readings; at least 6" in found.why
    assert not found.leaks


def test_a_fall_at_steady_temperature_is_a_leak():
    """By hand: 3.8 bar in 8 min of 681 mL/MPa are 32 mL/min."""
    found = judged("14-E-103", "T", FAILED)
    assert found.verdict == "leak shown"
    assert found.value("Q") == pytest.approx(0.38 * 681 / 8, rel=0.05)
    assert "the gauge went from 22.2 to 18.4 bar" in said_of(found)


def test_two_readings_that_agree_show_nothing():
    found = judged("14-E-103", "S2", TWO_READINGS)
    assert (found.verdict, found.leaks) == ("cannot judge", False)
    assert "2 readings" in found.why


def test_a_still_needle_is_never_a_pass_however_often_it_is_read():
    found = judged("14-E-103", "S2", [(5.0 * n, 22.4, 14.0, 15) for n in range(13)])
    assert found.verdict == "cannot judge"
    assert "did not move" in found.why


# what is absent


def test_without_a_temperature_a_drop_says_nothing():
    found = judged("14-E-103", "T", [(0, 31.3), (10, 31.2), (20, 31.1)])
    assert (found.verdict, found.working.steps) == ("cannot judge", {})
    assert "water or metal was not read" in found.why


def test_metal_alone_is_taken_with_four_times_the_doubt():
    rows = [(0, 31.3, None, 12.0), (10, 31.0, None, 12.0), (20, 30.7, None, 12.1), (30, 30.4, None, 12.1)]
    skin = judged("14-E-103", "T", rows)
    water = judged("14-E-103", "T", [(m, p, t) for m, p, _, t in rows])
    assert (skin.skin, water.skin) == (True, False)
    assert skin.value("u_4") == pytest.approx(4 * water.value("u_4"), rel=1e-6)
    assert skin.value("Q") == pytest.approx(water.value("Q"), rel=1e-9)


def test_a_test_without_a_volume_says_what_is_absent():
    found = judged("14-E-106", "B", TIGHT)
    assert "the volume of that side cannot be worked" in found.why


def test_one_reading_alone_is_no_hold():
    found = judged("14-E-103", "T", [(0, 31.3, 12.0), (1, 31.3, 12.0), (2, 33.0, 12.0), (3, 0, 12.0)])
    assert found.verdict == "cannot judge"


def test_two_readings_at_one_time_are_told():
    found = judged("14-E-103", "T", [(0, 31.3, 12.0), (0, 31.3, 12.0), (10, 31.0, 12.0), (20, 31.0, 12.1)])
    assert (found.verdict, found.working.steps) == ("cannot judge", {})
    assert "the time of reading 2 is not after" in found.why


def test_a_gauge_given_coarser_makes_more_doubt():
    fine, coarse = (judged("14-E-103", "T", FAILED, gauge_step=d) for d in (0.01, 0.05))
    assert coarse.value("U") > fine.value("U")


def test_the_band_of_the_picture_holds_the_first_reading_and_widens():
    line = list(judged("22-E-207", "T", MASKED).expected())
    assert [isinstance(at, datetime) for at, _, _ in line] == [True] * 4
    assert line[0][1:] == (2.01, 0.0)
    assert line[-1][1] == pytest.approx(2.01 + 0.133 * 0.4, rel=1e-3)
    assert [off for *_, off in line] == sorted(off for *_, off in line)


# a pass is not accepted where the readings show a leak


def read_and_passed(rows: list[Row], tag: str) -> Story:
    """A tube test told reading by reading and signed as passed, with nobody pointing at anything."""
    story = Story(tag=tag)
    story.done_until("before TTEST")
    begun = story.now
    for minute, bar, water, metal in rows:
        at = begun + timedelta(minutes=minute + 1)
        story.say("test.reading", at=at, test="T", pressure_mpa=bar / 10, water_degc=water, metal_degc=metal)
    story.say("test.result", test="T", verdict="passed", by="S. Oduwale", second="M. Trevanick")
    return story


def test_a_pass_on_a_masked_leak_is_not_accepted():
    story = read_and_passed(MASKED, "22-E-207")
    tick = story.state.step("TTEST:T")
    assert (tick.stand, "TTEST:T" in story.state.done) == ("not accepted", False)
    assert "the readings show a leak of 1.4 ± 0.7 mL/min: the gauge stood still; for +0.40 °C it should have gone +0.5 bar" in tick.why


def test_the_same_pass_is_accepted_where_the_gauge_rose_as_it_should():
    rose = [(m, 20.1 + (t - 12.0) * 1.33, t, metal) for m, _, t, metal in MASKED]
    story = read_and_passed(rose, "22-E-207")
    assert story.state.step("TTEST:T").stand != "not accepted", story.state.step("TTEST:T").why
    assert "TTEST:T" in story.state.done
