"""How the tube passes lie in the bundle, and which of them share a chamber at each end.

Everything here is seen from the front, looking to the rear: left is left as seen by someone standing before the channel.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

End = Literal["front", "rear"]
Way = Literal["H", "V"]
Grid = tuple[tuple[int, ...], ...]  # rows from the top, in each row the passes from the left
LAYOUTS: tuple[str, ...] = ("plain", "band", "quadrant", "two-column", "zigzag")
MOST_PASSES = 16


class BadPasses(ValueError):
    """A layout that those passes cannot have, one sentence."""


@dataclass(frozen=True, slots=True)
class Rib:
    """One straight piece of rib: V between two columns in `row`, H under `row` in `column`; `between` the two passes it parts."""

    way: Way
    row: int
    column: int
    between: tuple[int, int]

    def __str__(self) -> str:
        return f"{self.way}[{self.between[0]}|{self.between[1]}]"

    @property
    def place(self) -> tuple[Way, int, int]:
        return self.way, self.row, self.column


def chambers(passes: int, end: End, u_tubes: bool = False) -> tuple[tuple[int, ...], ...]:
    """The passes by chamber: front {1} {2,3} ..., rear {1,2} {3,4} ...; U-tubes turn in the bend and have no rear chambers."""
    if end == "rear" and u_tubes:
        return ()
    start = 0 if end == "front" else 1
    pairs = [tuple(p for p in (n, n + 1) if 1 <= p <= passes) for n in range(start, passes + 1, 2)]
    return tuple(p for p in pairs if p)


def usual_layout(passes: int, u_tubes: bool = False) -> str:
    """The layout meant where none is named: bands up to five passes, six and more in two columns where the number is even.

    U-tubes of four passes and more lie so that the two legs of a tube are mirror images (`legs_why_not`).
    """
    if passes == 1:
        return "plain"
    if u_tubes and passes >= 4 and passes % 2 == 0:
        return "quadrant" if passes == 4 else "zigzag"
    return "two-column" if passes >= 6 and passes % 2 == 0 else "band"


def zones(passes: int, layout: str) -> Grid:
    """Where each pass lies. Raises BadPasses when that layout does not exist for that many passes.

    `quadrant` goes down the left half and up the right (1 over 2, 3, then 4 over 3); `zigzag` of four passes is the other usual
    quadrant path (1, 2 side by side, then 3 under 2).
    """
    if wrong := why_not(passes, layout):
        raise BadPasses(wrong)
    if layout in ("plain", "band"):
        return tuple((p,) for p in range(1, passes + 1))
    if layout == "zigzag":
        pairs = [(p, p + 1) for p in range(1, passes, 2)]
        return tuple(pair if i % 2 == 0 else pair[::-1] for i, pair in enumerate(pairs))
    return tuple((p, passes + 1 - p) for p in range(1, passes // 2 + 1))


def why_not(passes: int, layout: str) -> str:
    """Why that layout does not exist for that many passes, or nothing."""
    if layout not in LAYOUTS:
        return f"layout {layout!r} is not known; accepted: {', '.join(LAYOUTS)}"
    if not 1 <= passes <= MOST_PASSES:
        return f"{passes} tube passes; accepted: 1 to {MOST_PASSES}"
    if _exists(passes, layout):
        return ""
    has = {"plain": "1 pass", "quadrant": "4 passes"}.get(layout, "an even number of passes, 4 or more")
    return f"a {layout} layout has {has}, not {passes}; accepted for {passes}: {', '.join(o for o in LAYOUTS if _exists(passes, o))}"


def _exists(passes: int, layout: str) -> bool:
    """Whether so many passes can lie so; every number of passes can lie in bands."""
    even = passes >= 4 and passes % 2 == 0
    return {"plain": passes == 1, "quadrant": passes == 4, "two-column": even, "zigzag": even}.get(layout, True)


def one_tube(a: int, b: int) -> bool:
    """Passes 1 and 2, 3 and 4, ... are the two legs of the same U-tubes."""
    return (min(a, b) + 1) // 2 == (max(a, b) + 1) // 2


def legs_why_not(passes: int, layout: str) -> str:
    """Why U-tubes cannot lie so, or nothing: each leg needs its other leg as its mirror image across a middle line."""
    if passes % 2:
        return f"{passes} passes of U-tubes: they go there and back, so the number is even"
    grid = zones(passes, layout)
    if len(grid) == 2 or (len(grid[0]) == 2 and all(one_tube(*row) for row in grid)):
        return ""
    usual = usual_layout(passes, u_tubes=True)
    return f"U-tubes in a {layout} layout of {passes} passes: the two legs of a tube are no mirror images; accepted: {usual}, or their rows"


def ribs(grid: Grid, shared: tuple[tuple[int, ...], ...]) -> tuple[Rib, ...]:
    """A rib stands on each boundary between touching passes that lie in different chambers; rows from the top, V before H."""
    home = {p: i for i, chamber in enumerate(shared) for p in chamber}
    found: list[Rib] = []
    for r, row in enumerate(grid):
        found += [Rib("V", r, c, (a, b)) for c, (a, b) in enumerate(pairwise(row))]
        if r + 1 < len(grid):
            found += [Rib("H", r, c, (a, b)) for c, (a, b) in enumerate(zip(row, grid[r + 1], strict=True))]
    return tuple(rib for rib in found if shared and home[rib.between[0]] != home[rib.between[1]])


def end_ribs(passes: int, layout: str, end: End, u_tubes: bool = False) -> tuple[Rib, ...]:
    """The ribs of the gasket of that end."""
    return ribs(zones(passes, layout), chambers(passes, end, u_tubes))


def survives_half_turn(grid: Grid, pieces: tuple[Rib, ...]) -> bool:
    """True when the ribs fall on themselves after half a turn, so that nothing would catch one."""
    rows, columns = len(grid), len(grid[0])
    turned = {(p.way, rows - 1 - p.row, columns - 2 - p.column) if p.way == "V" else (p.way, rows - 2 - p.row, columns - 1 - p.column)
              for p in pieces}  # fmt: skip
    return turned == {p.place for p in pieces}
