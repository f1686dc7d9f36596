"""Gaps read round a joint, told to the job: what is found after each pass, how a tilt grows, and when the joint is not pulled up."""

from __future__ import annotations

from datetime import timedelta

import pytest
from tests.job.telling import Story

PULL = {"joint": "J4", "by": "I. Belmarsh", "tool": "W2", "lubricant": "nickel anti-seize"}
LEVEL, UNEVEN = [3.2, 3.2, 3.2, 3.2], [3.0, 3.8, 4.6, 3.8]


def found(story: Story, word: str) -> list[tuple[str, str]]:
    return [(n.finding.level, n.finding.text) for n in story.state.story if word in n.finding.text]


def joint(story: Story):
    return story.state.joint("J4")


def read(story: Story, gaps: list[float], **more: str) -> None:
    story.say("joint.gap_read", joint="J4", gaps_mm=gaps, **more)


def pull_up(story: Story, late: list[float] | None = None, early: list[float] = LEVEL) -> None:
    story.say("joint.pass_done", **PULL, **{"pass": "four snug"})
    read(story, early, **{"pass": "four snug"})
    for name in ("all snug", "pass 1", "pass 2", "pass 3"):
        story.say("joint.pass_done", **PULL, **{"pass": name})
    if late:
        read(story, late, **{"pass": "pass 3"})
    story.say("joint.pass_done", **PULL, **{"pass": "round"})
    story.now += timedelta(hours=4, minutes=1)
    story.say("joint.pass_done", **PULL, started_at=story.now.isoformat(), **{"pass": "round after the wait"})
    story.say("joint.pass_done", **PULL | {"by": "P. Duvenhage"}, **{"pass": "verify"})


@pytest.fixture
def story() -> Story:
    made = Story()
    made.done_until("before FH_TORQ")
    return made


def test_a_gap_read_after_the_last_full_pass_leaves_nothing_to_say(story):
    pull_up(story, late=LEVEL)
    assert joint(story).pulled_up
    assert joint(story).gap_last
    assert found(story, "gap") == []


def test_without_one_since_pass_3_it_counts_and_says_so_once(story):
    """Practice asks for a gap after each pass; the passes themselves are what loads the studs, so the tick stands with a warning."""
    pull_up(story)
    assert joint(story).pulled_up
    assert [level for level, _ in found(story, "no gap is on record since pass 3")] == ["warn"]
    read(story, LEVEL)
    assert joint(story).gap_last


def test_more_than_a_millimetre_and_a_half_is_put_right_before_it_counts(story):
    pull_up(story, late=UNEVEN)
    assert not joint(story).pulled_up
    assert "FH_TORQ:J4" not in story.state.done
    assert [text for text in joint(story).not_pulled_up if "1.6 mm" in text]
    (level, text), *rest = found(story, "differs too much")
    assert (level, rest) == ("stop", [])
    assert "closed towards 12 o'clock, stud 1" in text
    read(story, LEVEL)
    assert joint(story).pulled_up
    assert "FH_TORQ:J4" in story.state.done


def test_a_joint_pulled_up_and_then_read_uneven_is_open_again(story):
    pull_up(story, late=LEVEL)
    read(story, UNEVEN)
    assert not joint(story).pulled_up
    assert "FH_TORQ:J4" not in story.state.done


def test_just_so_much_is_not_more(story):
    pull_up(story, late=[3.0, 3.75, 4.5, 3.75])
    assert joint(story).pulled_up


def test_a_tilt_that_grows_from_pass_to_pass_is_told_with_both(story):
    read(story, [3.1, 3.2, 3.3, 3.2], **{"pass": "pass 1"})
    read(story, [3.2, 2.9, 3.2, 3.5], **{"pass": "pass 2"})
    ((level, text),) = found(story, "tilt grown")
    assert level == "warn"
    assert "from 0.2 mm, closest at 12 o'clock to 0.6 mm, closest at 3 o'clock" in text
    read(story, [3.2, 3.1, 3.2, 3.3], **{"pass": "pass 3"})
    assert len(found(story, "tilt grown")) == 1
    assert joint(story).gaps_before == (3.2, 2.9, 3.2, 3.5)


def test_another_make_up_forgets_the_readings_of_the_last(story):
    read(story, LEVEL)
    read(story, UNEVEN)
    story.say("joint.opened", joint="J4", why="look")
    assert (joint(story).gaps, joint(story).gaps_before, joint(story).gap_last) == ((), (), False)


def test_hand_tight_it_is_seated_again_later_the_open_side_is_drawn_in(story):
    read(story, [3.0, 3.5, 4.0, 3.5], **{"pass": "all snug"})
    assert "seat the flange again" in found(story, "not parallel")[0][1]
    read(story, [3.0, 3.5, 4.0, 3.5], **{"pass": "pass 2"})
    assert "tighten from the open side" in found(story, "not parallel")[1][1]


def test_five_readings_make_no_plane(story):
    read(story, [3.2] * 5)
    assert [text for _, text in found(story, "gaps read")]
    assert found(story, "tilt") == []


def test_hardly_anything_between_the_flanges_is_told(story):
    """14-E-103 lists a gasket 3.2 mm thick in J4: at 1 mm apart it is not where it should be."""
    read(story, [1.0] * 4)
    assert found(story, "Closer than a gasket")
