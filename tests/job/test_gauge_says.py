"""What a reading of gauge and thermometer says at once, and where an attempt ends.

The demo file: tube test at 31.4 bar, no part of the tube side over 33.5 bar, 0.08 bar of water under the gauge,
metal and water at least 7 °C.
"""

from __future__ import annotations

import pytest
from tests.job.telling import Story, texts

from boxup.hydro.two_gauges import apart_on_the_way

OVER = "limit 33.5 bar (floating head flange)"


@pytest.fixture
def filled() -> Story:
    """All ready for the tube test."""
    story = Story()
    story.done_until("before TTEST")
    assert texts(story.state) == []
    return story


def read(story: Story, bar: float, **more: float) -> list[str]:
    """A reading, and the STOPs of its entry."""
    e = story.say("test.reading", test="T", pressure_mpa=bar / 10, **more)
    return [n.finding.text for n in story.state.story if n.entry == e.number and n.finding.level == "stop"]


def attempts(story: Story) -> list[str]:
    return [a.verdict for a in story.state.tests["T"].attempts]


# over the limit


@pytest.mark.practice
def test_every_reading_over_the_limit_is_a_stop_up_and_down(filled: Story):
    for bar in (36.0, 50.0, 50.0, 34.0):
        stops = read(filled, bar)
        assert [text for text in stops if text.startswith(f"gauge at {bar:.1f} bar") and OVER in text], bar
        assert filled.state.tests["T"].stops == tuple(stops[-1:])
    assert read(filled, 33.0) == []  # 33.08 bar at the low end
    assert filled.state.tests["T"].stops == ()
    assert filled.state.tests["T"].attempts[-1].over.startswith("gauge at 50.0 bar")  # what is kept is the highest


@pytest.mark.practice
def test_what_over_pressure_undoes_falls_once(filled: Story):
    read(filled, 36.0)
    read(filled, 50.0)
    assert sum("to be done again" in text for text in texts(filled.state)) == 1


# where an attempt ends


@pytest.mark.practice
def test_the_gauge_at_0_ends_an_attempt_and_its_findings_stay(filled: Story):
    read(filled, 36.0)
    read(filled, 0.0)
    assert attempts(filled) == ["let down"]
    assert any(OVER in text for text in read(filled, 40.0))
    assert attempts(filled) == ["let down", "running"]
    first, second = filled.state.tests["T"].attempts
    assert (first.highest_mpa, second.highest_mpa) == (3.6, 4.0)
    assert first.over.startswith("gauge at 36.0 bar")
    assert first.ended is not None


@pytest.mark.practice
def test_a_result_signed_after_letting_down_is_of_that_attempt(filled: Story):
    filled.say("test.reading", at="09:00", test="T", pressure_mpa=3.14, metal_degc=15.0)
    filled.say("test.reading", at="09:31", test="T", pressure_mpa=3.14, metal_degc=15.0)
    filled.say("test.reading", at="09:40", test="T", pressure_mpa=0.0)
    filled.say("joint.weeped", joint="J4", test="T")
    assert len(filled.state.tests["T"].attempts[-1].leaks) == 1  # told behind, it still belongs there
    filled.say("test.result", at="09:45", test="T", verdict="failed", second="S. Oduwale")
    assert attempts(filled) == ["failed"]


@pytest.mark.practice
def test_a_pass_after_an_over_pressure_waits_for_what_it_undid(filled: Story):
    """The next attempt is clean, but nobody has looked at the tubes since, nor decided anew what is tested."""
    read(filled, 40.0)
    read(filled, 0.0)
    hold(filled)
    last = filled.state.tests["T"].attempts[-1]
    assert [text for text in last.lacks if "in attempt 1 the gauge went above" in text and "INSP_TUBE" in text]
    assert not any(text == "the gauge went above what the side may see" for text in last.lacks)
    filled.tick(
        *(code for code in filled.state.tests["T"].attempts[0].over_undid if code.partition(":")[0] in ("RV", "INSP_TUBE", "TESTKIND"))
    )
    hold(filled)
    assert filled.state.tests["T"].attempts[-1].lacks == ()


def hold(story: Story) -> None:
    for at, mpa in ((0, 3.14), (31, 3.14)):
        story.now = story.now.replace(minute=0, second=0).replace(hour=story.now.hour + (1 if at == 0 else 0), minute=at)
        story.say("test.reading", test="T", pressure_mpa=mpa, metal_degc=15.0, water_degc=14.0)
    story.say("test.result", test="T", verdict="passed", second="S. Oduwale")
    story.say("test.reading", test="T", pressure_mpa=0.0)


# cold


@pytest.mark.practice
@pytest.mark.parametrize(
    ("said", "stop"),
    [
        ({"water_degc": 5.0}, "test T: water at 5 °C with pressure on, least 7 °C"),
        ({"water_degc": -3.0}, "test T: water at -3 °C with pressure on, least 7 °C"),
        ({"metal_degc": 5.0, "water_degc": 12.0}, "test T: metal at 5 °C with pressure on, least 7 °C"),
        ({"metal_degc": 4.0, "water_degc": 5.0}, "test T: metal at 4 °C, water at 5 °C with pressure on, least 7 °C"),
        ({"metal_degc": 12.0, "water_degc": 7.0}, ""),
        ({"air_degc": 3.0}, ""),
    ],
)
def test_water_too_cold_is_a_stop_as_metal_is(filled: Story, said: dict[str, float], stop: str):
    """The sheet asks for metal and water of at least 7 °C; the air has no such limit."""
    stops = read(filled, 12.0, **said)
    assert [text[: len(stop)] for text in stops] == ([stop] if stop else [])


@pytest.mark.practice
def test_cold_water_at_0_is_told_before_anybody_pumps_and_when_they_do(filled: Story):
    assert read(filled, 0.0, water_degc=5.0) == ["test T: water at 5 °C, least 7 °C. No pressure before it is warmed and read again"]
    assert any("pressure on with water at 5 °C, least 7 °C by the last reading" in text for text in read(filled, 5.0))


@pytest.mark.practice
def test_a_pass_with_cold_water_is_not_accepted(filled: Story):
    read(filled, 31.4, water_degc=5.0)
    filled.say("test.result", test="T", verdict="passed", second="S. Oduwale")
    assert "water at 5 °C, least 7 °C" in filled.state.tests["T"].attempts[-1].lacks


# two gauges


@pytest.mark.practice
def test_two_gauges_apart_on_the_way_up_stop_the_raising(filled: Story):
    stops = read(filled, 16.0, gauge_b_mpa=1.0)
    assert len(stops) == 1
    assert "gauges A and B read 16.0 bar (232 psi) and 10.0 bar (145 psi)" in stops[0]
    assert "Do not raise it: one may be blocked or shut off" in stops[0]
    assert read(filled, 16.0, gauge_b_mpa=1.55) == []


@pytest.mark.practice
def test_how_far_two_may_stand_apart_at_the_foot_of_their_range():
    """Gauges of 0 to 62.8 bar for a test at 31.4: 1 % of the range is 0.63 bar, at 2 bar as at 31."""
    assert not apart_on_the_way(2.0e5, 2.6e5, 31.4e5).too_far
    assert apart_on_the_way(2.0e5, 2.7e5, 31.4e5).too_far
    assert apart_on_the_way(2.0e5, 2.6e5, None).too_far  # no sheet: by the reading


@pytest.mark.practice
def test_one_gauge_at_0_and_the_other_not_is_not_let_down(filled: Story):
    read(filled, 16.0, gauge_b_mpa=1.6)
    stops = read(filled, 0.0, gauge_b_mpa=1.0)
    assert "Not let down: one is blocked or shut off" in stops[0]
    assert filled.state.tests["T"].pressure_mpa == 1.0
    assert attempts(filled) == ["running"]
    assert read(filled, 0.0, gauge_b_mpa=0.0) == []
    assert (filled.state.tests["T"].pressure_mpa, attempts(filled)) == (0.0, ["let down"])


@pytest.mark.practice
def test_the_gauge_that_reads_more_counts_against_the_limit(filled: Story):
    stops = read(filled, 31.4, gauge_b_mpa=3.6, water_degc=5.0)
    assert stops[0].startswith("gauge B at 36.0 bar")
    assert OVER in stops[0]
    assert "gauges A and B read" in stops[1]
    assert "water at 5 °C" in stops[2]  # the worst first


@pytest.mark.practice
def test_a_reading_below_0_is_not_used_and_takes_no_stop_away(filled: Story):
    read(filled, 36.0)
    read(filled, -1.0)
    assert any(OVER in text for text in filled.state.tests["T"].stops)
    assert filled.state.tests["T"].pressure_mpa == 3.6
