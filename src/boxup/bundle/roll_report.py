"""Measured tube holes, line by line: for each the bore to roll to, by the same calculation as for one tube end."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from boxup.bundle.tube_roll import TubeEnd, limit_of, tube_roll
from boxup.bundle.wall_cells import BadCell, hole_of, plain, whole
from boxup.core.calculation import Answer, BadInput
from boxup.core.finding import Missing
from boxup.core.quantity import BadValue, Quantity, quantity
from boxup.exchanger.layout import Layout
from boxup.exchanger.model import Exchanger
from boxup.reference.load import table

ACCEPTED = (
    "one column for the tube (tube: 9-14), or two (row, column); the hole as measured (hole mm); the bore of the tube before rolling "
    "(tube id mm); if you like its outside (tube od mm) and the bore after rolling (rolled id mm)"
)
_SIZES = (
    ("rolled_id", r"rolled|after"),
    ("tube_od", r"od|outside|exterior"),
    ("tube_id", r"id|bore|inside|interior"),
    ("hole", r"hole|agujero"),
)


@dataclass(frozen=True, slots=True)
class RollLine:
    """One tube end: where it stands, its working, the line of the report."""

    tube: str
    answer: Answer
    line: int


@dataclass(frozen=True, slots=True)
class RollReport:
    """`lines` in the order of the report; `problems` with their line numbers; `missing`: what nobody gave, for all of them."""

    lines: tuple[RollLine, ...]
    problems: tuple[str, ...] = ()
    missing: tuple[Missing, ...] = ()


def read_rolls(rows: Iterable[tuple[int, Sequence[str]]], exchanger: Exchanger, layout: Layout, end: str) -> RollReport:
    """Each tube end of the report. `end`: from which the holes of a row were counted. Never raises."""
    filled = [(n, [str(c) for c in cells]) for n, cells in rows if any(str(c).strip() for c in cells)]
    if not filled:
        return RollReport((), (f"the report is empty; accepted: {ACCEPTED}",))
    columns = dict(_columns(filled[0][1]))
    if wrong := list(_lacks(columns, exchanger)):
        return RollReport((), tuple(f"Line {filled[0][0]}: {text}. Accepted: {ACCEPTED}." for text in wrong))
    lines, problems = [], []
    for n, cells in filled[1:]:
        try:
            lines.append(
                _line(n, {f: (cells[i] if i < len(cells) else "", unit) for f, (i, unit) in columns.items()}, exchanger, layout, end)
            )
        except (BadCell, BadValue, BadInput) as bad:
            problems.append(f"Line {n}: {str(bad).rstrip('.')}.")
    unsaid = any("rolled_id" not in line.answer.values for line in lines)
    return RollReport(tuple(lines), tuple(problems), (aim_missing(exchanger),) if unsaid else ())


def aim_missing(exchanger: Exchanger) -> Missing:
    """What to ask for where the file does not say how far a tube is rolled."""
    row = limit_of(exchanger.tubes.material)
    most = f"; {row.key} takes {row.need('most'):.0%} of the wall at most ({row.cite.source.title})" if row else ""
    return Missing("bore to roll to", f"the procedure says how far tube ends are rolled: give roll_reduction in [tubes]{most}")


def _columns(heads: Sequence[str]) -> Iterator[tuple[str, tuple[int, str]]]:
    for n, head in enumerate(heads):
        words = plain(head)
        unit = next((u for u in ("mm", "in") if u in words.split()), "in" if "inch" in words else "")
        if unit or re.search(r"\bdia", words):
            size = next((f for f, pattern in _SIZES if re.search(rf"\b(?:{pattern})\b", words)), "")
            if size:
                yield size, (n, unit)
        elif re.search(r"\b(row|fila)\b", words) and "column" not in words:
            yield "row", (n, "")
        elif re.search(r"\b(column|col|columna|hole|agujero)\b", words):
            yield "col", (n, "")
        elif re.search(r"\b(tube|tubo|no|id)\b", words):
            yield "tube", (n, "")


def _lacks(columns: dict[str, tuple[int, str]], x: Exchanger) -> Iterator[str]:
    if "tube" not in columns and not {"row", "col"} <= set(columns):
        yield "no column names the tube"
    if "hole" not in columns:
        yield "no column is the hole as measured, with its unit in the heading"
    if "tube_id" not in columns:
        yield "no column is the bore of the tube before rolling, with its unit in the heading"
    if "tube_od" not in columns and x.tubes.od is None:
        yield "no column is the outside of the tube, and the file has none"


def _line(n: int, cells: dict[str, tuple[str, str]], x: Exchanger, layout: Layout, end: str) -> RollLine:
    if "tube" in cells:
        row, col = hole_of(cells["tube"][0])
    else:
        row, col = whole(cells["row"][0], "the row"), whole(cells["col"][0], "the column")
    if end == "rear":
        col = sum(t.row == row for t in layout.tubes) + 1 - col
    try:
        tube = layout.tube(f"{row}-{col}").id
    except KeyError as bad:
        raise BadCell(str(bad.args[0])) from None
    return RollLine(tube, _rolled(cells, x), n)


def _rolled(cells: dict[str, tuple[str, str]], x: Exchanger) -> Answer:
    od, own = _size(cells, "tube_od"), x.tubes.od
    hole, bore, after = (_size(cells, f) for f in ("hole", "tube_id", "rolled_id"))
    if hole is None or bore is None or (outside := od or own) is None:
        raise BadCell("the hole or the bore of the tube is not filled in")
    return rolled(x, outside, bore, hole, after)


def rolled(x: Exchanger, od: Quantity, bore: Quantity, hole: Quantity, after: Quantity | None = None) -> Answer:
    """One tube end of this exchanger: by the bore after rolling where it was measured, else by the procedure, else where it touches.

    Raises BadInput.
    """
    sheet = x.stationary_tubesheet.thickness
    thick = sheet if sheet and sheet.to("mm") > 3.2 else None
    share = None if after else x.tubes.roll_reduction
    given = TubeEnd(tube_od=od, tube_id=bore, hole=hole, reduction=share, rolled_id=after, drawn=drawn_hole(x),
                    material=x.tubes.material, tubesheet=thick)  # fmt: skip
    return tube_roll.run(given)


def drawn_hole(x: Exchanger) -> Quantity | None:
    """The tube hole of the drawing, the standard one of such tubes where the file has none; None for a tube no table has."""
    if x.stationary_tubesheet.hole or not x.tubes.od:
        return x.stationary_tubesheet.hole
    row = next((r for r in table("tube_hole").values() if abs(r.need("od") - x.tubes.od.si) < 1e-5), None)
    return Quantity(row.need("hole"), "mm", f"standard hole, {row.cite}") if row else None


def _size(cells: dict[str, tuple[str, str]], field: str) -> Quantity | None:
    text, unit = cells.get(field, ("", ""))
    if not text.strip():
        return None
    bare = text.strip().replace(",", ".")
    got = quantity(bare if re.search(r"[a-z\"]", bare, re.I) else f"{bare} {unit}", "mm")
    if got.si <= 0:
        raise BadCell(f"{text.strip()[:20]!r} is no size")
    return got
