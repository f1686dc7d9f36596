"""The flanges of a joint at the load of its studs, and the limits they set: by the code's calculation, and by going to the limit."""

from __future__ import annotations

from dataclasses import replace
from math import asin, log, log10, pi, sqrt, tan

import pytest
from tests.joint.flanged import a_joint, flange, q, work

from boxup.core.calculation import BadInput
from boxup.exchanger.joints import FLOATING_HEAD
from boxup.exchanger.model import Flange
from boxup.job.calculations import find


def backing(**more) -> Flange:
    return flange(
        part="backing ring", type_="backing ring", halves="two split rings", od="900 mm", bore="805 mm", thickness="90 mm",
        bearing_diameter="815 mm", **more,
    )  # fmt: skip


def dished(**more) -> Flange:
    return flange(
        part="floating head", type_="dished cover", od="900 mm", bore="771 mm", thickness="120 mm", crown_radius="600 mm",
        head_thickness="16 mm", head_lever="12 mm", **more,
    )  # fmt: skip


ALL = {
    "integral": lambda: a_joint(flange()),
    "integral, plain shell": lambda: a_joint(flange(hub_large=None, hub_length=None)),
    "loose with hub": lambda: a_joint(flange(type_="loose", thickness="120 mm", hub_small="16 mm", hub_large="28 mm", hub_length="40 mm")),
    "loose": lambda: a_joint(flange(type_="loose", thickness="150 mm")),
    "ring": lambda: a_joint(flange(type_="ring", thickness="150 mm")),
    "lap": lambda: a_joint(flange(type_="lap", thickness="150 mm")),
    "flat cover": lambda: a_joint(flange(part="channel cover", type_="flat cover", thickness="95 mm")),
    "dished cover": lambda: a_joint(
        dished(), kind=FLOATING_HEAD, od=q("795 mm"), id_=q("771 mm"), circle="840 mm", size="7/8-9", count="36"
    ),
    "backing ring": lambda: a_joint(
        backing(), kind=FLOATING_HEAD, od=q("795 mm"), id_=q("771 mm"), circle="850 mm", size="7/8-9", count="36"
    ),
}


@pytest.mark.computed
@pytest.mark.parametrize("name", ALL)
def test_at_each_limit_that_state_is_just_at_what_it_takes(name: str) -> None:
    """The limit is the inverse of the stress: pulled up to it, the share comes out 1 to the last figures."""
    joint = ALL[name]()
    answer = work(joint)
    (one,) = answer.flanges
    assert one.states
    assert not one.missing
    for state in one.states:
        there = work(joint, state.most.si / 1e6).flanges[0]
        share = next(s.share for s in there.states if s.name == state.name)
        assert share.si == pytest.approx(1, rel=1e-6), state.name


@pytest.mark.computed
@pytest.mark.parametrize("name", ["integral", "integral, plain shell", "loose with hub", "loose", "ring", "lap"])
def test_a_flange_agrees_with_the_codes_calculation_at_the_same_moment(name: str) -> None:
    """`flange-stress` has printed outside values; its stresses, scaled to the moment of this joint, are ours."""
    joint = ALL[name]()
    f, answer = joint.flanges[0], work(joint)
    own = answer.flanges[0].working
    keys = {
        "type": f.type, "od": "965 mm", "bore": "813 mm", "bolt_circle": "914 mm", "thickness": f.thickness.typed, "gasket_od": "861 mm",
        "gasket_id": "829 mm", "m": "4", "y": "69 MPa", "pressure": "24.1 bar", "bolts": "32", "size": "1-8",
        "flange_allowable_design": "120 MPa", "flange_allowable_ambient": "138 MPa", "bolt_allowable_design": "172 MPa",
        "bolt_allowable_ambient": "172 MPa", "modulus_design": "184 GPa", "modulus_ambient": "202 GPa",
    }  # fmt: skip
    keys |= {k: v.typed for k in ("hub_small", "hub_large", "hub_length") if (v := getattr(f, k))}
    calculation = find("flange-stress")
    code = calculation.run(calculation.parse(keys))
    scale = own["M_a"] / code.si("moment_seating")
    for key, symbol in (("hub_stress", "S_H_a"), ("radial_stress", "S_R_a"), ("tangential_stress", "S_T_a")):
        assert own[symbol] == pytest.approx(scale * code.si(f"{key}_seating"), rel=1e-9)
    factor = 0.3 if f.type == "integral" else 0.2  # J is the rotation in degrees over 0.3 or 0.2
    assert own["theta_a"] * 180 / pi == pytest.approx(factor * scale * code.si("rigidity_seating"), rel=1e-9)


@pytest.mark.computed
def test_the_pressure_moment_is_that_of_appendix_2_written_out() -> None:
    """H_D h_D + H_T h_T + H_G h_G with the stud load of this joint, by hand. mm, N."""
    own = work(ALL["integral"]()).flanges[0].working
    b, c, g, g_1, p = 813.0, 914.0, own["G"] * 1e3, 28.0, 2.41
    h_g, r = (c - g) / 2, (c - b) / 2 - g_1
    h_d, h_t = r + g_1 / 2, (r + g_1 + h_g) / 2
    end, on_bore = pi / 4 * g**2 * p, pi / 4 * b**2 * p
    moment = on_bore * h_d + (end - on_bore) * h_t + (own["W"] - end) * h_g
    spacing = max(1.0, sqrt(pi * c / 32 / (2 * 25.4 + 95)))
    assert own["M_o"] == pytest.approx(spacing * moment * 1e-3, rel=1e-9)


@pytest.mark.computed
def test_a_flat_cover_by_plate_theory() -> None:
    """The stress of a plate bent at its edge by M a length is 6 M/t2, with M = W h_G over the gasket circle: 6/pi is UG-34's 1.9."""
    own = work(ALL["flat cover"]()).flanges[0].working
    g, w, h = own["G"], own["W"], own["h_G"]
    assert own["S_a"] == pytest.approx(6 * (w * h / (pi * g)) / 0.095**2, rel=0.006)  # 1.9 for 1.9099
    d = 202e9 * 0.095**3 / (12 * (1 - 0.3**2))
    slope = (w * h / (pi * g)) * (g / 2) / (d * 1.3)  # edge slope of a plate under an edge moment
    assert own["Z_f"] * w * h == pytest.approx(slope, rel=1e-3)
    by_pressure = own["P"] * (g / 2) ** 3 / (8 * d * 1.3)
    assert own["Z_f"] * own["M_p_o"] == pytest.approx(by_pressure, rel=1e-3)


@pytest.mark.computed
def test_the_ring_of_a_dished_cover_written_out() -> None:
    """1-6(g) solved for the stress: T = F + sqrt(F2 + J) comes back at that stress. mm, N, MPa."""
    own = work(ALL["dished cover"]()).flanges[0].working
    a, b, c, g, crown, head, lever, t = 900.0, 771.0, 840.0, own["G"] * 1e3, 600.0, 16.0, 12.0, 120.0
    for mark, p, inside in (("_a", 0.0, True), ("_o", 2.41, True), ("_t", 3.13, True), ("_x", 2.24, False), ("_d", 1.72, False)):
        h_g, h_d = (c - g) / 2, (c - b) / 2
        h_t = (h_d + h_g) / 2
        d, t_ = pi / 4 * b**2 * p, pi / 4 * (g**2 - b**2) * p
        across = d / tan(asin(b / (2 * crown + head)))
        w = own["W"]
        moment = w * h_g + (1 if inside else -1) * (d * (h_d - h_g) + t_ * (h_t - h_g) - across * lever)
        stress = own[f"S{mark}"] / 1e6
        f = p * b * sqrt(4 * crown**2 - b**2) / (8 * stress * (a - b))
        j = abs(moment) / (stress * b) * (a + b) / (a - b)
        assert f + sqrt(f**2 + j) == pytest.approx(t, rel=1e-9), mark


def test_a_floating_head_is_judged_in_service_with_the_tube_side_down() -> None:
    """1-6(g) asks for both pressures; hot, under the shell's alone, it may be nearest to its yield, and its limit is in the window."""
    answer = work(ALL["dished cover"]())
    share = {s.name: s.share.si for s in answer.flanges[0].states}
    assert share["tube side down"] > share["shell test"]  # 1.72 MPa at a yield of 190 MPa against 2.24 at 248
    names = {x.who for x in answer.window.limits}
    assert names >= {"floating head (F1), tube side down", "gasket of J1, crushing, tube side down"}


def test_studs_that_do_not_hold_the_dish_are_refused() -> None:
    """2 MPa on 783 mm pulls with 963 kN."""
    sizes = {"od": "890 mm", "bore": "771 mm", "bolt_circle": "840 mm", "crown_radius": "620 mm", "head_thickness": "16 mm"}
    keys = sizes | {"head_lever": "15 mm", "reaction_diameter": "783 mm", "pressure": "2 MPa", "allowable": "120 MPa"}
    calculation = find("dished-cover")
    with pytest.raises(BadInput, match="less than the end force 963"):
        calculation.parse(keys | {"bolt_load": "900 kN"})
    assert calculation.run(calculation.parse(keys | {"bolt_load": "900 kN", "side": "shell"})).si("ring_thickness") > 0


@pytest.mark.computed
@pytest.mark.parametrize(("halves", "share"), [("one piece", 1.0), ("one split ring", 2.0), ("two split rings", 0.75)])
def test_a_split_ring_is_worked_for_its_share_of_the_moment(halves: str, share: float) -> None:
    joint = ALL["backing ring"]()
    joint = replace(joint, flanges=(replace(joint.flanges[0], halves=halves),))
    own = work(joint).flanges[0].working
    k = 900 / 805
    y = (0.66845 + 5.71690 * k**2 * log10(k) / (k**2 - 1)) / (k - 1)
    moment = share * own["W"] * (0.850 - 0.815) / 2
    assert own["S_T_a"] == pytest.approx(y * moment / (0.090**2 * 0.805), rel=1e-9)
    assert own["theta_a"] == pytest.approx(pi / 180 * 109.4 * moment / (202e9 * 0.090**3 * log(k)), rel=1e-9)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"type_": ""}, "say how it carries the load"),
        ({"thickness": None}, "read thickness on the drawing"),
        ({"hub_length": None}, "read hub_length"),
        ({"yield_ambient": None}, "yield strength or the allowable stress"),
        ({"bore": "870 mm"}, "do not follow each other outward"),
        ({"od": "900 mm"}, "do not follow each other outward"),
        ({"hub_large": "10 mm"}, "less than"),
        ({"hub_large": "60 mm"}, "reaches the bolt circle"),
        ({"hub_small": "5 mm", "hub_large": "26 mm", "hub_length": "20 mm"}, "hold up to 5 times"),
        ({"hub_length": "345 mm"}, "accepted: up to 342.2 mm"),  # 3 times the root of 813 x 16
        ({"type_": "ring", "hub_small": "16 mm"}, "a ring has no hub"),
        ({"type_": "loose", "hub_small": "16 mm"}, "read hub_large, hub_length"),
    ],
)
def test_a_flange_that_cannot_be_worked_says_what_to_read(change: dict[str, object], said: str) -> None:
    answer = work(a_joint(flange(**change)))
    (one,) = answer.flanges
    assert one.states == ()
    assert said in " ".join(m.do for m in answer.missing)
    assert not any("F1" in x.who for x in answer.window.limits)
    assert answer.torque is not None


@pytest.mark.computed
def test_a_short_straight_hub_of_a_loose_flange_is_nearly_none() -> None:
    """A hub of 3 mm does nothing: the ring alone, S_T = Y M/(t2 B), carries the moment; a shell without end would share it."""
    bare = work(ALL["loose"]()).flanges[0].working
    short = a_joint(flange(type_="loose", thickness="150 mm", hub_small="16 mm", hub_large="16 mm", hub_length="3 mm"))
    own = work(short).flanges[0].working
    assert own["S_T_a"] == pytest.approx(bare["S_T_a"], rel=2e-3)
    assert own["theta_a"] == pytest.approx(bare["theta_a"], rel=0.03)  # 2-14 has 109.4/ln K for the one and 52.14 U for the other


def test_over_yield_is_a_stop_with_the_state_and_keeps_the_engineers_torque() -> None:
    answer = work(a_joint(flange(thickness="55 mm")))
    stops = [f.text for f in answer.findings if f.level == "stop"]
    assert any("over its yield, operating" in text for text in stops)
    assert any("No stud load satisfies every limit" in f.text and "channel flange (F1)" in f.text for f in answer.findings)
    assert answer.window.feasible is False
    assert not answer.window.impossible  # the flange limit is a closed form on the careful side
    assert answer.torque is not None


def test_the_window_of_a_whole_joint_is_the_strictest_of_all_its_limits() -> None:
    answer = work(ALL["integral"]())
    w = answer.window
    low = [x.step.si for x in w.limits if x.end == "low"]
    high = [x.step.si for x in w.limits if x.end == "high"]
    assert (w.lower.si, w.upper.si) == (max(low), min(high))
    assert {x.who for x in w.limits} >= {
        "gasket of J1, seating", "gasket of J1, in operation", "gasket of J1, on test", "gasket of J1, crushing",
        "channel flange (F1), operating",
        "channel flange (F1), rotation",
    }  # fmt: skip
    n_a = answer.working.parts[0]["n"] * answer.working.parts[0]["A"]
    area, end, test = (answer.gaskets[0].working[s] for s in ("A_g", "H", "H_t"))
    by_hand = {"seating": 55e6 * area / n_a, "in operation": (28e6 * area + end) / (0.7 * n_a), "on test": (28e6 * area + test) / n_a,
               "crushing": 310e6 * area / n_a}  # fmt: skip
    for what, wanted in by_hand.items():
        assert next(x.step.si for x in w.limits if x.who == f"gasket of J1, {what}") == pytest.approx(wanted, rel=1e-9)


def test_limits_somebody_gave_that_cannot_both_be_kept_leave_no_torque() -> None:
    answer = work(a_joint(flange(), crush_stress=q("40 MPa", "MPa")))
    assert answer.window.impossible
    assert answer.torque is None
    assert any("no stud load satisfies" in m.do for m in answer.missing)
    assert any("another gasket, other studs or a lower pressure" in f.text for f in answer.findings if f.level == "stop")


def test_what_the_site_works_to_is_the_window_where_it_says_so() -> None:
    joint = a_joint(flange())
    joint = replace(joint, studs=replace(joint.studs, least_stress=q("200 MPa", "MPa"), most_stress=q("340 MPa", "MPa")))
    answer = work(joint)
    assert answer.window.governing_high == "most stud stress of the site"
    assert any("above what the site works to" in f.text and f.level == "stop" for f in answer.findings)


def test_without_flanges_the_window_says_nothing_of_them_and_says_so() -> None:
    w = work(a_joint()).window
    assert w.whole
    assert any("until then the window says nothing of them" in m.do for m in w.missing)


@pytest.mark.parametrize("end", ["low", "high"])
def test_a_target_outside_the_window_is_told_with_who_sets_that_end(end) -> None:
    joint = a_joint(flange(), seating_stress=q("100 MPa", "MPa"), crush_stress=q("120 MPa", "MPa"))
    ring = pi / 4 * (861**2 - 829**2)  # mm2: the gasket has no ribs
    root = pi / 4 * (25.4 - 1.299038 * 25.4 / 8) ** 2  # ASME B1.1: root of an external thread, eight to the inch
    edge = {"low": 100, "high": 120}[end] * ring / (32 * root)  # MPa in the studs
    who = {"low": "below this joint's window: gasket of J1, seating", "high": "above this joint's window: gasket of J1, crushing"}
    out, within = (edge - 3, edge + 3) if end == "low" else (edge + 3, edge - 3)
    assert any(who[end] in f.text and f.level == "warn" for f in work(joint, out).findings)
    assert not any("this joint's window" in f.text for f in work(joint, within).findings)
