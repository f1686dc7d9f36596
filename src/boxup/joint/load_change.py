"""How the load of the studs moves with pressure and heat: stiffness of studs, gasket and flanges in balance. EN 1591-1 in outline.

Why it moves: pressure unloads the gasket, which lengthens as it does, and turns the flanges; a stack that grows more than its studs
stretches them. One gasket as a single calculation here; a whole joint in `balance.py`.
"""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.joint.girth import stud_count
from boxup.joint.stretch import USUAL_MODULUS
from boxup.joint.thread import size_word, thread, thread_lines
from boxup.reference.load import source

EN_1591 = source("en-1591-1")


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadChange:
    """A made-up joint, and the end force or the difference in growth that comes upon it. What is left out is rigid, or does not act."""

    bolts: Quantity = number("n", "studs", "count", least=4, most=1000)
    size: str = size_word()
    load: Quantity = number("F", "load of one stud at assembly", "N", above=0, most=2e7)
    grip: Quantity = number("l_g", "stack the nuts clamp", "mm", above=0, most=1e4)
    modulus: Quantity | None = number("E_b", "modulus of the studs", "GPa", optional=True, above=0, most=1000)
    gasket_area: Quantity = number("A_g", "gasket area: ring and half the ribs", "mm2", above=0, most=1e8)
    gasket_thickness: Quantity = number("t_g", "gasket thickness", "mm", above=0, most=1000)
    gasket_modulus: Quantity = number("E_g", "modulus of the gasket as it is unloaded", "MPa", above=0, most=1e6)
    end_force: Quantity = number("H", "end force", "N", least=0, most=1e9)
    gasket_arm: Quantity | None = number("h_G", "arm of the gasket load", "mm", optional=True, above=0, most=5000)
    flange_turn: Quantity | None = number("Z", "turn of both flanges for a moment", "deg/kN.m", optional=True, above=0, most=100)
    pressure_moment: Quantity | None = number(
        "M_p", "moment the pressure adds to that of the studs", "N.m", optional=True, least=-1e9, most=1e9
    )
    stack_growth: Quantity | None = number("dU", "how much more the stack grows than the studs", "mm", optional=True, least=-100, most=100)

    def problems(self) -> list[str]:
        turning = (self.gasket_arm, self.flange_turn)
        found = stud_count("bolts", self.bolts)
        if any(turning) and not all(turning):
            found.append("gasket_arm, flange_turn: one without the other; accepted: both, or neither for rigid flanges")
        if self.pressure_moment and not all(turning):
            found.append("pressure_moment: nothing turns under it; accepted: with gasket_arm and flange_turn")
        return found


@calculation("load-change", EN_1591, LoadChange, "load=F_1@N gasket_load=R_1@N change=x_F@- gasket_change=x_R@-")
def load_change(w: Working, given: LoadChange) -> None:
    """The load of one stud and of the gasket once the end force or the heat has come upon the joint."""
    w.take_in(given)
    thread_lines(w, thread(given.size))
    if given.modulus is None:
        w.assumed("E_b", "modulus of the studs", USUAL_MODULUS, "GPa", "that of low-alloy studs (B7) at room temperature")
    stud_give(w)
    w.step("X_G = t_g/(E_g*A_g)", "mm/kN", "give of the gasket, unloading", "gasket compliance")
    turning = given.flange_turn is not None
    w.step("Y = X_B + X_G + Z*h_G**2" if turning else "Y = X_B + X_G", "mm/kN", "give of the whole joint", "sum of the compliances")
    moment = " - Z*h_G*M_p" if given.pressure_moment is not None else ""
    growth = " + dU" if given.stack_growth is not None else ""
    w.step(f"W_1 = n*F + (X_G*H{moment}{growth})/Y", "kN", "load of all studs", "compatibility of studs, gasket and flanges")
    w.step("F_1 = W_1/n", "kN", "load of one stud", "shared evenly")
    w.step("R_1 = W_1 - H", "kN", "load left on the gasket", "stud load less end force")
    w.step("x_F = F_1/F - 1", "-", "change of the stud load", "against assembly")
    w.step("x_R = R_1/(n*F) - 1", "-", "change of the gasket load", "against assembly")
    w.limit("W_1 > H", "Nothing is left on the gasket: the joint opens", "stud load less end force")
    w.say("note", "Elastic, and no creep: what a gasket loses by relaxing comes on top.", "in outline")


def stud_give(w: Working) -> None:
    """X_B from l_g, D, E_b, n and A_s."""
    w.step("L_eff = l_g + D", "mm", "length that stretches, mid-nut to mid-nut", "grip and a diameter")
    w.step("X_B = L_eff/(E_b*n*A_s)", "mm/kN", "give of the studs", "bolt compliance")
