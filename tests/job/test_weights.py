"""A bundle that weighs more on the load cell than its lift was planned on."""

from __future__ import annotations

import pytest
from tests.job.telling import Story, texts

from boxup.job.asfound import changes
from boxup.job.live import may_now
from boxup.job.numbers import numbers

HEAVIER = "It weighed more as it came out than the lift was planned on"


def stops(answer):
    return [f.text for f in answer.findings if f.level == "stop" and f.text.startswith(HEAVIER)]


@pytest.mark.computed
@pytest.mark.parametrize("tag", ["14-E-104", "22-E-201A"])
def test_a_heavier_bundle_stops_slings_crane_and_pull_until_it_is_planned_anew(tag):
    """Twice the plan: every figure is that of the load cell, and 22-E-201A is weighed with the channel that hangs with it."""
    story = Story(tag=tag)
    story.tick("PACK", "LIFTPLAN:bundle")
    plan = numbers(story.state.exchanger).hung.si("lift_mass")
    assert not stops(numbers(story.state.exchanger).sling)
    story.say("bundle.weighed", mass_kg=2 * plan, state="as pulled")
    state = story.state
    n = numbers(state.exchanger)
    assert n.sling.step("m").si == pytest.approx(2 * plan)
    assert n.sling.step("W").si == pytest.approx(2 * plan * 9.80665)
    assert n.pulling.step("F_gear").si == pytest.approx(1.5 * 2 * plan * 9.80665)
    assert n.on_its_way("pull").beam.weight == pytest.approx(2 * plan * 9.80665)
    assert len(stops(n.sling)) == len(stops(n.pulling)) == 1
    assert "LIFTPLAN:bundle" not in state.done
    assert any("planned on" in text for text in texts(state, "stop"))
    assert any(text.startswith(HEAVIER) for text in may_now(state, "INSERT", story.now).against)
    assert any("as it came out" in text for text in changes(state.found))
    story.tick("LIFTPLAN:bundle")
    again = numbers(story.state.exchanger)
    assert not stops(again.sling)
    assert again.sling.step("m").si == pytest.approx(2 * plan)
    assert "LIFTPLAN:bundle" in story.state.done


@pytest.mark.computed
def test_a_lighter_one_takes_nothing_from_the_plan():
    story = Story(tag="14-E-104")
    story.tick("PACK", "LIFTPLAN:bundle")
    before = numbers(story.state.exchanger).hung
    story.say("bundle.weighed", mass_kg=0.5 * before.si("fouled"), state="as pulled")
    after = numbers(story.state.exchanger).hung
    assert [after.si(k) for k in ("fouled", "lift_mass")] == [before.si(k) for k in ("fouled", "lift_mass")]
    assert "LIFTPLAN:bundle" in story.state.done


@pytest.mark.computed
def test_a_dry_weight_over_the_plan_fells_it_too():
    story = Story(tag="14-E-104")
    story.tick("PACK", "LIFTPLAN:bundle")
    story.say("bundle.weighed", mass_kg=6500, state="dry")
    assert "LIFTPLAN:bundle" not in story.state.done
    assert numbers(story.state.exchanger).sling.step("m").si >= 6500
