"""The door: what run.py says when something is missing, and when it installs."""

from __future__ import annotations

import ast
import importlib.util
import subprocess
import sys
from pathlib import Path

import pytest
import run


def test_an_unknown_word_is_answered_with_the_known_ones() -> None:
    done = subprocess.run([sys.executable, run.ROOT / "run.py", "dmeo"], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout) == (2, "")
    assert "'dmeo'" in done.stderr
    assert "demo" in done.stderr


def test_an_old_python_can_read_it_and_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    ast.parse((run.ROOT / "run.py").read_text("utf-8"), feature_version=(3, 8))
    monkeypatch.setattr(sys, "version_info", (3, 9, 18))
    with pytest.raises(run.Trouble, match=r"3\.11 or newer"):
        run.main(["demo"])


def test_a_python_without_ensurepip_is_told_what_to_install(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(importlib.util, "find_spec", lambda name: None if name == "ensurepip" else object())
    with pytest.raises(run.Trouble, match=r"ensurepip missing.*apt install python3-venv"):
        run.make_environment(tmp_path / "env")


def test_it_installs_once_and_again_only_on_change(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    installs: list[tuple[str, bool]] = []

    def install(place: Path, extra: str, fresh: bool) -> None:
        place.mkdir(exist_ok=True)
        installs.append((extra, fresh))

    monkeypatch.setattr(run, "ROOT", tmp_path)
    monkeypatch.setattr(run, "PINS", tmp_path / "constraints.txt")
    monkeypatch.setattr(run, "install", install)
    (tmp_path / "pyproject.toml").write_text("a")
    (tmp_path / "constraints.txt").write_text("b")
    run.program(".venv-test", "python")
    run.program(".venv-test", "python")
    assert installs == [("[test]", True)]
    (tmp_path / "constraints.txt").write_text("c")
    run.program(".venv-test", "python")
    assert installs[1:] == [("[test]", False)], "a new pin is installed over what is there"
    moved = tmp_path / "moved"
    moved.mkdir()
    for name in ("pyproject.toml", "constraints.txt", ".venv-test"):
        (tmp_path / name).rename(moved / name)
    monkeypatch.setattr(run, "ROOT", moved)
    monkeypatch.setattr(run, "PINS", moved / "constraints.txt")
    run.program(".venv-test", "python")
    assert installs[2:] == [("[test]", True)], "a moved folder is made anew: its programs name the old place"


def test_the_crews_environment_has_no_test_tool() -> None:
    import tomllib

    project = tomllib.loads((run.ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    crew = {line.split(">")[0].split("=")[0].lower() for line in project["dependencies"]}
    assert crew & {"pytest", "hypothesis", "playwright", "ruff", "mypy", "coolprop", "pypdfium2"} == set()
    assert run.EXTRAS[".venv"] == ""
