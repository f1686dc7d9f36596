"""What goes past a rib that does not touch: from one chamber of the head to the next, without passing the tubes."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.reference.load import source

ORIFICE = source("orifice")
NO_TEST = (
    "No pressure test shows it: both sides of the rib stand at one pressure then, and nothing comes out. "
    "It is caught when the head goes on: rib in its groove, one height with the ring, plate edge and groove clean, feeler along the line."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class RibGap:
    """A rib with light under it, and what drives the fluid through."""

    gap: Quantity = number("s", "gap under the rib", "mm", least=0, most=50)
    length: Quantity = number("l_s", "length of rib that does not touch", "m", least=0, most=20)
    pressure_difference: Quantity = number("p_r", "pressure difference across the rib", "kPa", least=0, most=5000)
    density: Quantity = number("rho", "density in the tubes", "kg/m3", above=0, most=2e4)
    flow: Quantity | None = number("W_t", "flow of the tube side", "kg/s", optional=True, above=0, most=1e5)


@calculation("rib-bypass", ORIFICE, RibGap, "bypass=W_b share=b")
def rib_bypass(w: Working, given: RibGap) -> None:
    """Flow past a rib, and its share of the tube side."""
    w.take_in(given)
    rib_lines(w)
    if given.flow is not None:
        w.step("b = W_b/W_t", "-", "share of the tube side that goes past", "definition")
        w.limit("b <= 1", "More than the whole flow would go past: the pressure difference falls long before that", "orifice", "warn")
    w.say("note", NO_TEST, source=source("trade"))


def rib_lines(w: Working) -> None:
    """W_b from s, l_s, p_r, rho."""
    w.step("W_b = 0.61*s*l_s*sqrt(2*rho*p_r)", "kg/s", "flow past the rib", "orifice, 0.61")
