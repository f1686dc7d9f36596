"""Appendix 2 loads: how they must scale, where the rules bend, both unit systems, and what is refused."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boxup.core.calculation import BadInput
from boxup.joint.gasket_loads import gasket_loads

RING = {"gasket_od": "861 mm", "gasket_id": "829 mm", "m": "4", "y": "69 MPa", "pressure": "24.1 bar"}
LOADS = ("end_force", "gasket_force", "operating_load", "seating_load")


def work(**keys):
    return gasket_loads.run(gasket_loads.parse(RING | keys))


def test_operating_load_is_its_two_parts():
    a = work()
    assert a.si("operating_load") == pytest.approx(a.si("end_force") + a.si("gasket_force"))


@given(st.floats(0.01, 500), st.floats(1.1, 5))
def test_loads_go_with_pressure_but_seating_does_not(bar, more):
    low, high = work(pressure=f"{bar} bar"), work(pressure=f"{bar * more} bar")
    assert high.si("operating_load") == pytest.approx(more * low.si("operating_load"))
    assert high.si("seating_load") == low.si("seating_load")


def test_no_pressure_asks_for_seating_only():
    a = work(pressure="0 bar")
    assert a.si("operating_load") == 0
    assert a.si("seating_load") > 0


@given(st.floats(100, 5000), st.floats(2, 80), st.sampled_from(["us", "si"]))
def test_the_reaction_lies_in_the_gasket(inside, width, rules):
    a = work(gasket_id=f"{inside} mm", gasket_od=f"{inside + 2 * width} mm", rules=rules)
    assert inside * 1e-3 < a.si("reaction_diameter") < (inside + 2 * width) * 1e-3
    assert 0 < a.si("effective_width") <= a.si("basic_width") * 1.03  # the metric rule rounds 2.52 to 2.5 and starts at 6, not 6.35 mm


@pytest.mark.computed
@pytest.mark.parametrize("width", [1, 5, 6, 6.2, 6.35, 6.5, 10, 50])
def test_the_two_rules_differ_by_the_rounding_of_one_constant(width):
    """0.5 sqrt(b0 in inches) is 0.5 sqrt(25.4) = 2.51992 sqrt(b0 in mm); the metric text prints 2.5 and 6 mm for 1/4 in."""
    us, si = (work(gasket_od=f"{829 + 4 * width} mm", rules=r).si("effective_width") for r in ("us", "si"))
    if width <= 6:
        assert us == pytest.approx(si)
    elif width <= 6.35:
        assert us / si == pytest.approx(width / (2.5 * math.sqrt(width)))
    else:
        assert us / si == pytest.approx(0.5 * math.sqrt(25.4) / 2.5)


@pytest.mark.computed
def test_the_us_limit_is_a_quarter_of_an_inch_and_the_width_is_continuous_there():
    below, at, above = (work(gasket_od=f"{829 + 4 * w} mm").si("effective_width") for w in (6.3499, 6.35, 6.3501))
    assert at == pytest.approx(6.35e-3)
    assert below == pytest.approx(above, rel=1e-4)


def test_both_unit_systems_agree():
    inches = {"gasket_od": f"{861 / 25.4} in", "gasket_id": f"{829 / 25.4} in", "y": f"{69e6 / 6894.757293168361} psi",
              "pressure": f"{2.41e6 / 6894.757293168361} psi"}  # fmt: skip
    for key in LOADS:
        assert work(**inches).si(key) == pytest.approx(work().si(key), rel=1e-9)


@given(st.floats(-1e6, 1e6), st.floats(0, 1e6))
def test_outside_loads_are_the_same_force_as_the_pressure_that_stands_for_them(force, moment):
    """H on P + P_eq is H on P, and the force, and 4 M / G: the pressure is defined so."""
    a, plain = work(external_force=f"{force:.17e} N", external_moment=f"{moment:.17e} N.m"), work()
    g = plain.si("reaction_diameter")
    assert a.si("end_force") == pytest.approx(plain.si("end_force") + force + 4 * moment / g, abs=1e-3)
    assert a.si("gasket_force") == plain.si("gasket_force")
    assert a.si("seating_load") == plain.si("seating_load")


def test_nothing_outside_is_said_to_be_assumed():
    a = work()
    assert a.si("equivalent_pressure") == 0
    assert [s["kind"] for s in a.as_json()["steps"] if s["symbol"] == "P_eq"] == ["assumed"]
    assert work(external_force="0 N").si("equivalent_pressure") == 0


def test_compression_from_outside_is_not_counted_on():
    assert [f.level for f in work(external_force="-2000 kN").findings] == ["warn"]
    assert work(external_force="-10 kN").findings == []


@given(st.floats(10, 3000), st.floats(2, 30))
def test_ribs_add_load_in_proportion_to_their_length(length, width):
    plain, once, twice = (work(), *(work(rib_length=f"{n * length} mm", rib_width=f"{width} mm") for n in (1, 2)))
    for key in ("gasket_force", "operating_load", "seating_load"):
        assert twice.si(key) - plain.si(key) == pytest.approx(2 * (once.si(key) - plain.si(key)))
        assert once.si(key) > plain.si(key)
    assert once.si("end_force") == plain.si("end_force")


@pytest.mark.computed
def test_a_rib_as_long_as_the_ring_counts_as_the_ring():
    """Same width, same rule: a rib of length pi G asks for what the ring asks for."""
    plain = work()
    ribbed = work(rib_length=f"{math.pi * plain.si('reaction_diameter') * 1e3} mm", rib_width="16 mm")
    assert ribbed.si("seating_load") == pytest.approx(2 * plain.si("seating_load"))
    assert ribbed.si("gasket_force") == pytest.approx(2 * plain.si("gasket_force"))


def test_facings():
    width = {f: work(facing=f).si("basic_width") for f in ("1a", "1b", "6")}
    assert width == {"1a": pytest.approx(8e-3), "1b": pytest.approx(8e-3), "6": pytest.approx(2e-3)}
    seat = {"seat_width": "3 mm", "gasket_thickness": "3.2 mm"}
    assert work(facing="1c", **seat).si("basic_width") == pytest.approx(3.1e-3)  # (w + T)/2
    assert work(facing="1d", **(seat | {"gasket_thickness": "90 mm"})).si("basic_width") == pytest.approx(4.75e-3)  # the cap, (w + N)/4
    assert work(facing="2", **seat).si("basic_width") == pytest.approx(4.75e-3)
    assert all(f.level == "note" for f in work(facing="2", **seat).findings)


@pytest.mark.parametrize(
    ("keys", "named"),
    [
        ({"gasket_id": "861 mm"}, "gasket_id"),
        ({"gasket_id": "900 mm"}, "gasket_id"),
        ({"gasket_od": "0 mm"}, "gasket_od"),
        ({"gasket_od": "-861 mm"}, "gasket_od"),
        ({"gasket_od": "861"}, "gasket_od"),
        ({"gasket_od": "1e9 mm"}, "gasket_od"),
        ({"pressure": "-1 bar"}, "pressure"),
        ({"pressure": "nan bar"}, "pressure"),
        ({"pressure": "1e400 bar"}, "pressure"),
        ({"m": "-1"}, "m:"),
        ({"y": "-1 MPa"}, "y:"),
        ({"rules": "metric"}, "rules"),
        ({"facing": "3"}, "facing"),
        ({"facing": "1c"}, "seat_width"),
        ({"facing": "1c", "seat_width": "3 mm"}, "gasket_thickness"),
        ({"facing": "2", "seat_width": "30 mm"}, "seat_width"),
        ({"rib_length": "100 mm"}, "rib_width"),
        ({"rib_width": "10 mm"}, "rib_length"),
        ({"rib_width": "900 mm", "rib_length": "100 mm"}, "rib_width"),
        ({"external_moment": "-1 N.m"}, "external_moment"),
    ],
)
def test_wrong_input_names_the_key(keys, named):
    with pytest.raises(BadInput, match=named):
        work(**keys)


def test_all_problems_at_once():
    with pytest.raises(BadInput) as caught:
        gasket_loads.parse({"gasket_od": "5", "m": "x", "pressure": "-1 bar"})
    assert len(caught.value.problems) == 5  # three bad, two missing


@pytest.mark.parametrize("facing", ["1c", "1d"])
def test_both_branches_of_a_nubbin(facing):
    narrow = work(facing=facing, seat_width="3 mm", gasket_thickness="3.2 mm")
    assert narrow.si("basic_width") == pytest.approx(3.1e-3)  # (w + T)/2
    thick = work(facing=facing, seat_width="3 mm", gasket_thickness="90 mm")
    assert thick.si("basic_width") == pytest.approx(4.75e-3)  # no more than (w + N)/4


@pytest.mark.parametrize(("width", "effective"), [(10, 5.0), (12.6, 6.3), (12.8, 0.5 * math.sqrt(6.4 * 25.4)), (20, 0.5 * math.sqrt(254))])
def test_ribs_follow_the_rule_of_the_ring(width, effective):
    """What 1 m of rib adds to the seating load is its effective width times y."""
    added = work(rib_length="1000 mm", rib_width=f"{width} mm").si("seating_load") - work().si("seating_load")
    assert added == pytest.approx(effective * 1e-3 * 1.0 * 69e6)
