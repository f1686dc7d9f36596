"""A closed steel space full of water: what it gives under pressure and warmth. The lines every such space shares.

Needs in the working: V (volume at 0 gauge), C (give of the steel per pressure, as a share of that volume), s (growth of the steel
space per degree, likewise), P (gauge), T. The water is taken at test pressure: its expansion at 9 °C rises by half by 165 bar.
"""

from __future__ import annotations

from collections.abc import Callable

from boxup.core.source import Cite
from boxup.core.working import Working
from boxup.hydro import if97
from boxup.hydro.water import HIGHEST, atmosphere, water_lines
from boxup.reference.load import source

BALANCE, CYLINDERS = "mass-balance", "cylinders"
LEAK_FREE = "same water before and after"
MOST_AIR = 0.002  # of the fill: the one rule for venting again, common advice for pipelines
_ALL_GONE = -0.101325e6  # Pa gauge: nothing left to press


def balance(w: Working) -> None:
    """Water at P and T, then e, k, v (volume per pressure), r (rise per degree) and V_p (pumped from 0 gauge)."""
    atmosphere(w)
    w.step("p = P + p_atm", "MPa abs", "absolute pressure", "gauge + 1 atm", source=source("statics"))
    water_lines(w)
    denser = w["rho"] / if97.density(w["T"], w["p_atm"]) - 1
    w.kernel("e", "how much denser than at 0 gauge, a share", denser, "-", if97.METHOD, if97.cite(), ("T", "p", "p_atm"))
    w.step("k = kappa + C", "1/GPa", "give of water and steel together", LEAK_FREE)
    w.step("v = V * k", "mL/MPa", "volume for each unit of pressure", LEAK_FREE)
    w.step("r = (alpha - s)/k", "MPa/K", "rise for each degree the whole of it warms", "water and steel at test pressure")
    w.step("V_p = V*(e + C*P*(1 + e))", "L", "pumped in from 0 gauge, no air", "mass held less mass filled, as pumped")
    if w["r"] <= 0:
        w.say("note", "This cold, warming lowers the pressure and cooling raises it. With carbon steel it turns near 6 °C.", LEAK_FREE)


def air_lines(w: Working, share: float = MOST_AIR) -> None:
    """What a share of trapped air adds: V_a, V_pa. The default share is common advice for pipelines, taken here as advice."""
    w.constant("x_a", "trapped air at 1 atm, share of the fill", share, "-", Cite(source("trade"), "0.2 % of the fill, from pipelines"))
    w.step("V_a = x_a * V", "L", "that much air", "volume at 1 atm")
    w.step("V_pa = V_p + V_a*(1 - p_atm/p)", "L", "pumped in with that much air", "air at constant temperature")


def end_pressure(w: Working) -> None:
    """P_2 after the whole of it goes to T_2, shut in: the pressure that keeps the mass. Says so when no pressure does."""
    held = w["rho"] * (1 + w["C"] * w["P"])

    def excess(gauge: float) -> float:
        water = if97.density(w["T_2"], gauge + w["p_atm"])
        return float(water * (1 + w["C"] * gauge + w["s"] * (w["T_2"] - w["T"])) - held)

    if excess(_ALL_GONE + 1.0) > 0:
        w.say("warn", "Cooled that far the water no longer fills the space: no pressure is left, and the side is sucked.", LEAK_FREE)
        return
    if excess(HIGHEST * 1e6) < 0:
        w.say("stop", f"Warmed that far, the pressure passes {HIGHEST:g} MPa: something breaks first. It must not be shut in.", LEAK_FREE)
        return
    root = bisect(excess, _ALL_GONE + 1.0, HIGHEST * 1e6)
    at = if97.density(w["T_2"], root + w["p_atm"])
    w.kernel("rho_2", "density of the water at the end", at, "kg/m3", f"{if97.METHOD}, at T_2 and P_2 below", if97.cite(), ("T_2",))
    w.solved(
        "P_2", "pressure at the end, shut in", root, "MPa",
        "rho_2*(1 + C*P_2 + s*(T_2 - T))/(rho*(1 + C*P)) - 1", LEAK_FREE,
    )  # fmt: skip


def bisect(f: Callable[[float], float], low: float, high: float) -> float:
    """The root of a rising `f` between `low` and `high`, by halving to the last digits (the mass of water rises with pressure)."""
    for _ in range(200):
        middle = (low + high) / 2
        if middle in (low, high):
            break
        low, high = (low, middle) if f(middle) > 0 else (middle, high)
    return (low + high) / 2
