"""`boxup log` asks about a tool whose number is not the one of the list, before it is on record."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from boxup.cli.main import cli
from boxup.demo.fleet import FOCUS, files_of_the_demo


def log(db: Path, *words: str) -> Result:
    given = ["log", str(files_of_the_demo()[FOCUS]), "tool.checked", "good_until=2027-08-15", "--by", "N. Quillbrook", "--db", str(db)]
    return CliRunner().invoke(cli, [*given, *words])


@pytest.mark.demo
def test_another_number_is_asked_about_and_recorded_when_it_is_so(tmp_path: Path) -> None:
    """By the file W2 is TW-217."""
    db = tmp_path / "r.db"
    asked = log(db, "tool=W2", "serial=XX-9")
    assert asked.exit_code == 1
    assert "the number read off it is XX-9, and the list has TW-217" in asked.output
    assert "--happened" in asked.output
    assert not db.exists()
    kept = log(db, "tool=W2", "serial=XX-9", "--happened")
    assert kept.exit_code == 0, kept.output
    assert "the list has TW-217" in kept.output
    same = log(db, "tool=W2", "serial=tw217")
    assert same.exit_code == 0
    assert "the list has" not in same.output
