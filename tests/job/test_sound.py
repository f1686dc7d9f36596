"""What still stands, what a pass of a test needs, and what nobody begins with pressure on."""

from __future__ import annotations

from datetime import timedelta

import pytest
from tests.job.telling import Story, texts

from boxup.job.live import may_now, next_now
from boxup.job.proof import proofs, unproved
from boxup.job.sound import standing, unsound
from boxup.job.stale import run_out

# a done step is no ground for the next where its own ground was taken away


def test_a_blind_that_is_in_again_takes_the_handover_away():
    story = Story()
    story.done_until("HANDOVER")
    out = story.events[-1]
    story.say("blind.out", blind="B4", second="D. Wrexholme", id="out-b4")
    assert may_now(story.state, "STARTUP", story.now).may
    story.say("record.withdrawn", corrects="out-b4", why="it was B3")
    story.say("step.reopened", step="BLIND_OUT:B4", why="seen in the line")
    state = story.state
    answer = may_now(state, "STARTUP", story.now)
    assert not answer.may
    stands = next(m.stands for m in answer.missing if m.need.step == "HANDOVER")
    assert "does not stand" in stands
    assert "BLIND_OUT:B4 is not done" in stands
    assert "STARTUP" not in {one.code for one in next_now(state, story.now)}
    assert out.number < story.events[-1].number


def test_a_permit_that_ran_out_takes_nothing_away():
    """Monday's joint is not undone by Tuesday's permit: one line says that it is to be had again, and no stop."""
    story = Story()
    story.done_until("CLEAN")
    story.say("shift.changed")
    state = story.state
    assert "PERMIT" not in state.done
    assert unsound(state) == {}
    assert [f for f in standing(state) if f.level == "stop"] == []


def test_what_stands_on_one_undone_step_is_told_once():
    story = Story()
    story.done_until("FILL_T")
    story.say("step.reopened", step="CC_ON:J1", why="wrong studs")
    told = [f for f in standing(story.state) if f.text.startswith("CC_ON:J1")]
    assert len(told) == 1
    assert "FILL_T:T" in told[0].text
    assert "wrong studs" in told[0].text


def test_a_b_item_stands_before_start_up():
    story = Story()
    story.done_until("before STARTUP")
    item = story.say("finding.raised", text="insulation box missing", letter="B")
    answer = may_now(story.state, "STARTUP", story.now)
    assert answer.against == (f"B item open: insulation box missing (entry {item.number}, A. Vessik)",)
    assert not answer.may
    assert answer.as_json()["against"] == list(answer.against)
    story.say("finding.closed", finding=str(item.number), how="fitted")
    assert may_now(story.state, "STARTUP", story.now).may


# pressure


@pytest.mark.parametrize("step", ["BLIND_OUT:B1", "FME_SC", "GKT_SC:J5", "SC_ON:J5", "TBLIND_OUT:TB3", "HANDOVER"])
def test_nothing_that_opens_or_closes_metal_begins_with_pressure_on(step):
    story = Story()
    story.done_until("before TTEST")
    story.say("test.reading", test="T", pressure_mpa=2.51)
    answer = may_now(story.state, step, story.now)
    assert any("25.1 bar on the tube side" in text for text in answer.against)
    assert {one.step.phase[0] for one in next_now(story.state, story.now)} <= set("016")


def test_a_tube_is_not_pierced_with_the_shell_under_pressure():
    story = Story()
    story.done_until("before STEST1")
    story.say("test.reading", test="S1", pressure_mpa=2.24)
    story.say("tube.to_plug", tube="10-3")
    assert "PIERCE:10-3" not in {one.code for one in next_now(story.state, story.now)}
    story.say("tube.pierced", tube="10-3")
    assert any(text.startswith("PIERCE:10-3 was begun with 22.4 bar") for text in texts(story.state, "stop"))


# what a pass needs (figures of the demo file: tube test 31.4 bar at the gauge, metal 7 degC or warmer, 30 minutes)


def pressed(pressure=3.14, minutes=30, metal=15.0, **result):
    """A tube test up to a pass, by these readings."""
    story = Story()
    story.done_until("before TTEST")
    story.say("test.reading", test="T", pressure_mpa=1.57, metal_degc=metal)
    story.say("test.reading", test="T", pressure_mpa=pressure, metal_degc=metal)
    story.now += timedelta(minutes=minutes)
    story.say("test.reading", test="T", pressure_mpa=pressure, metal_degc=metal)
    story.say("test.result", **{"test": "T", "verdict": "passed", "by": "M. Trevanick", "second": "S. Oduwale"} | result)
    return story


def test_a_test_at_pressure_long_enough_warm_enough_and_signed_is_passed():
    state = pressed().state
    assert "TTEST:T" in state.done
    assert state.tests["T"].proof is not None


@pytest.mark.parametrize(
    ("how", "lacks"),
    [
        ({"pressure": 2.51}, "highest reading 25.1 bar, the test is at 31.4 bar; from 31.1 bar on it counts, what a dial can be read to"),
        ({"minutes": 2}, "held 2 min by the readings, 30 min are asked for"),
        ({"metal": 3.0}, "metal at 3 °C, least 7 °C"),
        ({"second": "C. Rhoswen"}, "S. Oduwale, the inspector the file names, has not signed"),
    ],
)
def test_a_pass_that_lacks_something_is_not_accepted_and_proves_nothing(how, lacks):
    story = pressed(**how)
    state = story.state
    assert state.step("TTEST:T").stand == "not accepted"
    assert lacks in state.step("TTEST:T").why
    assert "J4" in {p.id for p in unproved(state)}
    assert not may_now(state, "SC_ON:J5", story.now).may


def test_a_hold_that_was_timed_by_the_clock_counts():
    assert "TTEST:T" in pressed(minutes=2, held_min=30.0).state.done


def test_a_result_without_a_reading_proves_nothing():
    story = Story()
    story.done_until("before STEST2")
    story.say("test.result", test="S2", verdict="passed", second="S. Oduwale")
    state = story.state
    assert "no reading is on record" in state.step("STEST2:S2").why
    assert {p.id: p.by for p in proofs(state)}["J5"] == ()


def test_cold_metal_is_a_stop_at_the_reading():
    assert any("metal at 3 °C with pressure on, least 7 °C" in text for text in texts(pressed(metal=3.0).state, "stop"))


def test_a_refusal_is_lifted_by_the_inspector_of_the_file_and_by_nobody_else():
    story = Story()
    story.done_until("INSP_TUBE")
    story.say("hold.signed", step="INSP_TUBE", role="inspector", verdict="refused", by="S. Oduwale")
    story.say("hold.signed", step="INSP_TUBE", role="inspector", verdict="accepted", by="H. Achterberg")
    assert "INSP_TUBE" not in story.state.done
    assert any("the file names S. Oduwale as inspector; H. Achterberg signed" in text for text in texts(story.state, "stop"))
    story.say("hold.signed", step="INSP_TUBE", role="inspector", verdict="accepted", by="S. Oduwale")
    assert "INSP_TUBE" in story.state.done


def test_a_gasket_that_does_not_measure_as_listed_is_not_fitted():
    story = Story()
    story.tick("PACK", "GKT_RCV:G5")
    story.say("gasket.received", item="G5-2", gasket="G5", od_mm=970.0, thickness_mm=4.5)
    assert "GKT_RCV:G5" not in story.state.done
    assert any("outside 970 mm, the list says 975 mm" in text for text in texts(story.state, "stop"))


def test_two_gaskets_in_one_joint_are_refused():
    story = Story()
    story.done_until("before GKT_FH")
    story.say("gasket.fitted", item="G4-1", joint="J4")
    story.say("gasket.fitted", item="G4-2", joint="J4")
    assert "G4-1 lies in J4 already" in story.state.step("GKT_FH:J4").why


def test_the_date_read_off_a_tool_reaches_the_tool_list():
    story = Story()
    story.tick("PACK")
    story.say("tool.checked", tool="W3", good_until="2027-10-12")
    assert {t.id: t.calibrated_until for t in story.state.exchanger.tools}["W3"] == "2027-10-12"
    story.say("tool.checked", tool="W3", good_until="31.03.2027")
    assert "Invalid isoformat" in texts(story.state)[-1]


# a check of minutes is told when it is wanted


def test_a_gas_test_is_not_on_the_sheet_in_the_weeks_between_the_pull_and_the_blinds():
    story = Story()
    story.done_until("GIRTH_TORQ")
    story.now += timedelta(hours=20)
    assert "GAS_BREAK" not in run_out(story.state, story.now)
    story.say("shift.changed")
    assert "GAS_BREAK" not in story.state.done
    assert "GAS_BREAK" not in {one.code for one in next_now(story.state, story.now)}
    assert "GAS_BREAK" in {m.need.step for m in may_now(story.state, "BLIND_OUT:B1", story.now).missing}, "asked for, it is told"


def test_a_gas_test_is_on_the_sheet_when_the_blinds_wait_for_it():
    story = Story()
    story.done_until("before BLIND_OUT")
    story.tick("GAS_BREAK")
    story.now += timedelta(minutes=31)
    assert "GAS_BREAK" in run_out(story.state, story.now)
    story.say("step.reopened", step="GAS_BREAK", why="wind turned")
    assert "GAS_BREAK" in {one.code for one in next_now(story.state, story.now)}
