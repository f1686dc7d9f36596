"""The cover of a floating head: a dish on a bolted ring. ASME VIII-1 Appendix 1, 1-6(g), the sketch with the dish inside the ring."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number, word
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.reference.load import source

APP_1 = source("asme-viii-1-app-1")
SIDES = ("tube", "shell")


@dataclass(frozen=True, slots=True, kw_only=True)
class DishedCover:
    """A dished cover, the pressure on one of its sides, and the load of its studs in that condition."""

    od: Quantity = number("A", "outside diameter of the ring", "mm", above=0, most=2e4)
    bore: Quantity = number("B", "inside diameter of the ring", "mm", above=0, most=2e4)
    bolt_circle: Quantity = number("C", "bolt circle", "mm", above=0, most=2e4)
    crown_radius: Quantity = number("L", "inside radius of the dish", "mm", above=0, most=2e4)
    head_thickness: Quantity = number("t_h", "thickness of the dish", "mm", above=0, most=1000)
    head_lever: Quantity = number(
        "h_r", "lever of the dish about the middle of the ring, + where its pull relieves the ring", "mm", least=-1000, most=1000
    )
    reaction_diameter: Quantity = number("G", "diameter of the gasket load reaction", "mm", above=0, most=2e4)
    pressure: Quantity = number("P", "pressure, gauge", "MPa", least=0, most=1000)
    side: str = word("side the pressure is on", SIDES, default="tube")
    bolt_load: Quantity = number("W", "load of all studs", "N", least=0, most=1e9)
    allowable: Quantity = number("S", "allowable stress", "MPa", above=0, most=3000)

    def problems(self) -> list[str]:
        return dish_problems(self.crown_radius, self.bore, self.reaction_diameter, self.bolt_circle, self.od)


def dish_problems(crown: Quantity, bore: Quantity, g: Quantity, circle: Quantity, od: Quantity) -> list[str]:
    """Sentences where the dish does not reach across the bore, or the circles do not follow each other outward."""
    found = []
    if 2 * crown.si < bore.si:
        found.append(f"crown_radius: {crown.typed!r} is less than half the bore {bore.typed!r}; accepted: half the bore or more")
    if not bore.si <= g.si < circle.si < od.si:
        found.append("bore, reaction_diameter, bolt_circle, od: they must follow each other outward")
    return found


@calculation("dished-cover", APP_1, DishedCover, "dish_thickness=t_d@mm ring_thickness=T_r@mm moment=M_c@N.m")
def dished_cover(w: Working, cover: DishedCover) -> None:
    """The least thickness of dish and ring in one condition: tube pressure, shell pressure, or none at seating."""
    w.take_in(cover)
    w.step("t_d = 5*P*L/(6*S)", "mm", "least thickness of the dish, pressure inside it", "1-6(g)(1)")
    if cover.side == "shell":
        say = "Pressure on the outside of the dish: its thickness is checked against buckling too (UG-33(c)); that is not worked here."
        w.say("warn", say, "1-6(g)(1)")
    cover_arms(w)
    cover_moment(w, cover.side == "tube", "W", "P", "")
    w.step("F_c = P*B*sqrt(4*L**2 - B**2)/(8*S*(A - B))", "mm", "factor F", "1-6(g)(2)")
    w.step("J_c = abs(M_c)/(S*B)*(A + B)/(A - B)", "mm2", "factor J", "1-6(g)(2)")
    w.step("T_r = F_c + sqrt(F_c**2 + J_c)", "mm", "least thickness of the ring", "1-6(g)(2)")


def cover_arms(w: Working) -> None:
    """Appendix 2's arms of a loose ring, and the angle of the dish."""
    w.step("h_G = (C - G)/2", "mm", "arm of the gasket load", "Table 2-6")
    w.step("h_D = (C - B)/2", "mm", "arm of the end force on the bore", "Table 2-6")
    w.step("h_T = (h_D + h_G)/2", "mm", "arm of the end force between bore and gasket", "Table 2-6")
    w.step("b_1 = asin(B/(2*L + t_h))", "deg", "angle of the dish at the ring", "1-6(b)")


def cover_moment(w: Working, inside: bool, load: str, pressure: str, mark: str) -> None:
    """M_c: the moment on the ring under the studs and the pressure, the pull of the dish included; `cover_arms` come first."""
    m = mark
    w.step(f"H_D{m} = pi/4 * B**2 * {pressure}", "kN", "end force on the bore", "2-3")
    w.step(f"H_T{m} = pi/4 * (G**2 - B**2) * {pressure}", "kN", "end force between bore and gasket", "2-3")
    w.step(f"H_r{m} = H_D{m}/tan(b_1)", "kN", "pull of the dish across the ring", "1-6(b)")
    if inside:
        line = f"M_c{m} = H_D{m}*h_D + H_T{m}*h_T + ({load} - H_D{m} - H_T{m})*h_G - H_r{m}*h_r"
        w.step(line, "N.m", "moment on the ring, pressure inside the dish", "1-6(g)(2)")
    else:
        line = f"M_c{m} = {load}*h_G - H_D{m}*(h_D - h_G) - H_T{m}*(h_T - h_G) + H_r{m}*h_r"
        w.step(line, "N.m", "moment on the ring, pressure outside the dish", "1-6(g)(2); 2-11")
