"""`boxup register` as a planner uses it: files in, files out, nothing lost."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from boxup.cli.main import cli
from boxup.demo.fleet import files_of_the_demo
from boxup.paper.spreadsheet_in import book_of_bytes

DEMO = [str(p) for p in files_of_the_demo().values()]
ROWS = "tag,type,shell side: MAWP\n99-E-1,BEU,12 bar\n99-E-2,BEU,n/a\n"


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def run(*args: str) -> Result:
    return CliRunner().invoke(cli, ["register", *args])


@pytest.mark.parametrize("ending", ["xlsx", "csv"])
def test_out_in_and_ordered(ending: str) -> None:
    assert run("write", *DEMO, "-o", f"all.{ending}").exit_code == 0
    got = run("read", f"all.{ending}", "-o", "files")
    assert got.exit_code == 0, got.output
    assert sorted(p.name for p in Path("files").iterdir()) == sorted(Path(p).name for p in DEMO)
    assert run("order", f"all.{ending}", "-o", "order.xlsx").output == run("order", *DEMO, "-o", "order2.xlsx").output.replace("r2", "r")
    again = run("read", f"all.{ending}", "-o", "files")
    assert again.exit_code == 0, "the same files may be written again"


def test_a_mistake_writes_no_file_but_a_copy_to_mend() -> None:
    Path("r.csv").write_text(ROWS, "utf-8")
    got = run("read", "r.csv", "-o", "files")
    assert got.exit_code == 2
    assert "1 mistake; 1 of 2 exchangers are without" in got.output
    assert "row 3, column C (shell side: MAWP), 99-E-2: 'n/a'" in got.output
    assert not Path("files").exists()
    assert Path("r.csv").read_text("utf-8") == ROWS
    book = book_of_bytes(Path("r-corrected.xlsx").read_bytes(), "r-corrected.xlsx")
    assert book.sheets[0].rows[1][1:5] == ("exchangers", "C3", "99-E-2", "shell side: MAWP")


def test_good_rows_are_written_when_asked_and_the_exit_still_says_so() -> None:
    Path("r.csv").write_text(ROWS, "utf-8")
    got = run("read", "r.csv", "-o", "files", "--good-rows")
    assert got.exit_code == 2
    assert [p.name for p in Path("files").iterdir()] == ["99-E-1.toml"]


def test_a_copy_never_takes_the_place_of_another() -> None:
    Path("r.csv").write_text(ROWS, "utf-8")
    run("read", "r.csv", "-o", "files")
    run("read", "r.csv", "-o", "files")
    assert sorted(p.name for p in Path().glob("*.xlsx")) == ["r-corrected-2.xlsx", "r-corrected.xlsx"]


def test_files_that_are_there_and_differ_are_left() -> None:
    Path("r.csv").write_text("tag,type\n99-E-1,BEU\n", "utf-8")
    Path("files").mkdir()
    Path("files/99-E-1.toml").write_text("mine", "utf-8")
    got = run("read", "r.csv", "-o", "files")
    assert got.exit_code == 2
    assert "99-E-1.toml" in got.output
    assert Path("files/99-E-1.toml").read_text("utf-8") == "mine"
    assert run("read", "r.csv", "-o", "files", "--over").exit_code == 0


def test_a_tag_cannot_lead_out_of_the_folder() -> None:
    Path("r.csv").write_text("tag,type\n../../E-1,BEU\n", "utf-8")
    assert run("read", "r.csv", "-o", "files").exit_code == 0
    assert [p.name for p in Path("files").iterdir()] == ["E-1.toml"]


@pytest.mark.parametrize(
    ("name", "raw", "words"),
    [
        ("gone.xlsx", None, "there is no file"),
        ("old.xlsx", b"\xd0\xcf\x11\xe0rest", "old kind, or locked"),
        ("text.xlsx", b"tag,type", "no XLSX workbook"),
        ("torn.xlsx", b"PK\x03\x04torn", "not a whole XLSX"),
        ("nul.csv", b"tag\x00type", "neither XLSX nor text"),
        ("both.csv", b"tag;a,b;type,c\n", "which one parts the cells"),
        ("quote.csv", b'tag,type\n"99-E-1,BEU\n', "quote that does not close"),
        ("wide.csv", b"tag,type\n99-E-1,BEU,12,5 bar\n", "decimal comma"),
        ("bytes.csv", b"tag,type\n99-E-1,\x81\n", "neither UTF-8 nor Windows-1252"),
        ("half.csv", b"\xff\xfet\x00a", "breaks off"),
        ("empty.csv", b"", "no column 'tag'"),
    ],
)
def test_a_file_that_is_no_register_is_one_sentence(name: str, raw: bytes | None, words: str) -> None:
    if raw is not None:
        Path(name).write_bytes(raw)
    got = run("read", name, "-o", "files")
    assert got.exit_code == 2, got.output
    assert words in got.output


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (("template", "-o", "t.ods"), ".xlsx or .csv"),
        (("template", "-o", "t.xlsx", "--type", "QES,AB"), "three TEMA letters"),
        (("order", *DEMO, "-o", "o.csv", "--spare", "some"), "0 to 100"),
        (("order", *DEMO, DEMO[0], "-o", "o.csv"), "given twice"),
        (("write", "no.toml", "nor.toml", "-o", "o.csv"), "nor.toml"),
        (("write", *DEMO, "-o", "no/folder/o.csv"), "cannot be written"),
    ],
)
def test_bad_words_are_refused(args: tuple[str, ...], words: str) -> None:
    got = run(*args)
    assert got.exit_code == 2
    assert words in got.output


def test_nothing_is_ordered_from_a_list_with_mistakes() -> None:
    Path("r.csv").write_text(ROWS, "utf-8")
    got = run("order", "r.csv", DEMO[0], "-o", "o.csv")
    assert got.exit_code == 2
    assert not Path("o.csv").exists()


def test_a_file_that_is_there_is_not_written_over() -> None:
    assert run("template", "-o", "t.csv").exit_code == 0
    assert "not written over" in run("template", "-o", "t.csv").output
    assert run("template", "-o", "t.csv", "--over").exit_code == 0
