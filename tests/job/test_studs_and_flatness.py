"""Studs looked at and faces read flat, told to the job: what keeps a joint open, and what opens it again."""

from __future__ import annotations

import pytest
from tests.job.telling import Story
from tests.job.test_gaps import LEVEL, pull_up


@pytest.fixture
def story() -> Story:
    made = Story()
    made.done_until("before FH_TORQ")
    return made


def look(story: Story, **more) -> None:
    story.say("joint.studs_checked", joint="J4", **{"condition": "reused", "count": 36, "stamps": ["B7"], "pmi": "agrees"} | more)


def why(story: Story) -> str:
    return "; ".join(story.state.joint("J4").not_pulled_up)


def noted(story: Story, words: str) -> list[str]:
    return [n.finding.level for n in story.state.story if words in n.finding.text]


def test_studs_as_listed_change_nothing_and_nobody_asks_again(story):
    look(story)
    pull_up(story, late=LEVEL)
    assert story.state.joint("J4").pulled_up
    assert story.state.joint("J4").studs_seen == "reused"
    assert noted(story, "studs were looked at") == []


def test_nobody_looked_is_only_a_note(story):
    pull_up(story, late=LEVEL)
    assert story.state.joint("J4").pulled_up
    assert noted(story, "no entry says that its studs were looked at") == ["note"]


def test_mixed_grades_are_a_stop_and_the_joint_stays_open_until_they_are_sorted(story):
    look(story, stamps=["B7", "B16"])
    pull_up(story, late=LEVEL)
    assert "more than one grade" in why(story)
    assert "FH_TORQ:J4" not in story.state.done
    assert "stop" in noted(story, "more than one grade")
    look(story)
    assert story.state.joint("J4").pulled_up
    assert "FH_TORQ:J4" in story.state.done


def test_seen_after_it_was_pulled_it_is_open_again(story):
    pull_up(story, late=LEVEL)
    look(story, rejected=[16], why="nut does not run")
    assert "stud 16 rejected" in why(story)
    assert "FH_TORQ:J4" not in story.state.done


def test_other_studs_in_are_another_set(story):
    look(story, stamps=["XQ9"])
    story.say("joint.studs_changed", joint="J4", grade="B16", why="none of them stamped")
    assert story.state.joint("J4").studs_wrong == ()
    assert story.state.joint("J4").studs_seen == ""
    look(story, condition="new", stamps=["B16"])
    assert story.state.joint("J4").studs_wrong == ()
    look(story, condition="new", stamps=["B7"])
    assert "the list says B16" in story.state.joint("J4").studs_wrong[0]


def test_h2s_in_the_words_of_a_side_asks_for_the_metal(story):
    """14-E-103: H2S possible on both sides."""
    look(story, pmi="not done")
    assert noted(story, "the metal of the studs was not tested") == ["warn"]
    assert story.state.joint("J4").studs_wrong == ()


# faces


def read(story: Story, *readings: float, face: str = "floating tubesheet", **more) -> None:
    story.say("face.flatness_read", joint="J4", face=face, readings_mm=list(readings), **more)


def test_a_face_that_is_not_flat_stands_against_the_joint_until_it_is_read_flat(story):
    """The list has a kammprofile there, a hard gasket: under 0.15 mm round the face, from memory."""
    assert "INSP_FACE:J4" in story.state.done
    read(story, 0, 0.1, 0.2, 0.1)
    assert "INSP_FACE:J4" not in story.state.done
    assert noted(story, "Not flat round the face") == ["stop"]
    assert list(story.state.joint("J4").marks) == [("J4", "floating tubesheet", "flatness")]
    read(story, 0, 0.05, 0.1, 0.05)
    assert story.state.joint("J4").marks == {}


def test_the_pass_plate_surface_counts_too(story):
    read(story, 0, 0, 0, 0, rib_mm=0.1, rib_stands="proud")
    assert noted(story, "stands proud") == ["stop"]
    read(story, 0, 0, 0, 0, rib_mm=0.3)
    assert noted(story, "lies too low") == ["stop"]
    read(story, 0, 0, 0, 0, rib_mm=0.2, radial_mm=0.1)
    assert story.state.joint("J4").marks == {}


def test_accepted_all_the_same_is_a_deviation_that_says_so(story):
    read(story, 0, 0.1, 0.2, 0.1)
    story.say("face.judged", joint="J4", face="floating tubesheet", verdict="accepted", by="S. Oduwale")
    assert noted(story, "accepted by S. Oduwale although") == ["warn"]
    assert story.state.joint("J4").marks == {}


@pytest.mark.parametrize("readings", [(0, 0.1, 0.2), (0, 0, 0, 300.0)])
def test_what_cannot_be_used_is_told_and_left(story, readings):
    read(story, *readings)
    assert noted(story, "were not used") == ["warn"]
    assert story.state.joint("J4").marks == {}
