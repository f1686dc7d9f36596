"""Readings of a test typed at the command line: over the limit told each time, and what no gauge of the file shows asked about."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from boxup.cli.main import cli
from boxup.demo.fleet import files_of_the_demo

FILE = str(files_of_the_demo()["14-E-103"])  # the tube side to 33.5 bar, gauges of 0 to 60 bar


def run(*args: str) -> Result:
    return CliRunner().invoke(cli, list(args))


def read(db: Path, *words: str) -> Result:
    return run("log", FILE, "test.reading", "test=T", *words, "--by", "C. Rhoswen", "--db", str(db))


@pytest.mark.practice
def test_every_reading_over_the_limit_is_a_stop(tmp_path: Path) -> None:
    db = tmp_path / "day.db"
    for bar in ("40", "50", "36"):
        found = read(db, f"pressure={bar} bar")
        assert found.exit_code == 0, found.output
        assert f"STOP: gauge at {bar}.0 bar" in found.output
        assert "limit 33.5 bar (floating head flange)" in found.output
    assert "STOP: gauge" not in read(db, "pressure=30 bar").output


@pytest.mark.practice
def test_a_figure_in_psi_typed_as_bar_is_asked_about_before_it_is_on_record(tmp_path: Path) -> None:
    """305 psi are 21 bar; no gauge of 0 to 60 bar shows 305."""
    db = tmp_path / "day.db"
    assert read(db, "pressure=10 bar").exit_code == 0
    asked = read(db, "pressure=305 bar")
    assert asked.exit_code == 1
    assert "gauge at 305.0 bar; the gauges of the file read to 60.0 bar (870 psi). A slip, or psi? Look again" in asked.output
    assert "--happened" in asked.output
    assert "305" not in run("log", FILE, "--db", str(db)).output
    assert read(db, "pressure=305 psi").exit_code == 0
    assert read(db, "pressure=10 bar", "water=150 degC").exit_code == 1
    assert read(db, "pressure=305 bar", "--happened").exit_code == 0
