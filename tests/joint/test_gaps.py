"""Gaps round a joint: planes whose tilt is known by hand, the same fit by numpy, the limits, the odd place, what is refused."""

from __future__ import annotations

from math import atan, cos, degrees, hypot, pi, sin, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from boxup.core.calculation import BadInput
from boxup.joint.gaps import clock, gap, said, tilt_of


def run(readings: str, **more: str):
    return gap.run(gap.parse({"readings": readings, **more}))


def levels(answer) -> list[str]:
    return [f.level for f in answer.findings]


def plane(mean: float, up: float, right: float, count: int) -> str:
    """Readings in mm off a plane that rises `up` to 12 o'clock and `right` to 3 o'clock."""
    turns = [2 * pi * k / count for k in range(count)]
    return " ".join(repr(mean + up * cos(t) + right * sin(t)) for t in turns) + " mm"


@pytest.mark.computed
@pytest.mark.parametrize("count", [4, 8])
def test_a_plane_of_three_four_five(count: int):
    """Up 0.3, right 0.4: the steepest rise is 0.5 to a radius, 1 mm across; the lowest point lies at 180 + atan(4/3) = 233.13 degrees."""
    answer = run(plane(3.2, 0.3, 0.4, count), studs="36", diameter="900 mm")
    assert answer.si("mean") * 1000 == pytest.approx(3.2, abs=1e-9)
    assert answer.si("tilt") * 1000 == pytest.approx(1.0, abs=1e-9)
    assert degrees(answer.si("low_point")) == pytest.approx(233.130102354, abs=1e-6)
    assert degrees(answer.si("inclination")) == pytest.approx(degrees(atan(1 / 900)), rel=1e-9)
    assert answer.si("off_plane") * 1000 == pytest.approx(0, abs=1e-9)
    assert answer.si("low_stud") == 24  # the 24th hole of 36 lies from 230 to 240 degrees
    assert answer.lists["low_clock"] == ("8", "-")  # 7.77 hours


@pytest.mark.computed
@pytest.mark.parametrize(
    ("readings", "low", "stud", "at"),
    [
        ("3.0 3.2 3.4 3.2 mm", 0, 1, "12"),
        ("3.2 3.0 3.2 3.4 mm", 90, 10, "3"),
        ("3.4 3.2 3.0 3.2 mm", 180, 19, "6"),
        ("3.2 3.4 3.2 3.0 mm", 270, 28, "9"),
        ("3.1 3.1 3.3 3.3 mm", 45, 5, "1:30"),
        ("3.3 3.1 3.1 3.3 mm", 135, 14, "4:30"),
        ("3.3 3.3 3.1 3.1 mm", 225, 23, "7:30"),
        ("3.1 3.3 3.3 3.1 mm", 315, 32, "10:30"),
        ("3.0 3.20000000001 3.4 3.2 mm", 360, 1, "12"),
    ],
)
def test_the_low_point_all_round_the_clock(readings: str, low: float, stud: int, at: str):
    answer = run(readings, studs="36")
    assert degrees(answer.si("low_point")) == pytest.approx(low, abs=1e-6)
    assert (answer.si("low_stud"), answer.lists["low_clock"][0]) == (stud, at)


@pytest.mark.computed
@given(mean=st.floats(2, 6), up=st.floats(-0.6, 0.6), right=st.floats(-0.6, 0.6), count=st.sampled_from([4, 8]), studs=st.integers(4, 200))
def test_any_plane_is_found_again(mean: float, up: float, right: float, count: int, studs: int):
    answer = run(plane(mean, up, right, count), studs=str(studs))
    assert answer.si("tilt") * 1000 == pytest.approx(2 * hypot(up, right), abs=1e-9)
    assert answer.si("off_plane") * 1000 == pytest.approx(0, abs=1e-9)
    if hypot(up, right) > 1e-3:
        low = answer.si("low_point")
        assert hypot(cos(low) * hypot(up, right) + up, sin(low) * hypot(up, right) + right) < 1e-6
        assert 1 <= answer.si("low_stud") <= studs
        middle = 2 * pi * (answer.si("low_stud") - 0.5) / studs
        assert abs((middle - low + pi) % (2 * pi) - pi) <= pi / studs + 1e-6


@pytest.mark.computed
@given(readings=st.sampled_from([4, 8]).flatmap(lambda n: st.lists(st.integers(20, 60), min_size=n, max_size=n)))
def test_the_same_plane_by_least_squares_of_another_library(readings: list[int]):
    """numpy's lstsq over [1, cos, sin]; and for the odd place a fit that leaves one reading out."""
    gaps = np.array(readings) / 10
    turns = np.arange(len(gaps)) * 2 * np.pi / len(gaps)
    design = np.column_stack([np.ones_like(turns), np.cos(turns), np.sin(turns)])
    fit = np.linalg.lstsq(design, gaps, rcond=None)[0]
    left = gaps - design @ fit
    answer = run(" ".join(f"{g:g}" for g in gaps) + " mm")
    assert answer.si("mean") * 1000 == pytest.approx(fit[0], abs=1e-9)
    assert answer.si("tilt") * 1000 == pytest.approx(2 * hypot(fit[1], fit[2]), abs=1e-9)
    assert answer.si("off_plane") * 1000 == pytest.approx(np.abs(left).max(), abs=1e-9)
    assert answer.si("spread") * 1000 == pytest.approx(gaps.max() - gaps.min(), abs=1e-9)
    below = []
    for k in range(len(gaps)):
        kept = np.arange(len(gaps)) != k
        others = np.linalg.lstsq(design[kept], gaps[kept], rcond=None)[0]
        below.append(design[k] @ others - gaps[k])
    assert answer.si("below_others") * 1000 == pytest.approx(max(*below, 0), abs=1e-9)


@pytest.mark.memory
@pytest.mark.parametrize(
    ("spread", "stage", "levels_"),
    [
        (1.51, "pass", ["stop"]), (1.5, "pass", ["warn"]), (0.81, "pass", ["warn"]), (0.8, "pass", []), (0.3, "pass", []),
        (0.8, "final", ["warn"]), (0.26, "final", ["warn"]), (0.25, "final", []), (1.6, "snug", ["stop"]),
    ],
)  # fmt: skip
def test_corrected_first_parallel_and_aimed_at(spread: float, stage: str, levels_: list[str]):
    """1.5 mm to correct, 0.8 mm parallel, 0.25 mm at the end: PCC-1 Appendix E by a copy, and practice, from memory."""
    tilted = f"{3 + spread:g} {3 + spread / 2:g} 3 {3 + spread / 2:g} mm"
    assert levels(run(tilted, stage=stage)) == levels_


def test_what_is_said_names_both_sides_and_the_stud():
    text = run("5 4.2 3.4 4.2 mm", studs="32").findings[0].text
    assert "open towards 12 o'clock, closed towards 6 o'clock, stud 17" in text
    assert "Never pull the closed side further" in text


@pytest.mark.computed
def test_one_pinched_place_of_eight_is_named_and_a_bow_is_told_from_it():
    """One reading 0.5 mm low on level others: it stays 5/8 of it off the plane of all, the whole of it off the plane of the others."""
    answer = run("3.2 3.2 3.2 2.7 3.2 3.2 3.2 3.2 mm")
    assert answer.si("off_plane") * 1000 == pytest.approx(0.5 * 5 / 8, abs=1e-9)
    assert answer.si("below_others") * 1000 == pytest.approx(0.5, abs=1e-9)
    assert "At 4:30 o'clock it is closer" in answer.findings[-1].text
    bow = run("3.0 3.2 3.4 3.2 3.0 3.2 3.4 3.2 mm")
    assert bow.si("tilt") == pytest.approx(0, abs=1e-12)
    assert bow.si("off_plane") * 1000 == pytest.approx(0.2, abs=1e-9)
    assert "bowed" in bow.findings[-1].text
    assert "low_point" not in bow.values


@pytest.mark.computed
def test_with_four_readings_nobody_can_say_which_place_it_is():
    """Three readings make a plane: the fourth is 0.4 mm below it, and so is its opposite below the plane of its own three."""
    answer = run("3.2 3.2 2.8 3.2 mm")
    assert answer.si("below_others") * 1000 == pytest.approx(0.4, abs=1e-9)
    assert answer.si("off_plane") * 1000 == pytest.approx(0.1, abs=1e-9)
    assert [f.level for f in answer.findings] == ["warn"]
    assert "Read eight places" in answer.findings[0].text
    assert levels(run("3.2 3.2 2.95 3.2 mm")) == []


@pytest.mark.memory
def test_the_gap_and_the_gasket():
    """3.2 mm thick: less than 0.6 of it is pressed too thin, more than twice is not met; then with a recess of 1.5 mm."""
    assert levels(run("1.9 1.9 1.9 1.9 mm", gasket_thickness="3.2 mm")) == ["warn"]
    assert levels(run("1.92 1.92 1.92 1.92 mm", gasket_thickness="3.2 mm")) == []
    assert levels(run("6.4 6.4 6.4 6.4 mm", gasket_thickness="3.2 mm")) == []
    assert levels(run("6.5 6.5 6.5 6.5 mm", gasket_thickness="3.2 mm")) == ["warn"]
    assert levels(run("0.5 0.5 0.5 0.5 mm", gasket_thickness="3.2 mm", recess_depth="1.5 mm")) == []
    assert levels(run("0.4 0.4 0.4 0.4 mm", gasket_thickness="3.2 mm", recess_depth="1.5 mm")) == ["warn"]


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"readings": "3.2 3.2 3.2 mm"}, ["3 readings", "four", "eight"]),
        ({"readings": "3.2"}, ["readings", "has no unit"]),
        ({"readings": "3.2 3.2 3.2 3.2"}, ["readings", "3.2"]),
        ({"readings": "-1 3.2 3.2 3.2 mm"}, ["-1 mm", "0 mm to 1000 mm"]),
        ({"readings": "3.2 3.2 3.2 3.2 kg"}, ["readings", "kg"]),
        ({"readings": "3 3 3 3 mm", "studs": "36.5"}, ["studs", "36.5"]),
        ({"readings": "3 3 3 3 mm", "diameter": "0 mm"}, ["diameter", "0"]),
        ({"readings": "3 3 3 3 mm", "stage": "later"}, ["stage", "snug, pass, final"]),
    ],
)
def test_refused_with_the_key_and_what_is_accepted(typed: dict[str, str], words: list[str]):
    with pytest.raises(BadInput) as bad:
        gap.parse(typed)
    assert all(word in str(bad.value) for word in words), str(bad.value)


@pytest.mark.computed
def test_readings_may_come_in_inches_or_mixed():
    assert run("1/8 in, 3.175 mm, 0.125 in, 3.175 mm").si("spread") == pytest.approx(0, abs=1e-12)


@pytest.mark.computed
def test_how_far_a_tilt_moves_from_pass_to_pass():
    """From 0.4 mm closed at 12 to 0.3 mm closed at 3: a right angle between them, so 0.5 mm."""
    before, after = tilt_of((3.0, 3.2, 3.4, 3.2)), tilt_of((3.2, 3.05, 3.2, 3.35))
    assert before is not None
    assert after is not None
    assert after.change(before) == pytest.approx(0.5, abs=1e-9)
    assert said(after) == "0.3 mm, closest at 3 o'clock"
    assert tilt_of((3.2,) * 5) is None
    assert said(tilt_of((3.2,) * 4)) == "none"


@pytest.mark.computed
@given(st.floats(0, 2 * pi))
def test_a_clock_is_right_to_a_quarter_of_an_hour(angle: float):
    hour, _, half = clock(angle).partition(":")
    told = (int(hour) % 12 + (0.5 if half else 0)) * pi / 6
    assert abs((told - angle + pi) % (2 * pi) - pi) <= pi / 24 + 1e-9


def test_the_square_root_of_two_is_in_the_eight():
    """One reading raised at 1:30 alone tilts the plane by sqrt(2)/4 of it each way."""
    answer = run("3 3.4 3 3 3 3 3 3 mm")
    assert answer.si("tilt") * 1000 == pytest.approx(2 * 0.4 * hypot(sqrt(2) / 8, sqrt(2) / 8), abs=1e-9)


def test_a_pinched_place_is_looked_at_before_anything_is_pulled_level():
    """Three places near 4 mm and one at 3.2: not parallel and no plane; the look comes first."""
    found = [f.text for f in run("4.1 4.0 3.2 3.9 mm").findings]
    assert [t.split()[0] for t in found] == ["No", "The"], found
    assert found[1].startswith("The flanges are not parallel")
