"""A spreadsheet to be written: sheets of text with heads, notes, lists to choose from and marks. Knows no file format."""

from __future__ import annotations

from dataclasses import dataclass, field

from boxup.turnaround.book import At


@dataclass(frozen=True, slots=True)
class Head:
    """One column: its name, what row 2 says, the note that shows over it, a list to choose from, the group it is shaded with."""

    name: str
    says: str = ""
    note: str = ""
    choices: tuple[str, ...] = ()
    group: str = ""
    width: int = 14


@dataclass(frozen=True, slots=True)
class Listing:
    """One sheet. `marks` are cells (row and column from 0, as in the file) with the sentence that is noted on them.

    `merged` stays merged; `free` a sheet that is read, not filled in. A listing without heads has its rows alone.
    """

    name: str
    heads: tuple[Head, ...]
    rows: tuple[tuple[str, ...], ...] = ()
    marks: dict[At, str] = field(default_factory=dict)
    merged: tuple[tuple[At, At], ...] = ()
    units: bool = True  # whether row 2 says what is accepted
    free: bool = False
    numbers: dict[At, float] = field(default_factory=dict)  # marked cells that stay numbers: as text they would no longer be doubted
    links: dict[At, tuple[str, str]] = field(default_factory=dict)  # cell: sheet and cell it leads to
