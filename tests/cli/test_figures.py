"""What a buyer or a crew reads off the screen: no rib where there is none, no figure of more digits than anybody can set."""

from __future__ import annotations

import re

import pytest
from click.testing import CliRunner

from boxup.cli.main import cli
from boxup.core.printing import counted
from boxup.demo.fleet import files_of_the_demo
from boxup.turnaround.columns import item_columns

FILES = files_of_the_demo()


def said(*words: str) -> str:
    got = CliRunner().invoke(cli, list(words), catch_exceptions=False)
    assert got.exit_code == 0
    return got.output


# Two passes turn once, at the rear: nothing parts them there. One pass has no plate at all (common practice).
PLAIN = {"14-E-106": ("G3", "G4"), "40-E-402": ("G2",), "40-E-405": ("G1", "G2")}


@pytest.mark.parametrize(("tag", "plain"), PLAIN.items())
def test_gaskets_says_plain_where_the_passes_leave_no_rib(tag: str, plain: tuple[str, ...]) -> None:
    rows = [line.split() for line in said("gaskets", str(FILES[tag])).splitlines()[1:]]
    assert tuple(row[0] for row in rows if "plain" in row) == plain


@pytest.mark.parametrize("command", ["lift", "hydro", "bundle"])
@pytest.mark.parametrize("tag", ["14-E-103", "31-E-305"])
def test_no_figure_has_more_digits_than_the_trade_uses(command: str, tag: str) -> None:
    rows = [line for line in said(command, str(FILES[tag])).splitlines() if line.startswith("  ")]
    told = [line for line in rows if re.match(r"  [\d.\u202f]+ |  [a-z ]{4,40} +[\d.]+ ", line)]
    assert told
    assert [line for line in told if re.search(r"\d\.\d{3,} (m|kg|m/s²|MPa|mL/MPa)\b|\d{3,}\.\d+ (kg|mL/MPa)", line)] == []


def test_the_relief_of_a_full_vessel_is_not_called_by_a_multiple_it_may_not_have() -> None:
    text = said("hydro", str(FILES["14-E-103"]))
    assert "NOT the pump's" in text
    assert "4/3, left full" not in text


def test_one_is_not_many() -> None:
    assert [counted(n, "stop") for n in (0, 1, 2)] == ["0 stops", "1 stop", "2 stops"]


def test_row_2_of_a_sheet_of_items_names_an_item_of_its_own_kind() -> None:
    first = {sheet: item_columns(sheet)[1].says for sheet in ("gaskets", "studs", "nozzles", "blinds", "tools")}
    assert first == {"gaskets": "G1", "studs": "S1", "nozzles": "N1", "blinds": "B1", "tools": "W1"}
