"""The window on the joint card: in words on the front, drawn on a page of its own; no torque, load or passes where no load fits."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pypdfium2
import pytest

from boxup.demo.fleet import FOCUS, files_of_the_demo
from boxup.paper.joints import joint_sheets
from boxup.paper.pack import html_pack, material, pack
from boxup.paper.sheet import Sheet

WHEN = date(2027, 4, 12)


@pytest.fixture(scope="module")
def shut(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo exchanger with a site limit on the channel cover's studs below what its gasket asks for."""
    text = files_of_the_demo()[FOCUS].read_text("utf-8")
    head, block = text.split("[studs.S1]", 1)
    own, rest = block.split("[studs.S2]", 1)
    lines = [line for line in own.splitlines() if not line.startswith(("most_stress", "least_stress"))]
    path = tmp_path_factory.mktemp("shut") / "14-E-103.toml"
    path.write_text(f'{head}[studs.S1]\nmost_stress = "240 MPa"{chr(10).join(lines)}\n[studs.S2]{rest}', "utf-8")
    return path


def cards(path: Path) -> dict[str, Sheet]:
    return {sheet["title"].split()[0]: sheet for sheet in joint_sheets(material(path, WHEN))}


def test_every_card_of_the_demo_has_its_window_and_its_chart() -> None:
    for name, card in cards(files_of_the_demo()[FOCUS]).items():
        assert card["window"]["line"].startswith("Window "), name
        assert card["window"]["line"].endswith(" on tensile area"), name
        assert card["window"]["chart"].startswith("<svg"), name
        assert "low end: " in card["window"]["ends"]


def test_a_shut_window_leaves_no_figure_to_pull_by(shut: Path) -> None:
    card = cards(shut)["J1"]
    assert card["torque"] is None
    assert card["torque_text"] == ""
    assert card["passes"] == []
    assert card["pump"] == ""
    assert "load of one stud" not in [f["label"] for f in card["facts"]]
    assert len(card["before"]) == 1
    assert card["before"][0].startswith("Nothing is pulled by this card")
    assert card["findings"][0]["level"] == "stop"
    assert "No stud load satisfies every limit" in card["findings"][0]["text"]
    assert card["window"]["line"].startswith("No window: at least ")
    assert ">STOP<" in card["window"]["chart"]


def test_the_other_joints_of_that_exchanger_keep_their_torque(shut: Path) -> None:
    assert all(card["torque"] and card["passes"] for name, card in cards(shut).items() if name != "J1")


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_shut_card_is_printed_with_its_stop(shut: Path, paper: str) -> None:
    pages = [p.get_textpage().get_text_range() for p in pypdfium2.PdfDocument(pack(shut, paper=paper, sheets=["joints"], issued=WHEN))]
    front = next(p for p in pages if "J1 channel cover" in p and "Before the first nut" in p)
    assert "not given: see below" in front
    assert "STOP" in front
    assert "round after the wait" not in front
    drawn = [p for p in pages if "How far the studs" in p and "No stud load satisfies every limit" in p]
    assert len(drawn) == 1


def test_the_page_for_a_phone_has_the_chart_in_both_widths() -> None:
    page = html_pack(files_of_the_demo()[FOCUS], sheets=["joints"], issued=WHEN).decode()
    assert page.count('<figure class="drawing chart"><div class="wide">') == 4  # J1, J2 + J3, J4, J5
    assert page.count("chart of limits</title>") == 8


def test_flanges_stand_with_their_share_and_rotation() -> None:
    rows = cards(files_of_the_demo()[FOCUS])["J4"]["window"]["flanges"]
    assert [r["flange"] for r in rows] == ["floating head (F5)", "backing ring (F6)"]
    assert "pressed from outside" in rows[0]["test"]
    assert rows[1]["assembly"].endswith("°")


def test_a_packing_is_drawn_up_by_turns_and_has_no_rounds_to_fill_in() -> None:
    card = cards(files_of_the_demo()["31-E-301"])["J5"]
    assert card["passes"] == []
    assert card["gap_rule"] == ""
    assert any("a flat at a time" in line for line in card["before"])
    assert not any("hand-tight" in line for line in card["before"])


def test_both_ends_of_a_span_stand_in_both_units() -> None:
    """55 MPa are 7.98 ksi, 310 MPa are 44.96 ksi."""
    card = cards(files_of_the_demo()[FOCUS])["J2"]
    assert card["stresses"][0]["window"].startswith("55 – 310 MPa (8.0 – 45.0 ksi) at bolt-up")


def test_the_card_of_a_split_ring_says_how_the_splits_lie() -> None:
    said = {tag: "; ".join(cards(files_of_the_demo()[tag])["J4"]["before"]) for tag in (FOCUS, "14-E-101")}
    assert "both splits midway between two studs" in said[FOCUS]
    assert "splits a quarter turn apart" in said["14-E-101"]
    assert "split" not in "; ".join(cards(files_of_the_demo()[FOCUS])["J5"]["before"]).casefold()
