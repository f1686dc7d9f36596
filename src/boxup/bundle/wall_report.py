"""A report of tube walls, read line by line: what is wrong is told with its line, and no line is lost."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from boxup.bundle.wall_cells import ACCEPTED, BadCell, Column, Read, columns_of, hole_of, is_clean, left_of, loss_of, maybe_wall, whole
from boxup.core.quantity import Quantity
from boxup.exchanger.layout import Layout
from boxup.exchanger.wall import Wall

ReadFrom = Literal["front", "rear"]
APART = 0.05  # of the wall: loss and wall left that differ by more say two things
ONE = "Ask whoever measured it; then correct one, or leave its cell empty"
HEAD_IT = "Head it remaining wall mm (or in), or wall loss %, or nominal wall where it is the wall as new; or leave the column out"
THICKER = 1.3  # times the wall of the file: no tube is made so thick


@dataclass(frozen=True, slots=True)
class WallReport:
    """`walls`: by the numbers of the front. `problems`: lines that could not be read, each with its number; `notes`: what was read how;
    `unread`: headings of columns that are not read."""

    walls: tuple[Wall, ...]
    problems: tuple[str, ...]
    notes: tuple[str, ...]
    lines: int
    unread: tuple[str, ...] = ()


def read_walls(rows: Iterable[tuple[int, Sequence[str]]], layout: Layout, end: ReadFrom, wall: Quantity | None) -> WallReport:
    """Rows with their line numbers, the heading first. `end`: from which the holes of a row were counted, from the left as seen there.

    `wall`: of the file, to check a wall left and a loss against each other. Never raises.
    """
    filled = [(n, [str(c) for c in cells]) for n, cells in rows if any(str(c).strip() for c in cells)]
    if not filled:
        return WallReport((), (f"the report is empty; accepted: {ACCEPTED}",), (), 0)
    columns, unread, wrong = columns_of(filled[0][1])
    if wrong:
        heads = ", ".join(repr(h.strip()) for h in filled[0][1] if h.strip())
        return WallReport(
            (), tuple(f"Line {filled[0][0]}: {text}; the headings are {heads}. Accepted: {ACCEPTED}." for text in wrong), (), 0
        )
    if asked := [head for head in unread if maybe_wall(head)]:
        which = "looks like a wall or a loss, and it is not known which"
        return WallReport((), tuple(f"Line {filled[0][0]}: column {head!r} {which}. {HEAD_IT}." for head in asked), (), 0)
    reader = _Reader(columns, layout, end, wall)
    if (early := reader.fractions(filled[1:])) is not None:
        return WallReport((), (early,), (), len(filled) - 1)
    found = [w for n, cells in filled[1:] if (w := reader.line(n, cells)) is not None]
    notes = [f"column {head!r} is not read" for head in unread]
    if end == "rear":
        notes.append("numbered from the rear: each hole of a row was counted from the other side, and stands here by its front number")
    return WallReport(tuple(found), tuple(reader.problems), (*notes, *reader.notes), len(filled) - 1, tuple(unread))


class _Reader:
    def __init__(self, columns: dict[int, Column], layout: Layout, end: ReadFrom, wall: Quantity | None) -> None:
        self.columns, self.layout, self.end, self.wall = columns, layout, end, wall
        self.problems: list[str] = []
        self.notes: list[str] = []
        self.in_row: dict[int, int] = {}
        for t in layout.tubes:
            self.in_row[t.row] = self.in_row.get(t.row, 0) + 1

    def fractions(self, rows: Sequence[tuple[int, Sequence[str]]]) -> str | None:
        """A column headed % in which nothing is over 1: a spreadsheet that shows 0.38 as 38 %, or losses below 1 %. Asked, not guessed."""
        for n, column in self.columns.items():
            if column.field == "loss" and column.unit == "%":
                cells = [row[n] for _, row in rows if n < len(row) and row[n].strip() and "%" not in row[n]]
                numbers = [r.number for c in cells if (r := _try(c)) is not None and r.number]
                if numbers and max(numbers) <= 0.01:
                    return ("the column of the wall loss is headed % and no value in it is over 1: 0.38 shown as 38 %, or less than one "
                            "per cent? Write 38, or head it wall loss fraction")  # fmt: skip
        return None

    def _per_cent(self, cells: dict[str, tuple[str, str]]) -> None:
        """A line that looks like a fraction among per cents: asked, not guessed."""
        cell, unit = cells.get("loss", ("", ""))
        if unit == "%" and "%" not in cell and (r := _try(cell)) is not None and r.number and r.number < 0.01 * (1 - 1e-9):
            raise BadCell(f"a loss of {cell.strip()[:20]!r} in a column headed %, where others are over 1: less than one per cent, or a "
                          "fraction? Write % behind it, or a hundred times as much")  # fmt: skip

    def line(self, n: int, cells: Sequence[str]) -> Wall | None:
        """One line, or None with what is wrong with it."""
        try:
            return self._wall(n, {c.field: (cells[i] if i < len(cells) else "", c.unit) for i, c in self.columns.items()})
        except BadCell as bad:
            self.problems.append(f"Line {n}: {str(bad).rstrip('.?')}.")
            return None

    def _wall(self, n: int, cells: dict[str, tuple[str, str]]) -> Wall:
        hole = self._hole(cells)
        self._per_cent(cells)
        loss = loss_of(*cells["loss"]) if cells.get("loss", ("",))[0].strip() else None
        left = left_of(*cells["left"]) if cells.get("left", ("",))[0].strip() else None
        if loss is None and left is None:
            raise BadCell("neither the wall loss nor the wall left is filled in; write why not (blocked, not tested)")
        exact = not any(r.word for r in (loss, left) if r and r.number is not None) or is_clean(cells.get("loss", ("",))[0])
        if loss and (loss.number or 0) > APART and is_clean(cells.get("left", ("",))[0]):
            raise BadCell(
                f"a loss of {loss.number:.0%} and {cells['left'][0].strip()[:20]!r} for the wall left contradict each other. {ONE}"
            )
        said = " ".join(dict.fromkeys(r.word for r in (loss, left) if r and r.word))
        made = Wall(hole, loss.number if loss else None, left.number / 1000 if left and left.number is not None else None,
                    cells.get("method", ("",))[0].strip()[:40], said, f"line {n}")  # fmt: skip
        return self._agreed(n, made, exact)

    def _hole(self, cells: dict[str, tuple[str, str]]) -> str:
        if "tube" in cells and not ("row" in cells and "hole" in cells):
            row, hole = hole_of(cells["tube"][0])
        else:
            row, hole = whole(cells["row"][0], "the row"), whole(cells["hole"][0], "the hole")
        if self.end == "rear" and row in self.in_row:
            hole = self.in_row[row] + 1 - hole
        try:
            return self.layout.tube(f"{row}-{hole}").id
        except KeyError as bad:
            raise BadCell(str(bad.args[0])) from None

    def _agreed(self, n: int, w: Wall, exact: bool) -> Wall:
        """Loss and wall left, each from the other where the wall is known. Both given must fit; of a bound or a range the worse stands."""
        if self.wall is None or w.unread:
            return w
        full = self.wall.si
        if w.left is not None and w.left > full * THICKER:
            raise BadCell(f"{w.left * 1000:.2f} mm is left where the tube has {full * 1000:.2f} mm: the unit, or the column?")
        by_left = max(0.0, 1 - w.left / full) if w.left is not None else None
        loss = max(x for x in (w.loss, by_left) if x is not None)
        if w.loss is not None and by_left is not None and abs(w.loss - by_left) > APART:
            both = f"a loss of {w.loss:.0%} and {full * (1 - by_left) * 1000:.2f} mm left do not fit {full * 1000:.2f} mm"
            if exact:
                raise BadCell(f"{both}: they contradict each other. {ONE}")
            self.notes.append(f"line {n}: {both}; the worse is taken")
        return Wall(w.hole, loss, full * (1 - loss) if w.left is None else min(w.left, full * (1 - loss)), w.method, w.said, w.where)


def _try(cell: str) -> Read | None:
    try:
        return loss_of(cell, "%")
    except BadCell:
        return None


def walls_text(walls: Iterable[Wall]) -> str:
    """As the record keeps them: a hole a line, loss as a fraction, wall left in mm, method, what was said."""

    def one(w: Wall) -> str:
        loss = "" if w.loss is None else f"{w.loss:.4g}"
        left = "" if w.left is None else f"{w.left * 1000:.4g}"
        return ";".join((w.hole, loss, left, *(t.replace(";", ",") for t in (w.method, w.said)))).rstrip(";")

    return "\n".join(one(w) for w in walls)


def walls_of(text: str, where: str) -> Iterator[Wall]:
    """Read back what `walls_text` wrote. ValueError naming the line that is none."""
    for n, line in enumerate(text.splitlines(), 1):
        hole, loss, left, method, said = (*line.split(";"), "", "", "", "")[:5]
        try:
            numbers = [float(t) if t else None for t in (loss, left)]
        except ValueError:
            raise ValueError(f"line {n} of the walls, {line[:40]!r}, is none; accepted: 9-14;0.38;1.31;method") from None
        if not hole.strip() or any(x is not None and not 0 <= x < 1000 for x in numbers):
            raise ValueError(f"line {n} of the walls, {line[:40]!r}, is none; accepted: 9-14;0.38;1.31;method")
        yield Wall(hole.strip(), numbers[0], None if numbers[1] is None else numbers[1] / 1000, method, said, where)
