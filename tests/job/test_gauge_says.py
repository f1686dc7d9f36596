"""What a reading of gauge and thermometer says at once, and where an attempt ends.

The demo file: tube test at 31.4 bar, no part of the tube side over 33.5 bar, 0.08 bar of water under the gauge,
metal and water at least 7 °C.
"""

from __future__ import annotations

import pytest
from tests.job.telling import Story, texts

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
