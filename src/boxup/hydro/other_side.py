"""What the side that is not pressed can bear: its tubes from outside, worked; the difference between the sides, where it is the design."""

from __future__ import annotations

from boxup.core.quantity import Quantity
from boxup.core.rounding import both
from boxup.core.working import Working
from boxup.exchanger.metal import elastic, named
from boxup.exchanger.model import Exchanger
from boxup.hydro.tube_collapse import collapse_lines, over_collapse
from boxup.reference.load import table

DIFFERENCE = "tubesheets and tubes, designed for a difference between the sides,"


def tubes_from_outside(w: Working, exchanger: Exchanger, seen: Quantity, *, decided: bool) -> bool:
    """P_c and P_all of the tubes against `seen`, the most the lowest of them sees. False, and nothing worked, where the file does not say
    how thick they are or of what. `decided`: the engineer gave a figure."""
    tubes = exchanger.tubes
    wall, row = tubes.least_wall or tubes.wall, named(table("tube_yield"), tubes.material)
    if tubes.od is None or wall is None or (tubes.yield_strength is None and row is None):
        return False
    w.given("d_o", "tube outside diameter", tubes.od, "mm")
    w.given("t_w", "least wall measured" if tubes.least_wall else "wall of the drawing: nobody gave a measured one", wall, "mm")
    if tubes.yield_strength is not None:
        w.given("S_y", "yield strength of the tube metal, at least", tubes.yield_strength, "MPa")
    elif row is not None:
        w.table("S_y", "yield strength of the tube metal, at least", row.need("yield"), "MPa", row.place("yield"), row.cite)
    elastic(w, "tubes", tubes.material, "_t")
    collapse_lines(w)
    w.given("P", "pressure outside, at the low end of the side where its height is known", seen, "MPa")
    over_collapse(w, decided=decided)
    return True


def raised_together(w: Working, exchanger: Exchanger) -> None:
    """A warning where P is over the difference the sides are designed for: `circuit` stops it, this says what is done."""
    most = exchanger.tubes.differential_limit
    if most is None or w["P"] <= most.si:
        return
    apart = both("pressure", most.si, "down")
    text = f"Designed for a difference of {apart}: both sides are raised together and let down together, never further apart than that, "
    w.say("warn", text + "by a procedure of the engineer. This sheet, with the other side open, is not it.", "(e)(2), common elements")
