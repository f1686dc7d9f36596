"""Nozzle studs by size and class; the file against the table; a typed torque against its studs; hints; and the table itself."""

from __future__ import annotations

import math

import pytest

from boxup.core.quantity import quantity
from boxup.exchanger.model import Nozzle
from boxup.joint.gasket_hint import crush_hint, factor_hint
from boxup.joint.nozzle import flange_row, nozzle_studs
from boxup.joint.studs import StudSet
from boxup.joint.thread import common_size
from boxup.joint.typed_torque import typed_torque
from boxup.reference.load import table

GIVEN = {"stud_grade": "B7", "lubricant": "copper paste", "nut_factor": quantity("0.14", "-"), "target_stress": quantity("345 MPa", "MPa")}


def nozzle(size="8 in", flange_class="150", **more):
    return Nozzle(id="N1", side="shell", size=size, flange_class=flange_class, **more)


@pytest.mark.parametrize("size", ["8 in", "8", '8"', "NPS 8", "8in", " 8 in "])
def test_spellings_of_a_size(size):
    assert flange_row(size, "150").key == "NPS 8 class 150"


@pytest.mark.parametrize(
    ("size", "flange_class"), [("DN 200", "150"), ("7 in", "150"), ("8 in", "125"), ("", "150"), ("8 in", ""), ("8 in x", "150")]
)
def test_what_is_not_in_the_table_is_asked_for(size, flange_class):
    answer = nozzle_studs(nozzle(size, flange_class, **GIVEN))
    assert answer.row is None
    assert answer.torque is None
    assert answer.missing


ON_FLANGE = {"studs": quantity("8", "count"), "stud_size": "3/4-10"}


@pytest.mark.parametrize("absent", [("studs",), ("stud_size",), ("studs", "stud_size")])
def test_count_and_size_of_the_table_are_told_and_never_pulled_by(absent):
    answer = nozzle_studs(nozzle(**{k: v for k, v in ON_FLANGE.items() if k not in absent}, **GIVEN))
    assert answer.torque is None
    assert (answer.count is None, answer.size == "") == ("studs" in absent, "stud_size" in absent)
    assert answer.by_table == "8 × 3/4-10"
    notes = [f.text for f in answer.findings if f.level == "note" and "by the flange table" in f.text]
    assert len(notes) == 1
    assert "8 × 3/4-10" in notes[0]
    assert "NPS 8 class 150" in notes[0]
    assert len(answer.missing) == len(absent)
    assert all("8 × 3/4-10" in m.do and "from memory" in m.do for m in answer.missing)


def test_with_count_and_size_in_the_file_there_is_a_torque():
    answer = nozzle_studs(nozzle(**ON_FLANGE, **GIVEN))
    assert answer.torque_text
    assert answer.missing == ()
    assert not any("flange table" in f.text for f in answer.findings)


def test_no_nozzle_torque_for_a_stud_that_would_yield():
    answer = nozzle_studs(nozzle(**ON_FLANGE, **(GIVEN | {"stud_grade": "B8-1"})))
    assert answer.torque is None
    assert [m.number for m in answer.missing] == ["torque for nozzle N1"]


def test_without_lubricant_no_torque():
    assert nozzle_studs(nozzle(**ON_FLANGE, **(GIVEN | {"lubricant": ""}))).torque is None


def test_the_file_wins_and_a_difference_is_a_stop():
    answer = nozzle_studs(nozzle(studs=quantity("12", "count"), stud_size="7/8-9", **GIVEN))
    assert (answer.count.si, answer.size) == (12, "7/8-9")
    assert [f.level for f in answer.findings if "flange table" in f.text] == ["stop", "stop"]


def test_the_same_diameter_in_another_spelling_is_no_difference():
    answer = nozzle_studs(nozzle(studs=quantity("8", "count"), stud_size="0.75-10", **GIVEN))
    assert [f for f in answer.findings if "flange table" in f.text] == []


def test_every_row_of_the_flange_table_can_be_built():
    """The studs fit through the holes and round the circle, the hole is 1/8 in over the stud, the face inside the studs."""
    rows = table("b165_bolting").values()
    assert len(rows) == 95
    for r in rows:
        n, d, hole, circle = (r.need(c) for c in ("studs", "stud_diameter", "bolt_hole", "bolt_circle"))
        assert n % 4 == 0
        assert common_size(d), r.key
        assert hole - d == pytest.approx(0.003175, abs=1e-6), r.key
        assert r.need("raised_face_od") < circle - d, r.key
        assert circle + hole < r.need("flange_od"), r.key
        nut = table("stud_threads")[common_size(d)].need("nut_across_flats")
        assert circle * math.sin(math.pi / n) > nut, f"{r.key}: nuts would touch"


def test_what_a_typed_torque_puts_into_a_stud():
    """411 N.m belongs to a 7/8 in stud; on a 1 in stud of the same target, 345 MPa, it is two thirds of it: 230 MPa."""
    studs = StudSet(size="1-8", grade="B7", lubricant="nickel", nut_factor=quantity("0.18", "-"), area="tensile")
    w = typed_torque("J2", studs, quantity("411 N.m", "N.m"))
    assert w["S_b"] / 345e6 == pytest.approx(0.667, abs=0.001)
    assert w["f_y"] == pytest.approx(0.318, abs=0.001)  # of 105 ksi
    assert w.findings == []
    assert typed_torque("J2", StudSet(), quantity("411 N.m", "N.m")) is None


def test_hints_are_marked_and_only_for_known_kinds():
    assert "from memory" in crush_hint("Kammprofile 316L")
    assert "m 3.75" in factor_hint("double-jacketed soft iron")
    assert crush_hint("unobtainium") == factor_hint("unobtainium") == crush_hint("") == ""


@pytest.mark.parametrize(
    "name", ["stud_threads", "bolt_materials", "crossover_orders", "b165_bolting", "gasket_factors", "gasket_stress_ranges"]
)
def test_tables_load_and_none_claims_more_than_was_read(name):
    rows = table(name)
    assert rows
    assert all(r.cite.source.label != "published" for r in rows.values())


def test_gasket_seating_stress_rises_with_the_metal_in_each_family():
    families: dict[str, list[float]] = {}
    for r in table("gasket_factors").values():
        if ": " in r.key:
            families.setdefault(r.key.split(": ")[0], []).append(r.need("y"))
    assert len(families) == 6
    assert all(y == sorted(y) for y in families.values())
