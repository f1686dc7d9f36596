"""The stresses and the rigidity of one flange as the code designs it: ASME VIII-1 Appendix 2, 2-5 to 2-8 and 2-14.

Operating: the bolt load the gasket asks for under pressure. Seating: half of what is asked for and what the studs could give.
"""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number, word
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.joint.flange_shape import TYPES, arms, has_hub, hub_lines, rigidity, ring_factors, spacing, stresses
from boxup.joint.gasket_loads import APP_2, GasketSide, loads, rib_width_line, side_problems, widths
from boxup.joint.girth import whole_number
from boxup.joint.hub_factors import hub_problems, hub_reach
from boxup.joint.thread import size_word, thread, thread_lines

# A bore worked with its corrosion allowance off may lie a little outside the gasket; more is a slip. 1/8 in a side.
MOST_OVERHANG = 0.003175
SPACING = ("corrected", "not corrected")


def _stress(symbol: str, label: str, *, optional: bool = False) -> Quantity:
    return number(symbol, label, "MPa", above=0, most=3000, optional=optional)  # type: ignore[no-any-return]


@dataclass(frozen=True, slots=True, kw_only=True)
class FlangeGiven(GasketSide):
    """A flange, its gasket, its studs and the stresses its metal is allowed."""

    type: str = word("type of flange", TYPES)
    od: Quantity = number("A", "outside diameter of the flange", "mm", above=0, most=2e4)
    bore: Quantity = number("B", "inside diameter of the flange", "mm", above=0, most=2e4)
    bolt_circle: Quantity = number("C", "bolt circle", "mm", above=0, most=2e4)
    thickness: Quantity = number("t", "flange thickness", "mm", above=0, most=2000)
    hub_small: Quantity | None = number("g_0", "hub at its thin end", "mm", optional=True, above=0, most=1000)
    hub_large: Quantity | None = number("g_1", "hub at the back of the flange", "mm", optional=True, above=0, most=1000)
    hub_length: Quantity | None = number("h", "hub length", "mm", optional=True, least=0, most=5000)
    bolts: Quantity = number("n", "studs", "count", least=4, most=1000)
    size: str = size_word()
    flange_allowable_design: Quantity = _stress("S_fo", "allowable stress of the flange, design temperature")
    flange_allowable_ambient: Quantity = _stress("S_fa", "allowable stress of the flange, room temperature")
    hub_allowable: Quantity | None = _stress("S_n", "allowable stress of hub or shell, design temperature", optional=True)
    bolt_allowable_design: Quantity = _stress("S_b", "allowable stress of the studs, design temperature")
    bolt_allowable_ambient: Quantity = _stress("S_a", "allowable stress of the studs, room temperature")
    modulus_design: Quantity = number("E_o", "modulus of the flange, design temperature", "GPa", above=0, most=1000)
    modulus_ambient: Quantity = number("E_a", "modulus of the flange, room temperature", "GPa", above=0, most=1000)
    bolt_spacing: str = word("studs wide apart raise the moment (2-6; editions before 2010: no)", SPACING, default="corrected")

    def problems(self) -> list[str]:
        return [*side_problems(self), *stud_count("bolts", self.bolts), *_sizes(self), *_hub(self)]


def stud_count(key: str, count: Quantity) -> list[str]:
    """A sentence where so many studs do not stand evenly: a flange has them in fours, or at least in pairs."""
    whole = whole_number(key, count)
    if not whole and count.si % 2:
        return [f"{key}: {count.typed!r} is an odd number; studs stand in pairs across a flange: count them again"]
    return whole


def _sizes(g: FlangeGiven) -> list[str]:
    d = thread(g.size).diameter
    found = []
    if g.bore.si >= g.od.si:
        found.append(f"bore: {g.bore.typed!r} is not inside {g.od.typed!r}; accepted: less than od")
    if not g.bore.si < g.bolt_circle.si < g.od.si:
        found.append(f"bolt_circle: {g.bolt_circle.typed!r} is not between bore {g.bore.typed!r} and od {g.od.typed!r}")
    if g.gasket_od.si > g.bolt_circle.si - d:
        room = (g.bolt_circle.si - d) * 1e3
        found.append(f"gasket_od: {g.gasket_od.typed!r} reaches into the studs; accepted: up to {room:.4g} mm, bolt circle less a stud")
    if g.gasket_id.si < g.bore.si - 2 * MOST_OVERHANG - 1e-9:
        found.append(f"gasket_id: {g.gasket_id.typed!r} hangs over the bore {g.bore.typed!r}: the gasket is wider than the face")
    return found


def _hub(g: FlangeGiven) -> list[str]:
    given = {"hub_small": g.hub_small, "hub_large": g.hub_large, "hub_length": g.hub_length}
    lacks = [key for key, q in given.items() if q is None]
    if g.type == "integral" and g.hub_small and g.hub_large is None and g.hub_length is None:
        return []  # welded to a plain shell: g_1 = g_0
    if g.type == "ring" and len(lacks) < 3:
        return [f"{', '.join(k for k in given if k not in lacks)}: a ring has no hub; accepted: none of them, or type=loose"]
    straight = g.hub_small and g.hub_large and g.hub_large.si <= g.hub_small.si * (1 + 1e-9)
    if g.hub_length and g.hub_length.si == 0 and g.type != "integral":
        return ["hub_length: 0 is no hub; accepted: more than 0, or none of hub_small, hub_large and hub_length"]
    if g.hub_length and g.hub_length.si == 0 and not straight:
        return ["hub_length: 0 with a hub that tapers; accepted: more than 0, or hub_large equal to hub_small"]
    if lacks and (g.type == "integral" or len(lacks) < 3):
        return [f"{', '.join(lacks)}: missing; a hub is given by hub_small, hub_large and hub_length together"]
    found = hub_problems(g.hub_small, g.hub_large)
    if not (straight and g.type == "integral"):  # that one is the shell itself, however long
        found += hub_reach(g.bore, g.hub_small, g.hub_large, g.hub_length)
    if g.hub_large and g.bore.si + 2 * g.hub_large.si >= g.bolt_circle.si:
        found.append(f"hub_large: {g.hub_large.typed!r} reaches the bolt circle; accepted: less than (bolt_circle - bore)/2")
    return found


ANSWERS = (
    "K=K T=T U=U Y=Y Z=Z F=F V=V f=f L=L end_force=H@N operating_load=W_m1@N seating_load=W_m2@N required_bolt_area=A_m@mm2 "
    "bolt_area=A_b@mm2 moment_operating=M_o@N.m moment_seating=M_a@N.m "
    "hub_stress_operating=S_H_o radial_stress_operating=S_R_o tangential_stress_operating=S_T_o "
    "hub_stress_seating=S_H_a radial_stress_seating=S_R_a tangential_stress_seating=S_T_a "
    "rigidity_operating=J_o rigidity_seating=J_a"
)


@calculation("flange-stress", APP_2, FlangeGiven, ANSWERS)
def flange_stress(w: Working, g: FlangeGiven) -> None:
    """Moments, stresses and rigidity of a flange in operation and at seating."""
    w.take_in(g)
    if g.type == "integral" and g.hub_large is None:
        w.step("g_1 = g_0", "mm", "no hub: as thick as the shell", "2-3")
    w.limit("G_i >= B", "The gasket hangs over the bore: what has no face under it does not seal", "gasket on its face", "warn")
    widths(w, g.facing, g.rules)
    rib_width_line(w, g.rules)
    loads(w)
    _bolts(w, g)
    ring_factors(w)
    hub = g.type == "integral" or has_hub(w)
    if hub:
        hub_lines(w, integral=g.type == "integral")
    arms(w, g.type)
    _moments(w, g.bolt_spacing)
    _index_constant(w, g.type)
    for mark, moment, modulus in (("_o", "M_o", "E_o"), ("_a", "M_a", "E_a")):
        stresses(w, moment, mark, hub=hub)
        rigidity(w, moment, modulus, mark, g.type, hub=hub)
    _limits(w, g, hub)


def _bolts(w: Working, g: FlangeGiven) -> None:
    thread_lines(w, thread(g.size))
    w.step("A_m = max(W_m1/S_b, W_m2/S_a)", "mm2", "stud root area asked for", "2-5(d)")
    w.step("A_b = n*A_r", "mm2", "stud root area there is", "2-5(d)")
    w.limit("A_b >= A_m", "The studs have less root area than the gasket asks for", "2-5(d)")
    w.step("W_a = (A_m + A_b)*S_a/2", "kN", "bolt load at seating", "2-5(e)(2)")


def _moments(w: Working, bolt_spacing: str) -> None:
    if bolt_spacing == "corrected":
        spacing(w)
    else:
        w.assumed("C_s", "moment raised for studs wide apart", 1, "-", "not corrected, as asked (editions before 2010)")
    w.step("H_D = pi/4 * B**2 * (P + P_eq)", "kN", "end force on the bore", "2-3")
    w.step("H_T = H - H_D", "kN", "end force between bore and gasket", "2-3")
    w.step("H_G = W_m1 - H", "kN", "gasket load in operation", "2-3")
    w.step("M_o = C_s*(H_D*h_D + H_T*h_T + H_G*h_G)", "N.m", "moment in operation", "2-6")
    w.step("M_a = C_s*W_a*h_G", "N.m", "moment at seating", "2-6")


def _index_constant(w: Working, type_: str) -> None:
    if type_ == "integral":
        w.constant("K_I", "rigidity factor, integral", 0.3, "-", w.cite("2-14"))
    else:
        w.constant("K_L", "rigidity factor, loose", 0.2, "-", w.cite("2-14"))


def _limits(w: Working, g: FlangeGiven, hub: bool) -> None:
    """2-8 for both conditions, and 2-14."""
    for mark, s, when in (("_o", "S_fo", "in operation"), ("_a", "S_fa", "at seating")):
        if hub:
            w.limit(f"S_H{mark} <= 1.5*{s}", f"The hub is over its limit {when}", "2-8(a)(1)")
            if g.hub_allowable:
                w.limit(f"S_H{mark} <= 2.5*S_n", f"The hub is over the limit of the shell metal {when}", "2-8(a)(1)(b)")
        w.limit(f"S_R{mark} <= {s}", f"The ring is over its limit, radially, {when}", "2-8(a)(2)")
        w.limit(f"S_T{mark} <= {s}", f"The ring is over its limit, round about, {when}", "2-8(a)(3)")
        if hub:
            w.limit(f"(S_H{mark} + S_R{mark})/2 <= {s}", f"Hub and ring together are over their limit {when}", "2-8(a)(4)")
            w.limit(f"(S_H{mark} + S_T{mark})/2 <= {s}", f"Hub and ring together are over their limit {when}", "2-8(a)(4)")
        w.limit(f"J{mark} <= 1", f"The flange is not stiff enough {when}", "2-14")
    w.say(
        "note", "A rigidity index below 1 is no proof: flanges with less have leaked at their first water test. Look at the joint.", "2-14"
    )
