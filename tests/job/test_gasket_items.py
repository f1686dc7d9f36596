"""Gasket items held against the list, the passes and the flanges, when they come and when they are fitted."""

from __future__ import annotations

import re

import pytest
from tests.job.telling import Story

from boxup.demo.fleet import files_of_the_demo

FLANGE = '\n[flange.F1]\njoint = "J1"\npart = "channel"\nrecess_od = "861.5 mm"\nrecess_depth = "1.5 mm"\n'


class WithFlange(Story):
    """14-E-103 with the recess of its channel flange in the file."""

    def __init__(self) -> None:
        super().__init__()
        without = re.sub(r"^\[flange\.[^\[]*", "", files_of_the_demo()["14-E-103"].read_text("utf-8"), flags=re.MULTILINE)
        text = without + FLANGE
        self.say("job.file_revised", file=text, why="the flange drawing came")


def stops(story: Story) -> list[str]:
    return [n.finding.text for n in story.state.story if n.finding.level == "stop" and n.finding.text.startswith("item")]


def receive(story: Story, item: str = "G1-1", gasket: str = "G1", **more) -> None:
    story.say("gasket.received", item=item, gasket=gasket, **more)


@pytest.fixture
def story() -> Story:
    made = Story()
    made.done_until("before GKT_CC")
    return made


def refused(story: Story, item: str = "G1-1", joint: str = "J1") -> str:
    story.say("gasket.fitted", item=item, joint=joint)
    assert f"GKT_CC:{joint}" not in story.state.done
    return story.state.refused[joint]


def test_one_that_is_as_listed_goes_in(story):
    receive(story, kind="kammprofile", od_mm=861.0, id_mm=829.0, thickness_mm=3.2, ribs=2)
    story.say("gasket.fitted", item="G1-1", joint="J1")
    assert story.state.refused == {}
    assert "GKT_CC:J1" in story.state.done


@pytest.mark.parametrize(
    ("seen", "words"),
    [
        ({"ribs": 1}, "1 rib counted; by the passes G1 has 2"),
        ({"ribs": 0}, "0 ribs counted"),
        ({"od_mm": 859.4}, "outside 859.4 mm, the list says 861 mm"),
        ({"id_mm": 831.0}, "inside 831 mm"),
        ({"thickness_mm": 4.5}, "thickness 4.5 mm"),
        ({"kind": "double-jacketed soft iron"}, "G1 of the list is kammprofile"),
    ],
)
def test_one_that_is_not_is_a_stop_when_it_comes_and_refused_when_it_is_fitted(story, seen, words):
    receive(story, **seen)
    assert [text for text in stops(story) if words in text]
    assert words in refused(story)


def test_a_plain_ring_has_no_ribs(story):
    receive(story, "G5-1", "G5", ribs=2)
    assert [text for text in stops(story) if "by the passes G5 has 0" in text]


def test_within_what_a_maker_holds_nothing_is_said(story):
    receive(story, od_mm=859.5, id_mm=830.5, thickness_mm=3.7)
    assert stops(story) == []


def test_an_item_for_another_joint_is_refused(story):
    receive(story, "G2-1", "G2")
    assert "it was received as G2, and J1 takes G1" in refused(story, "G2-1")


def test_a_used_item_received_again_is_a_stop_and_refused(story):
    """Stores took back what came out, or gave one number to two."""
    receive(story)
    story.say("gasket.fitted", item="G1-1", joint="J1")
    story.say("joint.pass_done", joint="J1", by="I. Belmarsh", **{"pass": "pass 1"})
    story.say("joint.opened", joint="J1", why="look")
    receive(story, od_mm=861.0)
    assert [text for text in stops(story) if "used, or its number given to two" in text]
    assert "A gasket is used once" in refused(story)


def test_measured_too_large_for_the_recess_though_within_the_list():
    story = WithFlange()
    receive(story, od_mm=862.0)
    assert [text for text in stops(story) if "does not go into the recess of 861.5 mm" in text]
    receive(story, "G1-2", thickness_mm=2.8)
    assert [n.finding.text for n in story.state.story if "has a tongue" in n.finding.text] == []
    receive(story, "G1-3", od_mm=861.2)
    assert not [text for text in stops(story) if "G1-3" in text]


def test_when_the_engineer_takes_another_kind_the_file_says_so_and_it_goes_in(story):
    """A deviation is not a tick: the list is revised, and the item is held against the new list."""
    receive(story, kind="spiral wound")
    assert "it is spiral wound" in refused(story)
    text = files_of_the_demo()["14-E-103"].read_text("utf-8").replace('kind = "kammprofile"', 'kind = "spiral wound"')
    story.say("job.file_revised", file=text, why="engineer's deviation 7")
    story.say("gasket.fitted", item="G1-1", joint="J1")
    assert story.state.refused == {}
