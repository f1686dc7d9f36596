"""What a crew lead found when he used the pages: each of these was taken without a word, or told wrongly."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from tests.job.telling import Story, texts
from tests.job.test_entering import draft
from tests.job.test_not_fooled import PULL, pull_up

from boxup.job.entering import Outlook, outlook
from boxup.job.live import may_now
from boxup.job.person import among, plain, same


def ahead(story: Story, kind: str, by: str = "A. Vessik", minutes: float = 0, corrects: str = "", **payload) -> Outlook:
    """What an entry of so many minutes later would mean."""
    one = draft(kind, **payload)
    one = replace(one, happened_at=story.now + timedelta(minutes=minutes), by=by, entered_by=by, corrects=corrects)
    return outlook(story.state, story.events, [one])


@pytest.fixture
def ready() -> Story:
    """All done up to the tube test; metal and zone are good for half an hour (freshness table)."""
    story = Story()
    story.done_until("before TTEST")
    return story


# pressure on checks that ran out


def test_pressure_on_a_test_begun_before_its_checks_ran_out_is_asked_about_with_each_of_them(ready):
    ready.say("step.started", step="TTEST:T")
    assert texts(ready.state, "stop") == []
    on = ahead(ready, "test.reading", minutes=55, test="T", pressure_mpa=1.57)
    said = " ".join(on.stops)
    assert "MDT_T:T was good until" in said
    assert "TESTZONE_T:T was good until" in said
    assert ahead(ready, "test.reading", minutes=10, test="T", pressure_mpa=1.57).clear


def test_pressure_on_run_out_checks_is_a_finding_once_it_is_on_record(ready):
    ready.say("step.started", step="TTEST:T")
    ready.now += timedelta(minutes=55)
    ready.say("test.reading", test="T", pressure_mpa=1.57)
    assert any(text.startswith("TTEST:T was pressed on a check that had run out: ") for text in texts(ready.state, "stop"))
    assert len(texts(ready.state, "stop")) == 1
    ready.say("test.reading", test="T", pressure_mpa=3.16)  # it is on: the gauge is only read
    assert len(texts(ready.state, "stop")) == 1


def test_pressure_raised_again_after_0_on_run_out_checks_is_asked_about_once(ready):
    ready.say("test.reading", test="T", pressure_mpa=1.0)
    ready.say("test.reading", test="T", pressure_mpa=0.0)
    on = ahead(ready, "test.reading", minutes=55, test="T", pressure_mpa=1.57)
    assert not on.clear
    assert " ".join([*on.stops, *(m.stands for _, a in on.too_soon for m in a.missing)]).count("MDT_T:T was good until") == 1


# cold metal


@pytest.mark.parametrize(("metal", "told"), [(3.0, True), (6.9, True), (7.0, False), (15.0, False)])
def test_cold_metal_is_told_at_once_also_at_0(ready, metal, told):
    """The least of the demo exchanger is 7 degrees."""
    ready.say("test.reading", test="T", pressure_mpa=0.0, metal_degc=metal)
    assert any("least 7 °C. No pressure before" in text for text in texts(ready.state, "stop")) is told
    assert ready.state.tests["T"].coldest_at_0_degc == metal


@pytest.mark.parametrize(
    ("read", "told"),
    [({"air_degc": 1.0}, "air at 1 °C"), ({"water_degc": 2.0, "air_degc": 5.0}, "water at 2 °C"),
     ({"metal_degc": -4.0, "air_degc": -1.0}, "metal at -4 °C"), ({"air_degc": 3.0, "metal_degc": 9.0}, "")],
)  # fmt: skip
def test_frost_near_a_full_side_is_told_at_once(ready, read, told):
    ready.say("test.reading", test="T", pressure_mpa=0.0, **read)
    said = [text for text in texts(ready.state, "warn") if "with water in" in text]
    assert bool(said) == bool(told)
    assert not told or told in said[0]


def test_frost_beside_an_empty_side_is_nobodys_business():
    story = Story()
    story.say("test.reading", test="T", pressure_mpa=0.0, air_degc=-5.0)
    assert not [text for text in texts(story.state) if "with water in" in text]


def test_pressure_without_a_new_metal_reading_after_a_cold_one_is_asked_about(ready):
    ready.say("test.reading", test="T", pressure_mpa=0.0, metal_degc=3.0)
    on = ahead(ready, "test.reading", test="T", pressure_mpa=1.0)
    assert any("metal at 3 °C, least 7 °C by the last reading" in text for text in on.stops)
    assert ahead(ready, "test.reading", test="T", pressure_mpa=1.0, metal_degc=15.0).clear


def test_a_new_fill_has_no_metal_read_yet(ready):
    ready.say("test.reading", test="T", pressure_mpa=0.0, metal_degc=3.0)
    ready.tick("FILL_T:T")
    assert ready.state.tests["T"].coldest_at_0_degc is None


# one man is one


@pytest.mark.parametrize(("one", "other", "alike"), [
    ("M. Trevanick", "m trevanick", True), ("M. Trevanick", "M.TREVANICK ", True), ("M. Trevanick", "N. Trevanick", False),
    ("T. Wray-Estrada", "t wray-estrada", True), ("", " . ", True), ("", "A", False),
])  # fmt: skip
def test_one_man_is_one_however_he_writes_himself(one, other, alike):
    assert same(one, other) is alike
    assert among(one, ("X. Nobody", other)) is alike
    assert (plain(one) == plain(other)) is alike


def test_a_man_without_his_dots_is_no_second_name(ready):
    story = Story()
    story.done_until("before BLIND_IN")
    story.say("blind.in", blind="B1", by="M. Trevanick", second="m trevanick")
    assert story.state.step("BLIND_IN:B1").stand == "one name"
    story.say("step.seconded", step="BLIND_IN:B1", by="MTrevanick")
    assert story.state.step("BLIND_IN:B1").stand == "one name"
    ready.say("test.reading", test="T", pressure_mpa=3.14, metal_degc=15.0)
    ready.now += timedelta(minutes=31)
    ready.say("test.reading", test="T", pressure_mpa=3.14, metal_degc=15.0)
    ready.say("test.result", test="T", verdict="passed", by="S. Oduwale", second="s oduwale")
    assert ready.state.step("TTEST:T").stand == "one name"


def test_the_inspector_is_the_inspector_however_he_writes_himself(ready):
    ready.say("test.reading", test="T", pressure_mpa=3.14, metal_degc=15.0)
    ready.now += timedelta(minutes=31)
    ready.say("test.reading", test="T", pressure_mpa=3.14, metal_degc=15.0)
    ready.say("test.result", test="T", verdict="passed", by="M. Trevanick", second="s oduwale")
    assert "TTEST:T" in ready.state.done


def test_who_pulled_does_not_verify_without_his_dots():
    story = bare()
    pull_up(story, by="i belmarsh")
    assert any("a second man verifies" in why for why in story.state.joint("J4").not_pulled_up)


def bare() -> Story:
    story = Story()
    story.done_until("before FH_TORQ")
    return story


def test_a_joint_names_who_pulled_and_who_verified_and_keeps_them():
    story = bare()
    pull_up(story)  # I. Belmarsh pulls, P. Duvenhage verifies
    tick = story.state.step("FH_TORQ:J4")
    assert (tick.stand, tick.by, tick.second) == ("done", "I. Belmarsh", "P. Duvenhage")
    story.say("step.done", step="FH_TORQ:J4", by="Z. Passerby")
    tick = story.state.step("FH_TORQ:J4")
    assert (tick.stand, tick.by, tick.second) == ("done", "I. Belmarsh", "P. Duvenhage")
    assert any("FH_TORQ:J4 is done already, by I. Belmarsh + P. Duvenhage" in text for text in texts(story.state, "note"))


def test_done_once_more_in_one_name_is_asked_and_told():
    story = Story()
    story.done_until("TBLIND_S")
    on = ahead(story, "step.done", by="Z. Passerby", step="TBLIND_S:TB1")
    assert any(text.startswith("TBLIND_S:TB1 is done already, by A. Vessik + B. Torrund at ") for text in on.stops)
    assert ahead(story, "step.done", by="A. Vessik", step="PERMIT").twice == ()  # made again every shift
    story.say("step.done", step="TBLIND_S:TB1", by="Z. Passerby", second="B. Torrund")
    assert any("TBLIND_S:TB1 is done already, by A. Vessik + B. Torrund" in text for text in texts(story.state, "note"))


# a pass said twice


def test_the_same_whole_pass_from_a_second_tablet_is_asked_about():
    story = bare()
    pull_up(story)
    on = ahead(story, "joint.pass_done", by="C. Rhoswen", **PULL_3)
    assert [text for text in on.stops if text.startswith("pass 3 of J4 is on record already, by I. Belmarsh at ")]
    every = {"studs": list(range(1, 37))}  # 36 studs
    assert ahead(story, "joint.pass_done", **PULL_3, **every).twice
    assert not ahead(story, "joint.pass_done", **PULL_3, studs=[13]).twice
    made = next(e for e in story.events if e.payload.get("pass") == "pass 3")
    assert not ahead(story, "joint.pass_done", corrects=made.id, **PULL_3).twice
    for name in ("round", "corrective"):
        assert not ahead(story, "joint.pass_done", **PULL_3 | {"pass": name}).twice
    story.say("joint.opened", joint="J4", why="a rag")
    assert not ahead(story, "joint.pass_done", **PULL_3).twice  # another make-up


PULL_3 = {"joint": "J4", "pass": "pass 3", "tool": "W2", "lubricant": "nickel anti-seize"}


def test_a_pass_that_did_not_count_is_pulled_again_without_a_question():
    story = bare()
    pull = {key: value for key, value in PULL.items() if key != "by"} | {"joint": "J4"}
    for name in ("four snug", "all snug", "pass 1"):
        story.say("joint.pass_done", **pull, **{"pass": name})
    story.say("joint.pass_done", **pull, **{"pass": "pass 2", "dry": [13, 14]})
    assert not ahead(story, "joint.pass_done", **pull, **{"pass": "pass 2"}).twice
    assert ahead(story, "joint.pass_done", **pull, **{"pass": "pass 1"}).twice


# to put right before pressure


@pytest.mark.parametrize("step", ["TTEST", "STEST1", "STEST2", "LEAKTEST:shell", "PUNCH"])
def test_no_pressure_with_an_a_item_open(step):
    story = Story()
    story.done_until(f"before {step}")
    story.now += timedelta(seconds=1)
    item = story.say("finding.raised", text="tubesheet scored", letter="A", by="S. Oduwale")
    said = f"A item open: tubesheet scored (entry {item.number}, S. Oduwale)"
    assert said in may_now(story.state, step, story.now).against
    story.say("finding.closed", finding=item.id, how="skimmed")
    assert not may_now(story.state, step, story.now).against


def test_the_first_reading_with_an_a_item_open_is_a_stop_whatever_was_begun(ready):
    ready.say("step.started", step="TTEST:T")
    ready.say("finding.raised", text="tubesheet scored", letter="A", by="S. Oduwale")
    on = ahead(ready, "test.reading", test="T", pressure_mpa=1.57)
    assert any("A item open: tubesheet scored (entry " in text for text in on.stops)
    ready.say("test.reading", test="T", pressure_mpa=1.57)
    assert any("TTEST:T was pressed with A item open: tubesheet scored" in text for text in texts(ready.state, "stop"))


# a refused hold


def test_a_refusal_says_when_why_and_who_lifts_it():
    story = Story()
    story.done_until("FH_TORQ")
    story.say("hold.signed", at="14:05", step="FH_TORQ:J4", role="inspector", verdict="refused", by="S. Oduwale", words="studs 13-19 dry")
    why = story.state.step("FH_TORQ:J4").why
    assert why.startswith("inspector S. Oduwale: refused, 07 Apr 14:05: studs 13-19 dry. ")
    assert "S. Oduwale signs anew as inspector on the page of this step" in why
    story.say("hold.signed", step="FH_TORQ:J4", role="crew lead", verdict="refused", by="M. Trevanick")
    story.say("hold.signed", step="FH_TORQ:J4", role="inspector", verdict="accepted", by="s oduwale")
    assert [(hold.role, hold.by) for hold in story.state.step("FH_TORQ:J4").refusals] == [("crew lead", "M. Trevanick")]


def test_who_else_may_lift_a_refusal_is_named():
    """The demo file names S. Oduwale as inspector."""
    story = Story()
    story.done_until("INSP_TUBE")
    story.say("hold.signed", step="INSP_TUBE", role="inspector", verdict="refused", by="H. Achterberg")
    assert "until H. Achterberg or S. Oduwale signs anew as inspector" in story.state.step("INSP_TUBE").why
