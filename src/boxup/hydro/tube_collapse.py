"""A tube pressed from outside: the pressure that folds it if it is round and elastic, the one that yields its bore, and both together in a
tube that is a little out of round. For a long straight tube; supports close together only help, bends are not worked here."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number
from boxup.core.quantity import Quantity
from boxup.core.rounding import both
from boxup.core.working import Working
from boxup.exchanger.metal import STEEL
from boxup.reference.load import source, table

STABILITY = source("timoshenko-stability")
UG_28 = source("asme-viii-1-ug-28")
OVALITY, FACTOR, OVER_DESIGN = 0.01, 3.0, 1.3
MARGIN = "3 on collapse, as for design, and a test 1.3 over design"


@dataclass(frozen=True, slots=True, kw_only=True)
class Squeezed:
    """A tube. `wall` is the least one measured, where anybody measured."""

    tube_od: Quantity = number("d_o", "tube outside diameter", "mm", above=0, most=1000)
    wall: Quantity = number("t_w", "least wall, as measured", "mm", above=0, most=200)
    yield_strength: Quantity = number("S_y", "yield strength of the tube metal, at least", "MPa", above=0, most=2000)
    modulus: Quantity | None = number("E_t", "modulus of the tubes", "GPa", optional=True, above=0, most=1000)
    poisson: Quantity | None = number("nu_t", "Poisson's ratio of the tubes", "-", optional=True, least=0, most=0.5)
    ovality: Quantity | None = number(
        "e_o", "out of round: largest less smallest diameter, as a share of the diameter", "-", optional=True, least=0, most=0.2
    )
    pressure: Quantity | None = number("P", "pressure outside, nothing inside", "MPa", optional=True, least=0, most=1000)

    def problems(self) -> list[str]:
        """A wall that leaves no bore."""
        if 2 * self.wall.si < self.tube_od.si:
            return []
        return [f"wall: {self.wall.typed!r} leaves no bore in {self.tube_od.typed!r}; accepted: less than half of it."]


ANSWERS = "elastic_pressure=P_e@MPa yield_pressure=P_y@MPa collapse_pressure=P_c@MPa allowable=P_all@MPa"


@calculation("tube-collapse", STABILITY, Squeezed, ANSWERS)
def tube_collapse(w: Working, given: Squeezed) -> None:
    """What a tube stands from outside with nothing in it: elastic, at yield, both together a little out of round, and a third of that."""
    w.take_in(given)
    steel = table("metal_elastic")[STEEL]
    for symbol, label, column, unit in (
        ("E_t", "modulus of the tubes", "modulus", "GPa"),
        ("nu_t", "Poisson's ratio of the tubes", "poisson", "-"),
    ):
        if symbol not in w.steps:
            w.assumed(symbol, label, float(steel.cells[column]), unit, "carbon steel, near room temperature")
    collapse_lines(w)
    if given.pressure is not None:
        over_collapse(w)


def collapse_lines(w: Working) -> None:
    """P_e, P_y, P_c, P_all from d_o, t_w, S_y, E_t, nu_t and, where it is there, e_o."""
    if "e_o" not in w.steps:
        w.assumed("e_o", "out of round: largest less smallest diameter, as a share of the diameter", OVALITY, "-",
                  "1 %, what UG-80 lets a round shell be (from memory); a dented or flattened tube is worse")  # fmt: skip
    w.step("P_e = 2*E_t/(1 - nu_t**2)*t_w**3/(d_o*(d_o - t_w)**2)", "MPa", "folds a long round tube, elastic", "long tube")
    w.step("P_y = 2*S_y*t_w*(d_o - t_w)/d_o**2", "MPa", "yields the bore of a round tube", "thick cylinder (Lamé), open ends",
           source=source("cylinders"))  # fmt: skip
    w.step("m_o = (d_o - t_w)/(2*t_w)", "-", "mean radius over wall", "")
    w.step("b_o = P_y + (1 + 3*m_o*e_o)*P_e", "MPa", "sum of the two roots", "tube not quite round")
    w.step("P_c = 2*P_y*P_e/(b_o + sqrt(b_o**2 - 4*P_y*P_e))", "MPa", "the crown of the oval yields: taken as the fold",
           "the lesser root of P² - b P + P_y P_e = 0", "what is left beyond it is not counted on")  # fmt: skip
    w.constant("f_c", "margin on collapse", FACTOR, "-", w.cite("3 on collapse, as for design", UG_28))
    w.step("P_all = P_c/f_c", "MPa", "the most from outside, with that margin", "3 on collapse, as for design", source=UG_28)


def over_collapse(w: Working, *, decided: bool = False) -> None:
    """A finding where the P of the working is over P_c, 1.3 of P_all, or P_all. `decided`: the engineer gave a figure."""
    here, folds, third = both("pressure", w["P"], "up"), both("pressure", w["P_c"], "down"), both("pressure", w["P_all"], "down")
    if w["P"] > w["P_c"]:
        text = f"Pressed from outside by {here}, tubes as thin as this fold at {folds}, with nothing in them: "
        w.say("stop", text + "no test before the engineer gives the figure, or they are plugged or renewed.", "out of round and yield")
    elif w["P"] > OVER_DESIGN * w["P_all"]:
        text = f"Pressed from outside by {here}, tubes as thin as this keep less than the margin of a code test: they fold at {folds}. "
        w.say("warn" if decided else "stop", text + "The engineer decides before there is water.", MARGIN, UG_28)
    elif w["P"] > w["P_all"]:
        text = f"Pressed from outside by {here}; a third of what folds these tubes is {third}. Usual for a test, 1.3 over design: "
        w.say("note", text + "the engineer decides.", MARGIN, UG_28)
