"""What is wrong with a register, or was read in a way a person should know: one sentence about one cell."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from boxup.exchanger.problem import sentence
from boxup.turnaround.book import letter

Level = Literal["error", "note"]


@dataclass(frozen=True, slots=True)
class Mistake:
    """`row` and `column` count from 0, -1 where the whole sheet or row is meant. `seen` is the cell as it was found."""

    sheet: str
    row: int
    column: int
    tag: str
    name: str
    seen: str
    text: str
    level: Level = "error"

    @property
    def cell(self) -> str:
        """`F5`; `row 5` for a whole row, empty for a whole sheet."""
        if self.row < 0:
            return ""
        return f"{letter(self.column)}{self.row + 1}" if self.column >= 0 else f"row {self.row + 1}"

    def __str__(self) -> str:
        row = f" row {self.row + 1}" if self.row >= 0 else ""
        column = f", column {letter(self.column)}" + (f" ({self.name})" if self.name else "") if self.column >= 0 else ""
        tag = f", {self.tag}" if self.tag else ""
        return f"{self.sheet}{row}{column}{tag}: {sentence(self.text)}"
