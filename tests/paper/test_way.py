"""The sheets of a bundle on its way: what stands on them, and the drawing at the mouth."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from boxup.demo.fleet import files_of_the_demo
from boxup.drawing.way_in import way_in
from boxup.paper.pack import html_pack, material
from boxup.paper.way import at_said, drawn, ends_said, way_sheets

FILES = files_of_the_demo()
PULLED = [t for t in FILES if t not in ("14-E-108", "31-E-305", "40-E-402", "40-E-405")]


@pytest.mark.demo
@pytest.mark.parametrize("tag", PULLED)
def test_three_sheets_for_a_bundle_that_is_pulled(tag: str) -> None:
    sheets = list(way_sheets(material(FILES[tag])))
    assert [s["title"] for s in sheets] == ["Where to hold the bundle", "The bundle going in", "The bundle coming out"]
    assert all("person in charge" in s["decides"] for s in sheets)
    for s in sheets[1:]:
        assert s["drawing"]
        assert len(s["tables"][0]["rows"]) >= 6
        assert all(len(row) == len(s["tables"][0]["heads"]) for row in s["tables"][0]["rows"])


@pytest.mark.demo
def test_none_for_a_fixed_one() -> None:
    assert list(way_sheets(material(FILES["14-E-108"]))) == []


@pytest.mark.demo
def test_a_row_by_hand() -> None:
    """2 m in, on the front sling: 17.5 kN at least on the hook, 24.5 in the shell; half of that and a quarter more: 15.0 rounded down."""
    row = list(way_sheets(material(FILES["14-E-103"])))[1]["tables"][0]["rows"][3]
    assert row[0].startswith("2.00")
    assert row[1] == "front sling"
    assert row[2].startswith("17.0\u00a0–\u2060\u00a023.0\u00a0kN (")  # 17.48 at the least, outwards
    assert "25.0\u00a0kN (" in row[3]
    assert row[5].startswith("15.0\u00a0kN (")


@pytest.mark.demo
def test_the_page_has_them_too() -> None:
    page = html_pack(material(FILES["14-E-103"]), sheets=["way"]).decode()
    assert page.count("The bundle going in") >= 2
    assert "If it sticks" in page


def test_ends_and_places_in_words() -> None:
    assert ends_said(0.031, 0.026) == "31 and 26 mm lower"
    assert ends_said(-0.010, -0.006) == "10 and 6 mm higher"
    assert ends_said(0.007, -0.004) == "7 mm lower, 4 mm higher"
    assert ends_said(-0.007, 0.004) == "7 mm higher, 4 mm lower"
    assert [ends_said(*two) for two in ((-3e-5, 0.004), (0.003, -2e-4), (2e-4, -0.003), (-0.003, 1e-4), (-1e-4, 2e-4))] == [
        "0 and 4 mm lower", "3 and 0 mm lower", "0 and 3 mm higher", "3 and 0 mm higher", "0 and 0 mm lower",
    ]  # fmt: skip
    assert at_said(-0.45).startswith("the channel, 0.45 m")


@pytest.mark.demo
@pytest.mark.parametrize("width", [360, 640])
def test_the_drawing_puts_the_mouth_where_the_tube_ends_that_is_not_in(width: int) -> None:
    """The front tubesheet stands length less metres in before the mouth, in every strip to one scale."""
    m = material(FILES["14-E-103"])
    one = m.numbers.on_its_way("insert")
    assert one is not None
    given = replace(drawn(m, one), width=width)
    svg = way_in(given)
    flange = re.findall(r'd="M([\d.]+),([\d.]+)L\1,[\d.]+" stroke-width="5"', svg)
    assert len({x for x, _ in flange[:2]}) == 1
    mouth = float(flange[0][0])
    fronts = [float(x) for x in re.findall(r'<rect x="([\d.]+)" y="[\d.]+" width="6" height', svg)]
    scale = (width - 28) / (given.length - min(m.metres for m in given.moments) + max(m.metres for m in given.moments))
    first = mouth - (given.length - given.moments[0].metres) * scale
    assert any(abs(x - first) < 0.6 for x in fronts) or any(abs(float(x) - first) < 0.6 for x in re.findall(r'<rect x="([\d.]+)"', svg))
    assert svg.count("hook") >= 3
    with pytest.raises(ValueError, match="at least one moment"):
        way_in(replace(given, moments=()))


@pytest.mark.demo
def test_a_runaway_is_on_the_sheet_and_on_the_page(tmp_path) -> None:
    """Going in downhill; coming out of the same shell it is uphill."""
    path = tmp_path / "14-E-106.toml"
    path.write_text(FILES["14-E-106"].read_text("utf-8").replace("\n[shell]\n", '\n[shell]\nslope = "-12 deg"\n'), "utf-8")
    _, into, out = way_sheets(material(path))
    assert any(f["level"] == "stop" and "runs away" in f["text"] for f in into["findings"])
    assert not any("runs away" in f["text"] for f in out["findings"])
    assert "runs away" in html_pack(material(path), sheets=["way"]).decode()
