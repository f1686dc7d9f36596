"""What is wrong with an exchanger file: one sentence, its key and its line."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

Level = Literal["error", "warning"]


@dataclass(frozen=True, slots=True)
class Problem:
    """One sentence about one place. `line` is 0 when it concerns the whole file; `key` is `gasket.G1.od` or a section."""

    line: int
    key: str
    text: str
    level: Level = "error"

    def __str__(self) -> str:
        place = f"line {self.line}: " if self.line else ""
        return f"{place}{self.key}: {self.text}" if self.key else f"{place}{self.text}"


class BadFile(ValueError):
    """Every error of a file, in line order."""

    def __init__(self, problems: Iterable[Problem], name: str = "") -> None:
        self.problems = sorted_problems(p for p in problems if p.level == "error")
        self.name = name
        super().__init__("\n".join([f"{name}:"] * bool(name) + [str(p) for p in self.problems]))


def sorted_problems(problems: Iterable[Problem]) -> list[Problem]:
    """In line order, each sentence once."""
    return sorted(dict.fromkeys(problems), key=lambda p: p.line)


def sentence(text: str) -> str:
    """With a full stop, unless it has its own end."""
    return text if text.endswith((".", "?", "!")) else f"{text}."


def line_of(lines: Mapping[str, int], key: str) -> int:
    """The line of a key, or of the section it would stand in; 0 when neither is there."""
    while key:
        if key in lines:
            return lines[key]
        key = key.rpartition(".")[0]
    return 0
