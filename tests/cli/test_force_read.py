"""A reading of the bundle on its way, entered with `boxup log`: its STOP is said after the entry and stays on the story."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from boxup.cli.main import cli
from boxup.demo.fleet import files_of_the_demo

FILE = str(files_of_the_demo()["14-E-106"])


def run(*args: str) -> Result:
    return CliRunner().invoke(cli, list(args))


def read(db: Path, *words: str) -> Result:
    return run("log", FILE, "bundle.force_read", "way=pull", *words, "--by", "I. Belmarsh", "--db", str(db))


def test_a_pull_over_the_stop_is_a_stop_after_the_entry_and_in_the_story(tmp_path: Path) -> None:
    """The whole way stops at 32.5 kN: 40 kN is over it wherever it is read."""
    db = tmp_path / "day.db"
    found = read(db, "position=4.0 m", "force=40 kN")
    assert found.exit_code == 0, found.output
    assert "STOP: Pull read 40.0 kN" in found.output
    assert "STOP: Pull read 40.0 kN" in run("log", FILE, "--db", str(db)).output
    calm = read(db, "position=3.8 m", "force=9 kN", "hook=0.2 t")
    assert calm.exit_code == 0, calm.output
    assert "STOP" not in calm.output


def test_a_pull_that_rises_by_a_quarter_is_a_stop(tmp_path: Path) -> None:
    db = tmp_path / "day.db"
    for metres, force in (("4.5", "9"), ("4.2", "9"), ("4.0", "9")):
        assert "STOP" not in read(db, f"position={metres} m", f"force={force} kN").output
    assert "more than a quarter over" in read(db, "position=3.8 m", "force=12 kN").output


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("position=7 m", "force=9 kN"), "is not on its way; accepted: metres in, from 0"),
        (("position=-1 m", "force=9 kN"), "is not on its way"),
        (("position=3 m", "force=15 N"), "no reading of this bundle"),
        (("position=3 m", "force=9 kN", "hook=3 bar"), "as the cell shows it: kg"),
    ],
)
def test_what_no_bundle_has_is_refused_with_what_is_accepted(tmp_path: Path, words: tuple[str, ...], said: str) -> None:
    found = read(tmp_path / "day.db", *words)
    assert found.exit_code != 0
    assert said in found.output
