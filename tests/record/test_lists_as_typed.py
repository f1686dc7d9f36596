"""Lists of numbers as a person types them: thousands commas, and lists that are read side by side."""

from __future__ import annotations

import pytest

from boxup.core.quantity import BadValue, quantities
from boxup.record.event import BadEvent
from boxup.record.kinds import kind_of
from boxup.record.typed import payload_of

CRANE = {"crane": "C7", "radius": "9 m", "hook_block": "300 kg", "slings": "120 kg", "spreader": "0 kg", "rope": "60 kg"}


def chart(radii: str, capacities: str) -> dict[str, object]:
    return payload_of(kind_of("crane.stood"), CRANE | {"chart_radii": radii, "chart": capacities})


@pytest.mark.parametrize(("radii", "capacities"), [("6 9 m", "24 14 9 t"), ("6 9 12 m", "24 14 t")])
def test_radii_and_capacities_that_do_not_match_are_refused(radii, capacities):
    with pytest.raises(BadEvent, match="each row of the chart has one of each"):
        chart(radii, capacities)


def test_a_chart_in_tonnes():
    assert chart("6 9 m", "24 14.5 t")["chart_kg"] == [24000, 14500]


def test_a_chart_in_short_tons_and_one_in_tons_of_no_kind():
    """14 short tons are 28 000 lb, 12 700.58636 kg."""
    assert chart("6 9 m", "14 9.5 short ton")["chart_kg"] == pytest.approx([12700.58636, 8618.25503])
    with pytest.raises(BadEvent, match="'14 ton': a ton may be 2000 lb, 1000 kg or 2240 lb"):
        chart("6 9 m", "14 9.5 ton")


def test_a_load_cell_in_tons_of_no_kind_is_asked_which():
    read = {"way": "insert", "position": "2 m", "force": "9 kN"}
    assert payload_of(kind_of("bundle.force_read"), read | {"hook": "2 short ton"})["hook_n"] == pytest.approx(4000 * 4.4482216152605)
    with pytest.raises(BadEvent, match="'2 ton': a ton may be"):
        payload_of(kind_of("bundle.force_read"), read | {"hook": "2 ton"})


def test_a_chart_without_a_unit_is_refused():
    with pytest.raises(BadEvent, match="has no unit"):
        chart("6 9 m", "24 14")


@pytest.mark.parametrize("text", ["3,000 kg", "12,000 9,500 kg", "3,000"])
def test_a_thousands_comma_says_what_is_accepted(text):
    with pytest.raises(BadValue, match="part thousands or two numbers; write"):
        quantities(text, "kg")


@pytest.mark.parametrize("text", ["6 m 9 m 12 m", "6m 9m 12m", "6 m, 9 m, 12 m", "6 9 12 m"])
def test_radii_with_a_unit_each_are_read(text):
    assert chart(text, "24 14 9 t")["chart_radii_m"] == [6, 9, 12]


def test_units_of_two_systems_each_with_its_own():
    assert [round(one.si, 4) for one in quantities("6 m 20 ft", "m")] == [6, 6.096]


@pytest.mark.parametrize("text", ["6 m 9 12 m", "6 mm nine m"])
def test_a_list_that_is_none_says_what_is_accepted(text):
    with pytest.raises(BadValue, match="accepted: numbers with one unit behind the last, as '6 9 12 m'"):
        quantities(text, "m")


@pytest.mark.parametrize("text", ["9 000 7 500 kg", "24 000 kg", "9 500 7 200 kg", "12 050 kg"])
def test_blanks_that_may_part_thousands_are_asked_about(text):
    with pytest.raises(BadValue, match="a blank may part thousands or two numbers"):
        quantities(text, "kg")


@pytest.mark.parametrize(("text", "many"), [("1/8 in, 3.2 mm", 2), ("3.1 3.1 3.3 mm", 3), ("3.125 mm, 250 mm", 2), ("0.5 in,3.2 mm", 2)])
def test_lists_that_stay_lists(text, many):
    assert len(quantities(text, "mm")) == many
