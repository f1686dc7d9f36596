"""Blind list, small-bore list, relief path: what is missing is said, what went in must come out."""

from __future__ import annotations

from dataclasses import replace

import pytest

from boxup.core.quantity import quantity
from boxup.exchanger.model import Blind
from boxup.isolation.blinds import in_equals_out, process_blinds
from boxup.isolation.blinds import test_blinds as blinds_for
from boxup.isolation.relief import relief_path, shut_off
from boxup.isolation.small_bore import out_equals_back, small_bore, use_of

PRESSURE, STRESS = quantity("26 bar", "MPa"), quantity("138 MPa", "MPa")


def said(found, level: str = "stop") -> str:
    return " | ".join(f.text for f in found if f.level == level)


def test_a_full_list_has_no_findings(make):
    x = make()
    assert (process_blinds(x).count, process_blinds(x).findings) == (4, ())
    for side in ("shell", "tube"):
        listed = blinds_for(x, side, PRESSURE, STRESS)
        assert (listed.count, listed.findings, listed.missing, listed.without) == (2, (), (), ())


def test_every_nozzle_needs_a_process_row(make):
    x = make(blinds=tuple(b for b in make().blinds if b.id != "P2"))
    assert process_blinds(x).without == ("N2",)
    assert "N2" in said(process_blinds(x).findings)


def test_every_nozzle_of_the_side_under_test_needs_a_row(make):
    x = make(blinds=tuple(b for b in make().blinds if b.nozzle != "N3"))
    assert blinds_for(x, "tube", PRESSURE, STRESS).without == ("N3",)
    assert "N3" in said(blinds_for(x, "tube", PRESSURE, STRESS).findings)
    assert blinds_for(x, "shell", PRESSURE, STRESS).without == ()


def test_a_process_blind_may_stand_in_only_with_the_rating(make):
    x = make(blinds=tuple(b for b in make().blinds if b.id != "T1"))
    listed = blinds_for(x, "shell", PRESSURE, STRESS)
    assert listed.without == ()
    assert "dropped" in said(listed.findings, "warn")
    weak = replace(x, blinds=tuple(replace(b, rated=quantity("20 bar", "MPa")) for b in x.blinds))
    assert "N1" in blinds_for(weak, "shell", PRESSURE, STRESS).without


def test_rating_below_the_test_is_a_stop_with_both_numbers(make):
    x = make(blinds=tuple(replace(b, rated=quantity("20 bar", "MPa")) for b in make().blinds))
    text = said(blinds_for(x, "shell", PRESSURE, STRESS).findings)
    assert "20.0 bar" in text
    assert "26.0 bar" in text


@pytest.mark.computed
def test_a_thin_blind_is_a_stop_with_both_numbers(make):
    """8 in class 300 spacer bore 219 mm, 26 bar, 138 MPa: 219 sqrt(3 x 2.6/(16 x 138)) = 13.02 mm."""
    x = make(blinds=tuple(replace(b, thickness=quantity("12 mm", "mm")) for b in make().blinds))
    listed = blinds_for(x, "shell", PRESSURE, STRESS)
    assert listed.workings[0]["t_m"] * 1000 == pytest.approx(13.02, abs=0.01)
    text = said(listed.findings)
    assert "12 mm" in text
    assert "13.01" in text or "13.02" in text
    assert "from memory" in listed.findings[0].source


@pytest.mark.memory
@pytest.mark.parametrize(("thickness", "stops"), [("22.4 mm", 0), ("22.35 mm", 0), ("22.2 mm", 2), ("12.7 mm", 2), ("3 mm", 2)])
def test_without_the_stress_the_standard_blank_judges_the_thickness(make, thickness: str, stops: int):
    """Class 300, 8 in: 22.4 mm as makers print it (0.88 in, 22.35)."""
    x = make(blinds=tuple(replace(b, thickness=quantity(thickness, "mm")) for b in make().blinds))
    listed = blinds_for(x, "shell", PRESSURE)
    assert len([f for f in listed.findings if f.level == "stop"]) == stops
    assert listed.missing == ()
    if stops:
        assert thickness in said(listed.findings)
        assert "22.4 mm" in said(listed.findings)
    assert len([f for f in process_blinds(x).findings if f.level == "stop"]) == 2 * stops  # all four nozzles


def test_a_blind_without_rating_or_thickness_is_asked_for(make):
    bare = make(blinds=tuple(replace(b, rated=None) for b in make().blinds))
    for listed in (process_blinds(bare), blinds_for(bare, "shell", PRESSURE)):
        assert len(listed.missing) == listed.count
        assert all("rating" in m.do for m in listed.missing)
    nothing = make(blinds=tuple(replace(b, rated=None, thickness=None) for b in make().blinds))
    assert len(process_blinds(nothing).missing) == 8
    no_plate = make(tube_side=replace(make().tube_side, mawp=None))
    assert "[tube_side] mawp" in process_blinds(no_plate).missing[0].do
    odd = make(blinds=tuple(replace(b, size="9 in") for b in make().blinds), nozzles=tuple(replace(n, size="9 in") for n in make().nozzles))
    assert "no row for size 9 in and class 300" in blinds_for(odd, "shell", PRESSURE).missing[0].do


def test_a_process_blind_rated_below_the_mawp_is_a_stop_with_both_numbers(make):
    x = make(blinds=tuple(replace(b, rated=quantity("19 bar", "MPa")) if b.id == "P1" else b for b in make().blinds))
    text = said(process_blinds(x).findings)
    assert "Process blind P1" in text
    assert "19.0 bar" in text
    assert "20.0 bar" in text
    even = make(blinds=tuple(replace(b, rated=quantity("25 bar", "MPa")) for b in make().blinds))
    assert process_blinds(even).findings == ()


@pytest.mark.parametrize("use", ["P1", "T1"])
def test_a_blind_of_another_size_is_a_stop(make, use: str):
    x = make(blinds=tuple(replace(b, size="6 in") if b.id == use else b for b in make().blinds))
    listed = process_blinds(x) if use == "P1" else blinds_for(x, "shell", PRESSURE)
    text = said(listed.findings)
    assert f"Blind {use} is 6 in, its nozzle N1 8 in" in text
    same = make(blinds=tuple(replace(b, size="NPS 8") for b in make().blinds))
    assert process_blinds(same).findings == ()


def test_unknown_stress_or_thickness_is_missing_not_assumed(make):
    bare = make(blinds=tuple(replace(b, thickness=None) for b in make().blinds))
    assert "thickness" in blinds_for(bare, "shell", PRESSURE, STRESS).missing[0].do
    assert "not known yet" in blinds_for(make(), "shell", None, STRESS).missing[0].do


def test_a_blind_for_a_nozzle_that_is_not_there_and_one_of_another_class(make):
    x = make(blinds=(*make().blinds, Blind(id="P9", use="process", nozzle="N9")))
    assert "N9" in said(process_blinds(x).findings)
    other = make(blinds=tuple(replace(b, flange_class="150") if b.id == "P1" else b for b in make().blinds))
    assert "class 150" in said(process_blinds(other).findings)


def test_rows_have_two_names_in_and_two_out(make):
    for row in (*process_blinds(make()).rows, *blinds_for(make(), "shell", PRESSURE).rows):
        assert sum(c.startswith("in:") for c in row.signed) == 2
        assert sum(c.startswith("out:") for c in row.signed) == 2
        assert list(row.signed) == sorted(row.signed, key=lambda c: (c.startswith("out:"), not c.startswith("in:")))


def test_four_in_three_out(make):
    rows = process_blinds(make()).rows
    ids = {r.id for r in rows}
    assert "P4" in said(in_equals_out(rows, ids, ids - {"P4"}))
    assert in_equals_out(rows, ids, ids) == ()
    assert in_equals_out(rows, ids, ids - {"P4"}, left_in={"P4"}) == ()
    assert "never was in" in said(in_equals_out(rows, ids - {"P1"}, ids))
    assert "not on the list" in said(in_equals_out(rows, ids | {"X7"}, ids | {"X7"}))


def test_small_bore_counts_and_wants_a_vent_and_a_drain_of_each_side(make):
    x = make()
    listed = small_bore(x)
    assert (listed.count, listed.findings, listed.missing) == (4, (), ())
    no_vent = make(openings=tuple(o for o in x.openings if o.id != "V1"))
    assert "shell side has no high vent" in said(small_bore(no_vent).findings)
    no_clock = make(openings=tuple(replace(o, clock=None) if o.id == "D2" else o for o in x.openings))
    assert "D2" in small_bore(no_clock).missing[0].do
    assert small_bore(no_clock).findings == ()


@pytest.mark.parametrize(
    ("kind", "clock", "use"),
    [("vent", "12", "high vent"), ("vent", "1.5", "high vent"), ("vent", "10", "high vent"), ("vent", "6", ""), ("drain", "6", "low drain"),
     ("drain", "8", "low drain"), ("drain", "12", ""), ("plug", "12", "")],
)  # fmt: skip
def test_high_and_low(make, kind: str, clock: str, use: str):
    assert use_of(replace(make().openings[0], kind=kind, clock=quantity(clock, "count"))) == use


def test_an_opening_not_put_back(make):
    rows = small_bore(make()).rows
    assert "V2" in said(out_equals_back(rows, {"V1", "V2"}, {"V1"}))
    assert out_equals_back(rows, {"V1"}, {"V1"}) == ()


def test_the_relief_path_is_shut_while_a_blind_is_in(make):
    shell, tube = relief_path(make())
    assert (shell.side, tube.side) == ("shell", "tube")
    assert shell.shut_by == ("P1", "P2", "T1", "T2")
    assert "P2" in said(shut_off(shell, {"P2"}))
    assert shut_off(tube, {"P2"}) == ()
    assert shut_off(shell, set()) == ()
