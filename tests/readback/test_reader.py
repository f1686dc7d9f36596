"""The reader itself: what it works out by hand-checked lines, and what it must refuse."""

from __future__ import annotations

import pytest
from tests.readback.layout import whole_lines
from tests.readback.reader import Printed, Unreadable, Wrong, check_numbers, check_result, parse, printed_value, reasons, work


@pytest.mark.parametrize(
    ("text", "si"),
    [
        ("2 × 3 mm + 1 m", 1.006),
        ("(19 mm)²", 361e-6),
        ("8 / 4 / 2", 1.0),
        ("10 − 4 − 3", 3.0),
        ("−7 °C + 17 K", 283.15),
        ("3 × −2 kN", -6000.0),
        ("(−2)²", 4.0),
        ("−2²", -4.0),
        ("√((5 m)² − (4 m)²)", 3.0),
        ("hypot(3 m, 4 m)", 5.0),
        ("2 × cos(120 ° / 2)", 1.0),
        ("4^(0.5)", 2.0),
        ("1.17×10⁻⁵ 1/K × 10 K", 1.17e-4),
        ("1 MPa / 0.5 1/GPa", 2e15),
        ("10 MPa / 5 MPa/K", 2.0),
        ("1 bar + 14.5 psi", 199973.98075094),
        ("min(3 kg, 2 kg) + max(1 kg, 4 kg)", 6.0),
        ("ceil(17 / 2) − floor(17 / 2)", 1.0),
    ],
)
def test_it_reckons_as_by_hand(text: str, si: float):
    assert work(parse(text)) == pytest.approx(si, rel=1e-9)


@pytest.mark.parametrize("text", ["2 ×", "(2 mm", "2 3", "2 mm)", "W_m1 × 2", "2 mm ; 3", "", "2 furlongs"])
def test_it_refuses_what_it_cannot_read(text: str):
    with pytest.raises(Unreadable):
        work(parse(text))


@pytest.mark.parametrize("numbers", ["2 mm + 3 kN", "min(1 m, 1 kg) × 1 m", "sin(3 mm)"])
def test_it_refuses_units_that_do_not_belong_together(numbers: str):
    with pytest.raises(Wrong):
        check_result(Printed("x", "", numbers, "5 mm"))


def test_dropped_zeros_are_figures():
    assert printed_value("45 kN")[0].half == pytest.approx(0.5)
    assert printed_value("45000 kN")[0].half == pytest.approx(500)
    assert printed_value("0.00015261 1/K")[0].half == pytest.approx(0.5e-8)
    check_result(Printed("F", "a", "45.00049 kN", "45 kN"))
    with pytest.raises(Wrong):
        check_result(Printed("F", "a", "45.0006 kN", "45 kN"))


def test_what_rounding_of_the_inputs_explains_is_allowed_and_no_more():
    check_result(Printed("d", "a − b", "1000.001 mm − 1000 mm", "0.0014999 mm"))
    with pytest.raises(Wrong):
        check_result(Printed("d", "a − b", "1000.001 mm − 1000 mm", "0.0021 mm"))


def test_the_numbers_are_those_printed_above():
    known = {"Wm1": printed_value("134.8 kN")[0], "n": printed_value("4")[0]}
    check_numbers(Printed("F", "W_m1 / n", "134.8021 kN / 4", "33.701 kN"), known)
    for numbers in ("134.9021 kN / 4", "134.8021 kN / 5", "134.8021 kN × 4", "134.8021 MPa / 4", "(134 kN + 0.8 kN) / 4"):
        with pytest.raises(Wrong):
            check_numbers(Printed("F", "W_m1 / n", numbers, ""), known)


def test_a_reason_is_read():
    known = {"b0": printed_value("6 mm")[0]}
    for text, true in (
        ("≤ 6 × 1 mm: 6 mm ≤ 6 × 1 mm is so", True),
        ("≤ 6 mm: 6 mm ≤ 6 mm is not so", False),
        ("< 6 mm: 6 mm < 6 mm is so", False),
    ):
        assert [r.true for r in reasons(f"b_0 {text} [Table 2-5.2]", known)] == [true]
    for wrong in ("b_0 ≤ 7 mm: 5 mm ≤ 7 mm is so", "b_0 ≤ 7 mm: 6 mm ≤ 8 mm is so", "b_0 ≤ 7 mm: 6 mm < 7 mm is so"):
        with pytest.raises(Wrong):
            reasons(wrong, known)


def test_lines_that_go_on_are_joined():
    assert list(whole_lines("= 3 kg + \r\n4 kg\r\n= 7 kg\r\n2 kg/\r\nm")) == ["= 3 kg + 4 kg", "= 7 kg", "2 kg/m"]
