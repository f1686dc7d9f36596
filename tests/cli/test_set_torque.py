"""A torque of another stud is refused where it is typed: in `boxup log`, unless it was set all the same, and asked of `boxup joint`."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from boxup.cli.main import cli
from boxup.demo.fleet import files_of_the_demo

FILE = str(files_of_the_demo()["14-E-101"])


def run(*args: str) -> Result:
    return CliRunner().invoke(cli, list(args))


def log(db: Path, *words: str) -> Result:
    said = ("joint=J2", "tool=W1", *words)
    return run("log", FILE, *(["joint.pass_done"]), *said, "--by", "I. Belmarsh", "--at", "2027-04-12T10:00:00+02:00", "--db", str(db))


@pytest.mark.parametrize("name", ["pass 3", "round", "verify"])
def test_the_torque_of_a_seven_eighths_stud_is_refused_and_named(tmp_path: Path, name: str) -> None:
    db = tmp_path / "day.db"
    found = log(db, f"pass={name}", "torque=411 N.m", *(["moved=0"] if name != "pass 3" else []))
    assert found.exit_code == 1, found.output
    assert "torque for 7/8-9 studs" in found.output
    assert "230 MPa (33.4 ksi), 32 % of yield" in found.output
    assert "--happened" in found.output
    assert not db.exists() or "No entry" in run("log", FILE, "--db", str(db)).output


def test_what_was_set_all_the_same_goes_on_record_and_is_told(tmp_path: Path) -> None:
    db = tmp_path / "day.db"
    found = log(db, "pass=pass 3", "torque=411 N.m", "--happened", "--json")
    assert found.exit_code == 0, found.output
    told = json.loads(found.stdout)
    assert told["entries"][-1]["payload"]["torque_n_m"] == 411
    assert any("7/8-9 studs" in f["text"] and f["level"] == "stop" for f in told["findings"])


def test_the_torque_of_the_card_goes_on_record_with_no_word_on_it(tmp_path: Path) -> None:
    found = log(tmp_path / "day.db", "pass=pass 3", "torque=455 lbf.ft")
    assert found.exit_code == 0, found.output
    assert "on the card" not in found.output


def test_a_joint_is_asked_what_it_says_to_a_torque() -> None:
    assert "STOP: J2" in run("joint", FILE, "J2", "--torque", "303 lbf.ft").output
    assert "7/8-9 studs" in run("joint", FILE, "J2", "--torque", "303 lbf.ft").output
    assert "nothing speaks against 615 N.m" in run("joint", FILE, "J2", "--torque", "615 N.m").output
    assert json.loads(run("joint", FILE, "J2", "--torque", "615 N.m", "--json").output) == {"joint": "J2", "finding": None}


@pytest.mark.parametrize(("args", "said"), [((), "one joint"), (("J9",), "one joint"), (("J2", "x"), "--torque:")])
def test_what_cannot_be_asked_is_refused(args: tuple[str, ...], said: str) -> None:
    joint, torque = args[:1], (args[1:] or ("411 N.m",))[0]
    found = run("joint", FILE, *joint, "--torque", torque)
    assert found.exit_code != 0
    assert said in found.output


@pytest.mark.parametrize(("tag", "joint", "do"), [("31-E-301", "J5", "packing maker's"), ("22-E-204", "J1", "closure maker's procedure")])
def test_a_joint_without_figure_does_not_let_a_torque_pass(tag: str, joint: str, do: str) -> None:
    file = str(files_of_the_demo()[tag])
    asked = run("joint", file, joint, "--torque", "50 N.m")
    assert asked.exit_code == 2
    assert "held against nothing" in asked.output
    assert do in asked.output
    told = run("joint", file, joint).output
    assert do in told
    assert "100 %" not in told, "no round at a share of a torque nobody gives"
    assert "until no nut turns" not in told


def test_the_window_a_torque_is_held_against_is_the_one_of_the_joint() -> None:
    window = next(line for line in run("joint", FILE, "J2").output.splitlines() if "window" in line).split("window ")[1].split(" = ")[0]
    assert f"the joint takes {window}" in run("joint", FILE, "J2", "--torque", "411 N.m").output
