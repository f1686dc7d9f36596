"""One side of an exchanger, full: litres to fill, litres to pressure, what a degree does.

The volume is handed in; the give of the steel is worked here.
"""

from __future__ import annotations

from boxup.core.finding import Missing
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.exchanger.model import Exchanger, SideName
from boxup.hydro.balance import BALANCE, CYLINDERS, air_lines, balance, end_pressure
from boxup.hydro.shut_in import SHARE, SQUEEZED, STRETCHED, cylinder_give, steel
from boxup.reference.load import source

ASSUMED_WATER, WARMER_BY = 15.0, 10.0  # degC, K: the water nobody has measured yet, and the warming shown as a warning
_TUBES = (("od", "d_o", "mm"), ("wall", "t_t", "mm"), ("count", "N", "count"), ("length", "L_t", "mm"))


def fill(w: Working, exchanger: Exchanger, side: SideName, volume: Quantity, pressure: Quantity, water: Quantity | None) -> list[Missing]:
    """Lines of `w` from V to V_pa and P_2. What is not given is returned, and the lines that need it are left out."""
    w.given("V", f"water in the {side} side", volume, "m3")
    w.given("P", "test pressure, at the top", pressure, "MPa")
    if water is None:
        w.assumed("T", "water temperature", ASSUMED_WATER, "degC", "not measured yet: put the reading in before pumping")
    else:
        w.given("T", "water temperature", water, "degC")
    absent = _take_in(w, exchanger, side)
    if absent:
        return [Missing(f"litres to pressure and rise per degree, {side} side", f"give {', '.join(absent)} in the exchanger's file.")]
    steel(w, "free")
    _shell(w) if side == "shell" else _tubes(w, exchanger)
    balance(w)
    air_lines(w)
    w.constant("dT", "warming shown as a warning", WARMER_BY, "K", w.cite("an afternoon in the sun", source("trade")))
    w.step("T_2 = T + dT", "degC", "ten degrees warmer", "", source=source("trade"))
    end_pressure(w)
    return []


def _take_in(w: Working, exchanger: Exchanger, side: SideName) -> list[str]:
    """Tubes, and for the shell side the shell; the words for what is absent."""
    wanted = [(exchanger.tubes, "tubes", *t) for t in _TUBES]
    if side == "shell":
        wanted += [(exchanger.shell, "shell", "inside_diameter", "D", "mm"), (exchanger.shell, "shell", "wall", "t", "mm")]  # type: ignore[list-item]
    absent = []
    for part, section, key, symbol, unit in wanted:
        value: Quantity | None = getattr(part, key)
        label = part.__dataclass_fields__[key].metadata["label"]
        if value is None:
            absent.append(f"{label} ([{section}] {key})")
        else:
            w.given(symbol, label, value, unit)
    return absent


def _shell(w: Working) -> None:
    cylinder_give(w, "free")
    w.step("d_i = d_o - 2*t_t", "mm", "tube bore", "", source=source("geometry"))
    w.step("V_t = pi/4 * N * d_o**2 * L_t", "m3", "room the tubes take", "", source=source("geometry"))
    w.step(SQUEEZED["free"], "1/GPa", "give of a tube squeezed from outside", "Lamé, ends free", source=source(CYLINDERS))
    w.step("C = ((V + V_t)*C_s + V_t*C_t)/V", "1/GPa", "give of the steel, as a share of the water", SHARE, source=source(BALANCE))


def _tubes(w: Working, exchanger: Exchanger) -> None:
    w.step("d_i = d_o - 2*t_t", "mm", "tube bore", "", source=source("geometry"))
    w.step("V_i = pi/4 * N * d_i**2 * L_t", "m3", "water in the tubes", "", source=source("geometry"))
    w.step(STRETCHED["free"], "1/GPa", "give of a tube stretched from inside", "Lamé, ends free", source=source(CYLINDERS))
    w.limit("V >= V_i", "The volume given is less than the tubes alone hold: one of the two is wrong", "", "stop", source("geometry"))
    channel = exchanger.channel
    if channel.inside_diameter is None or channel.wall is None:
        why = "channel size not given: taken as stiff, so it takes a little more water than this"
        w.assumed("C_s", "give of channel and heads", 0.0, "1/GPa", why)
    else:
        w.given("D", "channel inside diameter", channel.inside_diameter, "mm")
        w.given("t", "channel wall", channel.wall, "mm")
        cylinder_give(w, "free")
    w.step("C = (V_i*C_t + (V - V_i)*C_s)/V", "1/GPa", "give of the steel, as a share of the water", SHARE, source=source(BALANCE))
