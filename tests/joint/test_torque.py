"""Load, stress and torque turn into each other; both unit systems agree; limits speak."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boxup.core.calculation import BadInput
from boxup.joint.torque import preload, torque, torque_friction
from boxup.reference.load import table

SIZES = st.sampled_from([*table("stud_threads"), "M20x2.5", "M36x4"])
NUT = st.floats(0.08, 0.4)


def work(calculation, **keys):
    return calculation.run(calculation.parse({k: str(v) for k, v in keys.items()}))


def levels(answer):
    return [f.level for f in answer.findings if f.level != "note"]


@given(SIZES, NUT, st.floats(10, 700), st.sampled_from(["root", "tensile"]))
def test_there_and_back(size, k, stress, area):
    there = work(torque, size=size, stress=f"{stress} MPa", nut_factor=k, area=area)
    back = work(preload, size=size, torque=f"{there.si('torque'):.17e} N.m", nut_factor=k, area=area)
    assert back.si("load") == pytest.approx(there.si("load"))
    assert back.si("stress") == pytest.approx(stress * 1e6)


@given(SIZES, NUT, st.floats(1, 3000))
def test_load_or_stress_gives_the_same_torque(size, k, load):
    by_load = work(torque, size=size, load=f"{load} kN", nut_factor=k)
    by_stress = (
        work(torque, size=size, stress=f"{by_load.si('stress') / 1e6} MPa", nut_factor=k) if by_load.si("stress") <= 3e9 else by_load
    )
    assert by_stress.si("torque") == pytest.approx(by_load.si("torque"))


def test_both_unit_systems_agree():
    si = work(torque, size="1-8", load="134.8 kN", nut_factor=0.18)
    us = work(torque, size="1-8", load=f"{134800 / 4.4482216152605} lbf", nut_factor=0.18)
    assert us.si("torque") == pytest.approx(si.si("torque"), rel=1e-12)
    assert si.as_json()["answers"]["torque"]["unit"] == "N.m"
    assert si.as_json()["answers"]["load"] == {"value": pytest.approx(134800.0), "unit": "N"}


@given(SIZES, st.floats(0.05, 0.3), st.floats(0.05, 0.3), st.floats(1, 500))
def test_long_form_is_the_short_form_with_its_own_nut_factor(size, mu_t, mu_n, load):
    long = work(torque_friction, size=size, load=f"{load} kN", thread_friction=mu_t, nut_friction=mu_n)
    short = work(torque, size=size, load=f"{load} kN", nut_factor=long.si("nut_factor"))
    assert short.si("torque") == pytest.approx(long.si("torque"))


def test_friction_only_ever_adds_torque():
    low, mid, high = (
        work(torque_friction, size="1-8", load="100 kN", thread_friction=t, nut_friction=n).si("torque")
        for t, n in ((0.1, 0.1), (0.2, 0.1), (0.2, 0.2))
    )
    assert low < mid < high


def test_the_defaults_of_the_long_form_say_they_are_assumed():
    answer = work(torque_friction, size="1-8", load="100 kN", thread_friction=0.12, nut_friction=0.12)
    assumed = [s for _, s in answer.working.all_steps() if "assumed" in s.note]
    assert [s.symbol for s in assumed] == ["d_o", "d_i"]
    given_too = work(
        torque_friction, size="1-8", load="100 kN", thread_friction=0.12, nut_friction=0.12, bearing_od="1.625 in", hole="1.125 in"
    )
    assert given_too.si("torque") == pytest.approx(answer.si("torque"))
    assert not [s for _, s in given_too.working.all_steps() if "assumed" in s.note]


@pytest.mark.parametrize(
    ("keys", "named"),
    [
        ({"stress": "345 MPa", "load": "1 kN", "nut_factor": "0.18"}, "exactly one"),
        ({"nut_factor": "0.18"}, "exactly one"),
        ({"stress": "345 MPa", "nut_factor": "0"}, "nut_factor"),
        ({"stress": "345 MPa", "nut_factor": "-0.1"}, "nut_factor"),
        ({"stress": "345 MPa", "nut_factor": "18 %"}, "nut_factor"),
        ({"stress": "345", "nut_factor": "0.18"}, "stress"),
        ({"stress": "-345 MPa", "nut_factor": "0.18"}, "stress"),
        ({"stress": "345 kg", "nut_factor": "0.18"}, "stress"),
        ({"load": "1e400 kN", "nut_factor": "0.18"}, "load"),
        ({"load": "1 kN", "nut_factor": "0.18", "area": "shank"}, "area"),
        ({"load": "1 kN", "nut_factor": "0.18", "grade": "B9"}, "grade"),
        ({"load": "1 kN", "nut_facter": "0.18"}, "did you mean nut_factor"),
    ],
)
def test_wrong_input_names_the_key(keys, named):
    with pytest.raises(BadInput, match=named):
        work(torque, size="1-8", **keys)


@pytest.mark.parametrize(
    ("stress", "said"), [("800 MPa", ["stop"]), ("723.95 MPa", ["stop"]), ("520 MPa", ["warn"]), ("345 MPa", []), ("200 MPa", ["warn"])]
)
def test_stress_is_judged_against_yield(stress, said):
    assert levels(work(torque, size="1-8", stress=stress, nut_factor=0.18, grade="B7")) == said


def test_no_torque_for_a_stud_that_would_yield():
    """B7 to 2-1/2 in yields at 105 ksi, 723.9 MPa."""
    whole, gone = (work(torque, size="1-8", stress=s, nut_factor=0.18, grade="B7") for s in ("720 MPa", "730 MPa"))
    assert "torque" in whole.values
    assert "torque" not in gone.values
    assert "T" not in gone.working.steps
    assert levels(gone) == ["stop"]


def test_without_a_grade_it_says_so():
    assert any("No grade" in f.text for f in work(torque, size="1-8", stress="900 MPa", nut_factor=0.18).findings)


@pytest.mark.parametrize(("k", "said"), [(0.05, ["warn"]), (0.1, []), (0.3, []), (0.45, ["warn"])])
def test_an_unheard_of_nut_factor_warns(k, said):
    assert levels(work(torque, size="1-8", stress="345 MPa", nut_factor=k)) == said


def test_a_nut_that_does_not_bear_is_refused():
    with pytest.raises(BadInput) as caught:
        work(torque_friction, size="2-8", load="1 kN", thread_friction=0.1, nut_friction=0.1, hole="40 mm", bearing_od="30 mm")
    assert len(caught.value.problems) == 2


@pytest.mark.computed
@pytest.mark.parametrize("load", [10e3, 250e3])
def test_long_form_from_the_wedge(load):
    """A second route: the nut climbs a helix of lead angle psi with friction mu / cos 30 in the thread, exact statics of the wedge.

    T = F d2/2 tan(psi + rho) + mu F D_e/2. The long form drops the product of the two tangents: within 1.5 % on a coarse thread.
    """
    mu_t, mu_n, d, p, bearing, hole = 0.13, 0.11, 50.8e-3, 3.175e-3, 79.375e-3, 53.975e-3
    d_2 = d - 0.649519 * p
    psi, rho = math.atan(p / (math.pi * d_2)), math.atan(mu_t / math.cos(math.radians(30)))
    exact = load * d_2 / 2 * math.tan(psi + rho) + mu_n * load * (bearing + hole) / 4
    a = work(torque_friction, size="2-8", load=f"{load:.17e} N", thread_friction=mu_t, nut_friction=mu_n)
    assert a.si("torque") == pytest.approx(exact, rel=0.015)


@pytest.mark.computed
def test_the_three_parts_of_the_long_form():
    """Each part on its own: stretch F p/(2 pi) is what the nut does per turn over 2 pi; the two frictions act on their radii."""
    f, p, d_2, d_e = 100e3, 3.175e-3, 25.4e-3 - 0.649519 * 3.175e-3, (41.275e-3 + 28.575e-3) / 2
    tiny = 1e-12
    parts = {
        (tiny, tiny): f * p / (2 * math.pi),
        (0.2, tiny): f * p / (2 * math.pi) + f * 0.2 * d_2 / 2 / (math.sqrt(3) / 2),
        (tiny, 0.2): f * p / (2 * math.pi) + f * 0.2 * d_e / 2,
    }
    for (mu_t, mu_n), expected in parts.items():
        a = work(torque_friction, size="1-8", load="100 kN", thread_friction=f"{mu_t:.15f}", nut_friction=f"{mu_n:.15f}")
        assert a.si("torque") == pytest.approx(expected, rel=1e-6)
