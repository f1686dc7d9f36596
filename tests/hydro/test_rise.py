"""What a degree does: the same figure on the command, the sheet of paper and the page, each with the water and pressure it is of."""

from __future__ import annotations

import re
from datetime import date

import pytest
from click.testing import CliRunner

from boxup.cli.main import cli
from boxup.demo.fleet import files_of_the_demo
from boxup.hydro.rise import rise_said
from boxup.job.full import full
from boxup.paper.pack import material
from boxup.paper.tests import sheet_of_test

FILES = files_of_the_demo()


@pytest.mark.demo
@pytest.mark.parametrize(("tag", "rise", "bar"), [("22-E-207", "1.85", "20.2"), ("14-E-103", "2.05", "31.4")])
def test_paper_and_command_say_one_figure_and_at_which_water(tag: str, rise: str, bar: str):
    """Nobody has read the water: 15 °C is taken, and every place says so. The figures are those of the printed sheets."""
    text = CliRunner().invoke(cli, ["hydro", str(FILES[tag])], catch_exceptions=False).output
    of_t = text.partition("\nT  ")[2].partition("\nS2  ")[0]
    assert re.search(rf"rise per degree +{rise} bar/K at 15\.0 °C and {bar} bar, water taken so\n", of_t)
    sheet = sheet_of_test(material(FILES[tag], date(2027, 4, 13), None), "T")
    assert sheet is not None
    row = next(n for n in sheet["numbers"] if str(n["label"]).startswith("shut in"))
    assert row["value"]["text"] == rise
    assert f"at 15.0 °C and {bar} bar, water taken so" in row["label"]


@pytest.mark.demo
def test_a_water_that_was_read_is_not_called_taken():
    """At 12.2 °C the tube side of the demo rises by 1.45 bar for a degree, at 15 °C by 2.05: the figure is nothing without its water."""
    from boxup.exchanger.file import load

    side = full(load(FILES["14-E-103"]), "T", 12.2)
    assert side is not None
    assert rise_said(side.rise, side.water, side.pressure) == "1.45 bar/K at 12.2 °C and 31.4 bar"
