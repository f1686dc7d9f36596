"""Two legs hold the weight: equilibrium for a thousand lifts made at random; flat legs stop; blocks add two pulls."""

from __future__ import annotations

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boxup.core.calculation import BadInput
from boxup.lift.block import block_load
from boxup.lift.sling import sling_legs


def legs(weight=17050.0, left=1.6, right=1.4, height=2.6):
    typed = {"weight": f"{weight:.17e} N", "left": f"{left} m", "right": f"{right} m", "height": f"{height} m"}
    return sling_legs.run(sling_legs.parse(typed))


def test_equilibrium_of_a_thousand_random_lifts():
    made = random.Random(8)
    for _ in range(1000):
        weight, left, right, height = made.uniform(100, 1e6), made.uniform(0.01, 8), made.uniform(0.01, 8), made.uniform(0.1, 20)
        a = legs(weight, left, right, height)
        t_1, t_2 = a.si("left_tension"), a.si("right_tension")
        across = t_1 * math.cos(a.si("left_angle")) - t_2 * math.cos(a.si("right_angle"))
        up = t_1 * math.sin(a.si("left_angle")) + t_2 * math.sin(a.si("right_angle"))
        assert across == pytest.approx(0, abs=weight * 1e-9)
        assert up == pytest.approx(weight)
        assert a.si("left_share") * left == pytest.approx(a.si("right_share") * right)
        assert a.si("left_share") + a.si("right_share") == pytest.approx(weight)
        flat = min(a.si("left_angle"), a.si("right_angle")) < math.radians(30)
        assert ("stop" in [f.level for f in a.findings]) == flat


@given(st.floats(0.1, 8), st.floats(0.1, 8), st.floats(0.5, 9))
def test_left_and_right_swap(left, right, height):
    a, b = legs(left=left, right=right, height=height), legs(left=right, right=left, height=height)
    for key in ("tension", "share", "angle"):
        assert a.si(f"left_{key}") == pytest.approx(b.si(f"right_{key}"))


@pytest.mark.computed
@pytest.mark.parametrize(("angle", "factor"), [(60, 2 / math.sqrt(3)), (45, math.sqrt(2)), (30.001, 2.0)])
def test_the_leg_factor_is_one_over_the_sine(angle, factor):
    height = math.tan(math.radians(angle))
    a = legs(weight=2000, left=1, right=1, height=height)
    assert a.si("left_tension") == pytest.approx(1000 * factor, rel=1e-4)
    assert a.findings == []


def test_a_leg_straight_down_carries_all():
    a = legs(left=0)
    assert a.si("left_tension") == pytest.approx(17050)
    assert a.si("right_tension") == 0
    assert a.si("left_angle") == pytest.approx(math.pi / 2)


def test_just_below_thirty_degrees_stops():
    height = math.tan(math.radians(29.9))
    found = legs(left=1, right=1, height=height).findings
    assert [f.level for f in found] == ["stop", "stop"]
    assert "30 °" in found[0].text


def test_both_unit_systems_agree():
    a = legs()
    typed = {"weight": f"{17050 / 4.4482216152605} lbf", "left": f"{1.6 / 0.3048} ft", "right": f"{1400 / 25.4} in", "height": "260 cm"}
    b = sling_legs.run(sling_legs.parse(typed))
    for key in a.values:
        assert b.si(key) == pytest.approx(a.si(key))
    assert {v["unit"] for v in a.as_json()["answers"].values()} == {"N", "deg"}


@pytest.mark.parametrize(
    "keys",
    [
        {"weight": "0 N"},
        {"weight": "-1 N"},
        {"weight": "17"},
        {"left": "-1 m"},
        {"height": "0 m"},
        {"left": "0 m", "right": "0 m"},
        {"height": "1e400 m"},
        {"left": "1 N"},
    ],
)
def test_wrong_input_names_the_key(keys):
    with pytest.raises(BadInput) as caught:
        sling_legs.parse({"weight": "17.05 kN", "left": "1.6 m", "right": "1.4 m", "height": "2.6 m"} | keys)
    assert next(iter(keys)) in str(caught.value)


def test_a_weight_may_be_typed_as_a_mass():
    typed = {"left": "1.6 m", "right": "1.4 m", "height": "2.6 m"}
    by_mass, by_force = (sling_legs.run(sling_legs.parse(typed | {"weight": t})) for t in ("1739 kg", f"{1739 * 9.80665} N"))
    assert by_mass.si("left_tension") == pytest.approx(by_force.si("left_tension"))


def block(angle, line="1000 lbf"):
    return block_load.run(block_load.parse({"line": line, "angle": f"{angle} deg"})).si("load") / 4.4482216152605


@pytest.mark.computed
@pytest.mark.parametrize(("angle", "load"), [(0, 2000), (60, 1000 * math.sqrt(3)), (90, 1000 * math.sqrt(2)), (120, 1000), (180, 0)])
def test_block(angle, load):
    assert block(angle) == pytest.approx(load, abs=1e-9)


@given(st.floats(0, 180), st.floats(0, 180))
def test_a_block_turned_further_sees_less(a, b):
    assert (block(a) >= block(b)) == (a <= b) or block(a) == pytest.approx(block(b))


@pytest.mark.parametrize("angle", ["-1 deg", "181 deg", "90", "1 m"])
def test_block_angles_that_are_refused(angle):
    with pytest.raises(BadInput, match="angle"):
        block_load.parse({"line": "1 kN", "angle": angle})
