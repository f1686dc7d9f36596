"""The window by a second route: a search over the stud stress itself, limit by limit, on forces; and input nobody can mean."""

from __future__ import annotations

import random
from math import pi

import pytest

from boxup.core.calculation import Answer, BadInput
from boxup.job.calculations import find
from boxup.joint.thread import thread

SIZES = ("5/8-11", "3/4-10", "7/8-9", "1-8", "1-1/8-8", "1-1/4-8", "1-1/2-8", "2-8", "M24x3", "M30x3.5")
HOLDS = {  # by name: whether the joint is right at a stud stress s; forces and areas, no formula of the project
    "least stud stress": lambda j, s: s >= j["bolt_min"],
    "gasket seating": lambda j, s: j["n"] * j["A"] * s >= j["gasket_min_seating"] * j["area"],
    "gasket in operation": lambda j, s: (
        j["keeps"] * j["n"] * j["A"] * s - pi * j["id"] ** 2 / 4 * j["p"] >= j["gasket_min_operating"] * j["area"]
    ),
    "most stud stress": lambda j, s: s <= j["bolt_max"],
    "gasket crushing": lambda j, s: j["n"] * j["A"] * s <= j["gasket_max"] * j["area"],
    "flange": lambda j, s: s <= j["flange_max"],
}
LOW = ("least stud stress", "gasket seating", "gasket in operation")


def a_joint(r: random.Random) -> dict[str, float]:
    """Sizes and stresses over the whole range of exchanger joints, some of them without a window. MPa, mm."""
    d = r.uniform(200, 2000)
    width = r.uniform(6, 25)
    joint = {"id": d, "area": pi * (d + width) * width, "n": float(r.choice(range(8, 100, 4))), "p": r.uniform(0, 15)}
    joint |= {"size": r.choice(SIZES), "keeps": r.uniform(0.4, 1)}
    joint |= {"bolt_min": r.uniform(50, 300), "bolt_max": r.uniform(250, 600), "gasket_min_seating": r.uniform(10, 120)}
    joint |= {"gasket_min_operating": r.uniform(2, 60), "gasket_max": r.uniform(60, 400), "flange_max": r.uniform(150, 900)}
    joint["target"] = r.uniform(20, 200)
    joint["A"] = root_area(joint["size"])
    return joint


def root_area(size: str) -> float:
    """mm2, by the thread's root diameter: 1.22687 and 1.299038 pitches under the nominal."""
    t = thread(size)
    return pi / 4 * (t.diameter * 1e3 - (1.22687 if t.metric else 1.299038) * t.pitch * 1e3) ** 2


def searched(joint: dict[str, float], name: str) -> float:
    """The stud stress at which one limit begins or ceases to hold, MPa, by halving."""
    a, b = 0.0, 1e6
    rising = name in LOW
    for _ in range(80):
        middle = (a + b) / 2
        if HOLDS[name](joint, middle) == rising:
            b = middle
        else:
            a = middle
    return (a + b) / 2


def ours(joint: dict[str, float]) -> Answer:
    keys = {
        "gasket_area": f"{joint['area']} mm2", "gasket_id": f"{joint['id']} mm", "bolts": f"{joint['n']:.0f}", "size": joint["size"],
        "pressure": f"{joint['p']} MPa", "gasket_target": f"{joint['target']} MPa",
        "retained_fraction": str(joint["keeps"]), "nut_factor": "0.18",
    }  # fmt: skip
    keys |= {
        k: f"{joint[k]} MPa" for k in ("bolt_min", "bolt_max", "gasket_min_seating", "gasket_min_operating", "gasket_max", "flange_max")
    }
    calculation = find("assembly-window")
    return calculation.run(calculation.parse(keys))


def test_ten_thousand_joints_agree_with_a_search_over_the_stud_stress() -> None:
    r, open_, shut, seen = random.Random(61), 0, 0, set()
    for _ in range(10_000):
        joint = a_joint(r)
        found = {name: searched(joint, name) for name in HOLDS}
        low, high = max(LOW, key=found.__getitem__), min(set(HOLDS) - set(LOW), key=found.__getitem__)
        got = ours(joint)
        assert got.si("lower") / 1e6 == pytest.approx(found[low], rel=1e-9)
        assert got.si("upper") / 1e6 == pytest.approx(found[high], rel=1e-9)
        assert got.lists["governing_low"][0] == low
        assert got.lists["governing_high"][0] == high
        there = found[low] <= found[high]
        assert got.lists["feasible"][0] is there
        seen |= {low, high}
        open_, shut = open_ + there, shut + (not there)
        if not there:
            assert "target" not in got.values
            assert "torque" not in got.values
            assert [f.level for f in got.findings] == ["stop"]
            continue
        target = got.si("target") / 1e6
        wanted = joint["target"] * joint["area"] / (joint["n"] * joint["A"])
        assert all(HOLDS[name](joint, target * (1 + 1e-9 * (1 if name in LOW else -1))) for name in HOLDS)
        assert target == pytest.approx(min(max(wanted, found[low]), found[high]), rel=1e-9)
    assert seen == set(HOLDS)  # every limit governs somewhere, and both kinds of joint come up
    assert min(open_, shut) > 1000


BASE = {
    "gasket_area": "5.17 in2", "gasket_id": "4.19 in", "bolts": "8", "size": "3/4-10", "pressure": "750 psi", "gasket_target": "30000 psi",
    "gasket_min_seating": "12500 psi", "gasket_min_operating": "6000 psi", "gasket_max": "40000 psi", "retained_fraction": "0.7",
    "bolt_min": "21000 psi", "bolt_max": "73500 psi", "nut_factor": "0.2",
}  # fmt: skip


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"bolts": "5"}, "odd number"),
        ({"bolts": "8.5"}, "not a whole number"),
        ({"bolts": "2"}, "at least 4"),
        ({"grade": "B7", "bolt_max": "110000 psi"}, "above the yield strength of B7, 724 MPa"),
        ({"grade": "B8-1", "bolt_max": "40000 psi"}, "above the yield strength of B8-1"),
        ({"area": "root and tensile"}, "root, tensile"),
        ({"gasket_max": "0 psi"}, "more than 0"),
        ({"retained_fraction": "1.2"}, "at most 1"),
        ({"pressure": "-3 bar"}, "at least 0"),
    ],
)
def test_what_nobody_can_mean_is_refused(change: dict[str, str], said: str) -> None:
    calculation = find("assembly-window")
    with pytest.raises(BadInput, match=said):
        calculation.run(calculation.parse(BASE | change))


def test_the_same_joint_on_tensile_area_has_the_same_loads() -> None:
    calculation = find("assembly-window")
    root = calculation.run(calculation.parse(BASE))
    ratio = thread_ratio("3/4-10")
    on_tensile = BASE | {"area": "tensile", "bolt_min": f"{21000 * ratio} psi", "bolt_max": f"{73500 * ratio} psi"}
    tensile = calculation.run(calculation.parse(on_tensile))
    assert tensile.si("load") == pytest.approx(root.si("load"), rel=1e-9)
    assert tensile.si("torque") == pytest.approx(root.si("torque"), rel=1e-9)
    assert tensile.si("lower") == pytest.approx(root.si("lower") * ratio, rel=1e-9)


def thread_ratio(size: str) -> float:
    """Root over tensile area, by the two diameters."""
    t = thread(size)
    return ((t.diameter - 1.299038 * t.pitch) / (t.diameter - 0.9743 * t.pitch)) ** 2
