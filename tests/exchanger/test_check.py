"""The report on a file, the three demo files, and what is assumed or missing."""

from __future__ import annotations

import re
from math import pi, sqrt
from pathlib import Path

import pytest

import boxup
from boxup.exchanger.check import check, check_text
from boxup.exchanger.file import load, read
from boxup.exchanger.layout import layout_of
from boxup.exchanger.masses import bundle_mass
from boxup.exchanger.model import Exchanger, Joint
from boxup.exchanger.problem import Problem
from boxup.exchanger.stud_size import nominal_diameter
from boxup.exchanger.template import new_file

DEMO = Path(boxup.__file__).parent / "demo" / "data"
TAGS = ["14-E-103", "14-E-104", "14-E-108"]


def demo(tag: str) -> Exchanger:
    return load(DEMO / f"{tag}.toml")


@pytest.mark.demo
@pytest.mark.parametrize("tag", TAGS)
def test_the_demo_files_are_whole(tag: str) -> None:
    report = check(DEMO / f"{tag}.toml")
    assert (report.errors, report.warnings, report.assumptions, report.missing) == ((), (), (), ())
    assert report.text == f"{tag}.toml: reads without errors"
    assert "invented" in (DEMO / f"{tag}.toml").read_text("utf-8").split("\n")[0]
    assert report.exchanger is not None
    assert report.exchanger.identity.made_up == "yes"


@pytest.mark.demo
@pytest.mark.parametrize(("tag", "dry", "holes"), [("14-E-103", 4290, 592), ("14-E-104", 2300, 312)])
def test_the_demo_bundles_weigh_what_the_fleet_list_says(tag: str, dry: float, holes: int) -> None:
    """The list's masses are rounded to 10 and 100 kg."""
    answer = bundle_mass(demo(tag))
    assert answer is not None
    assert answer.values["dry"].value == pytest.approx(dry, rel=0.01)  # type: ignore[union-attr]
    layout = layout_of(demo(tag))
    assert len(layout.tubes) == holes  # type: ignore[union-attr]


def code_area(x: Exchanger, j: Joint, design: float) -> float:
    """Root area that the two bolt loads ask for, mm², by the code's formulas written out here (ribs: the ring's m and y, half width)."""
    g = j.gasket
    assert g
    assert g.od
    assert g.id_
    assert g.m
    assert g.y
    outer, inner, m, y = g.od.to("mm"), g.id_.to("mm"), g.m.si, g.y.to("MPa")
    b_0 = (outer - inner) / 4
    b = b_0 if b_0 <= 6 else 2.5 * sqrt(b_0)
    G = (outer + inner) / 2 if b_0 <= 6 else outer - 2 * b
    rib = inner * 3 if g.rib_width else 0.0  # never more than three rib lengths of the bore in these files
    if g.rib_width and x.letters.rear != "U":
        rib = inner * (2 if j.ribs_end == "front" else 1)
    seats = pi * b * G + rib * (g.rib_width.to("mm") / 2 if g.rib_width else 0.0)
    operating = pi / 4 * G**2 * design + 2 * seats * m * design
    return max(operating, seats * y) / 172


@pytest.mark.demo
@pytest.mark.parametrize("tag", TAGS)
def test_the_demo_studs_carry_the_loads_of_the_code(tag: str) -> None:
    x = demo(tag)
    seen = 0
    for j in x.joints:
        s = j.studs
        assert s
        assert s.count
        d = nominal_diameter(s.size) * 1000
        n = 25.4 / float(s.size.rpartition("-")[2])
        root = pi / 4 * (d - 1.299038 * n) ** 2
        design = x.side(j.sides[0]).mawp
        assert design
        need, have = code_area(x, j, design.to("MPa")), s.count.si * root
        assert have >= need, f"{tag} {j.id}: {have:.0f} < {need:.0f} mm2"
        seen += 1
    assert seen >= 2


def test_the_channel_and_shell_gaskets_of_the_demo_share_one_set() -> None:
    x = demo("14-E-103")
    assert x.joint("J2").studs is x.joint("J3").studs
    with pytest.raises(KeyError, match="it has J1, J2"):
        x.joint("J9")


@pytest.mark.demo
def test_the_demo_plugs_both_legs_of_each_u_tube() -> None:
    x = demo("14-E-104")
    at = {t.id: t for t in layout_of(x).tubes}  # type: ignore[union-attr]
    legs = [at[name] for name in x.to_plug]
    assert len(legs) == 22
    for one, other in zip(legs[::2], legs[1::2], strict=True):
        assert (one.x, one.y) == (other.x, -other.y)
        assert {one.tube_pass, other.tube_pass} == {1, 2}


def test_errors_come_with_their_lines() -> None:
    text = (DEMO / "14-E-103.toml").read_text("utf-8").replace('wall = "13 mm"', "wall = 13 mm", 1)
    line = text.split("\n").index("wall = 13 mm") + 1
    report = check_text(text, "a.toml")
    assert not report.ok
    assert report.exchanger is None
    assert f"line {line}: shell.wall: " in report.text
    assert report.text.startswith("a.toml: 1 error")


def test_a_missing_file_is_a_report_too(tmp_path: Path) -> None:
    report = check(tmp_path / "no.toml")
    assert not report.ok
    assert "there is no file" in report.text


def test_a_room_above_may_add_its_say() -> None:
    def no_hot(x: Exchanger) -> list[Problem]:
        return [Problem(x.lines["options.hot"], "options.hot", "not for these letters.")] if x.options.get("hot") else []

    report = check(DEMO / "14-E-103.toml", [no_hot])
    assert [p.key for p in report.errors] == ["options.hot"]
    assert check(DEMO / "14-E-104.toml", [no_hot]).ok


def test_nothing_that_holds_pressure_or_load_is_ever_assumed() -> None:
    report = check_text(new_file("X", "AES"), "new")
    assert report.exchanger is not None
    x = report.exchanger
    assert (x.shell_side.mawp, x.tube_side.mawp, x.shell_side.mdmt, x.tube_side.mdmt) == (None, None, None, None)
    for j in x.joints:
        assert j.gasket
        assert j.studs
        assert {j.gasket.od, j.gasket.id_, j.gasket.m, j.gasket.y, j.gasket.seating_stress} == {None}
        assert {j.studs.count, j.studs.length, j.studs.nut_factor, j.studs.target_stress, j.studs.bolt_circle} == {None}
        assert (j.studs.size, j.studs.grade, j.studs.lubricant) == ("", "", "")
    assert all(g.capacity is None for g in x.gear)
    said = " ".join(m.text for m in report.missing)
    for what in ("MAWP", "MDMT", "gasket size for J1", "stud count for J4", "lubricant", "nut factor", "target stress", "capacity of SL1"):
        assert what in said, what


BARE = """[exchanger]
tag = "A"
type = "AES"
grade = "drawing"
[shell]
inside_diameter = "813 mm"
[tubes]
od = "19.05 mm"
passes = 4
material = "carbon steel"
length = "6096 mm"
[stationary_tubesheet]
thickness = "75 mm"
[baffles]
spacing = "305 mm"
count = 17
"""


def bare(old: str = "", new: str = "") -> Exchanger:
    x, problems = read(BARE.replace(old, new) if old else BARE)
    assert x is not None, problems
    return x


@pytest.mark.memory
def test_assumed_sizes_follow_their_rule_and_say_so() -> None:
    """TEMA RCB-4.3 (32 in shell: 3/16 in = 4.76 mm), RCB-7.21 (0.760 in hole), RCB-4.2 (1/32 in over for spans to 36 in), R-4.41."""
    x = bare()
    b = x.baffles
    expected = [
        (b.outside_diameter, 813 - 4.76, "RCB-4.3"),
        (x.stationary_tubesheet.hole, 0.760 * 25.4, "RCB-7.21"),
        (b.hole, 19.05 + 0.8, "RCB-4.2"),
        (b.thickness, 7.9, "R-4.41"),  # 32 in shell, unsupported 610 mm = 24.02 in: just past the first column
        (x.tubes.lane, 19.05 + 19.05, "19.05"),
        (b.first_position, (6096 - 150 - 16 * 305) / 2, "midway"),
    ]
    for got, mm, rule in expected:
        assert got
        assert got.to("mm") == pytest.approx(mm)
        assert got.grade == "assumed"
        assert rule in got.where
    assert any(a.startswith("baffles.outside_diameter: 808.2 mm, assumed: shell bore less the clearance") for a in x.assumptions)


@pytest.mark.published
def test_assumed_outer_limit_is_the_handbook_clearance() -> None:
    """Ray and Das, Process Equipment and Plant Design, Table 4.11: split ring head, 700 to 850 mm: 45 mm; pull-through 100 mm more."""
    for type_, clearance in (("AES", 45), ("AET", 145), ("AEU", 10.5)):
        limit = bare('"AES"', f'"{type_}"').tubes.outer_limit
        assert limit
        assert limit.to("mm") == pytest.approx(813 - clearance)


def test_what_is_given_is_never_replaced() -> None:
    x = bare("[baffles]", '[baffles]\noutside_diameter = "800 mm"')
    assert x.baffles.outside_diameter
    assert x.baffles.outside_diameter.to("mm") == pytest.approx(800)
    assert not any(a.startswith("baffles.outside_diameter") for a in x.assumptions)


def test_an_unknown_tube_metal_is_not_taken_for_steel() -> None:
    assert bare('"carbon steel"', '"unobtainium"').tubes.density is None
    steel = bare().tubes.density
    assert steel
    assert steel.si == pytest.approx(7850, rel=0.01)


def test_plugs_that_do_not_fit_the_job_are_said(tmp_path: Path) -> None:
    text = (DEMO / "14-E-104.toml").read_text("utf-8")
    lone, off = tmp_path / "lone.toml", tmp_path / "off.toml"
    lone.write_text(text.replace('"12-3", ', "").replace(', "12-3"', ""), "utf-8")
    assert lone.read_text("utf-8") != text
    assert "both are plugged" in check(lone).text
    assert "both are plugged" not in check(DEMO / "14-E-104.toml").text
    off.write_text(re.sub(r"(?m)^plugs = true.*$", "plugs = false", text), "utf-8")
    assert off.read_text("utf-8") != text
    assert "which one holds" in check(off).text


@pytest.mark.parametrize("size", ["1-1/8-8", "1 1/8-8", "1 1/8-8 UN"])
def test_a_stud_size_with_a_blank_is_the_one_with_a_dash(size: str) -> None:
    assert nominal_diameter(size) == pytest.approx(1.125 * 0.0254)
