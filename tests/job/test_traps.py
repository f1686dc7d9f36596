"""Mistakes a crew makes, told entry by entry: the record itself must notice each, with nobody pointing at it. Invented exchangers."""

from __future__ import annotations

from datetime import timedelta
from math import pi

import pytest
from tests.job.telling import Story, texts
from tests.made_up import made_up, mm

from boxup.core.quantity import quantity
from boxup.core.working import Working
from boxup.demo.fleet import files_of_the_demo
from boxup.exchanger.file import load
from boxup.exchanger.model import Shell, Tubes
from boxup.hydro.plan import plan_of
from boxup.hydro.push import end_push
from boxup.hydro.sheet import Conditions, test_sheet
from boxup.job.lists import scope_of
from boxup.job.live import may_now
from boxup.job.may import may
from boxup.job.numbers import numbers
from boxup.job.plugs import other_end, plug_list
from boxup.job.scope import scope_of_letters, scope_of_lists
from boxup.job.sound import against, standing
from boxup.reference.load import source

test_sheet.__test__ = False


def missing(story: Story, step: str) -> dict[str, str]:
    """What a step waits for now, and how that stands."""
    return {one.need.step: one.stands for one in may_now(story.state, step, story.now).missing}


def all_but(scope, step: str, *left_out: str) -> Story:
    """Everything a step waits for is ticked, near and far, but for these; in an order that is legal but for them."""
    story = Story(scope)
    story.done_until(f"before {step}")
    for code in left_out:
        story.say("step.reopened", step=code, why="never done; the tick was for the next exchanger")
    return story


# closed rear end (14-E-106, AKT)


def test_a_closed_kettle_is_not_boxed_in_before_its_bench_test(listed):
    story = Story(listed("kettle"))
    story.done_until("before BENCH")
    story.tick("RIG", "EXCL", "GKT_SHELLTS")
    assert "BENCH" in missing(story, "INSERT")
    story.tick("INSERT")
    assert any(text.startswith("INSERT was begun although") and "BENCH" in text for text in texts(story.state, "stop"))


def test_a_kettle_with_a_shell_cover_needs_no_bench_test():
    assert "BENCH" not in scope_of_letters("AKT", {"sc": True}).instances


# lantern ring (31-E-303, BEW)


@pytest.mark.parametrize("step", ["STEST1", "TTEST", "STEST2"])
def test_a_weep_hole_that_is_painted_over_stops_every_test(step):
    story = all_but(scope_of_letters("BEW", {"hot": False}), step, "WEEP")
    assert "never done" in missing(story, step)["WEEP"]
    story.say("step.done", step=step, second="S. Oduwale")
    assert any(text.startswith(f"{step} was begun although") and "weep hole" in text for text in texts(story.state, "stop"))
    story.tick("WEEP")
    assert "WEEP" not in missing(story, step)


def test_an_inspector_who_refuses_the_weep_holes_stops_the_test():
    story = Story(scope_of_letters("BEW"))
    story.done_until("before TTEST")
    story.say("hold.signed", step="WEEP", role="inspector", verdict="refused", words="one of four is painted over", by="S. Oduwale")
    assert missing(story, "TTEST")["WEEP"].startswith("not accepted")


def test_the_holes_are_looked_through_again_by_the_next_crew():
    story = Story(scope_of_letters("BEW"))
    story.done_until("before TTEST")
    story.say("shift.changed")
    assert "ran out" in missing(story, "TTEST")["WEEP"]


def test_lantern_ring_without_its_tick_lets_no_test_stand():
    story = all_but(scope_of_letters("AEW"), "STEST1", "W_LANTERN")
    assert any("W_LANTERN is not done" in stands for stands in missing(story, "STEST1").values())


# outside packed (31-E-301, AEP)


@pytest.mark.parametrize(("options", "step"), [({}, "STEST1"), ({"st2": True}, "STEST2")])
def test_a_shell_with_a_free_rear_is_not_pressed_without_the_engineers_figure(options, step):
    story = all_but(scope_of_letters("AEP", options), step, "THRUST_OK")
    assert "THRUST_OK" in missing(story, step)
    assert "THRUST_OK" in missing(story, step.replace("STEST", "FILL_S"))


def test_a_crew_that_ticks_on_paper_is_told_the_same():
    scope = scope_of_letters("AEP")
    answer = may(scope, [code for code in scope.instances if code not in ("STEST1", "THRUST_OK")], "STEST1")
    assert [one.need.step for one in answer.missing] == ["THRUST_OK"]


@pytest.mark.computed
def test_the_push_is_worked_and_the_figure_asked_for():
    """508 mm bore, 260 tubes of 19.05 mm, 11.2 bar: bore area less the tubes, by hand 0.2027 less 0.0741 m2, is 144 kN."""
    by_hand = 1.12e6 * (pi / 4 * 0.508**2 - 260 * pi / 4 * 0.01905**2)
    assert by_hand == pytest.approx(144e3, rel=0.002)
    tubes = Tubes(od=mm("19.05"), wall=mm("2.11"), length=mm("3658"), count=quantity("260", "count"))
    x = made_up("AEP", shell=Shell(inside_diameter=mm("508"), wall=mm("10"), length=mm("3700")), tubes=tubes)
    w = Working("push", source("statics"))
    lacking = end_push(w, x, quantity("11.2 bar", "MPa"), None)
    assert w["F"] == pytest.approx(by_hand, rel=1e-6)
    assert [one.number for one in lacking] == ["engineer's figure for the end push"]
    first = next(t for t in plan_of(x) if t.code == "S1")
    assert first.end_push
    sheet = test_sheet(x, first, volume=None, known=Conditions(pressure=quantity("11.2 bar", "MPa")))
    assert "engineer's figure for the end push" in {one.number for one in sheet.missing}
    low = test_sheet(x, first, volume=None, known=Conditions(pressure=quantity("11.2 bar", "MPa"), push_allowed=quantity("120 kN", "kN")))
    assert any(f.level == "stop" and "engineer's figure" in f.text for f in low.findings)


def test_the_tube_side_is_not_pressed_without_the_shear_ring():
    story = all_but(scope_of_letters("AEP"), "TTEST", "P_SHEAR")
    assert "P_SHEAR" in missing(story, "TTEST")
    story.say("step.done", step="TTEST", second="S. Oduwale")
    assert any("the cover is blown off" in text for text in texts(story.state, "stop"))


# U-tubes (14-E-104, BEU)


def test_22_holes_to_plug_are_11_u_tubes():
    x = load(files_of_the_demo()["14-E-104"])
    found = plug_list(x)
    assert len(x.to_plug) == len(found.ends) == 22
    assert len(found.tubes) == 11
    assert all(len(pair) == 2 for pair in found.tubes)
    assert found.alone == ()
    assert all(end.endswith(", front") for end in found.ends), "a U-tube has no rear end"
    [note] = scope_of(x).notes
    assert note.text.startswith("22 holes to plug are 11 U-tubes, 22 plugs, all from the front: 9-1 with 10-1, ")
    assert other_end(x, "9-1") == "10-1"
    assert len(plug_list(made_up("AES", to_plug=("1-1", "2-2"))).ends) == 4, "a straight tube has a plug at each end"


def test_one_end_of_a_u_tube_on_the_list_is_told():
    story = Story(tag="14-E-104")
    story.say("tube.to_plug", tube="6-5")
    [told] = texts(story.state, "warn")
    assert told.startswith("6-5 is one end of a U-tube and its other end, by the map 13-5, is not on the list")
    story.say("tube.to_plug", tube="13-5")
    assert len(texts(story.state, "warn")) == 1


def test_both_ends_of_a_u_tube_are_plugged_before_the_tube_is():
    story = Story(tag="14-E-104")
    story.done_until("before PLUG")
    story.say("tube.plugged", tube="9-1", ends="front")
    assert "PLUG:9-1" in story.state.done
    assert "PLUG:10-1" not in story.state.done
    story.say("tube.plugged", tube="9-2", ends="both")
    assert {"PLUG:9-2", "PLUG:10-2"} <= story.state.done
    story.say("tube.plugged", tube="9-3", ends="rear")
    assert "PLUG:9-3" not in story.state.done
    assert any("a U-tube has no rear end" in text for text in texts(story.state))
    assert set(story.state.exchanger.plugged) == {"9-1", "9-2", "10-2"}


def test_a_u_tube_is_pierced_once():
    story = Story(tag="14-E-104")
    story.done_until("before PIERCE")
    story.say("tube.pierced", tube="9-1")
    assert {"PIERCE:9-1", "PIERCE:10-1"} <= story.state.done
    assert "PIERCE:9-2" not in story.state.done


# blinds (40-E-405 BXM, 14-E-103 AES)


def test_a_blind_on_a_vent_nozzle_signed_out_by_one_name_holds_the_handover_up():
    scope = scope_of_lists("BXM", "no-hot", {
        "nozzles": [{"id": "N1", "side": "shell"}, {"id": "NV", "side": "shell"}],
        "blinds": [{"id": one, "kind": "process", "side": "shell", "nozzle": at} for one, at in (("B1", "N1"), ("BV", "NV"))],
    })  # fmt: skip
    story = Story(scope)
    story.done_until("before BLIND_OUT")
    story.say("blind.out", blind="B1", second="D. Wrexholme")
    story.say("blind.out", blind="BV", by="P. Duvenhage")
    state = story.state
    assert (state.step("BLIND_OUT:B1").stand, state.step("BLIND_OUT:BV").stand) == ("done", "one name")
    assert missing(story, "HANDOVER")["BLIND_OUT:BV"] == "one name: signed by P. Duvenhage alone; a second person looks and signs"


def test_four_blinds_in_and_three_out():
    story = Story()
    story.done_until("before BLIND_OUT")
    for blind in ("B1", "B2", "B3"):
        story.say("blind.out", blind=blind, second="D. Wrexholme")
    assert "BLIND_OUT:B4" in missing(story, "HANDOVER")
    story.say("witness.counted", what="blinds out", count=4)
    assert any("counted 4, the record says 3" in text for text in texts(story.state, "stop"))


# gasket, order, shift, pressure (14-E-103 AES)


def test_one_gasket_fitted_twice():
    story = Story()
    story.done_until("before GKT_SC")
    story.say("gasket.fitted", item="G5-1", joint="J5")
    story.tick("SC_ON:J5")
    story.say("joint.opened", joint="J5", why="rag seen")
    story.say("gasket.fitted", item="G5-1", joint="J5")
    assert story.state.step("GKT_SC:J5").stand == "not accepted"
    assert any("A gasket is used once" in text for text in texts(story.state, "stop"))


def test_the_shell_cover_before_the_tube_test():
    story = Story()
    story.done_until("before TTEST")
    assert "TTEST:T" in missing(story, "SC_ON:J5")
    story.tick("SC_ON:J5")
    assert any(text.startswith("SC_ON:J5 was begun although") and "TTEST:T" in text for text in texts(story.state, "stop"))


def test_the_shift_changes_in_the_middle_of_the_last_pass():
    story = Story()
    story.done_until("before FH_TORQ")
    began = story.now
    story.say("shift.changed", at=began + timedelta(minutes=10))
    asked = missing(story, "FH_TORQ:J4")
    assert "ran out" in asked["TOOLTAB:J4"]
    story.say(
        "joint.pass_done", at=began + timedelta(minutes=30), joint="J4", tool="W2", started_at=began.isoformat(), **{"pass": "pass 3"}
    )
    joint = story.state.joint("J4")
    assert joint
    assert any("shift changed in the middle" in why for why in joint.not_pulled_up)


def test_the_tube_test_with_water_still_in_the_shell():
    story = Story()
    story.done_until("before STEST1_DRAIN")
    assert {"STEST1_DRAIN:S1"} <= set(missing(story, "TTEST")) & set(missing(story, "FILL_T"))
    story.tick("FILL_T:T")
    assert any(text.startswith("FILL_T:T was begun although") and "STEST1_DRAIN" in text for text in texts(story.state, "stop"))


def test_a_weep_nipped_up_with_22_bar_on():
    story = Story()
    story.done_until("before STEST2")
    story.say("test.reading", test="S2", pressure_mpa=2.2)
    story.say("joint.weeped", joint="J5", test="S2", pressure_mpa=2.2)
    story.say("joint.pass_done", joint="J5", tool="W2", note="nip it up", **{"pass": "corrective"})
    assert any("22.0 bar on the shell side" in text and "not counted" in text for text in texts(story.state, "stop"))
    joint = story.state.joint("J5")
    assert joint
    assert joint.weeping
    assert "corrective" not in joint.rounds


# gas tests and permits that ran out (decision 0017)


@pytest.mark.parametrize(
    ("step", "check", "minutes"),
    [("PULL", "GAS_BREAK", 31), ("BLIND_OUT:B1", "GAS_BREAK", 31), ("FME_CHAN", "ENTRY_GAS", 31), ("FME_SC", "ENTRY_GAS", 31)],
)
def test_nobody_opens_or_leans_in_on_an_old_reading(step, check, minutes):
    story = Story()
    story.done_until(f"before {step}")
    story.tick(check)
    assert check not in missing(story, step)
    story.now += timedelta(minutes=minutes)
    assert "ran out" in missing(story, step)[check]


# test water and cold metal (22-E-201A, 22-E-204): read as they are, noticed by the record


@pytest.mark.parametrize("tag", ["22-E-201A", "22-E-201B"])
def test_water_with_too_much_chloride_is_noticed_and_not_filled(tag):
    """78 mg/L read where the file allows 50: a stop with both figures, and the step of the chloride is not done."""
    story = Story(tag=tag)
    test = next(t for t in story.state.tests.values() if t.side == "tube")
    chloride, fill = f"CHLOR_{test.code}:{test.item}", f"FILL_{test.code}:{test.item}"
    story.done_until(f"before {chloride.partition(':')[0]}")
    story.say("water.chloride_read", test=test.code, chloride_mg_l=78)
    assert any("chloride 78 mg/L, limit 50 mg/L" in text and "Not filled" in text for text in texts(story.state, "stop"))
    assert chloride not in story.state.done
    assert chloride in missing(story, fill)
    story.say("water.chloride_read", test=test.code, chloride_mg_l=31)
    assert chloride in story.state.done


def test_metal_of_a_cold_night_is_noticed_before_and_under_pressure():
    """22-E-204: MDMT 23 °C and 17 make 40; 4 °C read at zero is a stop, and pressure on it another."""
    story = Story(tag="22-E-204")
    code = next(t.code for t in story.state.tests.values() if t.side == "tube")
    story.done_until("before TTEST")
    story.say("test.reading", test=code, pressure_mpa=0.0, metal_degc=4.0)
    assert any("metal at 4 °C, least 40 °C" in text and "No pressure before" in text for text in texts(story.state, "stop"))
    story.say("test.reading", test=code, pressure_mpa=5.0, metal_degc=4.0)
    assert any("metal at 4 °C with pressure on, least 40 °C" in text for text in texts(story.state, "stop"))
    warm = Story(tag="22-E-204")
    warm.done_until("before TTEST")
    warm.say("test.reading", test=code, pressure_mpa=0.0, metal_degc=41.0)
    warm.say("test.reading", test=code, pressure_mpa=5.0, metal_degc=41.0)
    assert not [text for text in texts(warm.state, "stop") if "metal at" in text]


# a channel that rides with the bundle (22-E-201A, CFU): 4,700 and 2,100 kg on a chart that was read for the bundle alone


OVER = "With the bundle with its channel on its hook the crane would carry more than its chart allows"


def crane(**more) -> dict[str, object]:
    """The crane as the demo file has it, with what is different today."""
    return {"crane": "C2", "radius_m": 9.0, "chart_radii_m": [6.0, 9.0, 12.0], "chart_kg": [9000.0, 6000.0, 3800.0], "hook_block_kg": 200.0,
            "slings_kg": 120.0, "spreader_kg": 0.0, "rope_kg": 40.0, "configuration": "boom 15 m"} | more  # fmt: skip


def test_the_channel_that_rides_along_is_over_the_chart_and_said_unasked():
    """Bundle and channel are 6.8 t before dirt, water, hook block and slings; the row at 9 m says 6 t."""
    x = load(files_of_the_demo()["22-E-201A"])
    n = numbers(x)
    assert n.bundle.si("dry") == pytest.approx(4700, rel=0.03)
    assert n.sling.crane["m_g"] > 4700 + 2100 > n.sling.crane["C_r"] == 6000
    assert any(f.level == "stop" and f.text.startswith(OVER) for f in n.findings())
    assert not any("crane" in f.text for f in numbers(load(files_of_the_demo()["22-E-201B"])).findings() if f.level == "stop")


@pytest.mark.parametrize("step", ["RIG_PULL", "PULL", "RIG", "INSERT"])
def test_nothing_is_hung_on_a_crane_whose_chart_it_is_over(step):
    story = Story(tag="22-E-201A")
    assert any(text.startswith(OVER) for text in may_now(story.state, step, story.now).against)
    assert any(f.level == "stop" and f.text.startswith(OVER) for f in may_now(story.state, "LIFTPLAN:bundle", story.now).findings)
    upper = Story(tag="22-E-201B")
    assert not may_now(upper.state, step, upper.now).against
    assert not may_now(upper.state, "LIFTPLAN:bundle", upper.now).findings


def test_a_bundle_put_in_over_the_chart_is_told():
    story = Story(tag="22-E-201A")
    story.tick("RIG")
    assert any("RIG was begun although" in text and OVER in text for text in texts(story.state, "stop"))


def test_a_lift_plan_ticked_over_the_chart_is_told_and_a_larger_crane_ends_it():
    story = Story(tag="22-E-201A")
    story.tick("PACK", "LIFTPLAN:bundle")
    assert any(text.startswith("LIFTPLAN:bundle was ticked although") for text in texts(story.state, "stop"))
    story.say("crane.stood", **crane(crane="C7", chart_kg=[24000.0, 14000.0, 9000.0]))
    assert "LIFTPLAN:bundle" not in story.state.done, "it was made for another crane"
    assert "C7" in story.state.step("LIFTPLAN:bundle").why
    assert not may_now(story.state, "PULL", story.now).against
    told = len(texts(story.state, "stop"))
    story.tick("LIFTPLAN:bundle")
    assert len(texts(story.state, "stop")) == told
    assert "LIFTPLAN:bundle" in story.state.done
    assert story.state.exchanger.crane.radius.where == "entry 4, A. Vessik"


def test_the_crane_that_stands_there_as_planned_changes_nothing():
    story = Story(tag="22-E-201B")
    story.tick("PACK", "LIFTPLAN:bundle")
    x = story.state.exchanger.crane
    same = crane(crane=x.name, radius_m=8.0, chart_radii_m=[r.radius.si for r in x.chart], chart_kg=[r.capacity.si for r in x.chart],
                 hook_block_kg=x.hook_block.si, rope_kg=x.rope.si)  # fmt: skip
    story.say("crane.stood", **same)
    assert "LIFTPLAN:bundle" in story.state.done
    story.say("crane.stood", **(same | {"radius_m": 9.5}))
    assert "LIFTPLAN:bundle" not in story.state.done, "the radius grew"


def test_a_crane_too_far_off_is_refused_and_told_as_it_is_entered():
    story = Story(tag="22-E-201B")
    story.say("crane.stood", **crane(radius_m=12.5))
    assert any("beyond the last row" in text for text in texts(story.state, "stop"))
    assert any("beyond the last row" in text for text in may_now(story.state, "INSERT", story.now).against)


@pytest.mark.parametrize("wrong", [{"chart_kg": [9000.0]}, {"chart_kg": [6000.0, 9000.0, 3800.0]}, {"chart_radii_m": [0.0, 9.0, 12.0]}])
def test_a_chart_that_cannot_be_is_told_and_not_used(wrong):
    story = Story(tag="22-E-201B")
    before = story.state.exchanger.crane
    story.say("crane.stood", **crane(**wrong))
    assert story.state.exchanger.crane == before
    assert len(texts(story.state, "warn")) == 1


def test_a_crane_that_lifts_covers_speaks_of_their_plans():
    story = Story(tag="40-E-405")
    story.tick("PACK", "LIFTPLAN:channel", "LIFTPLAN:rear-head")
    story.say("crane.stood", **crane(crane="C9", chart_kg=[1200.0, 800.0, 500.0]))
    assert "LIFTPLAN:channel" not in story.state.done
    assert any(text.startswith("With the bonnet on its hook") for text in may_now(story.state, "SUPPORT_OFF:channel", story.now).against)


# which way up (22-E-207, AJS)


def test_a_bundle_that_goes_together_two_ways_is_noticed_and_waits_for_two_names():
    """Two poses fit the studs and the pass plates, one the impingement plates: a finding of the job, and the way-up step holds it."""
    x = load(files_of_the_demo()["22-E-207"])
    [told] = [f.text for f in numbers(x).findings() if "goes together" in f.text]
    assert "the 36 studs and the pass ribs let it on" in told
    assert "away from N1 and N2" in told
    story = Story(tag="22-E-207")
    story.done_until("before ORIENT")
    assert "ORIENT" in missing(story, "INSERT")
    story.tick("INSERT")
    assert any(text.startswith("INSERT was begun although") and "ORIENT" in text for text in texts(story.state, "stop"))


# plugs and walls (14-E-103, 14-E-104)


def test_a_tube_plugged_at_one_end_stays_a_finding_and_stands_against_the_tube_test():
    story = Story()
    story.done_until("before TTEST")
    story.say("tube.plugged", tube="5-5", ends="front")
    assert any("Tube 5-5 is plugged at the front only" in f.text for f in standing(story.state))
    test = next(code for code in story.state.scope.instances if code.startswith("TTEST"))
    assert any("tube 5-5 is plugged at the front only" in text for text in against(story.state, test))
    story.say("tube.plugged", tube="5-5", ends="rear")
    assert not any("at the front only" in f.text for f in standing(story.state))
    assert against(story.state, test) == ()


def test_one_end_of_a_u_tube_is_no_plugged_tube():
    story = Story(tag="14-E-104")
    story.done_until("before PLUG")
    story.say("tube.plugged", tube="9-1", ends="front")
    assert any("Tube 9-1 is plugged and its other end 10-1 is open" in f.text for f in standing(story.state))
    story.say("tube.plugged", tube="10-1", ends="front")
    assert not any("is open" in f.text for f in standing(story.state))


def test_walls_on_record_are_the_exchangers_and_list_nothing_of_themselves():
    story = Story()
    story.say("tube.walls_read", end="front", rows="9-14;0.6;0.844;RFT\n9-15;0.4;1.266;RFT\n9-16;;;blocked")
    x = story.state.exchanger
    assert {w.hole for w in x.walls} == {"9-14", "9-15", "9-16"}
    assert x.tubes.least_wall is None
    assert "9-14" not in x.to_plug
    told = " ".join(f.text for f in numbers(x).findings())
    assert 'least_wall = "0.84 mm"' in told
    story.say("tube.walls_read", end="front", rows="9-14;0.1;1.9;IRIS")
    walls = {w.hole: w.loss for w in story.state.exchanger.walls}
    assert (walls["9-14"], walls["9-15"]) == (0.1, 0.4)


def test_walls_of_a_hole_that_is_not_there_are_refused():
    story = Story()
    before = story.state.exchanger.walls
    story.say("tube.walls_read", end="front", rows="99-1;0.6;0.844;")
    assert any("there is no hole 99-1" in text for text in texts(story.state))
    assert story.state.exchanger.walls == before
