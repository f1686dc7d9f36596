"""The bundle of a closed-end kettle under test on the ground: what the test plan says is off is not drawn, what it says is on is."""

from __future__ import annotations

import re
from datetime import date

import pytest

from boxup.demo.fleet import files_of_the_demo
from boxup.drawing.bench import bench
from boxup.exchanger.file import load
from boxup.paper.sheet import Material
from boxup.paper.tests import test_sheets as sheets_of_tests

KETTLE = files_of_the_demo()["14-E-106"]


def words(svg: str) -> list[str]:
    return re.findall(r"<text[^>]*>([^<]*)</text>", svg)


def the_bench_sheet() -> dict[str, object]:
    m = Material(load(KETTLE), KETTLE, date(2027, 1, 4))
    return next(s for s in sheets_of_tests(m) if str(s["title"]).startswith("Bench test"))


def test_the_bench_test_shows_the_bare_bundle_between_its_two_heads() -> None:
    svg = str(the_bench_sheet()["drawing"])
    said = words(svg)
    assert "test head" in said
    assert "floating head" in said
    assert said.count("support") == 2
    x = load(KETTLE)
    elsewhere = {n.id for n in x.nozzles} | {o.id for o in x.openings} | {b.id for b in x.blinds}
    assert not elsewhere & set(" ".join(said).replace(",", " ").split())  # all of these are on the channel or the shell
    assert 'data-part="shell"' not in svg
    assert 'data-part="channel"' not in svg


def test_on_a_phone_the_two_ends_stand_one_above_the_other() -> None:
    narrow = the_bench_sheet()["drawing"].narrow()  # type: ignore[attr-defined]
    assert 'viewBox="0 0 360 ' in narrow
    assert "test head" in words(narrow)


def test_of_a_channel_in_one_piece_with_its_tubesheet_no_test_head_is_made_up(make: object) -> None:
    svg = bench(make("CKT"), pressure="10.0 bar")  # type: ignore[operator]
    assert "test head" not in words(svg)
    assert "not drawn" in " ".join(words(svg))


def test_other_rear_heads_are_refused(make: object) -> None:
    with pytest.raises(ValueError, match="rear T, not for AES"):
        bench(make("AES"))  # type: ignore[operator]
