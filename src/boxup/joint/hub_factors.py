"""The factors of a tapered hub: F, V and f of an integral flange, F_L and V_L of a loose one. ASME VIII-1 Appendix 2, Table 2-7.1.

The closed forms are worked in the table's own order and symbols: A, C, C_1 to C_37, E_1 to E_6.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from boxup.core.calculation import calculation, number, word
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.joint.gasket_loads import APP_2

TABLE = "Table 2-7.1"
# A hub that does not taper and has no length: what the closed forms tend to (Appendix 2, 2-7).
STRAIGHT_F, STRAIGHT_V, STRAIGHT_f = 0.908920, 0.550103, 1.0
# g_1/g_0 and h/h_0. The code's charts end at 5 and 2. Beyond, the closed forms leave the hub's own equation: V comes out below nothing
# at 10 and 1, twice too large at 1 and 10; at 3 long it is still within 2.3 %.
STEEPEST, LONGEST = 5.0, 3.0

_COEFFICIENTS = (
    "C = 43.68*x_h**4",
    "C_1 = 1/3 + A/12",
    "C_2 = 5/42 + 17*A/336",
    "C_3 = 1/210 + A/360",
    "C_4 = 11/360 + 59*A/5040 + (1 + 3*A)/C",
    "C_5 = 1/90 + 5*A/1008 - (1 + A)**3/C",
    "C_6 = 1/120 + 17*A/5040 + 1/C",
    "C_7 = 215/2772 + 51*A/1232 + (60/7 + 225*A/14 + 75*A**2/7 + 5*A**3/2)/C",
    "C_8 = 31/6930 + 128*A/45045 + (6/7 + 15*A/7 + 12*A**2/7 + 5*A**3/11)/C",
    "C_9 = 533/30240 + 653*A/73920 + (1/2 + 33*A/14 + 39*A**2/28 + 25*A**3/84)/C",
    "C_10 = 29/3780 + 3*A/704 - (1/2 + 33*A/14 + 81*A**2/28 + 13*A**3/12)/C",
    "C_11 = 31/6048 + 1763*A/665280 + (1/2 + 6*A/7 + 15*A**2/28 + 5*A**3/42)/C",
    "C_12 = 1/2925 + 71*A/300300 + (8/35 + 18*A/35 + 156*A**2/385 + 6*A**3/55)/C",
    "C_13 = 761/831600 + 937*A/1663200 + (1/35 + 6*A/35 + 11*A**2/70 + 3*A**3/70)/C",
    "C_14 = 197/415800 + 103*A/332640 - (1/35 + 6*A/35 + 17*A**2/70 + A**3/10)/C",
    "C_15 = 233/831600 + 97*A/554400 + (1/35 + 3*A/35 + A**2/14 + 2*A**3/105)/C",
    "C_16 = C_1*C_7*C_12 + C_2*C_8*C_3 + C_3*C_8*C_2 - (C_3**2*C_7 + C_8**2*C_1 + C_2**2*C_12)",
    "C_17 = (C_4*C_7*C_12 + C_2*C_8*C_13 + C_3*C_8*C_9 - (C_13*C_7*C_3 + C_8**2*C_4 + C_12*C_2*C_9))/C_16",
    "C_18 = (C_5*C_7*C_12 + C_2*C_8*C_14 + C_3*C_8*C_10 - (C_14*C_7*C_3 + C_8**2*C_5 + C_12*C_2*C_10))/C_16",
    "C_19 = (C_6*C_7*C_12 + C_2*C_8*C_15 + C_3*C_8*C_11 - (C_15*C_7*C_3 + C_8**2*C_6 + C_12*C_2*C_11))/C_16",
    "C_20 = (C_1*C_9*C_12 + C_4*C_8*C_3 + C_3*C_13*C_2 - (C_3**2*C_9 + C_13*C_8*C_1 + C_12*C_4*C_2))/C_16",
    "C_21 = (C_1*C_10*C_12 + C_5*C_8*C_3 + C_3*C_14*C_2 - (C_3**2*C_10 + C_14*C_8*C_1 + C_12*C_5*C_2))/C_16",
    "C_22 = (C_1*C_11*C_12 + C_6*C_8*C_3 + C_3*C_15*C_2 - (C_3**2*C_11 + C_15*C_8*C_1 + C_12*C_6*C_2))/C_16",
    "C_23 = (C_1*C_7*C_13 + C_2*C_9*C_3 + C_4*C_8*C_2 - (C_3*C_7*C_4 + C_8*C_9*C_1 + C_2**2*C_13))/C_16",
    "C_24 = (C_1*C_7*C_14 + C_2*C_10*C_3 + C_5*C_8*C_2 - (C_3*C_7*C_5 + C_8*C_10*C_1 + C_2**2*C_14))/C_16",
    "C_25 = (C_1*C_7*C_15 + C_2*C_11*C_3 + C_6*C_8*C_2 - (C_3*C_7*C_6 + C_8*C_11*C_1 + C_2**2*C_15))/C_16",
)
_OF_INTEGRAL = (
    "C_26 = -(C/4)**(1/4)",
    "C_27 = C_20 - C_17 - 5/12 + C_17*C_26",
    "C_28 = C_22 - C_19 - 1/12 + C_19*C_26",
    "C_29 = -(C/4)**(1/2)",
    "C_30 = -(C/4)**(3/4)",
    "C_31 = 3*A/2 - C_17*C_30",
    "C_32 = 1/2 - C_19*C_30",
    "C_33 = 0.5*C_26*C_32 + C_28*C_31*C_29 - (0.5*C_30*C_28 + C_32*C_27*C_29)",
    "C_34 = 1/12 + C_18 - C_21 - C_18*C_26",
    "C_35 = -C_18*(C/4)**(3/4)",
    "C_36 = (C_28*C_35*C_29 - C_32*C_34*C_29)/C_33",
    "C_37 = (0.5*C_26*C_35 + C_34*C_31*C_29 - (0.5*C_30*C_34 + C_35*C_27*C_29))/C_33",
    "E_1 = C_17*C_36 + C_18 + C_19*C_37",
    "E_2 = C_20*C_36 + C_21 + C_22*C_37",
    "E_3 = C_23*C_36 + C_24 + C_25*C_37",
    "E_4 = 1/4 + C_37/12 + C_36/4 - E_3/5 - 3*E_2/2 - E_1",
    "E_5 = E_1*(1/2 + A/6) + E_2*(1/4 + 11*A/84) + E_3*(1/70 + A/105)",
    "E_6 = E_5 - C_36*(7/120 + A/36 + 3*A/C) - 1/40 - A/72 - C_37*(1/60 + A/120 + 1/C)",
)
_INTEGRAL = (
    ("F = -E_6/((C/2.73)**(1/4)*(1 + A)**3/C)", "hub factor F"),
    ("V = E_4/((2.73/C)**(1/4)*(1 + A)**3)", "hub factor V"),
    ("f = max(1, C_36/(1 + A))", "hub stress correction f, never less than 1"),
)
_LOOSE = (
    (
        "F = -(C_18*(1/2 + A/6) + C_21*(1/4 + 11*A/84) + C_24*(1/70 + A/105) - (1/40 + A/72))/((C/2.73)**(1/4)*(1 + A)**3/C)",
        "hub factor F_L of a loose flange",
    ),
    ("V = (1/4 - C_24/5 - 3*C_21/2 - C_18)/((2.73/C)**(1/4)*(1 + A)**3)", "hub factor V_L of a loose flange"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hub:
    """A hub by its two ratios, or by its sizes."""

    type: str = word("flange", ("integral", "loose"), default="integral")
    thickness_ratio: Quantity | None = number("x_g", "g_1/g_0", "-", optional=True, least=1, most=STEEPEST)
    length_ratio: Quantity | None = number("x_h", "h/h_0", "-", optional=True, above=0, most=LONGEST)
    bore: Quantity | None = number("B", "inside diameter", "mm", optional=True, above=0, most=2e4)
    hub_small: Quantity | None = number("g_0", "hub at its thin end", "mm", optional=True, above=0, most=1000)
    hub_large: Quantity | None = number("g_1", "hub at the back of the flange", "mm", optional=True, above=0, most=1000)
    hub_length: Quantity | None = number("h", "hub length", "mm", optional=True, above=0, most=5000)

    def problems(self) -> list[str]:
        ratios = (self.thickness_ratio, self.length_ratio)
        sizes = (self.bore, self.hub_small, self.hub_large, self.hub_length)
        if not ((all(ratios) and not any(sizes)) or (all(sizes) and not any(ratios))):
            return ["thickness_ratio, length_ratio, or bore, hub_small, hub_large, hub_length: both ratios or all four sizes are accepted"]
        return hub_problems(self.hub_small, self.hub_large) or hub_reach(self.bore, self.hub_small, self.hub_large, self.hub_length)


def hub_problems(small: Quantity | None, large: Quantity | None) -> list[str]:
    """A sentence where the hub is thinner at the flange than at the shell."""
    if small and large and large.si < small.si * (1 - 1e-9):
        said = f"{large.typed!r} is less than {small.typed!r} at its thin end"
        return [f"hub_large: {said}; accepted: hub_small or more (they may be swapped)"]
    return []


def hub_reach(bore: Quantity | None, small: Quantity | None, large: Quantity | None, length: Quantity | None) -> list[str]:
    """Sentences where the hub is steeper or longer than the closed forms hold for."""
    if not (bore and small and large and length):
        return []
    found = []
    if large.si > STEEPEST * small.si * (1 + 1e-9):
        said = f"{large.typed!r} is {large.si / small.si:.3g} times {small.typed!r} at its thin end"
        found.append(f"hub_large: {said}; the hub factors hold up to {STEEPEST:g} times")
    longest = LONGEST * sqrt(bore.si * small.si)
    if length.si > longest * (1 + 1e-9):
        said = f"{length.typed!r} is longer than the hub factors hold for"
        found.append(f"hub_length: {said}; accepted: up to {longest * 1e3:.4g} mm, {LONGEST:g} times the root of bore times hub_small")
    return found


@calculation("hub-factors", APP_2, Hub, "F=F@- V=V@- f=f@-")
def hub_factors(w: Working, hub: Hub) -> None:
    """F, V and f by the closed forms, every coefficient shown."""
    w.take_in(hub)
    if hub.bore:
        w.step("h_0 = sqrt(B*g_0)", "mm", "hub length by which the others are measured", "2-3")
        w.step("x_g = g_1/g_0", "-", "taper of the hub", TABLE)
        w.step("x_h = h/h_0", "-", "length of the hub", TABLE)
    closed_forms(w, hub.type == "integral")


def closed_forms(w: Working, integral: bool) -> None:
    """F, V and f from x_g = g_1/g_0 and x_h = h/h_0."""
    w.step("A = x_g - 1", "-", "coefficient of the table", TABLE)
    for line in _COEFFICIENTS + (_OF_INTEGRAL if integral else ()):
        w.step(line, "-", "coefficient of the table", TABLE)
    for line, label in _INTEGRAL if integral else _LOOSE:
        w.step(line, "-", label, TABLE)
    if not integral:
        w.constant("f", "hub stress correction f of a loose flange", 1.0, "-", w.cite("2-3"))


def hub_factor_lines(w: Working, *, integral: bool) -> None:
    """F, V and f of the hub whose B, g_0, g_1 and h are in `w`, the coefficients left out: `boxup calc hub-factors` prints them."""
    scratch = Working("hub factors", APP_2)
    for symbol, line, label in (("x_g", "x_g = g_1/g_0", "taper of the hub"), ("x_h", "x_h = h/h_0", "length of the hub")):
        scratch.take(symbol, w.step(line, "-", label, TABLE), w.name)
    closed_forms(scratch, integral)
    method = "the closed forms of Table 2-7.1, every coefficient: boxup calc hub-factors"
    for symbol in ("F", "V", "f"):
        step = scratch.steps[symbol]
        w.kernel(symbol, step.label, step.si, "-", method, w.cite(TABLE), ("x_g", "x_h"))


def straight_hub_lines(w: Working) -> None:
    """F, V and f where there is no taper: the flange on a shell as thick as its hub."""
    cite = w.cite("2-7, g_1 = g_0")
    w.constant("F", "hub factor F, no taper", STRAIGHT_F, "-", cite)
    w.constant("V", "hub factor V, no taper", STRAIGHT_V, "-", cite)
    w.constant("f", "hub stress correction f, no taper", STRAIGHT_f, "-", cite)
