"""`boxup record` as a person and a script use it."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from tests.store.drafts import mixed, note

from boxup.cli.main import cli
from boxup.store.sqlite import SqliteStore


def run(*words: str | Path) -> Result:
    got = CliRunner().invoke(cli, ["record", *map(str, words)])
    assert got.exception is None or isinstance(got.exception, SystemExit), got.exception
    return got


@pytest.fixture
def record(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("BOXUP_DB", raising=False)
    path = tmp_path / "boxup-record.db"
    with SqliteStore(path, create=True) as store:
        store.append(mixed(1, 20, jobs=2))
    return path


def test_verify_says_the_last_entries(record: Path) -> None:
    got = run("verify")
    assert got.exit_code == 0
    with SqliteStore(record) as store:
        assert (
            got.output
            == "boxup-record.db is sound: 20 entries in 2 jobs.\nLast entry of each job, to hold against the signed papers:\n"
            + "".join(f"  {head.job}  {head.entries} entries  {head.hash}\n" for head in store.heads())
        )


@pytest.mark.parametrize("how", ["--db path", "--db url", "BOXUP_DB"])
def test_the_record_is_named(record: Path, how: str, monkeypatch: pytest.MonkeyPatch) -> None:
    record.rename(record.with_name("site.db"))
    assert run("verify").exit_code == 2, "there is none of the usual name"
    if how == "BOXUP_DB":
        monkeypatch.setenv("BOXUP_DB", "site.db")
    words = {"--db path": ["--db", "site.db"], "--db url": ["--db", "sqlite:///site.db"], "BOXUP_DB": []}[how]
    assert run("verify", *words).exit_code == 0


def test_verify_exits_1_with_the_first_bad_entry(record: Path) -> None:
    with closing(sqlite3.connect(record, isolation_level=None)) as db:
        job, number = db.execute("SELECT job, number FROM event WHERE seq = 5").fetchone()
        db.execute("DROP TRIGGER event_stays")
        db.execute("UPDATE event SET entered_by = 'N. Obody' WHERE seq > 4")
    got = run("verify")
    assert got.exit_code == 1
    first, *rest = got.output.splitlines()
    assert first.startswith(f"boxup-record.db IS NOT SOUND. Job {job}, entry {number} (number 5 of the record): its hash does not fit")
    assert "  4 entries are as they were recorded" in got.output
    assert "  and 7 more" in rest


def test_a_damaged_letter_in_a_name_can_be_shown(record: Path) -> None:
    record.write_bytes(record.read_bytes().replace(b"job 1", b"job \xff"))
    got = run("verify")
    assert got.exit_code == 1
    assert r"Job job \xff, entry 1" in got.output


@pytest.mark.parametrize("command", [["verify"], ["export"], ["backup", "copy.db"]])
def test_no_record_is_exit_2_and_makes_none(command: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("BOXUP_DB", raising=False)
    got = run(*command)
    assert got.exit_code == 2
    assert "There is no record at boxup-record.db" in got.output
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("command", [["verify"], ["export"], ["backup", "copy.db"], ["restore", "boxup-record.db"]])
def test_another_database_is_refused_for_now(record: Path, command: list[str]) -> None:
    got = run(*command, "--db", "postgresql://site/record")
    assert got.exit_code == 2
    assert "no other database is read yet" in got.output


def test_a_file_that_is_no_record(record: Path) -> None:
    Path("letter.db").write_text("to the crew")
    assert [run(*words, "--db", "letter.db").exit_code for words in (["verify"], ["export"], ["backup", "x.db"])] == [1, 2, 2]
    assert run("restore", "boxup-record.db", "--db", "letter.db").exit_code == 2


def test_out_and_back(record: Path) -> None:
    assert run("export", "-o", "all.jsonl").output == "all.jsonl is written: 20 entries in 2 jobs.\n"
    assert run("restore", "all.jsonl", "--db", "new.db").output == "new.db: 20 entries written, 0 were there already.\n"
    assert run("export", "--db", "new.db").stdout_bytes == Path("all.jsonl").read_bytes()
    assert run("restore", "all.jsonl").output == "boxup-record.db: 0 entries written, 20 were there already.\n"
    one = run("export", "--job", "job 1").output.splitlines()
    assert {json.loads(line)["job"] for line in one[1:]} == {"job 1"}


def test_a_copy_out_and_back(record: Path) -> None:
    assert run("backup", "copy.db").output == "copy.db is written and was proved: 20 entries in 2 jobs.\n"
    assert run("restore", "copy.db", "--db", "new.db").output == "new.db: 20 entries written, 0 were there already.\n"
    assert run("verify", "--db", "copy.db").output.splitlines()[1:] == run("verify").output.splitlines()[1:]


def test_a_copy_of_a_spoilt_record_is_called_so(record: Path) -> None:
    with closing(sqlite3.connect(record, isolation_level=None)) as db:
        db.execute("DROP TRIGGER event_stays")
    got = run("backup", "copy.db")
    assert got.exit_code == 1
    assert "copy.db IS NOT SOUND. What keeps the record as it is was taken out or changed: trigger event_stays" in got.output


def test_nothing_is_written_over(record: Path) -> None:
    Path("there").write_text("something")
    for words in (["export", "-o", "there"], ["backup", "there"]):
        got = run(*words)
        assert (got.exit_code, "is there already" in got.output) == (2, True)
    assert Path("there").read_text() == "something"
    assert run("export", "-o", "none/out.jsonl").exit_code == 2


def test_a_job_that_is_not_there_is_told_which_are(record: Path) -> None:
    got = run("export", "--job", "job 9")
    assert got.exit_code == 2
    assert "has no job 'job 9'; it has job" in got.output


def test_a_broken_export_makes_no_record(record: Path) -> None:
    run("export", "-o", "all.jsonl")
    text = Path("all.jsonl").read_text("utf-8").replace('"I. Belmarsh"', '"N. Obody"', 1)
    Path("all.jsonl").write_text(text, "utf-8", newline="\n")
    got = run("restore", "all.jsonl", "--db", "new.db")
    assert got.exit_code == 2
    assert "all.jsonl, line 2: job" in got.output
    assert not Path("new.db").exists()


def test_another_history_is_refused(record: Path) -> None:
    run("export", "-o", "all.jsonl")
    with SqliteStore(Path("other.db"), create=True) as store:
        store.append([note(job="job 0")])
    got = run("restore", "all.jsonl", "--db", "other.db")
    assert got.exit_code == 2
    assert "different histories" in got.output
