"""The crane against its chart: gross load, the worse printed radius, refused beyond the last; gear in the hitch it is used in."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.lift.test_bundle_lift import kg, lift, m

from boxup.core.calculation import BadInput
from boxup.core.quantity import BadValue, quantity
from boxup.exchanger.crane_chart import as_chart
from boxup.exchanger.lifting import Crane, Gear
from boxup.lift.crane import crane_share, lifts
from boxup.lift.heads import head_lift

G_N = 9.80665
CHART = as_chart(["6 m: 12 t", "9 m: 6 t"], "entered", "")
CRANE = Crane(
    name="C2", chart=CHART, radius=m(8.5), hook_block=kg(180), slings=kg(120), spreader=kg(0), rope=kg(40), configuration="boom 21 m"
)


def levels(answer):
    return [f.level for f in answer.findings if f.level != "note"]


def share(**typed):
    keys = {
        "load": "1739 kg",
        "hook_block": "180 kg",
        "slings": "200 kg",
        "spreader": "150 kg",
        "rope": "0 kg",
        "radius": "9 m",
        "chart": "9 m: 3200 kg",
    }
    return crane_share.run(crane_share.parse(keys | typed))


@pytest.mark.computed
def test_the_worked_example():
    """1739 + 180 + 350 = 2269 of 3200 kg, 70.9 %: added by hand."""
    a = share()
    assert a.si("gross") == pytest.approx(2269)
    assert a.si("share") == pytest.approx(2269 / 3200)
    assert levels(a) == []


@pytest.mark.parametrize(("radius", "row"), [("5 m", 12000), ("6 m", 12000), ("6.01 m", 6000), ("8.5 m", 6000), ("9 m", 6000)])
def test_the_next_row_out_is_the_one(radius, row):
    assert share(radius=radius, chart="6 m: 12 t, 9 m: 6 t").si("capacity") == row


def test_beyond_the_last_row_there_is_no_capacity():
    a = share(radius="9.1 m", chart="6 m: 12 t; 9 m: 6 t")
    assert levels(a) == ["stop"]
    assert "capacity" not in a.values
    assert "share" not in a.values


@given(st.floats(100, 20000), st.floats(1, 12), st.floats(0.1, 1))
def test_it_stops_exactly_where_the_gross_load_passes_the_row(load, radius, most):
    a = share(load=f"{load!r}e0 kg", radius=f"{radius!r} m", chart="6 m: 12 t, 9 m: 6 t", most_share=repr(most))
    capacity = 12000 if radius <= 6 else 6000 if radius <= 9 else 0
    gross = load + 530
    assert ("stop" in levels(a)) == (gross > capacity * (1 + 1e-9))
    if "stop" not in levels(a):
        assert ("warn" in levels(a)) == (gross > most * capacity * (1 + 1e-9))


def test_three_quarters_are_assumed_and_said():
    a = share(chart="9 m: 3000 kg")
    assert levels(a) == ["warn"]
    assert [s["kind"] for s in a.as_json()["steps"] if s["symbol"] == "u_max"] == ["assumed"]
    assert levels(share(chart="9 m: 3000 kg", most_share="0.8")) == []


@pytest.mark.parametrize("chart", ["9 m", "9 m: 6", "9: 6 t", "6 m: 6 t, 9 m: 7 t", "6 m: 6 t, 6 m: 5 t", "0 m: 6 t", "6 m: -1 t", ""])
def test_charts_that_are_refused(chart):
    with pytest.raises(BadInput, match="chart"):
        share(chart=chart)


def test_rows_may_come_in_any_order():
    rows = as_chart(["9 m: 6 t", "20 ft: 12 t"], "entered", "")
    assert [r.radius.typed for r in rows] == ["20 ft", "9 m"]
    with pytest.raises(BadValue, match="rows of the chart"):
        as_chart("6 m: 12 t", "entered", "")


def test_the_bundle_on_its_crane():
    """4294 kg and 340 kg of hook block, slings and rope on 6 t: 77.2 %, over three quarters."""
    a = lift(crane=CRANE)
    assert a.crane["m_g"] == pytest.approx(4294 + 340)
    assert a.crane["u"] == pytest.approx(4634 / 6000)
    assert levels(a) == ["warn"]
    assert any("critical lift" in f.text and "close fit" in f.text and "share of the chart" in f.text for f in a.findings)
    assert not any("crane" in x.number for x in a.missing)
    assert levels(lift(crane=replace(CRANE, most_share=quantity("0.8", "-")))) == []


def test_a_bundle_is_a_close_fit_whatever_the_share():
    assert any("close fit" in f.text for f in lift(mass=1000, crane=CRANE).findings)


@pytest.mark.parametrize("gone", ["hook_block", "slings", "spreader", "rope"])
def test_a_mass_nobody_gave_is_missing_never_nothing(gone):
    a = lift(crane=replace(CRANE, **{gone: None}))
    assert a.crane is None
    assert [x.number for x in a.missing] == ["load on the crane"]


@pytest.mark.parametrize(("change", "number"), [({"chart": ()}, "capacity of the crane"), ({"radius": None}, "radius of the crane")])
def test_no_chart_or_no_radius_is_missing(change, number):
    a = lift(crane=replace(CRANE, **change))
    assert [x.number for x in a.missing] == [number]
    assert a.crane["m_g"] == pytest.approx(4634)


def test_rows_of_nobody_knows_which_boom():
    assert "warn" in levels(lift(mass=1000, crane=replace(CRANE, configuration="")))


def test_what_rides_along_is_named_in_the_stop():
    [stop] = [
        f.text for f in lift(mass=8495, crane=CRANE, what="bundle with its channel").findings if f.level == "stop" and "crane" in f.text
    ]
    assert stop.startswith("With the bundle with its channel on its hook")


def test_which_crane_lifts_what():
    assert lifts(CRANE, "bundle")
    assert not lifts(CRANE, "channel")
    assert not lifts(Crane(), "bundle")
    covers = replace(CRANE, use="covers and channel")
    assert lifts(covers, "channel cover")
    assert lifts(covers, "channel")
    assert not lifts(covers, "bundle")
    a = head_lift("channel", kg(6000), (), crane=covers)
    assert a.crane["m_g"] == pytest.approx(6600 + 340)  # 10 % on an entered mass
    assert "stop" in levels(a)
    assert head_lift("channel", kg(600), (), crane=CRANE).crane is None


# gear in the way it is used


def hung(mass=1000.0, **keys):
    piece = Gear(id="SL1", kind=keys.pop("kind", "wire rope sling"), use="channel", capacity=kg(keys.pop("capacity", 2000)), **keys)
    return head_lift("channel", kg(mass, "measured"), (piece,))


def carries(**keys):
    return hung(**keys).gear[0].may_carry.si


def deg(number):
    return quantity(f"{number} deg", "deg")


def test_a_tag_is_for_a_vertical_hitch_and_a_basket_adds_nothing():
    assert carries() == carries(hitch="vertical") == 2000
    assert carries(hitch="choker", made="wire", choke_angle=deg(120)) == pytest.approx(1500)
    assert carries(hitch="choker", made="wire", choke_angle=deg(100)) == pytest.approx(1500 * 0.87)
    assert carries(hitch="choker", made="web") == pytest.approx(2000 * 0.8 * 0.49)  # angle not given: the worst row
    assert carries(hitch="basket", made="web", leg_angle=deg(90)) == 2000


def test_a_tag_that_says_the_hitch():
    assert carries(hitch="choker", tag_hitch="choker", made="wire", choke_angle=deg(120)) == 2000
    assert carries(hitch="basket", tag_hitch="basket", made="web", leg_angle=deg(45)) == pytest.approx(2000 * 1.41 / 2)
    assert "stop" in levels(hung(hitch="basket", tag_hitch="choker"))
    assert "stop" in levels(hung(hitch="vertical", tag_hitch="basket"))


def test_a_wire_rope_round_something_thin():
    bent = {"hitch": "basket", "tag_hitch": "basket", "made": "wire", "leg_angle": deg(90), "rope": quantity("20 mm", "mm")}
    assert carries(**bent, wrapped=quantity("120 mm", "mm")) == pytest.approx(2000 * 0.79)
    assert carries(**bent, wrapped=quantity("500 mm", "mm")) == 2000


def test_a_shackle_pulled_off_its_line_and_an_eyebolt_off_its_shank():
    assert carries(kind="bow shackle", pull_angle=deg(30)) == pytest.approx(1400)
    assert carries(kind="eyebolt", size="1", pull_angle=deg(30), capacity=9000) == pytest.approx(3850 * 0.45359237)
    assert carries(kind="eyebolt", size="1", pull_angle=deg(30), capacity=900) == 900
    assert levels(hung(kind="eyebolt", size="M18", pull_angle=deg(0))) == ["warn"]
    assert carries(kind="eyebolt", size="M24", pull_angle=deg(0), capacity=9000) == pytest.approx(1800)
    assert carries(kind="eyebolt", size="M24", pull_angle=deg(0), capacity=1500) == pytest.approx(1500)
    assert "warn" in levels(hung(kind="eyebolt", size="1", capacity=9000))


@pytest.mark.computed
@pytest.mark.parametrize(
    ("legs", "angle", "pull"), [(2, 30, 1.0), (2, 90, 0.5), (3, 90, 0.5), (4, 30, 1.0), (1, 90, 1.0), (2, 60, 0.5 * 2 / 3**0.5)]
)
def test_legs_of_a_set(legs, angle, pull):
    g = hung(legs=quantity(str(legs), "count"), leg_angle=deg(angle)).gear[0]
    assert g.load.si == pytest.approx(1000 * G_N * pull)
    assert g.share.si == pytest.approx(pull / 2)


def test_legs_without_an_angle_are_taken_flat_and_flatter_ones_stop():
    assert hung(legs=quantity("2", "count")).gear[0].load.si == pytest.approx(1000 * G_N)
    assert "stop" in levels(hung(legs=quantity("2", "count"), leg_angle=deg(29)))


def test_what_its_use_takes_away_can_stop_the_lift():
    assert levels(hung(mass=900, hitch="choker", made="wire", choke_angle=deg(20))) == ["stop"]  # 0.75 x 0.49 of 2 t is 735 kg
    assert levels(hung(mass=700, hitch="choker", made="wire", choke_angle=deg(20))) == []


@pytest.mark.parametrize(
    ("load", "said"),
    [
        ("8325.5 kg", "8856 kg (19523 lb); must be at most 6000 kg (13228 lb)"),
        ("5470.2 kg", "6000.2 kg (13228.2 lb); must be at most 6000 kg (13227.7 lb)"),
    ],
)
def test_the_finding_has_the_figures_the_trade_reads(load, said):
    """530 kg hang over the load: 8855.5 kg are told as 8856; a fifth of a kilogram too much is not told as nothing.

    Pounds of 0.45359237 kg: 8855.5 kg are 19 523.04, 6000.2 kg are 13 228.18 and 6000 kg 13 227.74.
    """
    text = share(load=load, chart="9 m: 6 t").findings[0].text
    assert said in text
