"""The demo's record half-way through a pass, and the demo as a person starts it."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from boxup.demo.fleet import files_of_the_demo
from boxup.demo.half_way import MOMENT, clear, half_way, write
from boxup.demo.serve import RECORD, free
from boxup.demo.story import drafts, story_text
from boxup.store.open import open_store, verify_store
from boxup.web.live import Jobs

pytestmark = pytest.mark.demo
JOB = "OM-27-0103"


def test_the_job_stands_in_the_middle_of_a_pass_before_the_second_tube_test(tmp_path: Path) -> None:
    with open_store(str(tmp_path / "demo.db"), create=True) as store:
        write(store)
        live = Jobs(store)[JOB]
        j4 = live.state.joint("J4")
        assert j4
        assert j4.word == "pass 2 at stud 34"
        assert len(j4.rounds["pass 2"].studs) == 20
        assert j4.make_up == 2
        assert {"INSERT", "TRING_OFF:S1"} <= live.state.done
        test = live.state.tests["T"]
        assert [a.verdict for a in test.attempts] == ["failed"]
        assert test.pressure_mpa == 0
        assert live.now() >= MOMENT
        assert len(store.jobs()) == len(files_of_the_demo()) == 16
        write(store)
        assert Jobs(store)[JOB].head == live.head, "told again, it is the same"
    assert verify_store(str(tmp_path / "demo.db")).ok


def test_the_story_until_a_moment_is_its_beginning() -> None:
    whole = drafts(story_text(), "[exchanger]", "J")
    cut = drafts(story_text(), "[exchanger]", "J", until=MOMENT)
    assert cut == whole[: len(cut)]
    assert max(d.happened_at for d in cut) <= MOMENT < whole[len(cut)].happened_at


def test_the_studs_of_the_broken_off_pass_are_the_first_of_the_pattern() -> None:
    """As the joint card has it for 36 studs, four at a time a quarter apart: 1-19-10-28, 5-23-14-32, ... (common practice)."""
    studs = half_way()[-1].payload["studs"]
    assert studs[:8] == [1, 19, 10, 28, 5, 23, 14, 32]
    assert len(set(studs)) == 20


def test_a_new_demo_leaves_nothing_of_the_old_one(tmp_path: Path) -> None:
    record = tmp_path / RECORD
    for name in (RECORD, f"{RECORD}-wal", f"{RECORD}-shm"):
        (tmp_path / name).write_text("old")
    (tmp_path / f"{RECORD}-photos").mkdir()
    (tmp_path / "other.db").write_text("mine")
    clear(record)
    assert [p.name for p in tmp_path.iterdir()] == ["other.db"]


def test_a_port_that_was_asked_for_is_taken_as_it_is() -> None:
    assert free(4711) == 4711


# as a person starts it


def start(folder: Path, *words: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-m", "boxup.demo", *words], cwd=folder, env={**os.environ, "PYTHONUNBUFFERED": "1"},
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
    )  # fmt: skip


@pytest.mark.skipif(os.name == "nt", reason="Ctrl-C is sent as a Unix sends it")
def test_it_serves_until_ctrl_c_and_is_carried_on_with(tmp_path: Path) -> None:
    for said in ("A record of invented jobs, the main one half-way", "is carried on with", "A record of invented jobs"):
        words = ["--new"] if said == "A record of invented jobs" else []
        one = start(tmp_path, "--port", "0", *words)
        assert one.stdout
        lines = [one.stdout.readline() for _ in range(3)]
        one.send_signal(signal.SIGINT)
        rest, _ = one.communicate(timeout=60)
        assert "pack" in lines[0]
        assert said in lines[1]
        assert re.match(r"The pages: http://localhost:\d+/", lines[2])
        assert (one.returncode, rest) == (0, "Stopped.\n")


def test_once_writes_the_pack_and_stops(tmp_path: Path) -> None:
    one = start(tmp_path, "--once")
    out, _ = one.communicate(timeout=120)
    assert one.returncode == 0
    assert [p.name for p in (tmp_path / "build").iterdir()] == ["14-E-103-pack.pdf"]
    assert out.count("\n") == 1


@pytest.mark.parametrize("words", [["--twice"], ["x"], ["--port", "x"], ["--port", "-1"], ["--port", "70000"], ["--port"]])
def test_what_is_not_understood_is_a_sentence(tmp_path: Path, words: list[str]) -> None:
    one = start(tmp_path, *words)
    out, _ = one.communicate(timeout=60)
    assert one.returncode == 2
    assert "accepted: --once" in out
    assert "Traceback" not in out
    assert not (tmp_path / "build").exists()
