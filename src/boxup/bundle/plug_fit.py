"""A plug beside the bore it goes into: tapered, by its two ends; mechanical, by the bores its maker gives it."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number, word
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.reference.load import source

PRACTICE = source("trade")
PCC2 = source("pcc-2-plugs")
_SMALL, _LARGE = (
    "The plug is too large: its small end does not enter the bore",
    "The plug is too small: its large end goes through the bore",
)
_RANGE = "The bore is outside what the maker gives this plug"


@dataclass(frozen=True, slots=True, kw_only=True)
class Plug:
    """A plug and the bore as measured. Tapered: `small` and `large` are its ends; mechanical: the least and the largest bore it is for."""

    kind: str = word("tapered (driven in, holds by friction) or mechanical (expanded)", ("tapered", "mechanical"))
    bore: Quantity = number("d_i", "tube bore at that end, measured clean", "mm", above=0, most=1000)
    small: Quantity = number("d_1", "small end of the plug, or least bore it is for", "mm", above=0, most=1000)
    large: Quantity = number("d_2", "large end of the plug, or largest bore it is for", "mm", above=0, most=1000)

    def problems(self) -> list[str]:
        if self.large.si <= self.small.si:
            return [f"large: {self.large.typed} is no more than the small end, {self.small.typed}; accepted: more than that"]
        return []


@calculation("plug-fit", PRACTICE, Plug, "share=f@-")
def plug_fit(w: Working, given: Plug) -> None:
    """Whether a plug fits a measured bore, and how far along it the bore lies: 0 at its small end, 1 at its large one."""
    w.take_in(given)
    w.step("f = (d_i - d_1)/(d_2 - d_1)", "-", "where along the plug the bore lies", "straight taper")
    if given.kind == "tapered":
        w.limit("d_i > d_1", _SMALL, "its ends against the bore")
        w.limit("d_i < d_2", _LARGE, "its ends against the bore")
        w.say("note", "A tapered plug holds by friction: for low pressure and temperature only, no harder than the tube; the repair "
              "procedure decides. Nobody stands in line with it while pressure is on.", "friction plugs", PCC2)  # fmt: skip
    else:
        w.limit("d_i >= d_1", _RANGE, "its maker's range")
        w.limit("d_i <= d_2", _RANGE, "its maker's range")
        w.say("note", "A mechanical plug holds what its maker rates it for, in a bore prepared as he says: read the rating on its paper.",
              "its maker's rating")  # fmt: skip
