"""What speaks against an entry before it is written: acts are asked about, what was seen never."""

from __future__ import annotations

import pytest
from tests.job.telling import DAY, Story

from boxup.job.entering import FACTS, FOUND_WANTING, outlook
from boxup.record.event import Draft
from boxup.record.kinds import kinds

# By the words of each kind in docs/entries.md: what somebody did, with their hands or with their name.
ACTS = {
    "step.started", "step.done", "step.seconded", "hold.signed", "joint.pass_done", "joint.stud_done", "joint.studs_changed",
    "joint.squared",
    "face.judged", "face.skimmed", "gasket.fitted", "blind.in", "blind.out", "blind.left_in", "test.reading", "test.result",
    "water.changed", "tube.pierced", "tube.plugged", "tube.repaired", "bundle.pulled", "tool.issued", "finding.closed",
}  # fmt: skip


def draft(kind: str, /, **payload: object) -> Draft:
    made = kinds()[kind]
    return Draft(id="x1", job="OM-TEST", kind=kind, version=made.version, happened_at=DAY, by="A", entered_by="A", payload=payload)


def test_every_kind_is_an_act_or_a_fact():
    assert ACTS | set(FACTS) == set(kinds())
    assert not ACTS & set(FACTS)
    assert set(FOUND_WANTING) <= ACTS


@pytest.mark.parametrize(("kind", "verdict"), FOUND_WANTING.items())
def test_the_verdict_that_found_something_is_one_that_is_accepted(kind, verdict):
    assert verdict in kinds()[kind].fields["verdict"].accepted


@pytest.mark.parametrize(("kind", "verdict"), [("test.result", "failed"), ("hold.signed", "refused"), ("face.judged", "to repair")])
def test_a_verdict_that_found_something_is_never_held_up(kind, verdict):
    story = Story()
    more = {
        "test.result": {"test": "T"},
        "hold.signed": {"step": "FH_TORQ:J4", "role": "inspector"},
        "face.judged": {"joint": "J4", "face": "floating tubesheet"},
    }[kind]
    ahead = outlook(story.state, story.events, [draft(kind, verdict=verdict, **more)])
    assert ahead.fact
    assert ahead.clear
    assert ahead.stops == ()


def test_the_reading_that_puts_pressure_on_is_an_act_and_the_next_one_is_not():
    story = Story()
    first = draft("test.reading", test="T", pressure_mpa=1.5)
    ahead = outlook(story.state, story.events, [first])
    assert not ahead.fact
    assert any(text.startswith("TTEST:T was begun although") for text in ahead.stops)
    assert outlook(story.state, story.events, [draft("test.reading", test="T", pressure_mpa=0.0)]).clear
    story.say("test.reading", test="T", pressure_mpa=1.5)
    for pressure in (3.0, 5.0, 0.0):
        assert outlook(story.state, story.events, [draft("test.reading", test="T", pressure_mpa=pressure)]).clear


def test_one_act_among_facts_is_asked_about():
    story = Story()
    both = [draft("note.written", text="x"), draft("step.started", step="TTEST:T")]
    assert not outlook(story.state, story.events, both).clear


def test_nothing_is_written_by_looking():
    story = Story()
    before = len(story.events)
    outlook(story.state, story.events, [draft("step.started", step="PACK")])
    assert len(story.events) == before
    assert story.state.step("PACK").stand == "not done"


def test_the_first_entry_of_a_job_has_nothing_before_it():
    file = Story().events[0].payload["file"]
    assert outlook(None, [], [draft("job.opened", file=file)]).clear
