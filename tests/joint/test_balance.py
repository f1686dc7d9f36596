"""How the stud load moves: against a chain of springs solved as linear equations, joint by joint."""

from __future__ import annotations

import random
from dataclasses import replace

import numpy as np
import pytest
from tests.joint.flanged import DESIGN, HOT, TEST, a_joint, flange, q, work

from boxup.core.calculation import BadInput
from boxup.exchanger.joints import CHANNEL_TUBESHEET, TUBESHEET_SHELL
from boxup.job.calculations import find
from boxup.joint.assembly import assembly


def springs(
    n_f: float, studs: float, gaskets: list[tuple[float, float]], turns: list[tuple[int, float, float, float]], grows: float
) -> tuple:
    """Unknowns: the stud load W and each gasket load R_j. Forces: W = R_j + H_j. One condition of fit: what stretches, gives way and turns
    adds up to what it was at assembly. `gaskets`: (give, H). `turns`: (which gasket, turn for a moment, arm, moment of the pressure).
    """
    count = len(gaskets)
    a, b = np.zeros((count + 1, count + 1)), np.zeros(count + 1)
    for j, (_, force) in enumerate(gaskets):
        a[j, 0], a[j, j + 1], b[j] = 1, -1, force
    a[count, 0] = studs
    b[count] = n_f * studs + grows
    for j, (give, _) in enumerate(gaskets):
        a[count, j + 1] += give
        b[count] += n_f * give
    for j, turn, arm, moment in turns:  # the flange turns by turn (R arm + H arm + moment): studs act at the arm, pressure adds its own
        a[count, j + 1] += turn * arm**2
        b[count] += n_f * turn * arm**2 - turn * arm * (gaskets[j][1] * arm + moment)
    return tuple(np.linalg.solve(a, b))


def calc(**keys: str):
    calculation = find("load-change")
    return calculation.run(calculation.parse(keys))


@pytest.mark.computed
def test_a_thousand_single_joints_against_springs() -> None:
    r = random.Random(8)
    for _ in range(1000):
        n, load, end = r.choice(range(8, 80, 4)), r.uniform(20e3, 400e3), 0.0
        end = r.uniform(0, 0.9) * n * load
        grip, area, thick, modulus = r.uniform(60, 400), r.uniform(5e3, 2e5), r.uniform(1.5, 6), r.uniform(200, 20000)
        arm, turn, moment, grows = r.uniform(10, 80), r.uniform(1e-4, 1e-1), r.uniform(-2e4, 5e4), r.uniform(-0.1, 0.1)
        got = calc(
            bolts=str(n), size="1-8", load=f"{load} N", grip=f"{grip} mm", modulus="205 GPa", gasket_area=f"{area} mm2",
            gasket_thickness=f"{thick} mm", gasket_modulus=f"{modulus} MPa", end_force=f"{end} N", gasket_arm=f"{arm} mm",
            flange_turn=f"{turn} deg/kN.m", pressure_moment=f"{moment} N.m", stack_growth=f"{grows} mm",
        )  # fmt: skip
        tensile = np.pi / 4 * (25.4 - 0.9743 * 25.4 / 8) ** 2
        studs = (grip + 25.4) / (205e3 * n * tensile)  # mm/N
        z = turn * np.pi / 180 / 1e6  # 1/(N mm)
        w, left = springs(n * load, studs, [(thick / (modulus * area), end)], [(0, z, arm, moment * 1e3)], grows)
        assert got.si("load") == pytest.approx(w / n, rel=1e-9)
        assert got.si("gasket_load") == pytest.approx(left, rel=1e-6, abs=1e-3)


@pytest.mark.computed
def test_a_girth_joint_against_springs_in_every_state() -> None:
    """Two gaskets, two flanges, one set of studs; every give taken from the working, the equations solved apart."""
    j2 = a_joint(flange("F3", "J2"), name="J2", kind=CHANNEL_TUBESHEET, count="36")
    j3 = a_joint(flange("F4", "J3", part="shell", hub_small="13 mm"), name="J3", kind=TUBESHEET_SHELL, sides=("shell",), count="36")
    j3 = replace(j3, studs=j2.studs)
    answer = assembly(j2, design=DESIGN, test=TEST, rib_length=q("0 mm"), shared=j3, shared_rib_length=q("0 mm"), temperature=HOT)
    part = answer.balance.working
    forces = {g.joint: g.working for g in answer.gaskets}
    moments = {f.flange: f.working for f in answer.flanges}
    for state, pushed, mark in (("operating", ("J2", "J3"), "o"), ("tube test", ("J2",), "t"), ("shell test", ("J3",), "t")):
        symbol = "H" if mark == "o" else "H_t"
        gaskets = [(part[f"X_G_{j}"], forces[j][symbol] if j in pushed else 0.0) for j in ("J2", "J3")]
        turns = [
            (i, moments[f]["Z_f"], moments[f]["h_f"], moments[f][f"M_p_{mark}"] if j in pushed else 0.0)
            for i, (f, j) in enumerate((("F3", "J2"), ("F4", "J3")))
        ]
        w, *left = springs(part["n"] * part["F"], part["X_B"], gaskets, turns, part["dU"] if state == "operating" else 0.0)
        got = next(s for s in answer.balance.states if s.name == state)
        assert got.load.si == pytest.approx(w / 36, rel=1e-9)
        for j, r_j in zip(("J2", "J3"), left, strict=True):
            assert got.stresses[j].si == pytest.approx(r_j / forces[j]["A_g"], rel=1e-9)


def test_springs_without_give_are_the_constant_load() -> None:
    """A gasket as stiff as steel and rigid flanges: the studs feel nothing of the pressure, the careful rule of the other sheets."""
    got = calc(bolts="8", size="1-8", load="100 kN", grip="150 mm", gasket_area="5000 mm2", gasket_thickness="0.01 mm",
               gasket_modulus="200000 MPa", end_force="300 kN")  # fmt: skip
    assert got.si("change") == pytest.approx(0, abs=1e-4)
    assert got.si("gasket_load") == pytest.approx(500e3, rel=1e-3)


def test_stainless_studs_in_carbon_steel_lose_load_and_the_other_way_gain() -> None:
    def hot(grade: str) -> float:
        joint = a_joint(flange())
        joint = replace(joint, studs=replace(joint.studs, grade=grade, target_stress=q("100 MPa", "MPa")))
        return work(joint).balance.working["dU"]

    assert hot("B8-1") < 0
    assert hot("B7") == pytest.approx(0, abs=1e-12)  # the same group of the table
    stainless = a_joint(replace(flange(), material="316L"))
    assert work(stainless).balance.working["dU"] > 0


def test_the_elastic_loss_of_stainless_studs_at_400_f() -> None:
    """Means from 70 F of 9.5 and 7.1 millionths a degree F over 330 F: 0.079 % of the grip."""
    joint = a_joint(flange())
    joint = replace(joint, studs=replace(joint.studs, grade="B8-1", target_stress=q("100 MPa", "MPa")))
    part = work(joint, temperature=q("400 degF", "degC")).balance.working
    assert part["dU"] == pytest.approx(-(9.5e-6 - 7.1e-6) * 330 * 0.180, rel=1e-9)


@pytest.mark.parametrize(
    ("change", "said"),
    [({"gasket_arm": "30 mm"}, "one without the other"), ({"pressure_moment": "500 N.m"}, "nothing turns"), ({"bolts": "5"}, "odd number")],
)
def test_what_does_not_fit_is_refused(change: dict[str, str], said: str) -> None:
    base = {"bolts": "8", "size": "1-8", "load": "100 kN", "grip": "150 mm", "gasket_area": "5000 mm2", "gasket_thickness": "3 mm",
            "gasket_modulus": "2000 MPa", "end_force": "300 kN"}  # fmt: skip
    with pytest.raises(BadInput, match=said):
        calc(**(base | change))


def test_without_grip_or_modulus_it_says_what_to_ask_for() -> None:
    joint = a_joint(flange(), unloading_modulus=None)
    joint = replace(joint, studs=replace(joint.studs, grip=None))
    answer = work(joint)
    assert answer.balance.states == ()
    said = " ".join(m.do for m in answer.balance.missing)
    assert "[studs] grip" in said
    assert "unloading_modulus" in said
