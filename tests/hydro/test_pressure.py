"""Test pressure: the code's rule, the older one, air, the gauge below, and stresses that were swapped."""

from __future__ import annotations

import pytest

from boxup.core.calculation import BadInput
from boxup.hydro.pressure import required_pressure

BASE = {"mawp": "20 bar", "stress_test": "138 MPa", "stress_design": "118 MPa"}


def run(**more: str):
    return required_pressure.run(required_pressure.parse(BASE | more))


def bar(answer, key: str) -> float:
    return answer.si(key) / 1e5


@pytest.mark.memory
@pytest.mark.parametrize(
    ("more", "pressure", "examine"),
    [
        ({}, 30.41, 23.39),
        ({"rule": "1.5"}, 35.08, 23.39),
        ({"medium": "air"}, 25.73, 23.39),
        ({"medium": "air", "rule": "1.5"}, 29.24, 23.39),
    ],
)
def test_the_four_rules(more: dict[str, str], pressure: float, examine: float):
    """VIII-1 UG-99(b), UG-100(b) and their older multiples, by hand: 1.3, 1.5, 1.1, 1.25 x 20 x 138/118; printed to 0.01 bar."""
    a = run(**more)
    assert bar(a, "test_pressure") == pytest.approx(pressure, abs=0.006)
    assert bar(a, "examination_pressure") == pytest.approx(examine, abs=0.006)


@pytest.mark.practice
def test_an_inspectors_course_question():
    """Course paper for inspectors, open book, question 3: MAWP 225 psi, 17 500 over 16 800, gauge 25.5 ft below the top reads 315.7 psi."""
    a = required_pressure.run(
        required_pressure.parse({"mawp": "225 psi", "stress_test": "17500 psi", "stress_design": "16800 psi", "head": "25.5 ft"})
    )
    assert a.si("gauge_pressure") / 6894.757 == pytest.approx(315.7, abs=0.15)  # they take 0.433 psi/ft


@pytest.mark.computed
def test_three_metres_of_water_are_0_294_bar():
    """rho g h by hand with 998.2 kg/m3: 0.2937; with 1000: 0.2942."""
    a = run(head="3.0 m")
    assert bar(a, "gauge_pressure") - bar(a, "test_pressure") == pytest.approx(0.294, abs=0.0006)
    assert "gauge_pressure" not in run().values


def test_the_relief_for_warming_is_said_not_to_be_the_pumps():
    a = run()
    assert a.si("relief_setting") == pytest.approx(4 / 3 * a.si("test_pressure"))
    assert any("not for the pump" in f.text for f in a.findings)


def test_air_is_warned_of_and_its_relief_is_the_lesser_margin():
    low, high = run(medium="air"), run(medium="air", mawp="60 bar")
    assert low.si("relief_setting") == pytest.approx(1.1 * low.si("test_pressure"))
    assert high.si("relief_setting") == pytest.approx(high.si("test_pressure") + 345e3)
    assert [f.level for f in low.findings] == ["warn"]


def test_a_ratio_below_one_is_a_stop_with_both_numbers():
    a = run(stress_test="118 MPa", stress_design="138 MPa")
    assert a.si("test_pressure") == pytest.approx(1.3 * 20e5 * 118 / 138)  # never clipped
    finding = a.findings[0]
    assert finding.level == "stop"
    assert "118 MPa" in finding.text
    assert "138 MPa" in finding.text
    assert "swapped" in finding.text


def test_both_unit_systems_give_the_same():
    us = required_pressure.run(required_pressure.parse({"mawp": "290.0754754 psi", "stress_test": "138 MPa", "stress_design": "118 MPa"}))
    assert us.si("test_pressure") == pytest.approx(run().si("test_pressure"), rel=1e-9)


@pytest.mark.parametrize(
    "more", [{"mawp": "-20 bar"}, {"mawp": "0 bar"}, {"rule": "1.4"}, {"medium": "steam"}, {"head": "-1 m"}, {"stress_design": "118"}]
)
def test_bad_input_names_its_key(more: dict[str, str]):
    with pytest.raises(BadInput, match=next(iter(more))):
        required_pressure.parse(BASE | more)


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"stress_design": "1e-9 MPa"}, "is a ratio of 1.38e+11; accepted: up to 10"),
        ({"stress_design": "13.7 MPa"}, "accepted: up to 10"),  # 10.07
        ({"stress_test": "11 MPa"}, "accepted: up to 10"),  # over 118: under a tenth
        ({"head": "1e9 m"}, "head: '1e9 m' is out of range"),
        ({"mawp": "1000 MPa"}, "mawp: '1000 MPa' is out of range"),
        ({"mawp": "70 MPa"}, "asks 106.4 MPa; accepted: a test pressure of at most 100 MPa"),  # 1.3 x 70 x 138/118
    ],
)
def test_what_no_metal_and_no_site_has_is_refused_as_the_file_refuses_it(more: dict[str, str], says: str):
    with pytest.raises(BadInput) as refused:
        run(**more)
    assert says in str(refused.value)


def test_ten_to_one_is_still_worked():
    assert bar(run(stress_design="13.8 MPa"), "test_pressure") == pytest.approx(260)
