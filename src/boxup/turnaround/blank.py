"""The empty register: heads with units and notes, what the letters call for, and how to fill it in."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from boxup.exchanger.joints import joints_of
from boxup.exchanger.letters import Letters
from boxup.turnaround.columns import MAIN, SHEETS, Column, item_columns, main_columns
from boxup.turnaround.listing import Head, Listing

READ_ME, JOINTS = "Read me", "Joints of the types"
_HOW = (
    "One exchanger a row on the sheet 'exchangers', from row 3 on. Gaskets, studs, nozzles, small bore, blinds, tools and gear have sheets",
    "of their own: one item a row, with the tag of its exchanger and a name (G1, S1, N1). The same name may stand under another tag.",
    "",
    "Row 1 is the name of a column. Row 2 is its unit, or what is accepted; the note on row 1 says what it is, with an example.",
    "A value is a number with its unit: 17.2 bar, 250 psi, 10 in. How well it is known may follow, after a comma: drawing, measured,",
    "assumed, memory (811.5 mm, measured). A number without a unit is in the unit of row 2; another unit may be written there (psi for",
    "bar), and holds for that column.",
    "",
    "Leave a cell empty while it is not known; do not write 0, ? or n/a. Geometry is then assumed where it may be, and said so. Gasket",
    "sizes, studs, lubricant, target stress, MAWP, MDMT and the capacity of gear never are: Boxup says what to measure, or whom to ask.",
    "",
    "The cells are formatted as text, so that 1/2, 1-8, 3/4-10 and 14-E-103 stay what you typed. When you paste, paste values only.",
    "Columns and sheets whose name begins with # are yours and are not read. Columns you do not need may be deleted.",
    "",
    "Then: boxup register read FILE -o FOLDER. Every mistake is named with its sheet, row and column, and marked in a copy of the file.",
)


def blank(types: Iterable[Letters] = ()) -> list[Listing]:
    """The sheets of an empty register: for those letters, or for all."""
    types = tuple(types)
    return [
        Listing(MAIN, heads_for(main_columns(types))),
        *(Listing(name, heads_for(item_columns(name))) for name in SHEETS),
        Listing(READ_ME, (Head("How to fill in this register", width=130),), tuple((line,) for line in _HOW), units=False, free=True),
        *_joints(types),
    ]


def blank_table(types: Iterable[Letters] = ()) -> Listing:
    """The empty register as one table, for CSV: items are further columns, `gasket G1: OD`."""
    return Listing(MAIN, heads_for(main_columns(tuple(types))))


def heads_for(columns: Iterable[Column]) -> tuple[Head, ...]:
    """The heads over those columns."""
    return tuple(Head(c.name, c.says, note_of(c), choices_of(c), c.section, _width(c)) for c in columns)


def note_of(c: Column) -> str:
    """What the column is: its label, the remark of the file, an example."""
    said = c.remark if c.remark.startswith(c.label) or not c.label else "; ".join(filter(None, (c.label, c.remark)))
    example = c.example.strip('"').replace('"', "")
    shown = f"For example {example.strip('[]')}." if example and c.kind != "rows" else ""
    if c.kind == "rows":
        shown = "For example 315.9 mm, 16, 1; 290.6 mm, 18, 1."
    needed = "Needed. " if c.needed else ""
    units = f"A bare number is in {c.unit}, as row 2 says; another unit may stand there, or behind the number." if c.unit else ""
    return "\n".join(filter(None, (f"{needed}{said[:1].upper()}{said[1:]}.", shown, units)))


def choices_of(c: Column) -> tuple[str, ...]:
    """The list to choose from, where only a few words are accepted."""
    return c.accepted


def _width(c: Column) -> int:
    return 30 if c.kind == "rows" else min(max(12, len(c.name) * 2 // 3, len(c.says) * 2 // 3), 30)


def _joints(types: tuple[Letters, ...]) -> Iterator[Listing]:
    """Which joint is J1, J2, ... for each type asked for."""
    rows = [(str(t), j.id, j.between, " and ".join(j.sides), j.ribs_end) for t in types for j in joints_of(t)]
    if rows:
        heads = (Head("type"), Head("joint"), Head("between", width=60), Head("side"), Head("pass ribs of the end", width=20))
        yield Listing(JOINTS, heads, tuple(rows), units=False, free=True)
