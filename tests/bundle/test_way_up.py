"""Which way up a bundle goes in. What a turn does is argued from the trade; ribs and clock positions are turned by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from types import SimpleNamespace

import pytest
from click.testing import CliRunner
from tests.made_up import made_up, mm

from boxup.bundle.turned_part import ACROSS, PLAIN, SAME, turned_parts
from boxup.bundle.way_harm import half_turned, harms, side_turned, turned, turned_counts
from boxup.bundle.way_marks import Plate, said_hours, way_marks
from boxup.bundle.way_up import Turn, WayUp, turned_on, way_up
from boxup.cli.main import cli
from boxup.core.quantity import quantity
from boxup.demo.fleet import files_of_the_demo
from boxup.exchanger.file import load
from boxup.exchanger.layout import Layout, Tube, layout_of
from boxup.exchanger.model import BundleParts, Exchanger, Nozzle
from boxup.exchanger.passes import survives_half_turn
from boxup.exchanger.ribs import RibLine, falls_on_itself, grid_of, rib_lines, ribs_of
from boxup.paper.pack import html_pack
from boxup.paper.sheet import Material
from boxup.paper.way_up import drawing_of, way_up_sheet

HALF, QUARTER = 180.0, 90.0


def demo(tag: str, **bundle: str) -> Exchanger:
    x = load(files_of_the_demo()[tag])
    return replace(x, bundle=replace(x.bundle, **bundle)) if bundle else x


def turn(found: WayUp, degrees: float) -> Turn:
    return next(t for t in found.turns if t.degrees == degrees)


def levels(found: WayUp) -> list[str]:
    return [f.level for f in found.findings]


# 22-E-207: the J shell


def test_two_poses_fit_the_studs_and_one_the_impingement_plates() -> None:
    """36 studs; two level grooves at equal heights fall on each other after half a turn and after no other."""
    found = way_up(demo("22-E-207"))
    assert found.count == "Of 36 ways round that the stud circle allows, the pass plates let 2 on; 1 is right."
    half = turn(found, HALF)
    assert half.goes_together
    assert half.harms[0].startswith("the impingement plates stand at 6 o'clock, away from N1 and N2")
    assert [t.degrees for t in found.uncaught] == [HALF]
    assert levels(found) == ["warn"]
    assert "nothing that bolts up catches it" in found.findings[0].text
    assert "plates at 12, facing N1 and N2" in found.findings[0].text
    assert not turn(found, QUARTER).goes_together


def test_a_shell_the_same_from_both_ends_takes_its_bundle_from_one() -> None:
    found = way_up(demo("22-E-207"))
    assert "The shell is the same from either end" in found.end_for_end
    assert "larger than the bore" in found.end_for_end


def test_a_dowel_stops_every_turn_and_is_said_to_be_looked_at() -> None:
    found = way_up(demo("22-E-207", dowel_at="12"))
    assert not any(t.goes_together for t in found.turns)
    assert levels(found) == ["note"]
    assert "dowel at 12 o'clock alone" in found.findings[0].text


def test_no_dowel_where_the_words_name_one_and_the_key_says_none() -> None:
    assert way_marks(demo("14-E-103")).dowel == 12
    assert way_marks(demo("14-E-103", dowel_at="none")).dowel is None


@pytest.mark.practice
@pytest.mark.parametrize(
    ("hours", "said"),
    [
        ((7, 5), "5 and 7"),
        ((1.0, 11.0), "11 and 1"),  # over the top, as a fitter says it
        ((6, 12), "12 and 6"),
        ((9, 3), "3 and 9"),
        ((2, 10, 12), "10 and 12 and 2"),
        ((3.35,), "3.35"),
        ((10.25, 10.250001), "10.25"),  # three places would say 10.2
        ((5.0 + 1e-9, 5), "5"),
        ((11.999, 6), "12 and 6"),
        ((), ""),
    ],
)
def test_clock_hours_are_said_one_way(hours: tuple[float, ...], said: str) -> None:
    assert said_hours(hours) == said
    assert said_hours(iter(hours)) == said


# what turns do


def test_bars_on_top_and_the_cut_the_other_way_after_half_a_turn() -> None:
    harms = turn(way_up(demo("22-E-207")), HALF).harms
    assert "the bars are on top, at 11 and 1 o'clock: the bundle rides on its baffle edges" in harms
    assert "the first baffle is cut right, not left" in harms


def test_a_vertical_cut_turned_by_a_quarter_dams_every_baffle() -> None:
    found = way_up(demo("22-E-207"))
    assert any("every baffle is a dam" in h for h in turn(found, QUARTER).harms)
    assert not any("dam" in h for h in turn(way_up(demo("14-E-103")), QUARTER).harms)


@pytest.mark.parametrize(("tag", "said"), [("14-E-106", "as 60"), ("22-E-201A", "under the nozzles as 60"), ("22-E-207", "")])
def test_a_30_degree_pattern_becomes_60_by_a_quarter_turn(tag: str, said: str) -> None:
    """Between baffles the flow turns with them; under the nozzles, and in a kettle, it does not. A square pattern stays one."""
    found = [h for h in turn(way_up(demo(tag)), QUARTER).harms if "pattern" in h]
    assert [h.endswith(said) for h in found] == ([True] if said else [])


def test_notches_of_the_baffles() -> None:
    drains = turn(way_up(demo("22-E-207", notches_at="6")), HALF).harms
    assert "no notch is at the bottom: liquid stands between the baffles" in drains
    both = turn(way_up(demo("22-E-207", notches_at="6, 12")), HALF).harms
    assert not any("notch" in h for h in both)
    vents = turn(way_up(demo("22-E-207", notches_at="12")), HALF).harms
    assert "no notch is at the top: air and vapour stay between the baffles" in vents


def test_a_long_baffle_on_end() -> None:
    harms = turn(way_up(demo("14-E-112")), QUARTER).harms
    assert any(h.startswith("the baffle along the bundle is vertical") for h in harms)
    assert not any("along" in h for h in turn(way_up(demo("14-E-112")), HALF).harms)


def test_the_first_window_faces_the_inlet_after_half_a_turn() -> None:
    """14-E-104: N1 on top at 330 mm, first baffle beside it; with the first baffle further in, cut down: turned it is open to N1."""
    x = demo("14-E-104")
    x = replace(x, baffles=replace(x.baffles, first_position=mm("500")))
    assert "the first baffle is cut up, not down: it faces N1, and the flow slips past the first space" in turn(way_up(x), HALF).harms


def test_a_channel_in_one_with_the_tubesheet_turns_with_it() -> None:
    """22-E-201A (C): nozzles at 12 and 6 of one size: half a turn puts the inlet on the outlet's spool; a quarter meets none."""
    found = way_up(demo("22-E-201A", dowel_at="none"))
    half, quarter = turn(found, HALF), turn(found, QUARTER)
    assert half.goes_together
    assert any("inlet spool meets the outlet nozzle" in h for h in half.harms)
    assert not quarter.goes_together
    assert "its nozzles do not meet them" in quarter.stops[0]


def test_plugged_tubes_have_other_numbers_after_half_a_turn() -> None:
    """14-E-103: row 2 of 24 rows becomes row 23; hole 6 of 18 becomes 13."""
    x = demo("14-E-103")
    layout = layout_of(x)
    assert isinstance(layout, Layout)
    assert max(t.row for t in layout.tubes) == 24
    assert sum(t.row == 2 for t in layout.tubes) == 18
    assert half_turned(layout, "2-6") == "23-13"
    assert half_turned(layout, "99-1") == ""
    assert "2-6 stands where 23-13 was" in " ".join(turn(way_up(x), HALF).harms)


def test_a_fixed_bundle_is_not_turned() -> None:
    found = way_up(demo("14-E-108"))
    assert found.fixed
    assert (found.turns, found.findings, found.missing, found.short) == ((), (), (), "")


def test_an_upright_exchanger_has_no_bars_on_top() -> None:
    x = demo("22-E-207")
    x = replace(x, identity=replace(x.identity, position="vertical"))
    assert not any("bars" in h for h in turn(way_up(x), HALF).harms)


# what the file does not say


def test_a_file_that_says_nothing_asks_for_everything() -> None:
    x = made_up("AES", bundle=BundleParts())
    found = way_up(x)
    asked = {line.partition(":")[0] for line in found.ask}
    assert {"Impingement plate", "Sliding bars", "Notches of the baffles", "Match mark", "Dowel", "Studs"} <= asked
    assert [m.number for m in found.missing] == ["way up of the bundle"]
    assert all(t.studs is None for t in found.turns)


def test_a_plate_whose_nozzle_is_not_named_is_asked_for() -> None:
    found = way_up(demo("22-E-207", impingement_plate="one, on top"))
    assert found.marks.plates is None
    assert any("not under which nozzle" in f.text for f in found.findings)
    assert any(line.startswith("Impingement plate") for line in found.ask)


def test_a_plate_under_an_outlet_is_doubted() -> None:
    found = way_up(demo("22-E-207", plates_under="N5"))
    assert any("impingement plate under N5, which the file does not call a shell inlet" in f.text.lower() or
               "N5, which the file does not call a shell inlet" in f.text for f in found.findings)  # fmt: skip


def test_none_is_none() -> None:
    marks = way_marks(demo("22-E-207", plates_under="none", bars_at="none"))
    assert (marks.plates, marks.bars) == ((), ())


@pytest.mark.parametrize("text", ["5 and 27", "left", "0, 6"])
def test_a_clock_position_that_is_none_is_refused(text: str) -> None:
    found = way_up(demo("22-E-207", bars_at=text))
    assert found.marks.bars == ()
    assert any("accepted are clock positions from 1 to 12" in f.text for f in found.findings)


def test_bars_over_the_middle_are_doubted() -> None:
    """One low, one on top; two pairs carry the bundle either way up, and neither is wrong."""
    assert any("above the middle" in f.text for f in way_up(demo("22-E-207", bars_at="11, 5", sliding_bars="")).findings)
    both = way_up(demo("22-E-207", bars_at="1, 5, 7, 11", sliding_bars=""))
    assert not any("above the middle" in f.text for f in both.findings)
    assert not any("the bars are" in h for t in both.turns for h in t.harms)


@pytest.mark.practice
@pytest.mark.parametrize(
    ("tag", "bundle", "facts"),
    [
        ("14-E-103", {"sliding_bars": "two, at 11 and 1 o'clock"}, ("bars at 11 and 1 o'clock", "match mark at 12", "facing N1")),
        ("22-E-207", {"bars_at": "3, 9", "sliding_bars": ""}, ("bars at 3 and 9 o'clock", "first cut left")),
        ("22-E-207", {"bars_at": "11, 1"}, ("bars_at says 11 and 1 o'clock", "sliding_bars says 5 and 7 o'clock")),
        ("14-E-103", {"mark_at": "6"}, ("mark_at says 6 o'clock", "match_mark says 12 o'clock")),
        (
            "22-E-201A",
            {"impingement_plate": "6 mm, on top of the bundle, under N1"},
            ("is on top of the bundle", "N1, which it faces, is at 6"),
        ),
        ("14-E-103", {"impingement_plate": "6 mm, under the bundle, over N1"}, ("is under the bundle", "N1, which it faces, is at 12")),
    ],
)
def test_a_file_that_contradicts_itself_has_no_right_pose(tag: str, bundle: dict[str, str], facts: tuple[str, ...]) -> None:
    """Bars carry the bundle, so they go down. With both facts, a stop; no pose, no turn, no picture, on no sheet."""
    x = demo(tag, **bundle)
    found = way_up(x)
    assert found.short == "cannot say which way up: the file contradicts itself"
    assert (found.right, found.turns, found.count) == ((), (), "")
    text = " ".join(f.text for f in found.findings if f.level == "stop")
    assert all(fact in text for fact in facts)
    assert drawing_of(x, found) == ""


def test_a_first_cut_up_among_upright_cuts_contradicts_itself() -> None:
    x = demo("14-E-103")
    x = replace(x, baffles=replace(x.baffles, first_cut="up", cut_direction="vertical"))
    assert "cut_direction says the cuts are vertical" in way_up(x).findings[0].text


@pytest.mark.demo
@pytest.mark.parametrize("tag", sorted(files_of_the_demo()))
def test_no_file_of_the_demo_contradicts_itself(tag: str) -> None:
    assert way_up(demo(tag)).against == ()


def test_upright_nothing_carries_on_bars() -> None:
    x = demo("22-E-207", sliding_bars="two, at 11 and 1 o'clock")
    assert way_up(x).against
    assert not way_up(replace(x, identity=replace(x.identity, position="vertical"))).against


def test_check_lift_pages_and_sheets_say_that_nobody_can_say(tmp_path: Path) -> None:
    text = files_of_the_demo()["14-E-103"].read_text("utf-8").replace("two, at 5 and 7 o'clock", "two, at 11 and 1 o'clock")
    file = tmp_path / "14-E-103.toml"
    file.write_text(text, "utf-8")
    for command in ("check", "bundle"):
        said = CliRunner().invoke(cli, [command, str(file)]).output
        assert "the file contradicts itself" in said, command
        assert "bars at 11 and 1 o'clock" in said
        assert "rides on its baffle edges" not in said
    [sheet] = way_up_sheet(Material(load(file), file, date(2027, 4, 12)))
    assert (sheet["drawing"], sheet["right"], sheet["turns"]) == ("", [], [])
    page = html_pack(file, sheets=("way-up",)).decode()
    assert "the file contradicts itself" in page
    assert "RIGHT" not in page.partition("Which way up")[2]


# turning


@pytest.mark.parametrize(
    ("clock", "degrees", "after"), [(12, 180, 6), (6, 180, 12), (5, 90, 8), (7, 270, 4), (12, 10, 1 / 3), (11, 30, 12)]
)
def test_a_clock_position_turned(clock: float, degrees: float, after: float) -> None:
    assert turned(clock, degrees) == pytest.approx(after)


@pytest.mark.parametrize(("side", "degrees", "after"), [("up", 180, "down"), ("left", 90, "up"), ("up", 90, "right"), ("up", 10, "")])
def test_a_side_turned(side: str, degrees: float, after: str) -> None:
    assert side_turned(side, degrees) == after


def _line(x1: float, y1: float, x2: float, y2: float) -> RibLine:
    return RibLine(x1, y1, x2, y2, (1, 2), "H" if y1 == y2 else "V")


@pytest.mark.parametrize(
    ("lines", "falls"),
    [
        ([(-100, 0, 100, 0)], {180}),
        ([(-100, 1.0, 100, 1.0)], set()),  # 2 mm apart after half a turn
        ([(-100, 0.7, 100, 0.7)], {180}),  # 1.4 mm apart: within the 1.5 mm of the trade
        ([(-100, 30, 100, 30), (-100, -30, 100, -30)], {180}),
        ([(-100, 30, 100, 30)], set()),
        ([(-100, 0, 100, 0), (0, -100, 0, 100)], {90, 180, 270}),  # a cross
        ([(-100, 0, 0, 0), (0, -100, 0, 100)], set()),  # a T lying on its side
    ],
)
def test_ribs_turned_by_hand(lines: list[tuple[float, ...]], falls: set[int]) -> None:
    ribs = tuple(_line(*one) for one in lines)
    assert {d for d in (10, 90, 180, 270) if turned_on(ribs, d)} == falls


@pytest.mark.computed
@pytest.mark.parametrize("tag", sorted(files_of_the_demo()))
def test_half_a_turn_agrees_with_the_other_two_routes(tag: str) -> None:
    """Grid of passes, ribs end for end, and the turned points: three routes, one verdict."""
    x = demo(tag)
    for end in ("front", "rear"):
        lines, pieces, grid = rib_lines(x, end), ribs_of(x, end), grid_of(x)
        if isinstance(lines, tuple) and isinstance(pieces, tuple) and isinstance(grid, tuple) and lines:
            assert turned_on(lines, 180) == falls_on_itself(lines)
            assert falls_on_itself(lines) <= survives_half_turn(grid, pieces)


# gaskets, covers and the channel


def test_parts_with_ribs_turned() -> None:
    rows = {(p.what, p.joint): p for p in turned_parts(demo("14-E-103"))}
    assert rows["gasket G1", "J1"].half == rows["gasket G4", "J4"].half == SAME
    assert "inlet and outlet change places" in rows["channel", "J2"].half
    rows = {(p.what, p.joint): p for p in turned_parts(demo("14-E-104"))}
    assert rows["gasket G1", "J1"].half == ACROSS
    assert rows["bonnet", "J1"].half == "its nozzles do not meet the spools"
    rows = {(p.what, p.joint): p for p in turned_parts(demo("14-E-101"))}
    assert rows["gasket G4", "J4"].half == PLAIN


def test_a_channel_with_nozzles_of_two_sizes_is_caught() -> None:
    x = demo("14-E-103")
    other = tuple(replace(n, size="6 in") if n.id == "N4" else n for n in x.nozzles)
    rows = {p.what: p for p in turned_parts(replace(x, nozzles=other))}
    assert rows["channel"].half == "its nozzles do not meet the spools"


def test_a_channel_without_nozzles_in_the_file_is_looked_at() -> None:
    rows = {p.what: p for p in turned_parts(replace(demo("14-E-103"), nozzles=()))}
    assert rows["channel"].half.startswith("no nozzles of it in the file")


def test_inlets_are_those_whose_duty_says_so() -> None:
    clock = quantity("12", "count")
    x = replace(demo("22-E-207"), nozzles=(Nozzle(id="N1", side="shell", duty="Inlet", clock=clock),))
    assert [p.nozzle for p in way_marks(x).plates or ()] == ["N1"]


@pytest.mark.practice
def test_holes_by_pass_after_half_a_turn_go_by_where_they_stand() -> None:
    """Two columns, 1 and 4 above 2 and 3: half a turn brings pass 1 to where 3 was, not to where 4 was."""
    places = {1: (-10.0, 10.0), 4: (10.0, 10.0), 2: (-10.0, -10.0), 3: (10.0, -10.0)}

    def layout(**counts: int) -> Layout:
        tubes = [Tube(f"{p}-{n}", p, n, x + n, y, p) for p, (x, y) in places.items() for n in range(counts[f"p{p}"])]
        return SimpleNamespace(tubes=tubes, by_pass={p: counts[f"p{p}"] for p in sorted(places)})

    assert turned_counts(layout(p1=4, p2=3, p3=3, p4=4)) == {1: 3, 2: 4, 3: 4, 4: 3}
    assert turned_counts(layout(p1=4, p2=3, p3=4, p4=3)) == {1: 4, 2: 3, 3: 4, 4: 3}


@pytest.mark.practice
def test_two_plates_that_change_places_stand_before_the_inlets_again() -> None:
    """Inlets at 12 and at 6 of one place: after half a turn each has the other's plate."""
    x = demo("22-E-207")
    marks = replace(way_marks(x), plates=(Plate("N1", 12.0, 380.0), Plate("N2", 6.0, 380.0)))
    assert not any("plate" in text for text in harms(x, marks, 180.0))
    apart = replace(marks, plates=(Plate("N1", 12.0, 380.0), Plate("N2", 6.0, 4330.0)))
    assert any("plate" in text for text in harms(x, apart, 180.0))
    assert any("plate" in text for text in harms(x, marks, 90.0))


def test_a_plate_faces_its_nozzle_wherever_that_is() -> None:
    """With the inlet at the bottom nothing is under it: the words hold for either."""
    found = way_up(demo("14-E-103"))
    assert "plate at 12, facing N1" in found.short
    assert not any("under N1" in text for text in (found.short, *found.right))
