"""Tubes that still carry flow, by pass: the holes less those plugged. A U-tube shut at one end carries nothing in either leg."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from boxup.core.finding import Missing
from boxup.exchanger.bends import partners
from boxup.exchanger.layout import Layout, layout_of, numbered_layout
from boxup.exchanger.model import Exchanger


@dataclass(frozen=True, slots=True)
class OpenTubes:
    """By pass, the first at index 0: `holes` in one tubesheet, `shut` of them. `unknown`: named in a list and not on the map."""

    holes: tuple[int, ...]
    shut: tuple[int, ...]
    unknown: tuple[str, ...] = ()

    @property
    def open(self) -> tuple[int, ...]:
        """Holes that carry flow, by pass."""
        return tuple(h - s for h, s in zip(self.holes, self.shut, strict=True))

    @property
    def share(self) -> float:
        """Shut, of all holes."""
        return sum(self.shut) / sum(self.holes)

    @property
    def worst_share(self) -> float:
        """Shut in the pass that has lost most, of its holes."""
        return max(s / h for h, s in zip(self.holes, self.shut, strict=True))

    @property
    def worst_pass(self) -> int:
        """The pass that has lost most; the first of equals."""
        shares = [s / h for h, s in zip(self.holes, self.shut, strict=True)]
        return shares.index(max(shares)) + 1


def open_tubes(x: Exchanger, shut: Iterable[str]) -> OpenTubes | Missing:
    """The exchanger with these holes shut (`"9-14"`), the other ends of their U-tubes with them; Missing without a map."""
    layout = layout_of(x)
    if isinstance(layout, Missing):
        return layout
    if not layout.tubes:
        return Missing("tubes by pass", "give the rows of holes in [tubes]: the map has none.")
    known = {t.id: t for t in layout.tubes}
    asked = tuple(dict.fromkeys(shut))
    if asked and isinstance(other_sheet := numbered_layout(x), Missing):
        return other_sheet
    closed = {known[i] for i in asked if i in known}
    if x.letters.rear == "U":
        other = partners(layout.tubes)
        closed |= {other[t] for t in closed if t in other}
    count = Counter(t.tube_pass for t in closed)
    holes = _as_drawn(layout)
    return OpenTubes(holes, tuple(count[p] for p in range(1, len(holes) + 1)), tuple(i for i in asked if i not in known))


def _as_drawn(layout: Layout) -> tuple[int, ...]:
    """Holes by pass. Where the drawing counts others than the map, each pass has its share of the drawing's count, whole tubes."""
    by_pass = layout.by_pass
    mapped = [by_pass.get(p, 0) for p in range(1, max(by_pass) + 1)]
    wanted = [m * layout.count / len(layout.tubes) for m in mapped]
    found = [int(n) for n in wanted]
    for i in sorted(range(len(found)), key=lambda i: found[i] - wanted[i])[: layout.count - sum(found)]:
        found[i] += 1
    return tuple(found)
