"""After plugging, for whole exchangers of the demo (all invented): counts, what is missing, what is told, which way the fluids meet."""

from __future__ import annotations

from dataclasses import replace

import pytest

from boxup.bundle.after_plugging import AfterPlugging, after_plugging
from boxup.bundle.arrangement import Arrangement
from boxup.bundle.open_tubes import OpenTubes, open_tubes
from boxup.bundle.plugging_figures import figures, line, wrong_lines
from boxup.bundle.wrong_way import wrong_way
from boxup.core.finding import Missing
from boxup.core.quantity import quantity
from boxup.demo.fleet import files_of_the_demo
from boxup.exchanger.file import load
from boxup.exchanger.model import Exchanger
from boxup.exchanger.ribs import rib_lines
from boxup.exchanger.service import Service

pytestmark = pytest.mark.demo
FILES = files_of_the_demo()
SERVED = ("14-E-101", "14-E-103", "14-E-104", "22-E-201A", "22-E-207", "31-E-305", "40-E-402")


def demo(tag: str) -> Exchanger:
    return load(FILES[tag])


def served(tag: str, **changes: object) -> Exchanger:
    x = demo(tag)
    return replace(x, service=replace(x.service, **changes))  # type: ignore[arg-type]


def opened(x: Exchanger, *shut: str) -> OpenTubes:
    got = open_tubes(x, shut)
    assert isinstance(got, OpenTubes)
    return got


# tubes left


def test_the_focus_exchanger_has_lost_one_tube_in_three_passes() -> None:
    """2-6 lies in pass 1 (rows 1 to 7), 14-3 in pass 3 (13 to 17), 19-9 in pass 4 (18 to 24): by the rows of the file."""
    t = opened(demo("14-E-103"), "2-6", "14-3", "19-9")
    assert t.holes == (152, 144, 144, 152)
    assert t.open == (151, 144, 143, 151)
    assert t.worst_pass == 3
    assert t.worst_share == pytest.approx(1 / 144)


def test_a_u_tube_shut_at_one_end_carries_nothing_in_its_other_leg() -> None:
    x = demo("14-E-104")
    assert opened(x, "9-1").shut == opened(x, "9-1", "10-1").shut == (1, 1, 0, 0)


def test_the_drawings_count_is_the_truth_where_the_map_has_others() -> None:
    x = demo("14-E-103")
    fewer = replace(x, tubes=replace(x.tubes, count=quantity("580", "count")))
    t = opened(fewer, "2-6")
    assert sum(t.holes) == 580
    assert max(t.holes) - min(t.holes) == pytest.approx(8, abs=1)  # 152 and 144, each a little less
    assert sum(t.shut) == 1


def test_a_hole_that_is_not_there_is_told_and_not_counted() -> None:
    a = after_plugging(demo("14-E-103"), ("99-1",))
    assert a.tubes is not None
    assert sum(a.tubes.shut) == 3
    assert any("Not on the tube map, and not counted: 99-1" in f.text for f in a.findings)


def test_without_a_map_it_says_what_to_give() -> None:
    x = demo("14-E-103")
    a = after_plugging(replace(x, tubes=replace(x.tubes, pitch=None)))
    assert (a.tubes, a.before) == (None, None)
    assert "pitch" in a.missing[0].do
    assert (figures(a), line(a)) == (None, "")


# what the data sheet must give


@pytest.mark.parametrize("tag", sorted(set(FILES) - set(SERVED)))
def test_without_the_data_sheet_counts_and_velocity_ratio_are_given(tag: str) -> None:
    a = after_plugging(demo(tag), ("1-1",))
    assert a.after is None
    assert a.missing[0].number == "duty after plugging"
    assert a.tubes is not None
    assert a.ratio("y_A") == pytest.approx(1 - sum(a.tubes.shut) / sum(a.tubes.holes))
    assert (a.ratio("y_v") or 0) >= 1
    assert (a.ratio("y_Q"), a.ratio("y_p")) == (None, None)


@pytest.mark.parametrize("key", ["tube_flow", "tube_inlet", "tube_density", "tube_viscosity", "tube_heat_capacity", "tube_conductivity",
                                 "tube_fouling", "wall_conductivity", "shell_inlet", "shell_fouling", "shell_flow", "shell_heat_capacity",
                                 "design_duty"])  # fmt: skip
def test_each_line_that_is_left_out_is_named(key: str) -> None:
    a = after_plugging(served("14-E-103", **{key: None}))
    assert a.after is None
    assert f"({key})" in a.missing[0].do
    assert a.missing[0].do.count("(") == 1


def test_an_empty_service_names_every_line_at_once() -> None:
    a = after_plugging(replace(demo("14-E-103"), service=Service()))
    assert a.missing[0].do.count("(") == 13
    assert len(a.missing) == 1


def test_roughness_and_end_losses_may_be_left_out_and_are_said_as_assumed() -> None:
    a = after_plugging(served("14-E-103", roughness=None, losses=None))
    assert a.after is not None
    assert {s.symbol for s in a.working.steps.values() if type(s.origin).__name__ == "Assumed"} == {"e_r", "K_n"}


@pytest.mark.parametrize(("tag", "says"), [("14-E-106", "shell_holds"), ("40-E-405", "shell_holds")])
def test_a_kettle_or_a_cross_flow_shell_asks_whether_it_boils_or_condenses(tag: str, says: str) -> None:
    assert says in after_plugging(demo(tag)).missing[0].do
    film = quantity("900 W/m2.K", "W/m2.K")
    filled = replace(demo(tag), service=replace(demo("14-E-103").service, shell_film=film, design_duty=None))
    assert after_plugging(replace(filled, service=replace(filled.service, shell_holds="yes"))).after is not None
    no = after_plugging(replace(filled, service=replace(filled.service, shell_holds="no")))
    assert "is not worked here: ask the process engineer" in no.missing[0].do


def test_a_design_duty_that_cannot_be_is_a_sentence() -> None:
    a = after_plugging(served("14-E-103", design_duty=quantity("20 MW", "kW")))
    assert a.after is None
    assert "cannot come of these flows" in a.missing[0].do


def test_a_pass_with_no_tube_left_is_a_sentence() -> None:
    x = demo("14-E-103")
    top = tuple(f"{row}-{hole}" for row, holes in enumerate((16, 18, 20, 22, 24, 26, 26), start=1) for hole in range(1, holes + 1))
    a = after_plugging(x, top)
    assert a.after is None
    assert "pass 1 has no open tube" in a.missing[0].do
    assert figures(a) is None


# which way the fluids meet


@pytest.mark.parametrize(
    ("tag", "way"),
    [
        ("14-E-103", Arrangement("E", first_along=True)),  # shell inlet at 300 mm, tubes begin at the front: side by side
        ("40-E-402", Arrangement("E", first_along=True)),
        ("22-E-201A", Arrangement("F", halves=("upper", "lower"))),  # shell in from below, pass 1 above: counterflow all the way
        ("22-E-207", Arrangement("J21")),  # two inlets at the ends
        ("31-E-305", Arrangement("E")),  # steam: whichever way
    ],
)
def test_nozzles_and_letters_say_how_the_fluids_meet(tag: str, way: Arrangement) -> None:
    assert after_plugging(demo(tag)).way == way


def test_a_shell_inlet_moved_to_the_rear_turns_the_first_pass_against_it() -> None:
    x = demo("14-E-103")
    moved = tuple(replace(n, position=quantity("5580 mm", "mm")) if n.id == "N1" else n for n in x.nozzles)
    assert after_plugging(replace(x, nozzles=moved)).way == Arrangement("E", first_along=False)
    lost = tuple(replace(n, position=None) if n.id == "N1" else n for n in x.nozzles)
    assert "position and clock of every shell inlet nozzle" in after_plugging(replace(x, nozzles=lost)).missing[0].do


# what comes out


@pytest.mark.parametrize("tag", SERVED)
def test_every_data_sheet_of_the_demo_gives_its_design_duty_with_every_tube_open(tag: str) -> None:
    x = demo(tag)
    a = after_plugging(x)
    assert a.before is not None
    assert x.service.design_duty is not None
    assert a.before.si("Q") == pytest.approx(x.service.design_duty.si, rel=1e-9)
    assert 0 < a.before.si("P") <= a.before.si("P_c") * (1 + 1e-9)
    assert 300 < a.working["h_o"] < 10_000  # a film that a shell may have


def test_plugs_heaped_in_one_pass_of_the_cooler_are_seen_there() -> None:
    """11 U-tubes of 156, all of passes 1 and 2: those run 78/67 faster, 3 and 4 as before."""
    a = after_plugging(demo("14-E-104"))
    assert a.before is not None
    assert a.after is not None
    assert [a.after.si(f"v_{i}") / a.before.si(f"v_{i}") for i in range(1, 5)] == pytest.approx([78 / 67, 78 / 67, 1, 1])
    assert a.ratio("y_A") == pytest.approx(1 - 22 / 312)
    assert "22 of 312 holes plugged or to plug (7.1 %), worst pass 1 (14.1 %); duty about −2.7 %" in line(a, "holes")


def test_over_the_sites_velocity_is_a_stop_that_says_who_decides() -> None:
    stops = [f for f in after_plugging(served("14-E-104", most_velocity=quantity("1.6 m/s", "m/s"))).findings if f.level == "stop"]
    assert len(stops) == 1
    assert "the process engineer says before more is plugged" in stops[0].text
    assert not [f for f in after_plugging(demo("14-E-104")).findings if f.level == "stop"]


def test_a_film_that_disagrees_with_the_design_duty_is_told() -> None:
    a = after_plugging(served("14-E-103", shell_film=quantity("600 W/m2.K", "W/m2.K")))
    assert any("do not agree within a twentieth" in f.text for f in a.findings)


def test_a_plugged_tube_between_fixed_tubesheets_is_said() -> None:
    assert any("fixed tubesheet" in f.text for f in after_plugging(demo("40-E-402")).findings)
    assert not any("fixed tubesheet" in f.text for f in after_plugging(demo("14-E-103")).findings)


# the wrong way round


def test_a_rib_of_the_front_gasket_misses_the_two_passes_between_its_chambers() -> None:
    """Four passes: front chambers 1, 2 with 3, 4; rear 1 with 2, 3 with 4."""
    x = demo("14-E-103")
    found = wrong_way(x, after_plugging(x))
    assert found is not None
    misses = {(r.end, r.between): (r.first, r.last) for r in found.ribs}
    assert misses == {("front", (1, 2)): (1, 2), ("front", (3, 4)): (3, 4), ("rear", (2, 3)): (2, 3)}
    lines = rib_lines(x, "front")
    assert not isinstance(lines, Missing)
    assert [r.working["l_s"] for r in found.ribs[:2]] == pytest.approx([one.length / 1000 for one in lines])
    assert all(0.9 < r.duty_ratio < 1 for r in found.ribs)
    assert len(list(wrong_lines(found))) == 3  # a dowel stops half a turn


def test_two_passes_of_a_long_baffle_reversed_lose_a_seventh() -> None:
    x = demo("22-E-201A")
    found = wrong_way(x, after_plugging(x))
    assert found is not None
    assert 0.8 < found.reversed < 0.9  # counterflow to both the same way, P 0.48 to 0.41


def test_nothing_to_compare_with_gives_nothing() -> None:
    assert wrong_way(demo("14-E-106"), AfterPlugging(None)) is None


def test_half_a_turn_that_something_stops_is_not_listed_with_its_cost() -> None:
    """Nothing stops 22-E-207; the plates of 14-E-104, two level and one upright, do not meet their grooves; 14-E-103 has a dowel."""
    for tag, listed in (("22-E-207", True), ("14-E-104", False), ("14-E-103", False)):
        x = demo(tag)
        found = wrong_way(x, after_plugging(x))
        assert found is not None
        assert any("half a turn round" in text for text in wrong_lines(found)) == listed
        assert (found.end_space is not None) == listed
