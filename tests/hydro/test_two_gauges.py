"""Two gauges on one side: read where their heads part them, and told where they disagree."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from math import nan
from pathlib import Path

import pytest
from click.testing import CliRunner

from boxup.cli.main import cli
from boxup.core.calculation import BadInput
from boxup.demo.fleet import files_of_the_demo
from boxup.exchanger.file import load
from boxup.hydro.log_file import table_of
from boxup.hydro.log_heads import columns_of
from boxup.hydro.two_gauges import furthest
from boxup.job.held import held
from boxup.job.log_in import BadLog, lines_of
from boxup.job.reading import Reading

START = datetime(2027, 4, 13, 5, 0, tzinfo=UTC)
WANTED = ("time", "temperature", "pressure")


@pytest.mark.practice
@pytest.mark.parametrize("heads", [("P_A_bar", "P_B_bar"), ("gauge A bar", "gauge B psi"), ("gauge 2 bar", "Gauge 1 (bar)")])
def test_two_gauges_whose_heads_part_them_are_both_read(heads: tuple[str, str]):
    found, problems = columns_of(["time", *heads])
    assert problems == []
    assert {field for field, _ in found.values()} == {"clock", "pressure", "gauge_b"}
    second = next(n for n, (field, _) in found.items() if field == "gauge_b")
    assert "b" in heads[second - 1].lower().split("bar")[0].split("psi")[0] or "2" in heads[second - 1]


@pytest.mark.practice
@pytest.mark.parametrize(
    "heads", [("gauge_top_barg", "gauge_low_barg"), ("gauge bar", "gauge B bar"), ("P_A_bar", "P_1_bar"), ("gauge bar", "P_bar")]
)
def test_two_that_nothing_parts_are_refused(heads: tuple[str, str]):
    assert "stands in two columns" in columns_of(["time", *heads])[1][0]


@pytest.mark.practice
def test_the_page_and_the_command_read_both_and_an_empty_cell_of_the_second_is_none():
    text = "time,P_A_bar,P_B_psi,water_C\n06:10,31.4,450,12\n06:20,31.4,,12\n"
    table = table_of(text, "plant.csv", WANTED, ("gauge_b",)).columns
    assert table["pressure"] == pytest.approx([31.4e5, 31.4e5])
    assert table["gauge_b"] == pytest.approx([450 * 6894.757, nan], rel=1e-6, nan_ok=True)
    first, second = lines_of(text, START, start_said=True)
    assert (first.words["pressure"], first.words["gauge_b"]) == ("31.4 bar", "450 psi")
    assert "gauge_b" not in second.words


@pytest.mark.practice
def test_what_two_gauges_may_differ_by():
    """31.4 bar: a gauge of 62.8 bar, 1 % of it 0.63. A mark of 0.5 bar on each: 1.0."""
    near = furthest([3.14e6, 3.14e6], [3.08e6, nan])
    assert near is not None
    assert near.may == pytest.approx(0.628e5)
    assert not near.too_far
    far = furthest([3.14e6, 3.14e6], [3.14e6, 3.07e6])
    assert far is not None
    assert far.too_far
    marks = furthest([3.14e6], [3.07e6], mark=0.5e5)
    assert marks is not None
    assert marks.may == pytest.approx(1e5)
    assert not marks.too_far
    assert furthest([3.14e6], [nan]) is None


def tight(second: float | None) -> list[Reading]:
    """A hold of test T of the demo that loses nothing: 31.4 bar at 12 °C, warmed by 0.1 in an hour (1.45 bar a degree by its sheet)."""
    every = range(0, 61, 2)
    return [Reading(START + timedelta(minutes=t), round(3.14 + 0.0145 * t / 60, 4), 12 + 0.1 * t / 60, second=second) for t in every]


@pytest.mark.practice
def test_a_hold_whose_gauges_disagree_rules_nothing_out():
    x = load(files_of_the_demo()["14-E-103"])
    assert held(x, "T", tight(None)).verdict.startswith("no leak larger than")
    assert held(x, "T", tight(3.11)).verdict.startswith("no leak larger than")
    found = held(x, "T", tight(2.79))
    assert found.verdict == "cannot judge"
    assert found.lacks == ("apart",)
    assert "3.6 bar (52 psi) apart, 31.5 bar (457 psi) and 27.9 bar (405 psi)" in found.doubts[0]
    assert [f.level for f in found.working.all_findings() if "gauges A and B" in f.text.replace("Gauges", "gauges")] == ["stop"]


@pytest.mark.practice
def test_the_command_tells_it_too(tmp_path: Path):
    path = tmp_path / "ab.csv"
    rows = "".join(f"{t},{31.4 + 0.145 * t / 60:.3f},27.9,{12 + 0.1 * t / 60:.3f}\n" for t in range(0, 61, 2))
    path.write_text("t_min,P_A_bar,P_B_bar,T_water_C\n" + rows, "utf-8")
    words = ["hydro", str(files_of_the_demo()["14-E-103"]), "--hold", str(path), "--test", "T"]
    text = CliRunner().invoke(cli, words).output
    assert "STOP: Gauges A and B stand 3.6 bar" in text
    assert json.loads(CliRunner().invoke(cli, [*words, "--json"]).output)["verdict"] == "cannot judge"
    assert "raw drop               −0.14 bar (−2.1 psi)" in text  # 0.145 by the file; machines keep MPa
    assert "MPa" not in text
    assert json.loads(CliRunner().invoke(cli, [*words, "--json"]).output)["values"]["raw_drop"]["unit"] == "MPa"


@pytest.mark.practice
def test_water_read_in_degrees_fahrenheit_is_no_lack_of_the_file(tmp_path: Path):
    path = tmp_path / "hot.csv"
    path.write_text("t_min,T_water_C,P_MPa_gauge\n" + "".join(f"{t},122,3.14\n" for t in range(0, 61, 10)), "utf-8")
    words = ["hydro", str(files_of_the_demo()["14-E-103"]), "--hold", str(path), "--test", "T"]
    got = CliRunner().invoke(cli, words)
    assert got.exit_code == 2
    assert "water at 122 °C is beyond what a test has, -3 to 60 °C; if it was read in °F, head or enter it as water F" in got.output
    assert "file lacks" not in got.output
    hot = [Reading(START + timedelta(minutes=t), 3.14, 122.0) for t in range(0, 61, 10)]
    assert held(load(files_of_the_demo()["14-E-103"]), "T", hot).lacks == ("warm",)


@pytest.mark.practice
def test_hours_with_am_and_pm_are_read():
    """12:50 AM is ten to one at night, 12:50 PM is past noon."""
    text = "time,gauge bar,water_C\n11:50 AM,31.4,12\n12:50 PM,31.4,12\n1:05:30 p.m.,31.4,12\n"
    assert table_of(text, "plant.csv", WANTED).columns["time"] == [0, 3600, 4530]
    assert [f"{x.at:%H:%M:%S}" for x in lines_of(text, START, start_said=True)] == ["11:50:00", "12:50:00", "13:05:30"]
    night = "time,gauge bar,water_C\n2027-04-12 11:50 PM,31.4,12\n12:20 am,31.4,12\n"
    assert table_of(night, "plant.csv", WANTED).columns["time"] == [0, 1800]


@pytest.mark.practice
def test_hours_nobody_reads_are_one_mistake():
    text = "time,gauge bar,water_C\n" + "".join(f"half past {n},31.4,12\n" for n in range(1, 8))
    with pytest.raises(BadInput) as of_command:
        table_of(text, "plant.csv", WANTED)
    assert len(of_command.value.problems) == 1
    assert (
        "line 2 and 6 lines more: time is 'half past 1'; accepted: 06:20, or 2027-04-12 06:20, or 6:20 AM" in of_command.value.problems[0]
    )
    with pytest.raises(BadLog) as of_page:
        lines_of(text, START, start_said=True)
    assert of_page.value.problems == ("Line 2 and 6 lines more: time is 'half past 1'; accepted: 06:20, or 2027-04-12 06:20, or 6:20 AM.",)
