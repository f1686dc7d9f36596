"""Head of water: what a gauge and the lowest part see beyond the pressure at the top, and between which heights a side stands."""

from __future__ import annotations

from boxup.core.finding import Missing
from boxup.core.quantity import Quantity
from boxup.core.rounding import both
from boxup.core.working import Working
from boxup.exchanger.heights import side_height
from boxup.exchanger.model import Exchanger
from boxup.hydro.plan import PlannedTest
from boxup.hydro.reached import READ_TO
from boxup.reference.load import source

_AT_THE_TOP = "height not given: gauge taken at the top; each metre lower reads 0.1 bar more"


def water_head(w: Working) -> None:
    """`rho` and `g`."""
    w.assumed("rho", "density of the water", 1000.0, "kg/m3", "cold water, within 0.5 % up to 30 °C")
    w.constant("g", "standard gravity", 9.80665, "m/s2", w.cite("standard gravity", source("statics")))


def heads(w: Working, exchanger: Exchanger, test: PlannedTest, given: Quantity | None) -> list[Missing]:
    """From `P` of the working, at the top: `P_g` at the gauge, and `P_b` at the low end where the height `H_w` of the side can be worked.

    `given`: gauge below the top; else the one of the file, else it is taken at the top and said so.
    """
    water_head(w)
    below = given or exchanger.side(test.side).test_gauge_below_top
    if below is None:
        w.assumed("h", "gauge below the top", 0.0, "m", _AT_THE_TOP)
    else:
        w.given("h", "gauge below the top", below, "m")
    w.step("P_g = P + rho*g*h", "MPa", "test pressure at the gauge", "head of water", source=source("statics"))
    w.step("P_xg = P_x + rho*g*h", "MPa", "the gauge at the examination, no less than", "head of water", source=source("statics"))
    found = side_height(exchanger, test.side, rear_off=test.code == "S1" and test.needs_ring, on_slab=test.code == "B")
    if isinstance(found, Missing):
        return [found]
    w.parts.append(found.working)
    w.take("H_w", found.values["height"], found.working.name)
    w.step("P_b = P + rho*g*H_w", "MPa", "the lowest part sees, at test pressure", "head of water", source=source("statics"))
    _say_where(w, known=below is not None)
    return []


def _say_where(w: Working, known: bool) -> None:
    """Nobody may read the pressure of the top on a gauge that hangs low, nor set a relief at the pump by a figure of the top."""
    top, low = both("pressure", w["P"], "up"), both("pressure", w["P_b"], "up")
    text = f"The test pressure, {top}, is at the top; with {w['H_w']:.2f} m of water under it a gauge at the low end must read {low}. "
    taken = "" if known else "Where the gauge hangs is not in the file, so it is taken at the top: measure how far below it hangs. "
    text += taken + "A gauge lower down that reads the figure of the top has tested too low."
    w.say("warn" if w["P_b"] - w["P"] > READ_TO * w["P"] and not known else "note", text, "head of water", source("statics"))
