"""Several packs at once: each as it is alone, none where one of the files cannot be used."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from boxup.demo.fleet import files_of_the_demo

FILES = files_of_the_demo()


def boxup(*words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-m", "boxup", *words], capture_output=True, text=True, check=False, env=dict(os.environ))


def test_each_is_as_it_is_alone(tmp_path: Path) -> None:
    two = [str(FILES[tag]) for tag in ("14-E-108", "31-E-303")]
    many = boxup("pack", *two, "-o", str(tmp_path / "packs"), "--sheets", "blinds", "--date", "2027-04-12")
    assert many.returncode == 0, many.stderr
    assert many.stdout.count("is written.") == 2
    for file in two:
        alone = tmp_path / f"{Path(file).stem}.pdf"
        assert boxup("pack", file, "-o", str(alone), "--sheets", "blinds", "--date", "2027-04-12").returncode == 0
        assert (tmp_path / "packs" / alone.name).read_bytes() == alone.read_bytes()


@pytest.mark.parametrize(
    ("second", "out", "word"),
    [
        ("no-such-file.toml", "packs", "no-such-file.toml"),
        (str(FILES["14-E-108"]), "packs", "14-E-108: two of the files have this name"),
        (str(FILES["31-E-303"]), "packs.pdf", "-o names the folder"),
    ],
)
def test_nothing_is_written_where_one_cannot_be(tmp_path: Path, second: str, out: str, word: str) -> None:
    many = boxup("pack", str(FILES["14-E-108"]), second, "-o", str(tmp_path / out))
    assert many.returncode == 2
    assert word in many.stderr
    assert not (tmp_path / out).exists()


def test_what_only_the_pack_refuses_is_told_for_each(tmp_path: Path) -> None:
    two = [str(FILES[tag]) for tag in ("14-E-108", "31-E-303")]
    many = boxup("pack", *two, "-o", str(tmp_path / "packs"), "--paper", "A9")
    assert many.returncode == 2
    assert many.stderr.count("paper 'A9' is not known") == 2
