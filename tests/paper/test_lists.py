"""The lists that are ticked off: what stands on them is what is done, and the count at the foot is the count of that."""

from __future__ import annotations

import re
from datetime import date

import pytest

from boxup.demo.fleet import files_of_the_demo
from boxup.exchanger.file import load
from boxup.job.lists import lists_of
from boxup.paper.lift import lift_sheets
from boxup.paper.lists import small_bore_sheet
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
