"""The engineer's figure for the end push: whose signature it takes, and what must be named with it."""

from __future__ import annotations

import pytest
from tests.job.telling import Story, texts

from boxup.job.entering import outlook
from boxup.job.live import may_now
from boxup.job.numbers import numbers
from boxup.record.event import Draft
from boxup.record.kinds import kinds

PUSH = "THRUST_OK"
SAID = {"reading": "end push 790 kN accepted"}


@pytest.fixture
def before() -> Story:
    """All done that comes before the engineer's figure."""
    story = Story()
    story.done_until(f"before {PUSH}")
    return story


def kept_out(story: Story) -> bool:
    """Whether the missing figure still counts as a stop, and the filling waits for it."""
    state = story.state
    stops = [f.text for f in numbers(state.exchanger).all_findings(state.scope, "2027-04-12", state.done) if f.level == "stop"]
    waits = any(one.need.step == PUSH for one in may_now(state, "FILL_S1:S1", story.now).missing)
    assert waits is any("no water before that" in text for text in stops)
    return waits


@pytest.mark.practice
@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({}, "A. Vessik signed it in no role; it takes the engineer, in that role; neither the figure of the engineer nor the number"),
        (SAID, "A. Vessik signed it in no role; it takes the engineer, in that role"),
        (SAID | {"role": "crew lead"}, "A. Vessik signed it as crew lead; it takes the engineer, in that role"),
        ({"role": "engineer"}, "neither the figure of the engineer nor the number of the paper it stands on is given"),
    ],
)
def test_anybody_else_s_tick_does_not_let_the_water_in(before: Story, said: dict[str, str], why: str):
    before.say("step.done", step=PUSH, **said)
    tick = before.state.step(PUSH)
    assert (tick.stand, tick.why[: len(why)]) == ("not accepted", why)
    assert kept_out(before)


@pytest.mark.practice
@pytest.mark.parametrize("said", [SAID, {"paper": "TS-103"}])
def test_the_engineer_with_his_figure_or_its_paper_does(before: Story, said: dict[str, str]):
    before.say("step.done", step=PUSH, by="A. Castellane", role="engineer", **said)
    assert PUSH in before.state.done
    assert not kept_out(before)


@pytest.mark.practice
def test_the_engineer_may_sign_behind_the_tick_but_not_before_it(before: Story):
    before.say("hold.signed", step=PUSH, by="A. Castellane", role="engineer", verdict="accepted")
    before.say("step.done", step=PUSH, **SAID)
    assert PUSH not in before.state.done  # what he accepted was another time
    before.say("hold.signed", step=PUSH, by="H. Achterberg", role="crew lead", verdict="accepted")
    assert PUSH not in before.state.done
    before.say("hold.signed", step=PUSH, by="A. Castellane", role="engineer", verdict="accepted")
    assert PUSH in before.state.done


@pytest.mark.practice
def test_it_is_asked_before_it_is_on_record(before: Story):
    def ahead(**said: str) -> tuple[str, ...]:
        who = {"by": "B. Lead", "entered_by": "B. Lead"}
        version = kinds()["step.done"].version
        draft = Draft(
            id="x1", job="OM-TEST", kind="step.done", version=version, happened_at=before.now, payload={"step": PUSH} | said, **who
        )
        return outlook(before.state, before.events, [draft]).stops

    assert any("THRUST_OK would not count as done: B. Lead signed it in no role" in text for text in ahead())
    assert ahead(role="engineer", paper="TS-103") == ()


@pytest.mark.practice
def test_other_steps_are_signed_as_before(before: Story):
    assert not any("in that role" in text for text in texts(before.state))
