"""Two gaskets on one stud set: each must stand in equilibrium in each state, and swapping the sides must swap the answers."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boxup.core.calculation import BadInput
from boxup.joint.gasket_loads import gasket_loads
from boxup.joint.girth import STATES, girth_joint

SIDE = {"gasket_od": "861 mm", "gasket_id": "829 mm", "m": "4", "y": "69 MPa", "pressure": "24.1 bar"}
OTHER = {"gasket_od": "900 mm", "gasket_id": "850 mm", "m": "3", "y": "50 MPa", "pressure": "17.2 bar"}
STUDS = {"bolts": "36", "size": "1-8", "stress": "345 MPa"}


def keys(tube, shell, **more):
    return {f"tube_{k}": v for k, v in tube.items()} | {f"shell_{k}": v for k, v in shell.items()} | STUDS | more


def work(tube=SIDE, shell=OTHER, **more):
    return girth_joint.run(girth_joint.parse(keys(tube, shell, **more)))


def total(answer):
    return answer.working["n"] * answer.working["F"]


@pytest.mark.parametrize("side", ["tube", "shell"])
def test_each_side_is_the_gasket_on_its_own(side):
    alone = gasket_loads.run(gasket_loads.parse(SIDE if side == "tube" else OTHER))
    for load in ("operating_load", "seating_load"):
        assert work().si(f"{side}_{load}") == pytest.approx(alone.si(load))


@pytest.mark.parametrize("state", STATES)
def test_equilibrium_of_each_flange(state):
    """Stud load = what is left on the gasket + the end force of that side, nothing where that side has no pressure."""
    a = work(state=state)
    for side, own, data in (("tube", "tube-test", SIDE), ("shell", "shell-test", OTHER)):
        end = gasket_loads.run(gasket_loads.parse(data)).si("end_force") if state in ("operating", own) else 0.0
        assert a.si(f"{side}_residual_load") + end == pytest.approx(total(a))


@pytest.mark.parametrize("state", STATES)
def test_stress_times_ring_area_is_the_residual_load(state):
    a = work(state=state)
    for side, (od, inner) in (("tube", (0.861, 0.829)), ("shell", (0.9, 0.85))):
        ring = math.pi / 4 * (od**2 - inner**2)
        assert a.si(f"{side}_gasket_stress") * ring == pytest.approx(a.si(f"{side}_residual_load"))


@pytest.mark.parametrize("state", STATES)
def test_swapping_the_sides_swaps_the_answers(state):
    swapped = {"operating": "operating", "tube-test": "shell-test", "shell-test": "tube-test"}[state]
    a, b = work(state=state), work(OTHER, SIDE, state=swapped)
    for key in ("operating_load", "seating_load", "residual_load", "gasket_stress"):
        assert a.si(f"tube_{key}") == pytest.approx(b.si(f"shell_{key}"))
    assert a.si("required_load") == pytest.approx(b.si("required_load"))


def test_the_required_load_is_the_largest_of_the_four_whatever_the_state():
    found = {work(state=s).si("required_load") for s in STATES}
    a = work()
    four = [a.si(f"{s}_{k}") for s in ("tube", "shell") for k in ("operating_load", "seating_load")]
    assert found == {max(four)}


@given(st.floats(0, 300))
def test_more_pressure_never_leaves_more_on_the_gasket(bar):
    low, high = (work(SIDE | {"pressure": f"{p} bar"}) for p in (bar, bar + 5))
    assert high.si("tube_residual_load") < low.si("tube_residual_load")
    assert high.si("shell_residual_load") == low.si("shell_residual_load")


def test_a_gasket_lifted_off_is_a_stop():
    a = work(SIDE | {"pressure": "200 bar"})
    assert a.si("tube_residual_load") < 0
    assert "stop" in [f.level for f in a.findings]
    assert "stop" not in [f.level for f in work(SIDE | {"pressure": "200 bar"}, state="shell-test").findings]


def test_ribs_spread_the_load_by_half_their_area():
    ribbed, plain = work(tube_rib_length="1600 mm", tube_rib_width="10 mm"), work()
    area = plain.si("tube_residual_load") / plain.si("tube_gasket_stress")
    assert ribbed.si("tube_residual_load") / ribbed.si("tube_gasket_stress") == pytest.approx(area + 0.008)
    assert ribbed.si("tube_seating_load") > plain.si("tube_seating_load")


def test_both_unit_systems_agree():
    us = {
        "gasket_od": f"{861 / 25.4} in",
        "gasket_id": f"{829 / 25.4} in",
        "m": "4",
        "y": f"{69e6 / 6894.757293168361} psi",
        "pressure": f"{2.41e6 / 6894.757293168361} psi",
    }
    for key, step in work().values.items():
        assert work(us).si(key) == pytest.approx(step.si, rel=1e-9), key


@pytest.mark.parametrize(
    ("more", "named"),
    [
        ({"bolts": "35.5"}, "bolts"),
        ({"bolts": "0"}, "bolts"),
        ({"bolts": "35"}, "bolts: '35' is an odd number"),
        ({"bolts": "2"}, "bolts"),
        ({"tube_gasket_id": "870 mm"}, "tube_gasket_id"),
        ({"state": "idle"}, "state"),
        ({"shell_pressure": "-1 bar"}, "shell_pressure"),
        ({"size": "1"}, "size"),
        ({"shell_rib_length": "10 mm"}, "shell_rib_width"),
        ({"stress": "0 MPa"}, "stress"),
    ],
)
def test_wrong_input_names_the_key(more, named):
    with pytest.raises(BadInput, match=named):
        work(**more)
