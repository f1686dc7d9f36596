"""The demo's exchanger files by tag."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

FOCUS = "14-E-103"


def files_of_the_demo() -> dict[str, Path]:
    """Every invented exchanger file that ships with the program."""
    folder = Path(str(files("boxup.demo") / "data"))
    return {p.stem: p for p in sorted(folder.glob("*.toml"))}
