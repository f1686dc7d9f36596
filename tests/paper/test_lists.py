"""The lists that are ticked off: what stands on them is what is done, and the count at the foot is the count of that."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date

import pytest

from boxup.core.quantity import quantity
from boxup.demo.fleet import files_of_the_demo
from boxup.exchanger.file import load, read
from boxup.exchanger.lifting import Gear
from boxup.job.lists import lists_of
from boxup.paper.lift import lift_sheets
from boxup.paper.lists import small_bore_sheet, tubesheet_sheet
from boxup.paper.pack import html_pack, material
from boxup.paper.sheet import Material

FILES = files_of_the_demo()


def of(tag: str) -> Material:
    return Material(load(FILES[tag]), FILES[tag], date(2027, 1, 4))


def test_weep_holes_are_not_among_what_is_opened_and_closed_again() -> None:
    sheet = small_bore_sheet(of("31-E-303"))
    file = FILES["31-E-303"].read_text("utf-8")
    weeps = re.findall(r'\[small_bore\.(\w+)\]\nside = "\w+"\nkind = "weep hole"', file) or re.findall(r"\[small_bore\.(WH\d)\]", file)
    assert weeps == ["WH1", "WH2", "WH3", "WH4"]
    assert [r["id"] for r in sheet["weeps"]] == weeps
    assert not {r["id"] for r in sheet["rows"]} & set(weeps)
    assert len(sheet["rows"]) == len(lists_of(load(FILES["31-E-303"]))["openings"]) == 9


def test_the_page_counts_nine_and_asks_who_saw_the_weep_holes_clear() -> None:
    page = html_pack(material(FILES["31-E-303"])).decode()
    small = page[page.index("Small bore</h2>") :].split("</section>")[0]
    assert "must be 9" in re.sub(r"<[^>]+>", "", small)
    assert "clear: seen by" in small
    assert "clear: seen by" not in html_pack(material(FILES["14-E-104"])).decode()


@pytest.mark.demo
def test_the_lift_sheet_names_the_way_of_each_stop() -> None:
    [sheet, *_] = lift_sheets(of("14-E-103"))
    assert [row["planned"].partition(":")[0] for row in sheet["rows"] if row["planned"].startswith("STOP")] == ["STOP in", "STOP out"]


@pytest.mark.computed
def test_the_lift_sheet_of_a_shell_on_a_slope_asks_for_the_hold_back() -> None:
    """14-E-106, 4 433 kg to plan on going in, 12 degrees downhill: 4433 x 9.80665 x sin 12 = 9.04 kN, rounded up to 9.1."""
    x = load(FILES["14-E-106"])
    level = next(lift_sheets(of("14-E-106")))
    assert not any("hold-back" in line for line in level["before"])
    x = replace(x, shell=replace(x.shell, slope=quantity("-12 deg", "deg")))
    sheet = next(lift_sheets(Material(x, FILES["14-E-106"], date(2027, 1, 4))))
    said = [line for line in sheet["before"] if "hold-back" in line]
    assert [line.partition(":")[0] for line in said] == ["Downhill going in"]
    assert "up to 9.1 kN" in said[0]
    assert [lack["number"] for lack in sheet["missing"]] == ["capacity of what holds the bundle back"]
    winch = Gear(id="W2", kind="winch", use="hold back", capacity=quantity("2 t", "kg"), inspected="2027-04-06")
    rigged = next(lift_sheets(Material(replace(x, gear=(*x.gear, winch)), FILES["14-E-106"], date(2027, 1, 4))))
    assert rigged["missing"] == []
    assert [(row["lift"], row["seen"]) for row in rigged["gear"] if row["gear"].startswith("W2")] == [("insertion", "2027-04-06")]


@pytest.mark.demo
def test_the_gear_of_a_lift_sheet_says_where_it_hangs() -> None:
    rows = next(lift_sheets(of("14-E-103")))["gear"]
    where = {row["gear"].split()[0]: row["lift"] for row in rows}
    assert where | {"EX1": ""} == {
        "SL1": "front pick", "SH1": "front pick", "SL2": "rear pick", "SH2": "rear pick", "EX1": "",
        "SL3": "tubesheet end", "SH3": "tubesheet end", "LG1": "tubesheet end", "CH2": "tubesheet end",
    }  # fmt: skip
    assert [row["lift"] for row in rows if row["gear"].startswith("EX1")] == ["insertion", "pulling out"]


def test_no_map_of_a_tubesheet_that_is_another_one() -> None:
    """No rows and a count of 400: the sheet has the plug list and the count of the file, says why, and draws and numbers no hole."""
    text = re.sub(r"^rows = \[.*?^\]\n", "", FILES["14-E-103"].read_text("utf-8"), flags=re.S | re.M)
    x, _ = read(text.replace("count = 592", "count = 400"))
    [sheet] = tubesheet_sheet(Material(x, FILES["14-E-103"], date(2027, 1, 4)))
    assert sheet["drawing"] == ""
    assert "another tubesheet" in " ".join(f["text"] for f in sheet["findings"])
    assert {f["label"]: f["value"] for f in sheet["facts"]} == {"holes": "400", "plugged before": "3", "to plug": "–"}
    assert sheet["after"]["line"] == ""
    assert "of 400" not in str(sheet["findings"])
    counted, _ = read(text.replace("count = 592\n", ""))  # nobody counted: a sketch, and the sheet says so
    [drawn] = tubesheet_sheet(Material(counted, FILES["14-E-103"], date(2027, 1, 4)))
    assert "a sketch" in " ".join(f["text"] for f in drawn["findings"])
