"""A bundle held at one point, on a saddle, in two slings: numbers by a second route, and what is said of a sling in the wrong place."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from boxup.core.calculation import BadInput
from boxup.core.quantity import quantity
from boxup.exchanger.file import load
from boxup.job.numbers import numbers
from boxup.lift.beam import Load, Support, bent
from boxup.lift.bundle_beam import BundleBeam, baffle_places, bundle_beam
from boxup.lift.contact import sling_contact
from boxup.lift.hold import BEST, ONE, PLANNED, SADDLE, best_pair, holding
from boxup.lift.mouth import mouth_reaction
from boxup.lift.picks import equal_bending_picks

DEMO = Path(__file__).parents[2] / "src" / "boxup" / "demo" / "data"
G = 9.80665
# A bundle of 316 tubes 19.05 x 2.11 mm, 4.877 m, 1739 kg: parts and places as worked by hand.
TUBES, OD, WALL, LENGTH, SHEET = 316, 0.01905, 0.00211, 4.877, 0.050
ONE_TUBE = math.pi / 64 * (OD**4 - (OD - 2 * WALL) ** 4)
EI = TUBES * 200e9 * ONE_TUBE
PARTS = (
    Load(0.0, 1357 * G, LENGTH), Load(SHEET / 2, 115 * G), Load(LENGTH - SHEET / 2, 64 * G), Load(0.44, 97 * G, 4.44),
    Load(SHEET, 87 * G, LENGTH - SHEET), Load(4.6, 13 * G), Load(0.35, 4.5 * G),
)  # fmt: skip


def stress(moment):
    """MPa in the outermost fibre of each tube, the moment shared by all."""
    return abs(moment) / TUBES * (OD / 2) / ONE_TUBE / 1e6


def cantilever(loads, root, tip, slices=4000):
    """Second route: bending at `root` and droop of `tip` of the piece between them, clamped at the root, by summing over slices."""
    sign = 1 if tip > root else -1
    span = abs(tip - root)

    def moment(xi):
        total = 0.0
        for f in loads:
            a, b = sorted((sign * (f.at - root), sign * ((f.to or f.at) - root)))
            if f.to is None:
                total += f.force * max(a - xi, 0.0) if a >= 0 else 0.0
            else:
                low, high = max(a, xi), max(b, xi)
                total += f.force / (b - a) * ((high**2 - low**2) / 2 - xi * (high - low)) if high > low else 0.0
        return total

    step = span / slices
    droop = sum(moment((i + 0.5) * step) * (span - (i + 0.5) * step) * step for i in range(slices)) / EI
    return moment(0.0), droop


def centre():
    total = sum(f.force for f in PARTS)
    return sum(f.force * f.middle for f in PARTS) / total


@pytest.mark.computed
def test_one_point_under_the_centre_of_gravity_by_slices():
    """By summing M (l - x)/EI over slices of two cantilevers: 84 to 85 MPa, ends 67 and 72 mm down."""
    at = centre()
    got = bent(EI, PARTS, [Support("one", at)])
    rear, front = cantilever(PARTS, at, LENGTH), cantilever(PARTS, at, 0.0)
    assert got.worst()[0] == at
    assert -got.moment(at) == pytest.approx(rear[0], rel=1e-6) == pytest.approx(front[0], rel=1e-6)
    assert (got.droop(LENGTH), got.droop(0.0)) == (pytest.approx(rear[1], rel=1e-4), pytest.approx(front[1], rel=1e-4))
    assert stress(rear[0]) == pytest.approx(84.5, abs=1)
    assert (rear[1] * 1e3, front[1] * 1e3) == (pytest.approx(72, abs=2), pytest.approx(67, abs=2))


@pytest.mark.computed
def test_a_saddle_of_six_tenths_by_slices():
    """67 MPa at its edge. The ends: 40 to 45 mm where a saddle clamps the bundle flat; it only pushes up, so the middle lifts off it and
    the ends hang half as low again."""
    at = centre()
    rear, front = cantilever(PARTS, at + 0.3, LENGTH), cantilever(PARTS, at - 0.3, 0.0)
    got = bent(EI, PARTS, [Support("a", at - 0.3), Support("b", at + 0.3)])
    assert stress(rear[0]) == pytest.approx(66.5, abs=1)
    assert -got.moment(at + 0.3) == pytest.approx(rear[0], rel=1e-6)
    assert (rear[1] * 1e3, front[1] * 1e3) == (pytest.approx(43, abs=3), pytest.approx(40, abs=3))
    assert got.droop(at) < 0, "clear of the saddle between its edges"
    turn = [m[0] * 0.3 / EI for m in (rear, front)]  # half the saddle times its bending, which is all but even along it
    for (_, clamped), tilt, end, root in ((rear, turn[0], LENGTH, at + 0.3), (front, turn[1], 0.0, at - 0.3)):
        assert got.droop(end) == pytest.approx(clamped + tilt * abs(end - root), rel=0.02)
    assert (got.droop(0.0) * 1e3, got.droop(LENGTH) * 1e3) == (pytest.approx(62, abs=2), pytest.approx(67, abs=2))


@pytest.mark.computed
def test_two_slings_a_sixth_in():
    """At 0.85 m from each end 15 to 16 MPa, a fifth of one point; 8.8 and 8.2 kN. With unequal ends the best is 0.166 and 0.190 L."""
    got = bent(EI, PARTS, [Support("front", 0.85), Support("rear", LENGTH - 0.85)])
    assert stress(got.worst()[1]) == pytest.approx(15.5, abs=0.6)
    weight, at = sum(f.force for f in PARTS), centre()
    front = weight * (LENGTH - 0.85 - at) / (LENGTH - 1.7)
    assert got.reaction("front") == pytest.approx(front)
    assert (front / 1e3, (weight - front) / 1e3) == (pytest.approx(8.9, abs=0.15), pytest.approx(8.1, abs=0.15))
    spread = quantity("1558.5 kg", "kg")
    p = equal_bending_picks(spread=spread, length=quantity("4.877 m", "m"), front_end=quantity("115 kg", "kg"),
                            rear_end=quantity("64 kg", "kg"))  # fmt: skip
    assert p.front / LENGTH == pytest.approx(0.166, abs=0.002)
    assert 1 - p.rear / LENGTH == pytest.approx(0.190, abs=0.002)
    even = equal_bending_picks(spread=spread, length=quantity("4.877 m", "m"), front_end=quantity("89.5 kg", "kg"),
                               rear_end=quantity("89.5 kg", "kg"))  # fmt: skip
    assert even.front / LENGTH == pytest.approx(0.178, abs=0.002)


@pytest.mark.computed
def test_more_than_half_must_be_in():
    """Centre of gravity 0.485 of the length from the tubesheet: 51.5 % of 4.877 m, 2.51 m, must be in; 0.1 L more is 3.00 m."""
    a = mouth_reaction.run(mouth_reaction.parse({"weight": "1739 kg", "centre": "2.363 m", "hook": "0.85 m", "length": "4.877 m",
                                                 "inserted": "2.52 m"}))  # fmt: skip
    assert a.si("inside_by_a_tenth") == pytest.approx(2.51 + 0.1 * LENGTH, abs=0.005)
    assert (a.si("inside_by_a_tenth") / LENGTH) - 0.1 == pytest.approx(0.515, abs=0.001)
    assert a.si("hook_load") == 0, "2.51 m in is where nothing hangs on the hook, by these figures"


def contact(**keys):
    given = {"load": "17.05 kN", "diameter": "586 mm", "width": "100 mm", "pitch": "25.4 mm", "tube_od": "19.05 mm",
             "tube_wall": "2.11 mm", "span": "300 mm"} | keys  # fmt: skip
    return sling_contact.run(sling_contact.parse(given))


@pytest.mark.computed
@pytest.mark.parametrize(("width", "mpa"), [(100, 107.6), (150, 96.8), (300, 64.5)])
def test_a_sling_between_two_baffles_by_hand(width, mpa):
    """17.05 kN over 586 mm x b: 25.4 mm of it is 739 N on one tube whatever b. In the middle of 300 mm, free to turn: P/4 (l - b/2) over
    Z = 429.4 mm3. (A tube pressed so along the whole span, w l2/10, would have 155, 103 and 52 MPa: three times the load for 100 mm.)"""
    section = 2 * ONE_TUBE / OD
    assert section * 1e9 == pytest.approx(429.4, abs=0.1)
    by_hand = 739.03 / 4 * (0.3 - width / 2000) / section / 1e6
    assert contact(width=f"{width} mm").si("tube_stress") / 1e6 == pytest.approx(by_hand, rel=1e-4) == pytest.approx(mpa, abs=0.1)


@pytest.mark.computed
def test_basket_pressure():
    """Half of 17.05 kN over 0.293 m x 0.1 m: 291 kPa."""
    a = contact()
    assert a.si("pressure") / 1e3 == pytest.approx(17050 / 2 / 0.293 / 0.1 / 1e3) == pytest.approx(291, abs=0.5)
    assert a.si("tube_load") == pytest.approx(290955.6 * 0.0254 * 0.1, rel=1e-5)
    wide = contact(width="500 mm")
    assert wide.si("tube_load") == pytest.approx(17050 / (0.586 * 0.5) * 0.0254 * 0.3, rel=1e-6), "no more than lies between the baffles"
    with pytest.raises(BadInput, match="bore"):
        contact(tube_wall="10 mm")


@cache
def demo(tag="14-E-103"):
    x = load(DEMO / f"{tag}.toml")
    return x, numbers(x)


def held(x, n):
    a = holding(x, n.bundle, n.hung)
    return a, {p.name: p for p in a.working.parts}


def changed(x, **keys):
    return replace(x, bundle=replace(x.bundle, **keys))


def m(metres):
    return quantity(f"{metres} m", "m")


@pytest.mark.computed
@pytest.mark.parametrize("tag", ["14-E-101", "14-E-103", "14-E-104", "14-E-106", "14-E-109", "22-E-201A", "22-E-204", "31-E-303"])
def test_the_beam_weighs_what_the_bundle_weighs_and_balances_where_it_balances(tag):
    """Against the bundle's own sum of parts, in each state."""
    x, n = demo(tag)
    for state, mass, at in (("lifted", "lift_mass", "fouled_cg"), ("dry", "dry", "cg"), ("pulled", "fouled", "fouled_cg")):
        beam = bundle_beam(x, n.bundle, n.hung, state)
        assert isinstance(beam, BundleBeam)
        assert beam.weight == pytest.approx(n.hung.si(mass) * G)
        assert beam.centre == pytest.approx(n.hung.si(at), abs=1e-9)
        tube = math.pi / 64 * (x.tubes.od.si**4 - (x.tubes.od.si - 2 * x.tubes.wall.si) ** 4)
        modulus = {"14-E-104": 110e9, "31-E-303": 135e9}.get(tag, 200e9)  # admiralty brass, 90-10 copper-nickel; steels
        assert beam.stiffness / (x.tubes.count.si * tube) == pytest.approx(modulus, rel=0.04)


@pytest.mark.computed
def test_stress_of_each_way_by_hand():
    """592 tubes of 19.05 x 2.11 mm: M (d/2) over 592 x 4090 mm4; a third of 180 MPa is 60 MPa; the slings' shares by moments."""
    x, n = demo()
    a, parts = held(x, n)
    inertia = 592 * math.pi / 64 * (19.05**4 - 14.83**4)
    assert a.working["I_b"] * 1e12 == pytest.approx(inertia, rel=1e-9)
    assert a.working["S_b"] / 1e6 == pytest.approx(60)
    weight = 5915.726 * G
    assert a.working["W"] == pytest.approx(weight, rel=1e-6)
    for name in (ONE, SADDLE, PLANNED, BEST):
        p = parts[name]
        assert p["s_b"] / 1e6 == pytest.approx(p["M_b"] * 1e3 * 9.525 / inertia, rel=1e-9)
        assert p["f_b"] == pytest.approx(p["s_b"] / 180e6)
    p = parts[PLANNED]
    assert p["R_1"] == pytest.approx(weight * (4.75 - p["x_c"]) / 3.41, rel=1e-6)
    assert p["R_2"] == pytest.approx(weight * (p["x_c"] - 1.34) / 3.41, rel=1e-6)
    assert (parts[SADDLE]["x_1"], parts[SADDLE]["x_2"]) == (pytest.approx(2.74), pytest.approx(3.045))
    front = parts["front sling on the tubes"]
    assert front["p"] == pytest.approx(p["R_1"] / (0.808 * 0.3))
    assert sum("one narrow sling" in f.text or "one saddle" in f.text for f in a.findings if f.level == "note") == 2


@pytest.mark.computed
def test_no_two_baffles_bend_it_less_than_the_best_two():
    """Every pair of baffles worked by the beam: none is better than a hundredth of the best."""
    x, n = demo()
    beam = bundle_beam(x, n.bundle, n.hung, "lifted")
    front, rear = best_pair(beam)
    best = abs(bent(beam.stiffness, beam.loads, [Support("f", front), Support("r", rear)]).worst()[1])
    for a in beam.baffles:
        for b in beam.baffles:
            if a < beam.centre < b:
                there = abs(bent(beam.stiffness, beam.loads, [Support("f", a), Support("r", b)]).worst()[1])
                assert there > best * 0.99
    assert {front, rear} < set(baffle_places(x))


def test_a_channel_that_rides_is_the_better_place_in_front():
    x, n = demo("22-E-201A")
    a, parts = held(x, n)
    assert parts[BEST]["x_1"] == pytest.approx(-0.45)
    assert "v_1" not in parts[BEST].steps
    assert not any(f.level == "warn" for f in a.findings), "its file hangs it there"
    assert "front sling on the tubes" not in parts
    tubes, _ = held(changed(x, sling_points_m=m(0.91), sling_points_far_m=m(4.65)), n)
    assert any(f.level == "warn" and "on the channel that rides along" in f.text for f in tubes.findings)


@pytest.mark.demo
def test_slings_at_their_best_that_still_bend_the_tubes_are_said_once():
    """22-E-204, on purpose: 89 MPa, 57 allowed, and no two places do better."""
    x, n = demo("22-E-204")
    a, parts = held(x, n)
    told = [f.text for f in a.findings if f.level == "warn"]
    assert len(told) == 1
    assert "no two places bend them less; use a cradle, and ask the engineer" in told[0]
    assert parts[PLANNED]["s_b"] == pytest.approx(parts[BEST]["s_b"])
    elsewhere, _ = held(changed(x, sling_points_far_m=m(3.33)), n)
    assert [f.text.partition(":")[0] for f in elsewhere.findings if f.level == "warn"] == [
        "In the two slings of the file its tubes bend too far",
        "Even in two slings at their best its tubes bend too far",
    ]


@pytest.mark.parametrize(
    ("front", "said", "level"),
    [
        (1.36, "lies between baffles", "warn"),  # 1.215 and 1.52 are beside it, 0.1 m of sling reaches neither
        (1.21, "lies on the baffle at 1.21 m", "note"),
        (0.30, "lies where no baffle is", "warn"),
    ],
)
def test_a_sling_in_the_wrong_place_is_said(front, said, level):
    x, n = demo()
    a, parts = held(changed(x, sling_points_m=m(front), sling_width=quantity("100 mm", "mm")), n)
    found = [f for f in a.findings if said in f.text and "front sling" in f.text]
    assert [f.level for f in found] == [level]
    assert ("s_l" in parts["front sling on the tubes"].steps) == (said == "lies between baffles")


def test_tubes_under_a_narrow_sling_between_baffles_bend_too_far():
    x, n = demo()
    a, parts = held(changed(x, sling_points_m=m(1.3675), sling_width=quantity("50 mm", "mm")), n)
    p = parts["front sling on the tubes"]
    by_hand = p["R"] / (0.808 * 0.05) * 0.0254 * 0.05 / 4 * (0.305 - 0.025) * 9.525e-3 / (math.pi / 64 * (0.01905**4 - 0.01483**4))
    assert p["s_l"] == pytest.approx(by_hand, rel=1e-6)
    assert by_hand > 60e6
    assert any("The tubes under it bend too far" in f.text for f in a.findings)


def test_a_sling_wide_enough_for_two_baffles_has_nothing_to_say():
    x, n = demo()
    a, _ = held(changed(x, sling_points_m=m(1.3675), sling_points_far_m=m(4.7225), sling_width=quantity("400 mm", "mm")), n)
    assert not any("sling lies" in f.text or "bare tubes" in f.text for f in a.findings)


def test_bends_are_never_slung():
    x, n = demo("14-E-104")
    a, _ = held(changed(x, sling_points_far_m=m(5.0)), n)
    assert any(f.level == "stop" and "a bend is never slung" in f.text for f in a.findings)
    assert any("bends hang free" in f.text for f in a.findings)


def test_slings_on_one_side_tip_it():
    x, n = demo()
    a, parts = held(changed(x, sling_points_m=m(3.5), sling_points_far_m=m(4.75)), n)
    assert any(f.level == "stop" and "tips" in f.text for f in a.findings)
    assert "M_b" not in parts[PLANNED].steps


def test_a_metal_nobody_knows_has_no_limit_and_a_share_of_the_file_counts():
    x, n = demo()
    a, parts = held(replace(x, tubes=replace(x.tubes, material="unobtainium")), n)
    assert "S_b" not in a.working.steps
    assert "s_b" in parts[PLANNED].steps
    assert any("yield_strength" in one.do for one in a.missing)
    a, _ = held(changed(x, tube_stress_share=quantity("0.25", "-")), n)
    assert a.working["S_b"] / 1e6 == pytest.approx(45)
    a, _ = held(replace(x, tubes=replace(x.tubes, yield_strength=quantity("240 MPa", "MPa"))), n)
    assert a.working["S_b"] / 1e6 == pytest.approx(80)


@pytest.mark.practice
def test_what_is_never_done_is_said_and_nothing_is_called_safe():
    for tag in ("14-E-103", "14-E-106", "22-E-204"):
        a, _ = held(*demo(tag))
        said = " ".join(f.text for f in a.findings)
        assert "Never wire rope or chain on tubes" in said
        assert "not counted" in said
        assert " safe" not in said.lower()


def test_without_baffles_in_the_file_nobody_knows_where_slings_go():
    x, n = demo()
    bare = replace(x, baffles=replace(x.baffles, first_position=None))
    a, parts = held(bare, n)
    assert BEST not in parts
    assert any("first_position" in one.do for one in a.missing)
