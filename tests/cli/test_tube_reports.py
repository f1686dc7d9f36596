"""`boxup bundle --walls` and `--rolls`: what is refused, what is printed, how it ends."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from boxup.cli.fit import fitted
from boxup.cli.main import cli
from boxup.demo.fleet import files_of_the_demo

WALLS = "tube;wall loss %\n9-14;38\n9-1;60\n"


def run(*words: str, tag: str = "14-E-103") -> Result:
    return CliRunner().invoke(cli, ["bundle", str(files_of_the_demo()[tag]), *words], prog_name="boxup")


@pytest.fixture
def walls(tmp_path: Path) -> str:
    (tmp_path / "walls.csv").write_text(WALLS, "utf-8")
    return str(tmp_path / "walls.csv")


def test_the_end_is_asked_for(walls: str) -> None:
    got = run("--walls", walls)
    assert got.exit_code == 2
    assert "--numbered-from front or --numbered-from rear" in got.output


@pytest.mark.parametrize(
    ("words", "tag", "says"),
    [
        (("--numbered-from", "front"), "14-E-103", "give it with --walls"),
        (("--walls", "no-such.csv", "--numbered-from", "front"), "14-E-103", "there is no file no-such.csv"),
        (("--walls", "{}", "--numbered-from", "rear"), "14-E-104", "U-tubes have one tubesheet"),
        (("--walls", "{}", "--rolls", "{}", "--numbered-from", "front"), "14-E-103", "one report at a time"),
    ],
)
def test_what_cannot_be_is_refused(walls: str, words: tuple[str, ...], tag: str, says: str) -> None:
    got = run(*(w.format(walls) for w in words), tag=tag)
    assert got.exit_code == 2
    assert says in got.output


def test_u_tubes_are_not_asked_which_end(tmp_path: Path) -> None:
    """One tubesheet: walls and holes alike are numbered from the front, without a question."""
    for option, text in (
        ("--walls", "tube;wall loss %\n7-1;38\n"),
        ("--rolls", "tube;hole mm;bore mm;rolled id mm\n7-1;19.30;14.83;15.2\n"),
    ):
        (tmp_path / "report.csv").write_text(text, "utf-8")
        got = run(option, str(tmp_path / "report.csv"), tag="14-E-104")
        assert got.exit_code == 0, got.output
        assert "7-1" in got.output
        assert run(option, str(tmp_path / "report.csv"), "--numbered-from", "rear", tag="14-E-104").exit_code == 2


def test_from_the_rear_the_same_report_speaks_of_other_tubes(walls: str) -> None:
    told = {end: json.loads(run("--walls", walls, "--numbered-from", end, "--json").output) for end in ("front", "rear")}
    holes = {end: [w["hole"] for w in one["walls"]] for end, one in told.items()}
    assert holes == {"front": ["9-1", "9-14"], "rear": ["9-28", "9-15"]}


def test_a_wrong_line_ends_with_1_and_the_others_are_shown(tmp_path: Path) -> None:
    (tmp_path / "w.csv").write_text(f"{WALLS}99-1;3\n", "utf-8")
    got = run("--walls", str(tmp_path / "w.csv"), "--numbered-from", "front")
    assert got.exit_code == 1
    assert "STOP: Line 4: there is no hole 99-1" in got.output
    assert "9-14" in got.output


def test_long_lines_are_set_in_on_a_terminal_and_whole_in_a_pipe() -> None:
    """Nothing is lost or joined: the words are the same in the same order."""
    text = "    wrong: " + "the impingement plate stands at 6 o'clock, away from N1: the jet strikes bare tubes, " * 3
    lines = fitted(text.rstrip(), 80).split("\n")
    assert len(lines) > 2
    assert all(len(line) <= 80 for line in lines)
    assert all(line.startswith(" " * 6) and line[6] != " " for line in lines[1:])
    assert " ".join(lines).split() == text.split()
    assert fitted(text, 0) == text
    assert max(map(len, run().output.splitlines())) > 140


def test_which_way_up_is_told_without_being_asked() -> None:
    got = run(tag="22-E-207")
    assert "Of 36 ways round that the stud circle allows, the pass plates let 2 on; 1 is right." in got.output
    assert "stopped by: NOTHING that bolts up" in got.output
    told = json.loads(run("--json", tag="22-E-207").output)["way_up"]
    assert told["not_caught"] == ["half a turn"]
    assert told["read_from_words"] == ["bars_at", "mark_at", "plates_under"]


def test_two_filled_sheets_are_not_chosen_between(tmp_path: Path) -> None:
    xlsxwriter = pytest.importorskip("xlsxwriter")
    with xlsxwriter.Workbook(tmp_path / "w.xlsx") as book:
        for name in ("a", "b"):
            book.add_worksheet(name).write_row(0, 0, ["tube", "wall loss %"])
    got = run("--walls", str(tmp_path / "w.xlsx"), "--numbered-from", "front")
    assert got.exit_code == 2
    assert "2 filled sheets (a, b)" in got.output
