"""Strength goes by diameter, never by grade alone; what the table does not hold is refused."""

from __future__ import annotations

import itertools

import pytest

from boxup.core.calculation import BadInput
from boxup.core.quantity import BadValue, quantity
from boxup.core.source import Source
from boxup.core.working import Working
from boxup.joint.grade import allowable, grade, grades, material, yield_load
from boxup.joint.thread import thread
from boxup.reference.load import table

KSI = 6894757.293168361


def strength(name, size):
    answer = yield_load.run(yield_load.parse({"size": size, "grade": name, "fraction": "0.5"}))
    return answer.si("yield_strength") / KSI


def test_the_contract_names_of_grades_are_there():
    assert {"B7", "B7M", "B16", "B8-1", "B8-2", "L7"} <= set(grades())


@pytest.mark.parametrize("typed", ["B7", "b7", "SA-193 B7", "A193 B7", "SA193-B7", "A193 Gr. B7", " B7 "])
def test_spellings_of_b7(typed):
    assert grade(typed) == "B7"


@pytest.mark.parametrize(("typed", "name"), [("B8 Class 2", "B8-2"), ("SA-193 B8M Cl. 1", "B8M-1"), ("A320 L7", "L7"), ("660", "660")])
def test_other_spellings(typed, name):
    assert grade(typed) == name


@pytest.mark.parametrize("typed", ["", "B9", "B8", "8.8", "B7;", "x" * 200, "B77"])
def test_unknown_grades_are_refused(typed):
    with pytest.raises(BadValue, match="accepted: B7"):
        grade(typed)


def test_strength_steps_at_the_diameters_of_the_table():
    assert strength("B7", "2-1/2-8") == pytest.approx(105)
    assert strength("B7", "2-5/8-8") == pytest.approx(95)
    assert strength("B8-2", "3/4-10") > strength("B8-2", "7/8-9") > strength("B8-2", "1-1/8-8") > strength("B8-2", "1-3/8-8")


def test_a_metric_stud_goes_by_the_metric_bound():
    assert strength("B7", "M64x6") == strength("B7", "2-1/2-8")
    assert strength("B7", "M72x6") == strength("B7", "3-8")


@pytest.mark.parametrize(("name", "size"), [("B8-2", "1-5/8-8"), ("L7", "3-8"), ("B7", "M180x3")])
def test_beyond_the_table_is_refused_or_within(name, size):
    if name == "B7":
        assert strength(name, size) == pytest.approx(75)
        return
    with pytest.raises(BadInput, match="no strength in the table"):
        strength(name, size)


def test_rows_of_a_grade_stand_smallest_first_and_do_not_overlap():
    for name in grades():
        rows = [r for r in table("bolt_materials").values() if r.text("grade") == name]
        for lower, upper in itertools.pairwise(rows):
            assert lower.need("to") == upper.need("over")
        assert rows[0].need("over") == 0


def test_yield_never_above_tensile_and_allowable_never_above_yield():
    for row in table("bolt_materials").values():
        assert row.need("yield_strength") < row.need("tensile_strength")
        allowed = [row.si(c) for c in row.units if c.startswith("allowable_")]
        held = [a for a in allowed if a is not None]
        assert held == sorted(held, reverse=True), row.key
        assert allowed[: len(held)] == held, f"{row.key}: a hole in the row"
        assert held[0] < row.need("yield_strength")


def allowed_at(name, size, temperature):
    w = Working("w", Source("t", "t", "memory"))
    allowable(w, "S", material(name, thread(size)), quantity(temperature, "degC") if temperature else None)
    return w["S"] / KSI


def test_allowable_between_two_printed_temperatures():
    assert allowed_at("B7", "1-8", None) == pytest.approx(25.0)
    assert allowed_at("B7", "1-8", "-20 degC") == pytest.approx(25.0)
    assert allowed_at("B7", "1-8", "750 degF") == pytest.approx(23.6)
    assert allowed_at("B7", "1-8", "775 degF") == pytest.approx((23.6 + 21.0) / 2)


@pytest.mark.parametrize(("name", "temperature"), [("B7", "950 degF"), ("L43", "500 degF"), ("L43", "410 degF")])
def test_allowable_stops_where_the_table_stops(name, temperature):
    with pytest.raises(LookupError):
        allowed_at(name, "1-8", temperature)


@pytest.mark.parametrize(("fraction", "said"), [("0.5", []), ("0.7", []), ("0.71", ["warn"]), ("1", ["stop"]), ("1.2", ["stop"])])
def test_fraction_of_yield(fraction, said):
    answer = yield_load.run(yield_load.parse({"size": "1-8", "grade": "B7", "fraction": fraction}))
    assert [f.level for f in answer.findings] == said


@pytest.mark.parametrize("fraction", ["0", "-0.5", "50 %", "half", "11"])
def test_fractions_that_are_refused(fraction):
    with pytest.raises(BadInput, match="fraction"):
        yield_load.parse({"size": "1-8", "grade": "B7", "fraction": fraction})
