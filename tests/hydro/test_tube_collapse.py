"""Tubes pressed from outside: the worked figures by a second route, the measured wall, and who decides when it is too much."""

from __future__ import annotations

from dataclasses import replace

import pytest

from boxup.core.calculation import BadInput
from boxup.core.quantity import quantity
from boxup.hydro.plan import plan_of
from boxup.hydro.sheet import Conditions
from boxup.hydro.sheet import test_sheet as sheet_of
from boxup.hydro.tube_collapse import tube_collapse

TUBE = {"tube_od": "19.05 mm", "wall": "2.11 mm", "yield_strength": "180 MPa"}


def run(**more: str):
    return tube_collapse.run(tube_collapse.parse(TUBE | more))


def texts(answer, level: str) -> str:
    return " | ".join(f.text for f in answer.findings if f.level == level)


def shell_test(x, **known):
    return sheet_of(x, next(t for t in plan_of(x) if t.code == "S2"), volume=None, known=Conditions(**known))


def of(x, **tubes):
    return replace(x, tubes=replace(x.tubes, **tubes))


@pytest.mark.computed
@pytest.mark.parametrize("ovality", [0.002, 0.01, 0.05, 0.15])
@pytest.mark.parametrize("wall", [0.5, 0.89, 1.65, 2.11])
def test_at_that_pressure_the_crown_of_the_oval_ring_yields(ovality: float, wall: float):
    """Statics of a ring, nothing of the quadratic: hoop, and bending by an oval grown by 1/(1 - P/P_e). 19.05 mm, 200 GPa, 0.3, 180 MPa."""
    a = run(wall=f"{wall} mm", ovality=str(ovality))
    p, e = (a.si(k) / 1e6 for k in ("collapse_pressure", "elastic_pressure"))
    mean, swing = (19.05 - wall) / 2, ovality * (19.05 - wall) / 4
    hoop = 180 / (a.si("yield_pressure") / 1e6)  # MPa of stress for each MPa outside, at the bore of a thick cylinder
    bending = 6 * swing / (1 - p / e) / wall * hoop
    assert p * (hoop + bending) == pytest.approx(180, rel=1e-6)
    assert hoop == pytest.approx(2 * 9.525**2 / (9.525**2 - (9.525 - wall) ** 2), rel=1e-9)  # Lamé
    assert e == pytest.approx(2 * 200e3 / 0.91 * wall**3 / (19.05 * (2 * mean) ** 2), rel=1e-9)


def test_never_more_than_either_of_the_two_and_less_the_less_round():
    found = [run(ovality=str(e)).si("collapse_pressure") for e in (0.0, 0.01, 0.03, 0.1)]
    assert found == sorted(found, reverse=True)
    thin = run(wall="0.4 mm", ovality="0")
    assert thin.si("collapse_pressure") == pytest.approx(min(thin.si("elastic_pressure"), thin.si("yield_pressure")))
    assert thin.si("elastic_pressure") < thin.si("yield_pressure")


def test_ovality_and_metal_nobody_gave_are_assumed_and_said():
    w = run().working
    assert w.steps["e_o"].value == pytest.approx(0.01)
    assert "dented" in w.steps["e_o"].origin.reason
    assert "carbon steel" in w.steps["E_t"].origin.reason


@pytest.mark.parametrize(("bar", "level"), [("100", ""), ("120", "note"), ("140", "stop"), ("330", "stop")])
def test_over_it_the_engineer_decides(bar: str, level: str):
    """31.5 MPa folds it; a third is 105 bar; a code test is 1.3 over design: 136.5 bar."""
    a = run(pressure=f"{bar} bar")
    assert [f.level for f in a.findings] == ([level] if level else [])
    assert not level or "engineer" in a.findings[0].text


def test_both_unit_systems_give_the_same():
    us = tube_collapse.run(tube_collapse.parse({"tube_od": "0.75 in", "wall": "0.0830708661 in", "yield_strength": "26106.793 psi"}))
    assert us.si("allowable") == pytest.approx(run().si("allowable"), rel=1e-7)


def test_a_wall_without_a_bore_is_refused():
    with pytest.raises(BadInput, match="no bore"):
        tube_collapse.parse(TUBE | {"wall": "9.6 mm"})


# on the sheet


def test_the_sheet_works_it_at_the_wall_that_was_measured(make):
    drawn = shell_test(of(make(), material="carbon steel"))
    thin = shell_test(of(make(), material="carbon steel", least_wall=quantity("1.2 mm", "mm")))
    assert drawn.si("tube_collapse") == pytest.approx(run().si("collapse_pressure"))
    assert thin.si("tube_collapse") == pytest.approx(run(wall="1.2 mm").si("collapse_pressure"))
    parts = {p.name: p for p in drawn.working.parts}
    assert "nobody gave a measured one" in parts["tubes from outside"].steps["t_w"].label
    assert parts["tubes from outside"]["P"] == pytest.approx(parts["pressure"]["P_b"])  # the lowest tube sees the water too
    assert "tube_collapse" not in sheet_of(make(), next(t for t in plan_of(make()) if t.code == "T"), volume=None).values


def test_a_wall_that_is_too_thin_is_a_stop_until_the_engineer_speaks(make):
    """0.5 mm of carbon steel: folds at 42 bar by hand, a third of it 14; the test asks 26 and the water under it."""
    worn = of(make(), material="carbon steel", least_wall=quantity("0.5 mm", "mm"))
    a = shell_test(worn)
    assert a.si("tube_outside_allowable") * 1.3 < a.si("low_end_pressure") < a.si("tube_collapse")
    assert "tubes as thin as this" in texts(a, "stop")
    asked = shell_test(worn, outside_limit=quantity("30 bar", "MPa"))
    assert not texts(asked, "stop")
    assert "tubes as thin as this" in texts(asked, "warn")
    gone = shell_test(of(make(), material="carbon steel", least_wall=quantity("0.3 mm", "mm")), outside_limit=quantity("30 bar", "MPa"))
    assert "fold at" in texts(gone, "stop"), "no figure of anybody stands over what folds it"


def test_without_a_wall_or_a_metal_nothing_is_worked(make):
    for x in (of(make(), material=""), of(make(), material="unobtainium"), of(make(), material="carbon steel", wall=None)):
        assert "tube_collapse" not in shell_test(x).values
        assert not [p for p in shell_test(x).working.parts if p.name == "tubes from outside"]
    assert "tube_collapse" in shell_test(of(make(), material="unobtainium", yield_strength=quantity("200 MPa", "MPa"))).values


def test_the_engineers_figure_of_the_file_is_a_limit_of_the_circuit(make):
    x = of(make(), outside_limit=quantity("20 bar", "MPa"))
    assert "tubes, pressed from outside may see 20.0 bar" in texts(shell_test(x), "stop")
    assert "limit of the tubes from outside" in {m.number for m in shell_test(make()).missing}
    assert "limit of the tubes from outside" not in {m.number for m in shell_test(x).missing}


@pytest.mark.parametrize("code", ["S2", "T"])
def test_sides_designed_for_a_difference_are_not_pressed_alone(make, code: str):
    x = of(make(), differential_limit=quantity("15 bar", "MPa"))
    a = sheet_of(x, next(t for t in plan_of(x) if t.code == code), volume=None)
    assert "designed for a difference between the sides, may see 15.0 bar" in texts(a, "stop")
    assert "raised together and let down together" in texts(a, "warn")
    low = sheet_of(x, a.test, volume=None, known=Conditions(pressure=quantity("12 bar", "MPa")))
    assert "difference" not in texts(low, "stop")
    assert "raised together" not in texts(low, "warn")
