"""The plain tube layout beside printed tables of tube counts: the deviation of every row, by table, size of shell and passes.

The rows are tests/evidence/counts/counts.csv. The pass marks are those of an earlier comparison, of another generator, and were not
changed for this one: a printed table jumps by some per cent from shell to shell, and agrees the less the more lanes a layout has.
Nineteen rows of twenty must keep them.
"""

from __future__ import annotations

import csv
import statistics
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from boxup.exchanger.generate import generate
from boxup.exchanger.lattice import Lattice
from boxup.exchanger.passes import usual_layout

FOLDER = Path(__file__).resolve().parent.parent / "tests" / "evidence" / "counts"
INCH = 25.4
USUAL_LANE = 19.05  # mm beside the tube diameter
SMALL, SMALLEST = 15.0, 14.0  # in: below the first a row may be off by tubes, below the second the fitted circle is another
MARKS = {1: 0.05, 2: 0.06, 4: 0.10, 6: 0.12, 8: 0.12}
SMALL_TUBES, SMALL_SHARE = 4, 0.25
ENOUGH = 0.95  # of the rows of a class


@dataclass(frozen=True, slots=True)
class Count:
    """One printed count, inches as printed."""

    table: str
    shell: float
    od: float
    pitch: float
    pattern: int
    passes: int
    count: int
    source: str
    label: str
    doubt: str

    @property
    def small(self) -> bool:
        return self.shell < SMALL

    @property
    def says(self) -> str:
        """The row in words."""
        return f"shell {self.shell:g} in, tube {self.od:g} in on {self.pitch:g} in, {self.pattern} degrees, {self.passes} passes"


@dataclass(frozen=True, slots=True)
class Group:
    """The rows of one table, size of shell and number of passes; `ours` the holes of our layout in the same order."""

    table: str
    small: bool
    passes: int
    rows: tuple[Count, ...]
    ours: tuple[int, ...]

    @property
    def deviations(self) -> list[float]:
        """(ours − printed)/printed."""
        return [(n - row.count) / row.count for row, n in zip(self.rows, self.ours, strict=True)]

    @property
    def marked(self) -> bool:
        """Whether a pass mark was set for it: none for U-tubes in small shells, where the bends take most of the room."""
        return not (self.small and self.table == "ludwig-u")

    @property
    def within(self) -> int:
        """Rows inside the pass mark."""
        return sum(_keeps(row, n) for row, n in zip(self.rows, self.ours, strict=True))

    @property
    def passed(self) -> bool:
        return self.within >= ENOUGH * len(self.rows)


def _keeps(row: Count, ours: int) -> bool:
    off = abs(ours - row.count)
    if row.small:
        return off <= max(SMALL_TUBES, SMALL_SHARE * row.count)
    return off <= MARKS[row.passes] * row.count


@cache
def tables() -> dict[str, Any]:
    """The families of tables and the sources, by id."""
    return tomllib.loads((FOLDER / "tables.toml").read_text("utf-8"))


@cache
def counts() -> tuple[Count, ...]:
    """Every printed count; the second line of the file holds the units."""
    with (FOLDER / "counts.csv").open(encoding="utf-8") as lines:
        found = list(csv.DictReader(lines))[1:]
    return tuple(
        Count(r["table"], float(r["shell_id"]), float(r["tube_od"]), float(r["pitch"]), int(r["pattern"]), int(r["passes"]),
              int(r["count"]), r["source"], r["label"], r["doubt"])
        for r in found
    )  # fmt: skip


def usual_lane(row: Count) -> float:
    """Between tube centres across a pass plate, mm; across the middle of U-tubes twice the bend radius of the table."""
    bends = tables()[row.table].get("lane_diameters")
    return bends * row.od * INCH if bends else row.od * INCH + USUAL_LANE


def holes(row: Count, lane: Callable[[Count], float] = usual_lane) -> int:
    """The holes of our layout for that row."""
    family = tables()[row.table]
    limit = row.shell * INCH - family["less_small" if row.shell < SMALLEST else "less"]
    way = usual_layout(row.passes)
    return len(generate(Lattice(row.pitch * INCH, row.pattern), row.od * INCH, limit, row.passes, way, lane(row)))


@cache
def groups() -> tuple[Group, ...]:
    """The rows nobody doubts, by table, size and passes."""
    return tuple(grouped([row for row in counts() if not row.doubt]))


def grouped(rows: list[Count], lane: Callable[[Count], float] = usual_lane) -> Iterator[Group]:
    """Those rows by table, size and passes."""
    for key in sorted({(row.table, row.small, row.passes) for row in rows}):
        own = tuple(row for row in rows if (row.table, row.small, row.passes) == key)
        yield Group(*key, own, tuple(holes(row, lane) for row in own))


def page_lines() -> Iterator[str]:
    """The section of the evidence page."""
    yield from ("", "## Tube counts: the plain layout beside printed tables", "")
    marks = ", ".join(f"±{share:.0%} at {n}" for n, share in MARKS.items())
    yield f"{len(counts())} printed counts (tests/evidence/counts). No table prints its outer tube limit: one circle was fitted to each"
    yield "family, as tables.toml there says. The pass marks are those of an earlier comparison, of another generator, and were not changed"
    yield f"for this one: from 15 in {marks} passes; below, ±{SMALL_TUBES} tubes or {SMALL_SHARE:.0%}. {ENOUGH:.0%} of the rows"
    yield "of a class must keep them. Deviations are (ours − printed)/printed; p90 is of their sizes. In brackets: rows from memory; the"
    yield "others were read in copies (practice). Suspected misprints stand apart, below."
    yield ""
    yield "| table | shell | passes | n | median | p90 | worst | pass mark | within | |"
    yield "|---|---|---|---|---|---|---|---|---|---|"
    yield from (_group_line(g) for g in groups())
    yield from ("", "### Rows that look misprinted", "")
    yield from ("| table | row | printed | ours | deviation | why it is doubted | source |", "|---|---|---|---|---|---|---|")
    yield from (_doubt_line(row) for row in counts() if row.doubt.startswith("print"))
    yield from ("", "### A table set apart", "")
    yield "1-1/4 in tubes on 1-9/16 in triangles: at one and two passes the print holds fewer tubes than any lattice gives. No pass mark."
    yield from ("", "| table | shell | passes | n | median | p90 | worst |", "|---|---|---|---|---|---|---|")
    apart = [row for row in counts() if row.doubt.startswith("table")]
    yield from (_group_line(g, marked=False) for g in grouped(apart))
    yield ""
    yield from (f"- {s['title']}. {s['note']}" for s in tables()["sources"].values())


def _group_line(g: Group, marked: bool = True) -> str:
    sizes = sorted(abs(d) for d in g.deviations)
    worst = max(g.deviations, key=abs)
    memory = sum(row.label == "memory" for row in g.rows)
    n = f"{len(g.rows)} ({memory})" if memory else str(len(g.rows))
    cells = [tables()[g.table]["title"], f"{'<' if g.small else '≥'} {SMALL:g} in", str(g.passes), n]
    cells += [f"{100 * x:.1f} %" for x in (statistics.median(g.deviations), p90(sizes), worst)]
    if marked:
        mark = f"±{SMALL_TUBES} or {SMALL_SHARE:.0%}" if g.small else f"±{MARKS[g.passes]:.0%}"
        kept = f"{g.within} of {len(g.rows)}, {g.within / len(g.rows):.0%}"
        cells += (
            [mark, kept, "kept" if g.passed else "not kept"] if g.marked else ["none set", f"{g.within} of {len(g.rows)} at ±4 or 25%", ""]
        )
    return f"| {' | '.join(cells)} |".replace(" |  |", " | |")


def p90(sizes: list[float]) -> float:
    """The least of the sorted sizes that nine tenths of them do not exceed."""
    return sizes[-(-9 * len(sizes) // 10) - 1]


def _doubt_line(row: Count) -> str:
    ours = holes(row)
    source = tables()["sources"][row.source]["title"]
    cells = (tables()[row.table]["title"], row.says, row.count, ours, f"{100 * (ours - row.count) / row.count:+.1f} %",
             row.doubt.removeprefix("print: "), source)  # fmt: skip
    return f"| {' | '.join(map(str, cells))} |"
