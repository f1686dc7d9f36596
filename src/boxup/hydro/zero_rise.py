"""Where warming neither raises nor lowers the pressure: there water at that pressure grows as fast as the space it fills."""

from __future__ import annotations

from boxup.core.rounding import both
from boxup.core.unit import UNITS
from boxup.core.working import Working
from boxup.hydro import if97
from boxup.hydro.balance import LEAK_FREE, bisect
from boxup.hydro.water import COLDEST, HOTTEST

NEAR = 4.0  # K from it: one afternoon, or the difference between a thermometer and the water it stands for


def zero_rise(w: Working) -> None:
    """T_0, from the absolute pressure p and the growth s of the space; left out where there is none between the ends of the range.

    Says so where the water T of the working is above it and near: there the needle tells little of the temperature.
    """
    low, high = (UNITS["degC"].to_si(t) for t in (COLDEST, HOTTEST))

    def excess(kelvin: float) -> float:
        return if97.water(kelvin, w["p"]).expansion - w["s"]

    if not excess(low) < 0 < excess(high):
        return
    root = bisect(excess, low, high)
    at = if97.water(root, w["p"]).expansion
    w.kernel("alpha_0", "expansion of the water there", at, "1/K", f"{if97.METHOD}, at p and T_0 below", if97.cite(), ("p",))
    w.solved("T_0", "where a degree does nothing", root, "degC", "1e6*(alpha_0 - s)", "water and space grow alike")
    if 0 <= w["T"] - w["T_0"] <= NEAR:
        turns = f"{w.steps['T_0'].value:.1f} °C"
        text = f"The water is at {both('temperature', w['T'])}. Below {turns} warming LOWERS the pressure and cooling raises it: "
        w.say("note", text + "near there the needle says little, and water and metal are read at every reading.", LEAK_FREE)
