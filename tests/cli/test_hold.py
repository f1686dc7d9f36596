"""`boxup hydro FILE --hold LOG --test T`: a log judged with the rise and the volume of that side. The logs are made up here."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from boxup.cli.main import cli
from boxup.demo.fleet import FOCUS, files_of_the_demo

FILE = str(files_of_the_demo()[FOCUS])


def run(*words: str) -> Result:
    return CliRunner().invoke(cli, ["hydro", FILE, *words])


def log(folder: Path, drop: float, warming: float, minutes: int = 60) -> str:
    """A hold from 31.3 bar at 12 °C, a line every 5 min: MPa lost, degrees gained over the whole of it."""
    rows = ["t_min,T_water_C,P_MPa_gauge"]
    rows += [f"{t},{12 + warming * t / minutes:.3f},{3.13 - drop * t / minutes:.3f}" for t in range(0, minutes + 1, 5)]
    path = folder / "hold.csv"
    path.write_text("\n".join(rows), "utf-8")
    return str(path)


@pytest.mark.computed
def test_a_masked_leak_is_shown(tmp_path: Path) -> None:
    """The needle stands for an hour while it warms by 0.4 °C. The printed sheet: 1.47 bar a degree, 68 mL a bar at 12.2 °C.

    0.4 * 1.47 bar * 68 mL/bar / 60 min = 0.67 mL/min.
    """
    got = json.loads(run("--hold", log(tmp_path, 0.0, 0.4), "--test", "T", "--json").output)
    assert got["verdict"] == "leak shown"
    assert got["values"]["leak"]["value"] == pytest.approx(0.67, rel=0.05)
    assert got["values"]["raw_drop"]["value"] == pytest.approx(0.0)
    assert got["values"]["rise_per_degree"] == {"value": pytest.approx(0.147, rel=0.01), "unit": "MPa/K"}
    text = run("--hold", log(tmp_path, 0.0, 0.4), "--test", "T").output
    assert text.startswith("T  hold, 13 readings: leak shown")
    assert "Looking at every joint, dry and at pressure, is the acceptance" in text


@pytest.mark.practice
def test_a_cooling_vessel_that_drops_as_it_should(tmp_path: Path) -> None:
    got = json.loads(run("--hold", log(tmp_path, 0.0286, -0.2), "--test", "T", "--json").output)
    assert got["verdict"].startswith("no leak larger than")
    assert abs(got["values"]["leak"]["value"]) < got["values"]["leak_uncertainty"]["value"]


@pytest.mark.practice
def test_a_coarse_dial_that_never_moved_rules_nothing_out(tmp_path: Path) -> None:
    got = json.loads(run("--hold", log(tmp_path, 0.0, 0.0), "--test", "T", "--gauge-step", "0.5 bar", "--json").output)
    assert got["verdict"] == "cannot judge"
    (doubt,) = got["doubts"]
    assert doubt.startswith("the gauge did not move a graduation: what it hides is larger than any drop it could show")


@pytest.mark.practice
def test_bad_input_is_a_sentence(tmp_path: Path) -> None:
    good = log(tmp_path, 0.0, 0.0)
    for words, said in (
        (("--hold", good), "accepted: S1, T, S2"),
        (("--hold", good, "--test", "X"), "'X' is no test of 14-E-103"),
        (("--hold", str(tmp_path / "none.csv"), "--test", "T"), "cannot be read"),
        (("--test", "T"), "give it with --hold LOG.csv"),
        (("--hold", good, "--test", "T", "--gauge-step", "0.5"), "no unit"),
        (("--hold", good, "--test", "T", "--gauge-step", "-1 bar"), "no graduation of a gauge"),
    ):
        got = run(*words)
        assert got.exit_code == 2
        assert said in got.output
    bad = tmp_path / "bad.csv"
    bad.write_text("t_min,T_water_C,P_MPa_gauge\n0,12,3.1\n99999,12,3.1\n", "utf-8")
    assert run("--hold", str(bad), "--test", "T").exit_code == 2


@pytest.mark.practice
def test_a_log_below_test_pressure_is_no_hold_of_the_test(tmp_path: Path) -> None:
    """5 bar of an asked 31.4: what does not leak there may leak above."""
    path = tmp_path / "low.csv"
    path.write_text("t_min,T_water_C,P_MPa_gauge\n" + "".join(f"{t},12.0,{0.5 - 0.001 * (t == 30)}\n" for t in range(0, 61, 10)), "utf-8")
    assert "STOP: No hold of this test: the log stands at 5.0 bar" in run("--hold", str(path), "--test", "T").output
    got = json.loads(run("--hold", str(path), "--test", "T", "--json").output)
    assert got["findings"][0]["level"] == "stop"
    assert got["verdict"] == "cannot judge"
    assert not any(f["text"].startswith("No leak larger") for f in got["findings"])
    assert "No hold of this test" not in run("--hold", log(tmp_path, 0.0, 0.4), "--test", "T").output


@pytest.mark.practice
def test_no_verdict_under_a_stop_for_the_pressure(tmp_path: Path) -> None:
    """A fine hold at 20 bar, and one that reads 45: of the test at 31.4 neither rules anything out. At 31.1 it counts, and it says so;
    with a gauge of 0.1 bar marks 31.1 is not yet it (31.34 asked, half a mark under that)."""

    def held_at(mpa: float, *words: str) -> str:
        rows = "".join(f"{t},{12 + 0.1 * t / 60:.3f},{mpa + 0.0145 * t / 60:.4f}\n" for t in range(0, 61, 2))
        path = tmp_path / "at.csv"
        path.write_text("t_min,T_water_C,P_MPa_gauge\n" + rows, "utf-8")
        return run("--hold", str(path), "--test", "T", *words).output

    for text, said in (
        (held_at(2.0), "STOP: No hold of this test: the log stands at 20.1 bar (292 psi) at most, the test at 31.4 bar; from 31.1 bar on"),
        (held_at(4.5), "Look at the unit of its column"),
        (held_at(3.10, "--gauge-step", "0.1 bar"), "the test at 31.4 bar; from 31.3 bar on it counts"),
    ):
        assert said in text
        assert "31 readings: cannot judge" in text
        assert "o leak larger" not in text
        assert "upper bound" not in text
    assert "31 readings: no leak larger than" in held_at(3.11)
