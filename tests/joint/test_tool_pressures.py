"""What a hydraulic wrench and a tensioner are set to, and what refuses them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boxup.core.calculation import BadInput
from boxup.core.rounding import both
from boxup.joint.pump_pressure import pump_pressure
from boxup.joint.tensioner import tensioner

TENSIONER = {"size": "1-1/2-8", "load": "400 kN", "piston_area": "5000 mm2"}


def work(calculation, **keys):
    return calculation.run(calculation.parse({k: str(v) for k, v in keys.items()}))


def levels(answer):
    return [f.level for f in answer.findings]


@given(st.floats(10, 5000), st.floats(0.5, 50))
def test_both_unit_systems_give_the_same_pump_pressure(torque, factor):
    si = work(pump_pressure, torque=f"{torque:.17e} N.m", factor=f"{factor} N.m/bar")
    us = work(pump_pressure, torque=f"{torque / 1.3558179483:.17e} lbf.ft", factor=f"{factor / 1.3558179483 / 14.503773773} lbf.ft/psi")
    assert us.si("pressure") == pytest.approx(si.si("pressure"))


def test_a_pump_pressure_above_what_the_wrench_may_see_is_a_stop():
    """616 N.m over 0.8 N.m/bar are 770 bar."""
    answer = work(pump_pressure, torque="616 N.m", factor="0.8 N.m/bar", most_pressure="700 bar")
    assert levels(answer) == ["stop"]
    assert "770 bar" in answer.findings[0].text
    assert levels(work(pump_pressure, torque="616 N.m", factor="0.89 N.m/bar", most_pressure="700 bar")) == []


def test_a_wrench_whose_most_pressure_nobody_knows_is_remarked_on():
    assert levels(work(pump_pressure, torque="616 N.m", factor="2.5 N.m/bar")) == ["note"]


@pytest.mark.practice
def test_a_pump_gauge_is_read_to_five_bar_or_fifty_psi():
    assert both("pump pressure", 215.6e5) == "215 bar (3\u202f150 psi)"  # 215.6 bar are 3127 psi
    assert both("pump pressure", 64.7e5) == "65 bar (950 psi)"


@pytest.mark.practice
def test_the_load_loss_falls_with_the_grip_and_never_under_a_tenth():
    """Two tensioner makers' sheets: 1.01 + diameter over grip, at least 1.10."""
    short, long_, longest = (work(tensioner, **TENSIONER, grip=f"{mm} mm").si("load_loss") for mm in (100, 200, 900))
    assert short == pytest.approx(1.391)
    assert long_ == pytest.approx(1.2005)
    assert longest == 1.1


def test_an_estimated_load_loss_warns_and_the_makers_does_not():
    assert "warn" in levels(work(tensioner, **TENSIONER, grip="150 mm", grade="B7"))
    assert "warn" not in levels(work(tensioner, **TENSIONER, load_loss="1.25", grade="B7"))


def test_a_stud_too_near_yield_while_it_is_pulled_has_no_pressure():
    """1-1/2-8 B7, root area 906.6 mm2, yield 105 ksi (723.9 MPa): 95 % of it is 623.5 kN."""
    good = work(tensioner, **TENSIONER | {"load": "560 kN"}, load_loss="1.1", grade="B7")  # 616 kN
    assert "stop" not in levels(good)
    assert "pressure" in good.values
    bad = work(tensioner, **TENSIONER | {"load": "570 kN"}, load_loss="1.1", grade="B7")  # 627 kN
    assert "stop" in levels(bad)
    assert "pressure" not in bad.values


def test_a_tensioner_asks_for_the_load_loss_or_the_grip():
    with pytest.raises(BadInput, match="load_loss, grip: one of the two"):
        work(tensioner, **TENSIONER)
