"""The command line as a person and a script use it: exit codes, JSON shapes, sentences instead of tracebacks."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from boxup.cli.main import COMMANDS, cli
from boxup.demo.fleet import files_of_the_demo

FOCUS = str(files_of_the_demo()["14-E-103"])


def run(*args: str):
    return CliRunner().invoke(cli, [str(a) for a in args])


def test_help_names_every_command():
    out = run("--help").output
    assert all(name in out for name in COMMANDS)


@pytest.mark.parametrize("name", COMMANDS)
def test_each_command_has_help(name):
    got = run(name, "--help")
    assert got.exit_code == 0
    assert len(got.output) > 100


def test_calc_json_has_the_stable_shape():
    got = json.loads(run("calc", "torque", "size=1-8", "stress=345 MPa", "area=tensile", "nut_factor=0.18", "--json").output)
    assert set(got) == {"name", "answers", "findings", "steps"}
    assert {k: v["unit"] for k, v in got["answers"].items()} == {"load": "N", "stress": "MPa", "torque": "N.m"}
    assert set(got["steps"][0]) == {"symbol", "label", "formula", "value", "unit", "cite", "kind"}


def test_broken_limits_are_findings_and_exit_0():
    got = run("calc", "sling-legs", "weight=10 kN", "left=3 m", "right=3 m", "height=1 m", "--json")
    assert got.exit_code == 0
    assert any(f["level"] == "stop" for f in json.loads(got.output)["findings"])


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (["torque", "size=1-8", "stress=345", "nut_factor=0.18"], ["stress", "345", "MPa"]),
        (["torque", "size=1", "stress=345 MPa", "nut_factor=0.18"], ["size", "thread"]),
        (["torque", "size=1-8", "stress=345 MPa", "nut_factor=0"], ["nut_factor", "0"]),
        (["torque", "size=1-8", "stress=20 mm", "nut_factor=0.18"], ["stress", "mm", "MPa"]),
        (["torque", "size=1-8", "stress=345 MPa"], ["nut_factor", "missing"]),
        (["gasket-loads", "gasket_od=800 mm", "gasket_id=829 mm", "m=4", "y=69 MPa", "pressure=-1 bar"], ["pressure", "-1 bar", "0"]),
        (["no-such"], ["no such calculation"]),
        (["torque", "size"], ["key=value"]),
    ],
)
def test_bad_input_is_exit_2_naming_key_value_and_what_is_accepted(args, words):
    got = run("calc", *args)
    assert got.exit_code == 2
    assert all(w in got.output for w in words), got.output


def test_order_and_may_have_the_stable_shapes():
    placed = json.loads(run("order", FOCUS, "--json").output)
    assert set(placed[0]) == {"step", "phase", "what", "who", "needs"}
    needs = next(p["needs"] for p in placed if p["needs"])
    assert set(needs[0]) == {"step", "because", "kind", "hold"}
    answer = json.loads(run("order", FOCUS, "--done", "PACK", "--may", "TTEST", "--json").output)
    assert set(answer) == {"may", "missing", "findings"}
    assert set(answer["missing"][0]) == {"step", "because", "kind", "hold", "ready"}


def test_bare_letters_with_options():
    assert run("order", "AES", "--with", "no-st1").exit_code == 0
    assert run("order", "QES").exit_code == 2
    assert run("order", "AES", "--with", "nonsense").exit_code == 2
    assert run("order", FOCUS, "--with", "plugs").exit_code == 2


def test_new_check_pack(tmp_path):
    to = tmp_path / "10-E-7.toml"
    assert run("new", "10-E-7", "--type", "BEU", "-o", to).exit_code == 0
    assert run("new", "10-E-7", "--type", "BEU", "-o", to).exit_code == 2  # never written over
    checked = run("check", to)
    assert checked.exit_code == 0
    assert "Not given and never assumed" in checked.output
    out = tmp_path / "10-E-7.pdf"
    assert run("pack", to, "-o", out).exit_code == 0
    assert out.read_bytes()[:5] == b"%PDF-"


def test_check_of_a_bad_file_is_exit_1_and_pack_of_it_exit_2(tmp_path):
    bad = tmp_path / "bad.toml"
    bad.write_text(Path(FOCUS).read_text("utf-8").replace('"813 mm"', '"81 mm"', 1), "utf-8")
    checked = run("check", bad)
    assert checked.exit_code == 1
    assert "line " in checked.output
    assert run("pack", bad, "-o", tmp_path / "x.pdf").exit_code == 2
    assert not (tmp_path / "x.pdf").exists()


def test_check_lists_warnings_and_lift_says_what_is_wrong_with_the_masses(tmp_path):
    lighter = tmp_path / "lighter.toml"
    weighed = 'weighed_mass = "1000 kg, measured"\n'
    lighter.write_text(Path(FOCUS).read_text("utf-8").replace("fouling_mass", weighed + "fouling_mass", 1), "utf-8")
    sentence = "WARN: The weighed and the computed mass differ by more than a tenth"
    assert sentence in run("check", lighter).output
    assert sentence in run("lift", lighter).output
    assert sentence not in run("lift", FOCUS).output


def test_the_engineers_figure_is_asked_for_with_no_pressure_known_yet(tmp_path):
    bare = tmp_path / "bare.toml"
    bare.write_text("".join(line + "\n" for line in Path(FOCUS).read_text("utf-8").splitlines() if not line.startswith("mawp")), "utf-8")
    assert "STOP: No engineer's figure for the end push" in run("check", FOCUS).output
    assert "STOP: No engineer's figure for the end push" in run("check", bare).output


def test_options_that_the_letters_cannot_have_are_an_error_of_the_file(tmp_path):
    bad = tmp_path / "bad.toml"
    bad.write_text(Path(FOCUS).read_text("utf-8").replace("plugs = true", "plugs = true\nstacked = true\nsc = false", 1), "utf-8")
    checked = run("check", bad)
    assert checked.exit_code == 1
    assert "sc" in checked.output


@pytest.mark.parametrize("command", ["joint", "hydro", "lift", "bundle", "gaskets"])
def test_rooms_answer_in_text_and_json(command):
    assert run(command, FOCUS).exit_code == 0
    json.loads(run(command, FOCUS, "--json").output)


def test_why_finds_the_working_by_tag_or_by_file(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    shutil.copy(FOCUS, tmp_path / "14-E-103.toml")
    assert "W_b" in run("why", "14-E-103/J4").output
    assert run("why", "J4", FOCUS).exit_code == 0
    assert run("why", "J4").exit_code == 2
    assert run("why", "XX", FOCUS).exit_code == 2


@pytest.mark.parametrize("command", ["check", "pack", "order", "joint"])
def test_a_file_that_is_not_there_is_a_sentence(command, tmp_path):
    extra = ["-o", str(tmp_path / "x.pdf")] if command == "pack" else []
    got = run(command, str(tmp_path / "none.toml"), *extra)
    assert got.exit_code in (1, 2)
    assert "none.toml" in got.output
    assert "Traceback" not in got.output


UPRIGHT = str(files_of_the_demo()["31-E-305"])


def test_hydro_takes_the_height_of_the_gauge():
    """3.898 m below the top of 31-E-305 (400 + 3048 + 450 mm) 0.3823 bar stand on 1.3 x 6.9; the shell side as it was."""
    got = json.loads(run("hydro", UPRIGHT, "--gauge-below-top", "tube=3.898 m", "--json").output)
    bars = {t["test"]: t["values"]["gauge_pressure"]["value"] * 10 for t in got}
    assert bars["T"] == pytest.approx(9.3523, abs=2e-4)
    assert bars["S1"] == pytest.approx(8.97)
    both = json.loads(run("hydro", UPRIGHT, "--gauge-below-top", "1 m", "--json").output)
    assert {round(t["values"]["gauge_pressure"]["value"] * 10, 3) for t in both} == {round(8.97 + 0.0980665, 3)}
    text = run("hydro", UPRIGHT).output
    assert "relief of the pump, at the top, at most  9.6 bar" in text
    assert "the same relief at the low end, at most  10.0 bar" in text


@pytest.mark.parametrize("said", ["-1 m", "3", "roof=3 m", "500 m", "low"])
def test_a_height_that_is_none_is_refused_with_what_is_accepted(said: str):
    got = run("hydro", FOCUS, "--gauge-below-top", said)
    assert got.exit_code != 0
    assert "--gauge-below-top" in got.output


def test_hydro_says_its_cautions_in_text_and_json():
    assert "Gauge at 0 and vent open before any tool touches a joint" in run("hydro", FOCUS).output
    tests = json.loads(run("hydro", FOCUS, "--json").output)
    assert all(any("Gauge at 0" in c for c in t["cautions"]) and t["other_side"] for t in tests)


@pytest.mark.parametrize("args", [("new", "X-1", "--type", "AES", "-o"), ("pack", FOCUS, "-o"), ("gaskets", FOCUS, "--drawings")])
def test_what_cannot_be_written_is_a_sentence(args, tmp_path):
    (tmp_path / "file").write_text("", "utf-8")
    got = run(*args, str(tmp_path / "file" / "x.pdf"))
    assert got.exit_code == 2
    assert "cannot be" in got.output


def test_a_terminal_that_is_not_utf_8_stops_nothing():
    env = {**os.environ, "PYTHONIOENCODING": "cp1252", "PYTHONUTF8": "0"}
    for args in (["joint", FOCUS], ["calc", "torque", "size=1-8", "stress=345 MPa", "area=tensile", "nut_factor=0.18"]):
        got = subprocess.run([sys.executable, "-m", "boxup", *args], env=env, capture_output=True, check=False)
        assert got.returncode == 0, got.stderr
        assert got.stdout.decode("utf-8")
