"""What must not be in the repository, whoever wrote it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
MADE = {".git", "build", "dist", "__pycache__", ".pytest_cache", ".mypy_cache", ".ruff_cache", ".hypothesis"}  # as .gitignore says
LONGEST_MODULE = 450

# One letter of each stands in brackets, so that this file does not hold what it looks for.
PLACES = {
    "a path of one machine": r"/w[o]rk/|/t[m]p/|/f[a]rm/|/r[o]ot/|/h[o]me/\w|/U[s]ers/\w|[A-Z]:\\U[s]ers",
    "a registry's host": r"py[p]i\.org|python[h]osted|npm[j]s|deb\.[d]ebian|crates\.[i]o",
}


def repository_files() -> Iterator[Path]:
    """Every file but what the project makes itself."""
    for path in sorted(ROOT.rglob("*")):
        parts = path.relative_to(ROOT).parts
        if path.is_file() and not MADE & set(parts) and not any(part.startswith(".venv") or part.endswith(".egg-info") for part in parts):
            yield path


def finds(text: str) -> list[str]:
    return [f"{what}: {match[0]}" for what, pattern in PLACES.items() for match in re.finditer(pattern, text)]


def test_no_file_names_one_machine_or_a_registry() -> None:
    seen, found = 0, []
    for path in repository_files():
        try:
            text = path.read_text("utf-8")
        except UnicodeDecodeError:
            continue
        seen += 1
        found += [f"{path.relative_to(ROOT)}: {what}" for what in finds(text)]
    assert found == []
    assert seen > 20, "the walk sees too little to be trusted"


@pytest.mark.parametrize("split", ["/|tmp/x", "cd /|work/main", "C:\\|Users\\me", "//pypi|.org/simple", "/|home/me", "/|root/x"])
def test_the_search_finds(split: str) -> None:
    assert finds(split.replace("|", ""))


def test_no_module_is_too_long() -> None:
    lengths = {path.relative_to(ROOT).as_posix(): len(path.read_text("utf-8").splitlines()) for path in (ROOT / "src").rglob("*.py")}
    assert {name: length for name, length in lengths.items() if length > LONGEST_MODULE} == {}, "two nouns in one file?"
    assert lengths
