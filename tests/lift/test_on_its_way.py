"""The bundle at each place of its way, by hand: marks, hook, what rests in the shell, pull and stop; bore, places, rising pulls, words."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from boxup.cli.refusal import Refusal
from boxup.cli.way import placed, way_json, way_text
from boxup.core.calculation import BadInput
from boxup.core.quantity import quantity
from boxup.exchanger.file import load
from boxup.exchanger.model import BoreReading
from boxup.job.numbers import numbers
from boxup.lift.bore import bore_fit, clear_said, passing
from boxup.lift.mouth import mouth_reaction
from boxup.lift.places import found_at
from boxup.lift.rests import bearing_baffles, has_bars, mouth_rests, rests
from boxup.lift.rise import rises, running
from boxup.lift.way import on_its_way
from boxup.lift.way_words import do_now, stuck

DEMO = Path(__file__).parents[2] / "src" / "boxup" / "demo" / "data"
G = 9.80665


@cache
def demo(tag="14-E-103"):
    x = load(DEMO / f"{tag}.toml")
    return x, numbers(x)


def going(tag="14-E-103", way="insert", **bundle):
    x, n = demo(tag)
    return on_its_way(replace(x, bundle=replace(x.bundle, **bundle)), n.bundle, n.hung, way)


def m(metres):
    return quantity(f"{metres} m", "m")


# the marks


@pytest.mark.computed
def test_the_marks_by_hand():
    """6.096 m of tube, slings at 1.34 and 4.75 m, 300 mm wide, a tenth of a metre clear; centre of gravity 2.9518 m."""
    w = going().working
    assert w["s_2"] == pytest.approx(6.096 - 4.75 - 0.15 - 0.1)
    assert w["s_1"] == pytest.approx(6.096 - 1.34 - 0.15 - 0.1)
    assert w["s_t"] == pytest.approx(6.096 - 2.9518 + 0.6096, abs=1e-4)
    wide = going(sling_width=quantity("500 mm", "mm")).working
    assert wide["s_1"] == pytest.approx(6.096 - 1.34 - 0.25 - 0.1)
    assert going(sling_points_far_m=m(6.0)).working["s_2"] == 0.0


def test_the_front_sling_behind_the_centre_of_gravity_is_a_stop():
    assert any(f.level == "stop" and "tips" in f.text for f in going(sling_points_m=m(3.2), sling_points_far_m=m(4.75)).findings)
    assert not [f for f in going().findings if f.level == "stop"]


@pytest.mark.parametrize(
    ("front", "rear", "said"), [(5, 1, "bundle tips"), (3.5, 5, "bundle tips"), (1, 2.9, "bundle tips"), (1, 6.2, "rear sling")]
)
@pytest.mark.parametrize("way", ["insert", "pull"])
def test_slings_in_which_it_does_not_hang_have_no_places(front, rear, said, way):
    """Centre of gravity 2.95 m, tubes 6.096 m: written the wrong way round, both on one side, off its end. No load is worked."""
    one = going(way=way, sling_points_m=m(front), sling_points_far_m=m(rear))
    assert not one.known
    assert "sling_points_m in [bundle] is the front one" in one.missing[0].do
    assert any(f.level == "stop" and said in f.text for f in one.findings)
    assert "kN" not in "\n".join(way_text(one))
    assert way_json(one)["places"] == []


def test_a_place_of_a_bundle_that_tips_is_refused():

    x, _ = demo("14-E-101")
    x = replace(x, bundle=replace(x.bundle, sling_points_m=m(5), sling_points_far_m=m(1)))
    with pytest.raises(Refusal) as refused:
        placed(numbers(x), "2 m", "insert")
    assert "move or measure the slings" in str(refused.value.lines)


def test_a_front_sling_that_has_to_come_off_too_early_is_said():
    assert any("before the centre of gravity is a tenth" in f.text for f in going("22-E-204", sling_points_m=m(0.15)).findings)
    assert any("before the centre of gravity is a tenth" in f.text for f in going(sling_points_m=m(2.5)).findings)


@pytest.mark.computed
def test_little_way_to_take_over_the_tubesheet_end_is_said():
    """14-E-103: 4.506 - 3.754 = 0.752 m, enough; its front sling at 1.6 m leaves 0.492 m, less than half a metre; at 1.59 m 0.502."""
    assert going().working["d_w"] == pytest.approx(0.752, abs=1e-3)
    for place, told in ((1.34, False), (1.59, False), (1.6, True)):
        found = [f for f in going(sling_points_m=m(place)).findings if "second hook" in f.text]
        assert bool(found) == told, place
        assert all(f.level == "warn" and "cradle" in f.text for f in found)
    on_its_tubes = going("22-E-201A", sling_points_m=m(0.91))
    assert on_its_tubes.working["d_w"] == pytest.approx(0.052, abs=1e-3)
    assert any("second hook" in f.text for f in on_its_tubes.findings)


@pytest.mark.computed
@pytest.mark.parametrize(("tag", "length", "sheet"), [("22-E-201A", 6.096, 0.175), ("22-E-204", 4.877, 0.290)])
def test_a_front_pick_on_the_channel_stays_on_until_it_is_home(tag, length, sheet):
    """Tubes less the tubesheet, which stands in front of the flange; nothing to take over on the way, so no window and no hurry."""
    one = going(tag)
    assert one.working["x_1"] < 0
    assert one.working["s_1"] == pytest.approx(length - sheet) == pytest.approx(one.home)
    assert "d_w" not in one.working.steps
    assert [one.stage(s) for s in (1.0, 3.0, one.home - 0.01, one.home)] == ["both", "front", "front", "held"]
    assert not any("a tenth" in f.text or "second hook" in f.text for f in one.findings)


def test_a_front_pick_in_front_of_a_bundle_without_a_channel_has_no_places():
    one = going(sling_points_m=m(-0.4))
    assert not one.known
    assert "sling_points_m in [bundle] is the front one" in one.missing[0].do


# a place


@pytest.mark.computed
@pytest.mark.parametrize("metres", [0.5, 1.0, 1.5, 2.5, 3.0])
def test_hook_and_shell_by_moments_about_the_mouth(metres):
    """W (x_c - x_1)/(x_m - x_1) on the mouth, the rest on the hook; what the other route finds lies beside it, and all of it is W."""
    one = going()
    w = one.stand(metres).working
    weight, mouth = 4292.581 * G, 6.096 - metres
    rest = weight * (2.951772 - 1.34) / (mouth - 1.34)
    assert w["x_m"] == pytest.approx(mouth)
    assert w["R_m"] == pytest.approx(rest, rel=1e-5)
    assert w["R_h"] == pytest.approx(weight - rest, rel=1e-5)
    assert w["R_e"] + w["R_n"] + w["R_i"] == pytest.approx(weight, rel=1e-6)
    every = [weight - rest, w["R_e"], *([weight] if metres < 1.096 else [])]
    assert w["N_1"] == pytest.approx(weight - max(every), rel=1e-5, abs=1)
    assert w["N_2"] == pytest.approx(weight - min(every), rel=1e-5)
    assert one.stand(metres).hook == (pytest.approx(min(every), rel=1e-5), pytest.approx(max(every), rel=1e-5))


@pytest.mark.computed
def test_pull_and_stop_by_hand():
    """Friction of what rests in the shell. Going in a quarter over, half the weight at most; coming out half over, 1.5 weights."""
    w = going().stand(2.0).working
    assert w["F_1"] == pytest.approx(0.15 * w["N_1"])
    assert w["F_2"] == pytest.approx(0.5 * w["N_2"])
    assert w["F_stop"] == pytest.approx(1.25 * 0.5 * w["N_2"])
    home = going().stand(6.0).working
    assert home["F_2"] == pytest.approx(0.5 * 4292.581 * G, rel=1e-6)
    assert home["F_stop"] == pytest.approx(0.5 * 4292.581 * G, rel=1e-6)
    out = going(way="pull").stand(2.0).working
    assert out["F_stop"] == pytest.approx(1.5 * 0.5 * out["N_2"])
    sticky = going(way="pull", friction_high=quantity("1.4", "-")).stand(6.0).working
    assert sticky["F_stop"] == pytest.approx(1.5 * 4732.581 * G, rel=1e-6)
    slick = going(friction_low=quantity("0.001", "-"), friction_high=quantity("0.002", "-"))
    assert slick.stand(2.0).working["F_stop"] == pytest.approx(0.05 * 4292.581 * G, rel=1e-6)
    assert going(way="pull", friction_high=quantity("0.002", "-")).stand(2.0).working["F_stop"] == pytest.approx(
        0.05 * 4732.581 * G, rel=1e-6
    )


@pytest.mark.computed
def test_a_shell_that_lies_uphill():
    """3 degrees uphill going in: N (mu cos + sin) going in, N (mu cos - sin) coming out; steep enough it runs away."""
    x, n = demo()
    sloped = replace(x, shell=replace(x.shell, slope=quantity("3 deg", "deg")))
    c, s = math.cos(math.radians(3)), math.sin(math.radians(3))
    into = on_its_way(sloped, n.bundle, n.hung, "insert").stand(2.0).working
    out = on_its_way(sloped, n.bundle, n.hung, "pull").stand(2.0).working
    assert into["F_2"] == pytest.approx(into["N_2"] * (0.5 * c + s))
    assert into["F_1"] == pytest.approx(into["N_1"] * (0.15 * c + s))
    assert out["F_1"] == pytest.approx(out["N_1"] * (0.15 * c - s))
    assert out["F_2"] == pytest.approx(out["N_2"] * (0.5 * c - s))


def sloped(degrees, way="insert", tag="14-E-106", **bundle):
    x, n = demo(tag)
    dry = {"friction_high": quantity("0.5", "-")} | bundle
    lies = replace(x, shell=replace(x.shell, slope=quantity(f"{degrees} deg", "deg")), bundle=replace(x.bundle, **dry))
    return on_its_way(lies, n.bundle, n.hung, way)


def texts(found, level):
    return [f.text for f in found if f.level == level]


@pytest.mark.computed
def test_what_holds_it_back_is_by_the_most_that_rests():
    """12 degrees down, friction 0.15 and 0.5, 39.52 kN: 39.52 (0.15 cos 12 - sin 12) = -2.42 kN where all of it rests, and not the least
    that rests; with both slings, 0.5 m in, -1.05. With dirty bars it still takes a pull: 39.52 (0.5 cos 12 - sin 12) = 11.11."""
    one = sloped(-12)
    c, s = math.cos(math.radians(12)), math.sin(math.radians(12))
    deep, near = one.stand(2.5).working, one.stand(0.5).working
    assert deep["F_1"] / 1e3 == pytest.approx(-2.42, abs=0.005)
    assert deep["F_2"] / 1e3 == pytest.approx(11.11, abs=0.01)
    assert deep["F_stop"] == pytest.approx(1.25 * deep["F_2"])
    assert near["F_1"] / 1e3 == pytest.approx(-1.05, abs=0.01)
    assert near["F_1"] == pytest.approx(near["N_2"] * (0.15 * c - s))
    assert one.working["F_h"] / 1e3 == pytest.approx(2.42, abs=0.005)
    for found in (one.findings, near.all_findings(), deep.all_findings()):
        (said,) = texts(found, "stop")
        assert "runs away by itself if the bars are clean: rig a hold-back for 2.5 kN" in said
        assert "binds" not in said


@pytest.mark.computed
@pytest.mark.parametrize(("degrees", "way"), [(-30, "insert"), (30, "pull")])
def test_where_dirty_bars_run_too_there_is_nothing_to_pull_with(degrees, way):
    """0.5 cos 30 - sin 30 = -0.067: the least it pulls by itself is that of the least that rests; the pull to stop at is none."""
    one = sloped(degrees, way)
    w = one.stand(2.5).working
    assert w["F_1"] == pytest.approx(w["N_2"] * (0.15 * 3**0.5 / 2 - 0.5))
    assert w["F_2"] == pytest.approx(w["N_1"] * (0.5 * 3**0.5 / 2 - 0.5))
    assert w["F_1"] < w["F_2"] < 0
    assert w["F_stop"] == 0
    (said,) = texts(one.findings, "stop")
    assert "any pull means it binds" in said
    assert not texts(sloped(-degrees, way).findings, "stop")


def test_a_slope_that_friction_holds_is_a_warning_for_less_of_it():
    assert texts(sloped(-3).findings, "warn")[-1].startswith("Downhill: with less friction")
    assert not [f for f in sloped(0, friction_high=quantity("0.3", "-")).findings if f.level != "note"]
    assert "F_h" not in sloped(-3).working.steps


def test_uphill_the_rows_say_that_no_margin_is_left():
    """Friction 0.3 and 12 degrees: 0.3 cos 12 + sin 12 = 0.501 of what rests, over half of the weight where all of it does."""
    one = sloped(12, friction_high=quantity("0.3", "-"))
    (said,) = texts(one.findings, "warn")
    assert said.startswith("With the friction of dirty bars in the file, 0.3, and the shell uphill the pull expected reaches")
    assert texts(one.stand(4.5).working.all_findings(), "warn") == [said]
    assert texts(one.stand(0.5).working.all_findings(), "warn") == []


def test_a_runaway_stands_in_every_form_that_is_given_out():
    """Terminal, JSON and sheet have it for the whole way, not only where a place is asked for."""
    one = sloped(-12)
    assert "STOP: On this slope it runs away by itself" in "\n".join(way_text(one))
    given = way_json(one)
    assert any("runs away" in f["text"] for f in given["findings"])
    assert any("runs away" in f["text"] for f in given["places"][0]["findings"])


@pytest.mark.computed
def test_a_channel_raised_until_only_the_last_baffle_rests():
    """5 m in: W (x_f - x_c)/(x_f + 0.45), the last of 16 baffles at 0.175 + 0.42 + 15 x 0.34 = 5.695 m."""
    w = going("22-E-201A", sling_points_m=m(0.91)).stand(5.0).working
    assert w["x_f"] == pytest.approx(5.695)
    assert w["R_e"] == pytest.approx(w["W"] * (5.695 - w["x_c"]) / (5.695 + 0.45), rel=1e-6)
    assert w["R_h"] == 0
    assert "R_n" not in w.steps


def test_stages_and_places_follow_the_slings():
    one = going()
    assert [one.stage(s) for s in (0.5, 1.09, 1.11, 4.5, 4.52, 6.0)] == ["both", "both", "front", "front", "held", "held"]
    assert one.places()[:3] == (0.5, 1.0, 1.5)
    assert one.places()[-1] == pytest.approx(6.021)
    out = going(way="pull").places()
    assert out[0] == pytest.approx(6.021)
    assert [6.096 - p for p in out[1:4]] == pytest.approx([0.5, 1.0, 1.5])


def test_a_bundle_whose_slings_nobody_placed_has_no_places():
    one = going(sling_points_m=None)
    assert not one.known
    assert "sling_points_m" in one.missing[0].do
    with pytest.raises(ValueError, match="not known"):
        one.stand(2.0)
    x, n = demo("14-E-108")
    assert not on_its_way(x, n.bundle, n.hung, "insert").known


def test_without_friction_there_is_a_hook_and_no_pull():
    one = going(friction_low=None)
    w = one.stand(2.0).working
    assert "R_h" in w.steps
    assert "F_2" not in w.steps
    assert "friction" in one.missing[0].do


@pytest.mark.parametrize(
    "tag", ["14-E-101", "14-E-104", "14-E-106", "14-E-109", "14-E-112", "22-E-201A", "22-E-204", "22-E-207", "31-E-301"]
)
@pytest.mark.parametrize("way", ["insert", "pull"])
def test_on_every_bundle_nothing_is_carried_twice_or_lost(tag, way):
    one = going(tag, way)
    for metres in one.places():
        w = one.stand(metres).working
        assert w["R_h"] + w["R_m"] == pytest.approx(w["W"])
        assert -1e-6 * w["W"] <= w["N_1"] <= w["N_2"] <= w["W"] * (1 + 1e-9)
        assert w["F_1"] <= w["F_2"]
        assert w["F_stop"] <= w["W"] * (0.5 if way == "insert" else 1.5) * (1 + 1e-9)


# single calculation


def asked(**keys):
    given = {"weight": "10 kN", "centre": "4 m", "hook": "2 m", "length": "10 m", "inserted": "3 m"} | keys
    return mouth_reaction.run(mouth_reaction.parse(given))


def test_a_hook_behind_the_centre_of_gravity_is_a_stop():
    assert [f.level for f in asked(hook="5 m").findings] == ["stop"]
    assert asked().findings == []
    assert [f.level for f in asked(inserted="6.5 m").findings] == ["warn"]  # inside by half a metre, less than a tenth of 10 m
    assert asked(inserted="7.1 m").findings == []


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ({"inserted": "11 m"}, "inserted: '11 m' is more than the length"),
        ({"hook": "7 m"}, "hook: '7 m' is inside the shell by now"),
        ({"hook": "8 m"}, "hook: '8 m' is inside the shell by now"),
        ({"hook": "12 m"}, "hook: '12 m' is beyond the rear end"),
        ({"length": "5 m", "hook": "-5.1 m"}, "hook: '-5.1 m' is further in front of the bundle than the bundle is long"),
        ({"centre": "10.1 m"}, "centre: '10.1 m' is beyond the rear end"),
        ({"length": "5 m", "centre": "-5.1 m", "hook": "-5 m"}, "centre: '-5.1 m' is further in front"),
        ({"centre": "10.1 m", "hook": "8 m"}, "hook: '8 m' is inside the shell"),
    ],
)
def test_a_place_that_cannot_be_is_refused(keys, said):
    with pytest.raises(BadInput, match=said):
        asked(**keys)


# what pushes up


def test_with_bars_every_baffle_bears_and_without_those_whose_cut_is_elsewhere():
    x, _ = demo()
    one = going()
    assert has_bars(x)
    assert len(bearing_baffles(x, one.beam)) == 17
    bare = replace(x, bundle=replace(x.bundle, sliding_bars="none"))
    assert not has_bars(bare)
    assert bearing_baffles(bare, one.beam) == list(one.beam.baffles[0::2])  # the first is cut at the top
    turned = replace(bare, baffles=replace(x.baffles, first_cut="down"))
    assert bearing_baffles(turned, one.beam) == list(one.beam.baffles[1::2])
    upright = replace(bare, baffles=replace(x.baffles, cut_direction="vertical"))
    assert len(bearing_baffles(upright, one.beam)) == 17


def test_the_mouth_bears_where_bars_run_over_it_or_a_baffle_stands_on_it():
    x, _ = demo()
    beam = going().beam
    at_baffle = beam.length - beam.baffles[10]
    assert [s.at for s in mouth_rests(x, beam, at_baffle + 0.01)] == [beam.baffles[10]]
    assert [s.at for s in mouth_rests(x, beam, at_baffle + 0.1)] == [pytest.approx(beam.baffles[10] - 0.1)]
    bare = replace(x, bundle=replace(x.bundle, sliding_bars=""))
    assert list(mouth_rests(bare, beam, at_baffle + 0.1)) == []
    assert list(mouth_rests(x, beam, 0.2)) == []  # behind the last baffle there is no bar
    inside = list(rests(x, beam, at_baffle + 0.1))
    assert [s.at for s in inside[:-1]] == list(beam.baffles[10:])
    assert inside[-1].gap == pytest.approx((0.808 - 0.797) / 2)


# the bore


def measured(x, *readings):
    found = tuple(BoreReading(at=m(y), least=quantity(f"{a} mm", "mm"), most=quantity(f"{b} mm", "mm")) for y, a, b in readings)
    return bore_fit(replace(x, shell=replace(x.shell, measured_bore=found)))


@pytest.mark.computed
def test_bore_against_baffles_by_hand():
    """808 mm baffles in 813 mm: 5 mm. TEMA's design clearance for 32 in is 4.76 mm. At 2 m 812.0 to 814.5: 4 mm clear, 2.5 out of round."""
    x, _ = demo()
    a = measured(x, (2.0, 812.0, 814.5))
    w, p = a.working, a.working.parts[0]
    assert w["c_d"] * 1e3 == pytest.approx(5.0)
    assert w["c_t"] * 1e3 == pytest.approx(4.76)
    assert (p["c"] * 1e3, p["o"] * 1e3) == (pytest.approx(4.0), pytest.approx(2.5))
    assert [f for f in a.findings if f.level != "note"] == []


@pytest.mark.computed
def test_where_it_jams():
    """At 3.8 m 807.5 mm: the leading thing that is as wide is the last baffle, at 5.485 m: 3.8 + 6.096 - 5.485 = 4.411 m in."""
    x, _ = demo()
    a = measured(x, (3.8, 807.5, 813.0))
    stops = [f.text for f in a.findings if f.level == "stop"]
    assert len(stops) == 1
    assert "baffle 17 does not pass" in stops[0]
    assert a.working.parts[0]["s_j"] == pytest.approx(4.411)
    assert "not forced" in stops[0]
    narrow = measured(x, (3.8, 796.0, 813.0))
    assert "floating tubesheet does not pass" in next(f.text for f in narrow.findings if f.level == "stop")
    assert narrow.working.parts[0]["s_j"] == pytest.approx(3.8)
    behind = measured(x, (6.5, 700.0, 813.0))  # nothing goes so far
    assert [f for f in behind.findings if f.level == "stop"] == []


@pytest.mark.parametrize(("least", "most", "said"), [(811.0, 816.5, "Out of round"), (810.4, 812.0, "Less than half")])
def test_a_bore_that_may_bind_is_said(least, most, said):
    x, _ = demo()
    found = [f.text for f in measured(x, (2.0, least, most)).findings if f.level == "warn"]
    assert len(found) == 1
    assert found[0].startswith(said)


def test_a_bore_nobody_measured_and_a_shell_without_a_bundle():
    x, _ = demo()
    assert any("not measured" in f.text for f in bore_fit(x).findings)
    assert bore_fit(demo("14-E-108")[0]) is None
    kettle = bore_fit(demo("14-E-106")[0]).working
    assert kettle["D_n"] * 1e3 == pytest.approx(762)


def bare(x, baffles=True, length=True, shell_length=True, **shell):
    """The exchanger without what says where its baffles stand, without the length of its tubes, or without that of its shell."""
    shell |= {} if shell_length else {"length": None}
    x = x if baffles else replace(x, baffles=replace(x.baffles, first_position=None))
    x = x if length else replace(x, tubes=replace(x.tubes, length=None))
    return replace(x, shell=replace(x.shell, **shell))


def test_the_bore_is_held_against_baffles_whether_the_shell_is_measured_or_not():
    """807.5 mm for baffles of 808: the same stop at the same place, with 4.411 m in, shell length or none."""
    x, _ = demo()
    a = measured(x, (3.8, 807.5, 813.0))
    b = measured(bare(x, shell_length=False), (3.8, 807.5, 813.0))
    assert [f.text for f in a.findings] == [f.text for f in b.findings]
    assert b.working.parts[0]["s_j"] == pytest.approx(4.411)
    assert a.missing == b.missing == ()


def test_a_place_beyond_all_of_the_bundle_asks_for_the_length_of_the_shell():
    """The leading tubesheet comes as far as 6.021 m; the shell goes on behind it, or the tape was read wrong."""
    x, _ = demo()
    assert measured(x, (6.5, 700.0, 813.0)).missing == ()
    asked = measured(bare(x, shell_length=False), (6.5, 700.0, 813.0))
    assert [m_.number for m_ in asked.missing] == ["length of the shell"]
    assert "flange face to flange face" in asked.missing[0].do
    assert "6.50 m" in asked.missing[0].do


def test_baffles_that_stand_nobody_knows_where_pass_everywhere():
    x, _ = demo()
    unplaced = bare(x, baffles=False)
    a = measured(unplaced, (3.8, 807.5, 813.0))
    stops = [f.text for f in a.findings if f.level == "stop"]
    assert len(stops) == 1
    assert stops[0].startswith("At 3.80 m (12.5 ft) the baffle does not pass. Find it")
    assert "s_j" not in a.working.parts[0].steps
    assert [m_.number for m_ in a.missing] == ["which baffle passes where"]
    assert "first_position in [baffles]" in a.missing[0].do
    narrow = measured(unplaced, (3.8, 796.0, 813.0))
    assert "floating tubesheet does not pass" in next(f.text for f in narrow.findings if f.level == "stop")
    assert bore_fit(unplaced).missing == (), "nothing was measured: nothing is asked for"
    reading = BoreReading(at=m(3.8), least=quantity("812 mm", "mm"), most=quantity("814 mm", "mm"))
    assert "which baffle passes where" in [
        m_.number for m_ in numbers(replace(unplaced, shell=replace(x.shell, measured_bore=(reading,)))).missing()
    ]


def test_a_bore_measured_for_baffles_of_no_size_asks_for_it():
    x, _ = demo()
    no_plate = replace(x, baffles=replace(x.baffles, outside_diameter=None))
    assert bore_fit(no_plate) is None
    asked = measured(no_plate, (2.0, 812.0, 814.5))
    assert [m_.number for m_ in asked.missing] == ["clearance of the baffles in the shell"]
    assert "outside_diameter in [baffles]" in asked.missing[0].do
    assert clear_said(asked) == "not known"
    no_bore = replace(x, shell=replace(x.shell, inside_diameter=None))
    assert "inside_diameter in [shell]" in measured(no_bore, (2.0, 812.0, 814.5)).missing[0].do
    no_tubes = measured(bare(x, length=False), (2.0, 812.0, 814.5))
    assert [m_.number for m_ in no_tubes.missing] == ["whether the rear end passes"]


def test_what_leads():
    assert [b.name for b in passing(demo()[0])][:2] == ["floating tubesheet", "baffle 17"]
    assert passing(demo("14-E-104")[0])[0].name == "baffle 18"
    assert [b.name for b in passing(demo("14-E-106")[0])][:2] == ["floating head", "floating tubesheet"]


def test_what_stands_where():
    """3.8 m in, the mouth is at 2.296 m: baffles 7 and 8 at 2.435 and 2.74 m are 0.14 and 0.44 m behind it, N1 is 10 in wide at 0.30 m."""
    said = list(found_at(demo()[0], 3.8))
    assert said[0].startswith("baffles 7, 8 at nozzle N1")
    assert said[-1] == "the floating tubesheet leads, 3.80 m (12.5 ft) behind the front flange"
    assert list(found_at(demo("14-E-104")[0], 2.0))[-1] == "the U-bends lead, from 2.00 m (6.6 ft) behind the front flange on"
    x, _ = demo()
    narrow = replace(
        x, shell=replace(x.shell, measured_bore=(BoreReading(at=m(3.8), least=quantity("812.9 mm", "mm"), most=quantity("814 mm", "mm")),))
    )
    assert any("floating tubesheet at 3.80 m" in t and "812.9 mm" in t for t in found_at(narrow, 3.8))


# rising pulls


@pytest.mark.practice
def test_a_rise_of_more_than_a_quarter_over_the_three_before():
    """Common practice: a quarter over the running value stops it. 8.33 kN runs before 14; 10.4 is not a quarter over, 10.5 is."""
    weight = 42096.0
    assert running([7500, 8000, 9500, 14000]) == pytest.approx(8333.3, abs=0.1)
    assert rises([7500, 8000, 9500, 14000], weight)
    assert rises([7500, 8000, 9500, 10500], weight)
    assert not rises([7500, 8000, 9500, 10400], weight)
    assert running([7500, 8000, 9500]) is None
    assert not rises([7500, 8000, 19500], weight)
    assert not rises([100, 100, 100, 2000], weight), "under a twentieth of the weight a pull tells nothing"


# what is said


def test_what_is_done_with_the_slings():
    one = going()
    said = {s: " ".join(do_now(one, one.stand(s))) for s in (0.5, 2.0, 4.0, 5.5)}
    assert "rear one is off before 1.09 m" in said[0.5]
    assert "never pulled into the shell" in said[0.5]
    assert "before 4.50 m" in said[2.0]
    assert "keeps its load until 3.76 m" in said[2.0]
    assert "outside the mouth by 1.14 m" in said[2.0]  # 6.096 - 2.952 - 2.0 = 1.144 m
    assert "inside the mouth by 0.85 m" in said[4.0]  # 4.0 - 3.144 = 0.856 m
    between = " ".join(do_now(one, one.stand(3.2)))
    assert "inside the mouth by 0.05 m" in between  # 3.2 - 3.144 = 0.056 m
    assert "less than a tenth of its length" in between
    assert "keeps its load until 3.76 m (12.4 ft) are in, though it may read little" in between
    assert "person in charge of the lift decides" in said[4.0]
    assert not any(word in " ".join(said.values()).lower() for word in ("cannot tip", "safe", "may go slack"))
    assert "guide pins" in said[5.5]
    assert "held at tubesheet or channel" in said[5.5]


def test_what_is_done_coming_out():
    """It tips with less than 3.745 m in: 2.351 m out. The front sling fits with 6.096 - 4.506 = 1.59 m out, the rear one with 5.00."""
    one = going(way="pull")
    said = {s: " ".join(do_now(one, one.stand(s))) for s in (5.5, 4.0, 2.0, 0.5)}
    assert "before 2.35 m" in said[5.5]
    assert "front sling goes on with 1.59 m" in said[5.5]
    assert "inside the mouth by 0.86 m" in said[4.0]
    assert "left alone it tips out. The hook keeps its load." in said[2.0]
    assert "rear one goes on with 5.00 m" in said[2.0]
    assert "Both slings on" in said[0.5]


@pytest.mark.practice
def test_stuck_says_never_pressure_and_never_a_bigger_puller():
    out, into = " ".join(stuck(going(way="pull"))), " ".join(stuck(going()))
    assert "Never pressure, steam" in out
    assert "engineer decides" in out
    assert "Never a bigger puller" in into
    assert "Back it out" in into
