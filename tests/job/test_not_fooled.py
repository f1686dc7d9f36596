"""Stories that once fooled the state: each said that a joint, a test or a blind was good which was not."""

from __future__ import annotations

from datetime import timedelta

import pytest
from tests.job.telling import Story, texts

from boxup.demo.fleet import files_of_the_demo
from boxup.job.live import may_now
from boxup.job.proof import proofs, unproved
from boxup.job.state import JobState

PULL = {"by": "I. Belmarsh", "tool": "W2", "lubricant": "nickel anti-seize"}


def pull_up(story: Story, joint: str = "J4", **verify) -> None:
    pull = PULL | {"joint": joint}
    story.say("joint.pass_done", **pull, **{"pass": "four snug"})
    story.say("joint.gap_read", joint=joint, gaps_mm=[3.2, 3.2, 3.2, 3.2])
    for name in ("all snug", "pass 1", "pass 2", "pass 3", "round"):
        story.say("joint.pass_done", **pull, **{"pass": name})
    story.now += timedelta(hours=4, minutes=1)
    story.say("joint.pass_done", **pull, started_at=story.now.isoformat(), **{"pass": "round after the wait"})
    story.say("joint.pass_done", **pull | {"by": "P. Duvenhage"} | verify, **{"pass": "verify"})


def tube_test(story: Story) -> None:
    story.say("test.reading", test="T", pressure_mpa=3.14, metal_degc=15.0)
    story.now += timedelta(minutes=31)
    story.say("test.reading", test="T", pressure_mpa=3.14, metal_degc=15.0)
    story.say("test.result", test="T", verdict="passed", second="S. Oduwale", id=f"result-{len(story.events)}")
    story.say("test.reading", test="T", pressure_mpa=0.0)


@pytest.fixture
def pulled() -> Story:
    """The floating head pulled up on item G4-1, all else ready for the tube test."""
    story = Story()
    story.done_until("before GKT_FH")
    story.say("gasket.received", item="G4-1", gasket="G4")
    story.say("gasket.fitted", item="G4-1", joint="J4")
    story.tick("FH_ON:J4")
    pull_up(story)
    story.done_until("before TTEST")
    assert story.state.joint("J4").pulled_up
    return story


@pytest.fixture
def tested(pulled) -> Story:
    tube_test(pulled)
    assert word(pulled) == "tested dry"
    return pulled


def word(story: Story) -> str:
    return story.state.joint("J4").word


def by(state: JobState, id_: str = "J4") -> tuple[str, ...]:
    return next(p.by for p in proofs(state) if p.id == id_)


@pytest.mark.parametrize(
    "act",
    [
        ("gasket.removed", {"item": "G4-1"}), ("gasket.lost_load", {"joint": "J4"}), ("step.reopened", {"step": "GKT_FH:J4", "why": "rib"}),
        ("step.reopened", {"step": "FH_TORQ:J4", "why": "loads"}), ("joint.studs_changed", {"joint": "J4", "grade": "B7M", "why": "x"}),
        ("joint.lubricant_changed", {"joint": "J4", "lubricant": "dry"}), ("tool.bad", {"tool": "W2", "why": "low"}),
        ("step.done", {"step": "BREAK:J4"}), ("gasket.fitted", {"item": "G4-2", "joint": "J4"}),
        ("hold.signed", {"step": "TTEST:T", "role": "inspector", "verdict": "refused", "by": "S. Oduwale"}),
    ],
    ids=lambda act: act[0],
)  # fmt: skip
def test_a_proof_does_not_outlive_what_it_saw(tested, act):
    tested.say(act[0], **act[1])
    assert word(tested) != "tested dry"
    assert by(tested.state) == ()


@pytest.mark.parametrize(
    "act", [("joint.studs_changed", {"joint": "J4", "length_mm": 240, "why": "x"}), ("tool.bad", {"tool": "W2", "why": "x"})]
)
def test_pulled_again_is_not_tested_again(tested, act):
    tested.say(act[0], **act[1])
    tested.say("tool.checked", tool="W2", good_until="2027-08-15")
    pull_up(tested)
    assert word(tested) == "pulled up"
    assert by(tested.state) == ()


def test_a_new_gasket_under_old_passes_is_not_pulled_up(pulled):
    pulled.say("gasket.removed", item="G4-1")
    pulled.say("gasket.fitted", item="G4-2", joint="J4")
    assert not pulled.state.joint("J4").pulled_up
    assert "FH_TORQ:J4" not in pulled.state.done


def test_a_result_after_the_joint_was_made_again_proves_nothing(pulled):
    for pressure in (3.14, 3.14, 0.0):
        pulled.say("test.reading", test="T", pressure_mpa=pressure, metal_degc=15.0)
        pulled.now += timedelta(minutes=31)
    pulled.say("joint.opened", joint="J4", why="drip")
    pulled.say("gasket.fitted", item="G4-2", joint="J4")
    pull_up(pulled)
    pulled.say("test.result", test="T", verdict="passed", second="S. Oduwale")
    assert "after the last reading" in pulled.state.step("TTEST:T").why
    assert by(pulled.state) == ()


def test_a_result_corrected_later_does_not_see_a_later_gasket(tested):
    result = next(e for e in tested.events if e.kind == "test.result")
    tested.say("joint.opened", joint="J4", why="rag seen")
    tested.say("gasket.fitted", item="G4-2", joint="J4")
    pull_up(tested)
    tested.say("test.result", corrects=result.id, test="T", verdict="passed", second="S. Oduwale", words="spelling")
    assert by(tested.state) == ()
    assert "J4" in {p.id for p in unproved(tested.state)}


@pytest.mark.parametrize("between", [0.0, 1.0])
def test_a_hold_with_a_break_in_it_is_no_hold(pulled, between):
    for pressure, minutes in ((3.14, 20), (between, 20), (3.14, 0)):
        pulled.say("test.reading", test="T", pressure_mpa=pressure, metal_degc=15.0)
        pulled.now += timedelta(minutes=minutes)
    pulled.say("test.result", test="T", verdict="passed", second="S. Oduwale")
    assert "held 0 min" in pulled.state.step("TTEST:T").why


def test_no_hands_in_the_zone_of_a_test(pulled):
    pulled.say("test.reading", test="T", pressure_mpa=3.14, metal_degc=15.0)
    for code in ("TBLIND_S:TB1", "SB_S:V2", "BLIND_IN:B1", "SB_S2:D2"):
        assert any("gauge to 0" in text for text in may_now(pulled.state, code, pulled.now).against), code


def test_a_pass_at_less_than_it_says_is_not_accepted(pulled):
    pulled.say("test.reading", test="T", pressure_mpa=3.14, metal_degc=15.0)
    pulled.say("test.result", test="T", verdict="passed", second="S. Oduwale", held_min=30.0, pressure_mpa=0.1)
    assert "held at 1.0 bar" in pulled.state.step("TTEST:T").why


def test_a_gauge_over_the_limit_fails_its_attempt(pulled):
    pulled.say("test.reading", test="T", pressure_mpa=4.0, metal_degc=15.0)
    tube_test(pulled)
    assert "above what the side may see" in pulled.state.step("TTEST:T").why


def test_the_second_weep_is_cured_by_opening_only(pulled):
    for _ in range(2):
        pulled.say("joint.weeped", joint="J4", test="T")
        pulled.say("joint.pass_done", **PULL, joint="J4", **{"pass": "corrective"})
    assert word(pulled) != "pulled up"
    assert "FH_TORQ:J4" not in pulled.state.done


def test_a_corrective_pass_stud_by_stud_cures_the_first(pulled):
    pulled.say("joint.weeped", joint="J4", test="T")
    for stud in range(1, 37):
        pulled.say("joint.stud_done", joint="J4", stud=stud, tool="W2", **{"pass": "corrective"})
    assert "FH_TORQ:J4" in pulled.state.done


@pytest.fixture
def bare() -> Story:
    story = Story()
    story.done_until("before FH_TORQ")
    return story


@pytest.mark.parametrize(
    ("made", "why"),
    [
        (("pass 1", "pass 2", "pass 3", "round", "round after the wait", "verify"), "four snug is not on record"),
        (("four snug", "all snug", "verify", "pass 1", "pass 2", "pass 3", "round", "round after the wait"), "verify was made before"),
        (
            ("four snug", "all snug", "pass 3", "pass 2", "pass 1", "round", "round after the wait", "verify"),
            "pass 2 was made before pass 1",
        ),
    ],
)
def test_passes_left_out_or_out_of_order_do_not_pull_it_up(bare, made, why):
    bare.say("joint.gap_read", joint="J4", gaps_mm=[3.2, 3.2, 3.2, 3.2])
    for name in made:
        bare.now += timedelta(hours=5 if name == "round after the wait" else 0)
        bare.say("joint.pass_done", **PULL | ({"by": "P. Duvenhage"} if name == "verify" else {}), joint="J4", **{"pass": name})
    assert not bare.state.joint("J4").pulled_up
    assert any(text.startswith(("four snug", why[:6])) or why in text for text in bare.state.joint("J4").not_pulled_up)
    assert any(why in text for text in bare.state.joint("J4").not_pulled_up), bare.state.joint("J4").not_pulled_up


def test_the_wait_cannot_be_typed(bare):
    bare.say("joint.pass_done", **PULL, joint="J4", **{"pass": "round"})
    later = (bare.now + timedelta(hours=5)).isoformat()
    bare.say("joint.pass_done", **PULL, joint="J4", started_at=later, **{"pass": "round after the wait"})
    assert any("not 4 h or more" in text for text in bare.state.joint("J4").not_pulled_up)


def test_a_whole_pass_pulled_again_has_a_new_beginning(bare):
    for name in ("four snug", "all snug", "pass 1", "pass 2", "pass 3", "round"):
        bare.say("joint.pass_done", **PULL, joint="J4", **{"pass": name})
    bare.now += timedelta(hours=1)
    bare.say("joint.pass_done", **PULL, joint="J4", **{"pass": "round after the wait"})
    bare.now += timedelta(hours=5)
    bare.say("joint.pass_done", **PULL, joint="J4", **{"pass": "round after the wait"})
    assert not any("4 h or more" in text for text in bare.state.joint("J4").not_pulled_up)


def test_studs_of_another_joint_do_not_fill_this_one(bare):
    bare.say("joint.pass_done", **PULL, joint="J4", studs=list(range(2, 38)), **{"pass": "pass 1"})
    assert "pass 1: stud 1 not done" in bare.state.joint("J4").not_pulled_up


def test_a_man_is_not_two_by_a_capital_letter(bare):
    pull_up(bare, by=" i. belmarsh")
    assert any("second man verifies" in text for text in bare.state.joint("J4").not_pulled_up)


def test_who_pulled_half_a_pass_does_not_verify(bare):
    pull = PULL | {"joint": "J4"}
    bare.say("joint.pass_done", **pull | {"by": "P. Duvenhage"}, studs=list(range(1, 19)), **{"pass": "round"})
    bare.say("joint.pass_done", **pull, studs=list(range(19, 37)), **{"pass": "round"})
    bare.say("joint.pass_done", **pull | {"by": "P. Duvenhage"}, **{"pass": "verify"})
    assert any("second man verifies" in text for text in bare.state.joint("J4").not_pulled_up)


def test_a_second_mark_does_not_wipe_out_the_first(bare):
    for mark, depth, clock in (("scratch", 0.3, "5"), ("pit", 0.01, "9")):
        bare.say("face.measured", joint="J4", face="floating tubesheet", mark=mark, depth_mm=depth, span_mm=9.0 if depth > 0.1 else 1.0,
                 land_mm=12.0, clock=clock)  # fmt: skip
    assert len(bare.state.joint("J4").marks) == 1


def test_a_face_cut_too_thin_is_a_stop(bare):
    bare.say("face.skimmed", joint="J4", face="floating tubesheet", part="floating tubesheet", off_mm=1.2)
    assert any("73.8 mm left, least 74 mm" in text for text in texts(bare.state, "stop"))


# blinds, counts, drains


def test_a_blind_put_in_again_opens_its_line():
    story = Story()
    story.done_until("before HANDOVER")
    story.say("blind.in", blind="B1", second="D. Wrexholme")
    answer = may_now(story.state, "HANDOVER", story.now)
    assert not answer.may
    assert "the blind is in again" in next(m.stands for m in answer.missing if m.need.step == "BLIND_OUT:B1")


def test_a_blind_pulled_early_is_no_blind():
    story = Story()
    story.done_until("before BREAK")
    story.say("blind.out", blind="B1", second="D. Wrexholme")
    assert "BLIND_IN:B1" in {m.need.step for m in may_now(story.state, "BREAK:N1", story.now).missing}


def test_a_second_name_moves_nothing():
    story = Story()
    story.done_until("BLIND_OUT")
    story.say("step.seconded", step="BLIND_IN:B1", by="Z. Aldermoor")
    assert story.state.blinds["B1"].word == "out"


def test_a_lamp_that_is_still_inside_stands_to_the_end():
    story = Story()
    story.say("piece.in", space="shell", what="lamp")
    story.done_until("before HANDOVER")
    answer = may_now(story.state, "HANDOVER", story.now)
    assert not answer.may or any("FME_SHELL" in f.text for f in answer.findings if f.level == "stop")


def test_after_a_failed_test_the_side_may_be_drained():
    story = Story()
    story.done_until("before TTEST")
    story.say("test.reading", test="T", pressure_mpa=2.2, metal_degc=15.0)
    story.say("test.result", test="T", verdict="failed", second="S. Oduwale")
    story.say("test.reading", test="T", pressure_mpa=0.0)
    assert may_now(story.state, "TTEST_DRAIN", story.now).may


def test_a_tube_that_leaks_after_its_test_is_not_proved():
    story = Story()
    story.done_until("STEST1")
    story.say("tube.leaks", tube="9-14", ends="front", test="S1")
    found = {p.id: p.open for p in proofs(story.state)}
    assert "leaks" in found["9-14"]
    assert "9-14 leaks" in found["all"]


# the story itself


def test_the_file_of_another_exchanger_is_not_taken():
    story = Story()
    story.say("job.file_revised", file=files_of_the_demo()["14-E-104"].read_text(encoding="utf-8"), why="wrong file")
    state = story.state
    assert state.exchanger.identity.tag == "14-E-103"
    assert "the file of entry 2 is of 14-E-104" in texts(state, "stop")[0]


def test_an_entry_that_breaks_a_sum_does_not_break_the_job():
    story = Story()
    story.say("joint.loads_read", joint="J4", loads_n=[-1000.0] + [0.0] * 35)
    story.say("tool.bad", tool=5, why="x")
    story.tick("PACK")
    assert "PACK" in story.state.done


def test_a_note_in_place_of_an_opening_is_asked_about(tested):
    opening = tested.say("joint.opened", joint="J4", why="drip")
    tested.say("note.written", corrects=opening.id, text="never mind")
    assert any("which says another thing" in text for text in texts(tested.state, "stop"))


def test_a_refusal_outlives_a_frost():
    story = Story()
    story.done_until("FILL_S1")
    story.say("hold.signed", step="INSP_TUBE", role="inspector", verdict="refused", by="S. Oduwale")
    story.say("water.froze", metal_degc=-2.0)
    story.tick("INSP_TUBE")
    assert story.state.step("INSP_TUBE").stand == "not accepted"


def test_a_tick_of_later_is_no_tick_of_now():
    story = Story()
    story.done_until("before BREAK")
    assert not may_now(story.state, "BREAK:N1", story.now - timedelta(hours=3)).may


def test_a_newer_file_has_the_studs_of_now():
    story = Story()
    story.say("joint.studs_changed", joint="J4", grade="B7M", why="no B7")
    assert story.state.exchanger.joint("J4").studs.target_stress is None
    story.say("job.file_revised", file=story.events[0].payload["file"] + "\n# engineer's new target\n", why="target for B7M")
    assert story.state.exchanger.joint("J4").studs.target_stress is not None
