"""A torque typed for a pass beside the torque of the card: slips are told with where they come from, a wrench's own steps are not."""

from __future__ import annotations

from dataclasses import replace
from importlib import resources
from pathlib import Path

import pytest

from boxup.core.quantity import quantity
from boxup.exchanger.file import load
from boxup.job.numbers import numbers
from boxup.job.set_torque import card_of, of_entry, off_the_card
from boxup.joint.studs import StudSet
from boxup.joint.torque_cause import OtherSet
from boxup.joint.typed_torque import Card, judged

# A 1-8 B7 stud, 345 MPa on tensile area, K 0.18: 0.18 x 25.4 mm x 345 MPa x 390.8 mm2 = 616 N.m (tensile area by B1.1: 0.6057 in2).
ONE_INCH = StudSet(
    count=quantity("40", "count"), size="1-8", grade="B7", lubricant="nickel anti-seize", nut_factor=quantity("0.18", "-"),
    target_stress=quantity("345 MPa", "MPa"), area="tensile",
)  # fmt: skip
J4 = Card(joint="J4", studs=StudSet(), final=410.0)
J2 = Card(joint="J2", studs=ONE_INCH, final=616.3)
MPA = 1e6


@pytest.mark.practice
@pytest.mark.parametrize(
    ("name", "torque"),
    [
        ("all snug", 80),
        ("pass 1", 120),
        ("pass 1", 150),
        ("pass 2", 205),
        ("pass 2", 288),
        ("pass 3", 411),
        ("verify", 410),
        ("round", 400),
    ],
)
def test_what_a_crew_sets_is_taken(name: str, torque: float) -> None:
    """20 to 30 % first, 50 to 70 % next, then all of it; a wrench whose least is 150 N·m does its first pass with that."""
    assert judged(J4, name, torque) is None


@pytest.mark.practice
@pytest.mark.parametrize(
    ("name", "torque", "word"),
    [
        ("pass 2", 2450, "598%"),  # a nought too many
        ("pass 3", 556, "read in N·m and typed as lbf·ft"),  # 410 lbf·ft are 556 N·m
        ("pass 3", 302, "read in lbf·ft and typed as N·m"),  # 302 lbf·ft are 410 N·m
        ("pass 3", 165, "40%"),
        ("pass 1", 410, "100%"),
        ("pass 1", 410, "pass 3, 100 % of the final one"),
        ("pass 3", 246, "pass 2, 60 % of the final one"),
        ("four snug", 410, "at most"),
        ("round", 440, "107%"),
    ],
)
def test_a_slip_is_told(name: str, torque: float, word: str) -> None:
    found = judged(J4, name, torque)
    assert found is not None
    assert found.level == "stop"
    assert word in found.text


def test_without_a_torque_on_the_card_nothing_is_said() -> None:
    assert judged(replace(J4, final=None), "pass 1", 9999) is None


@pytest.mark.practice
@pytest.mark.parametrize(
    ("name", "torque", "word"),
    [
        ("pass 3", 411, "for 7/8-9 studs"),  # 0.18 x 22.225 mm x 345 MPa x 297.9 mm2 (0.4617 in2) = 411 N.m
        ("round", 411, "for 7/8-9 studs"),
        ("pass 2", 247, "for 7/8-9 studs at this target and nut factor, 60 % of it"),
        ("pass 3", 904, "for 1-1/8-8 studs"),  # 0.18 x 28.575 mm x 345 MPa x 509.7 mm2 (0.790 in2) = 904 N.m
        ("pass 3", 561, "on root area"),  # root area 355.5 mm2 (0.551 in2)
        ("pass 3", 1027, "nut factor of 0.3"),  # dry, 0.30
        ("pass 3", 342, "nut factor of 0.1,"),
    ],
)
def test_the_likely_cause_is_named(name: str, torque: float, word: str) -> None:
    found = judged(J2, name, torque)
    assert found is not None
    assert found.level == "stop"
    assert word in found.text


def test_a_torque_of_another_card_of_the_file_is_named_before_a_size() -> None:
    found = judged(replace(J2, others=(OtherSet("J5", "1-1/4-8", 640.0), OtherSet("J4", "7/8-9", 411.0))), "pass 3", 411)
    assert found is not None
    assert "the torque of J4, 7/8-9 studs" in found.text
    assert "for 7/8-9 studs" not in found.text


def test_a_torque_nobody_can_explain_is_refused_all_the_same() -> None:
    found = judged(J2, "pass 3", 740)
    assert found is not None
    assert found.level == "stop"
    assert "torque of" not in found.text
    assert "torque for" not in found.text


@pytest.mark.computed
def test_the_stress_it_gives_is_said_in_both_systems_with_the_share_of_yield() -> None:
    """411 N.m / (0.18 x 25.4 mm) = 89.9 kN on 390.8 mm2: 230 MPa, 33.4 ksi; of 105 ksi 31.8 %."""
    found = judged(J2, "pass 3", 411)
    assert found is not None
    assert "411 N·m (303 lbf·ft)" in found.text
    assert "230 MPa (33.4 ksi), 32 % of yield" in found.text


@pytest.mark.parametrize(
    ("torque", "lower", "upper", "level"),
    [
        (655, 200, 450, "warn"),  # off the card, 367 MPa: the joint takes it, and nothing explains it
        (655, 200, 360, "stop"),  # over what it takes
        (655, None, 360, "stop"),
        (655, None, 450, "warn"),
        (525, 300, None, "stop"),  # 294 MPa
        (532, 300, None, "warn"),  # 298 MPa: the rounding of a wrench
        (411, 200, 450, "stop"),  # the joint would take it, but it is another stud's torque
        (615, 200, 300, None),  # as the card says: that the card is past the window stands on the card
        (645, 200, 350, "warn"),  # near enough to the card, 361 MPa, and more than the joint takes
        (615, 200, 450, None),
        (612, 345, 450, None),  # rounding of a torque to what a wrench is set to
    ],
)
def test_the_window_of_the_joint_decides_where_it_is_known(torque: float, lower: float, upper: float, level: str | None) -> None:
    found = judged(replace(J2, lower=lower and lower * MPA, upper=upper and upper * MPA), "pass 3", torque)
    assert (found.level if found else None) == level


def test_a_window_alone_judges_where_the_card_has_no_torque() -> None:
    alone = replace(J2, final=None, lower=300 * MPA, upper=450 * MPA)
    assert judged(alone, "pass 3", 616) is None
    assert judged(alone, "pass 1", 100) is None
    found = judged(alone, "pass 3", 411)
    assert found is not None
    assert found.level == "stop"
    assert "the joint takes 300 to 450 MPa" in found.text


def test_a_joint_that_no_load_fits_takes_no_torque() -> None:
    found = judged(replace(J2, final=None, lower=400 * MPA, upper=300 * MPA), "pass 3", 616)
    assert found is not None
    assert found.level == "stop"
    assert "the joint takes no stud load at all" in found.text


@pytest.fixture(scope="module")
def of_101():
    return numbers(load(Path(str(resources.files("boxup.demo") / "data" / "14-E-101.toml"))))


@pytest.mark.parametrize("joint", ["J1", "J2", "J3", "J4", "J5"])
def test_the_torque_of_a_seven_eighths_stud_is_refused_on_every_joint_of_the_demo(of_101, joint: str) -> None:
    for name in ("pass 3", "round", "round after the wait", "verify", "corrective"):
        found = off_the_card(of_101, joint, name, 411)
        assert found is not None
        assert found.level == "stop"
        assert "7/8-9 studs" in found.text


def test_an_entry_without_a_torque_says_nothing(of_101) -> None:
    assert of_entry(of_101, "joint.pass_done", {"joint": "J2", "pass": "pass 3"}) is None
    assert of_entry(of_101, "note.written", {"text": "411"}) is None
    assert off_the_card(of_101, "J99", "pass 3", 411) is None
    assert of_entry(of_101, "joint.stud_done", {"joint": "J2", "pass": "pass 3", "stud": 4, "torque_n_m": 411}) is not None


def test_a_nozzle_has_a_card_too(of_101) -> None:
    card = card_of(of_101, "N1")
    assert card is not None
    assert card.studs.size == "1-1/8-8"
    assert any(o.name == "J2 and J3" for o in card.others)


@pytest.mark.practice
@pytest.mark.parametrize(("tag", "joint"), [("31-E-301", "J5"), ("22-E-204", "J1")])
def test_a_torque_on_a_packing_or_closure_is_held_against_nothing_and_says_so(tag: str, joint: str) -> None:
    found = off_the_card(numbers(load(Path(str(resources.files("boxup.demo") / "data" / f"{tag}.toml")))), joint, "round", 600.0)
    assert found is not None
    assert found.level == "warn"
    assert "held against nothing" in found.text
