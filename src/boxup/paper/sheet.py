"""What every sheet is made from: the exchanger, its numbers, its ordered steps, the words; and the drawings."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import Any

from boxup.core.finding import Finding, Missing
from boxup.drawing.section import pair, section
from boxup.drawing.view import SectionView
from boxup.exchanger.model import Exchanger, Joint
from boxup.exchanger.ribs import rib_lines
from boxup.job.lists import scope_of
from boxup.job.numbers import Numbers, numbers
from boxup.job.order import Placed, order
from boxup.job.picture import Change, Picture, changes
from boxup.job.scope import Scope
from boxup.job.state import JobState
from boxup.paper.words import words

Sheet = dict[str, Any]
WIDE, SMALL, PHONE = (
    860,
    430,
    360,
)  # px: a section over the whole sheet, and one beside another; words of 18 px come out at 10 points and more


class Drawing(str):
    """The SVG of a drawing, its colours still open: the paper writes them in, a page gives its own. Empty: these letters are not drawn.

    `narrow` makes the same drawing for the width of a phone, when somebody asks for it; where nothing was given it is this one.
    """

    narrow: Callable[[], str]

    def __new__(cls, svg: str, narrow: Callable[[], str] | None = None) -> Drawing:
        made = super().__new__(cls, svg)
        made.narrow = narrow or (lambda: svg)
        return made


@dataclass(frozen=True)
class Material:
    """Everything the sheets of one pack are written from; worked once."""

    exchanger: Exchanger
    path: Path
    issued: date
    language: str = "en"
    state: JobState | None = None  # where the job stands on record; the exchanger is then as the record has it

    @cached_property
    def numbers(self) -> Numbers:
        return numbers(self.exchanger)

    @cached_property
    def findings(self) -> list[Finding]:
        done = {code.partition(":")[0] for code in self.state.done} if self.state else ()
        return self.numbers.all_findings(self.scope, self.issued.isoformat(), done)

    @cached_property
    def scope(self) -> Scope:
        return self.state.scope if self.state else scope_of(self.exchanger)

    @cached_property
    def ordered(self) -> tuple[Placed, ...]:
        return order(self.scope)

    @cached_property
    def changes(self) -> dict[str, Change]:
        """By the last step that makes it: the pictures before and after."""
        return {c.codes[-1]: c for c in changes(self.exchanger, self.scope.flags, (p.instance for p in self.ordered))}

    @cached_property
    def words(self) -> dict[str, Any]:
        return words(self.language)

    def mark(self, code: str) -> str:
        """What stands in small print beside a number: the code of its working, and `confirm` where something from memory is in it."""
        if code not in self.numbers.workings:
            return code
        _, working = self.numbers.workings[code]
        from_memory = any(s.cite and s.cite.source.label == "memory" for _, s in working.all_steps())
        return f"{code}, {self.words['confirm']}" if from_memory else code

    def ribbed(self, joint: Joint) -> bool:
        """Whether that joint's gasket has pass ribs; the rear end of two passes has none."""
        if joint.ribs_end not in ("front", "rear"):
            return False
        lines = rib_lines(self.exchanger, "front" if joint.ribs_end == "front" else "rear")
        return isinstance(lines, Missing) or bool(lines)

    def roles(self, *names: str) -> list[str]:
        return [self.words["roles"][n] for n in names]

    def view(self, picture: Picture, *, width: int, pressure: str = "", mover: str = "", moving: Any = "in") -> SectionView:
        """The exchanger as that picture has it, for paper."""
        return SectionView(
            off=picture.off,
            rings=picture.rings,
            gaskets=picture.gaskets,
            blinds=picture.blinds,
            pressed=picture.pressed,
            pressure=pressure,
            open=picture.open,
            mover=mover,
            moving=moving,
            balloons=False,
            width=width,
        )

    def section(self, view: SectionView) -> Drawing:
        """One drawing."""
        return Drawing(section(self.exchanger, view), lambda: section(self.exchanger, replace(view, width=PHONE, narrow=True)))

    def pair(self, before: SectionView, after: SectionView) -> tuple[Drawing, Drawing]:
        """Two drawings of one size, small enough to stand together on a phone."""
        one, other = pair(self.exchanger, before, after)
        return Drawing(one), Drawing(other)
