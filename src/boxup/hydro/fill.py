"""One side of an exchanger, full: litres to fill, litres to pressure, what a degree does.

The volume is handed in; the give of the walls is worked here, each by the room it holds and by its own size and metal. Left out, all small:
the give of tubesheets, baffles, flat covers and (on the shell side) of the floating head. An end counts as the cylinder it closes.
"""

from __future__ import annotations

from math import ceil
from typing import Any

from boxup.core.calculation import Answer
from boxup.core.finding import Missing
from boxup.core.quantity import Quantity
from boxup.core.unit import UNITS
from boxup.core.working import Step, Working
from boxup.exchanger.metal import elastic
from boxup.exchanger.model import Exchanger, Head, SideName
from boxup.hydro.balance import BALANCE, CYLINDERS, air_lines, balance, end_pressure
from boxup.hydro.shut_in import GROWS, SHARE, SQUEEZED, STRETCHED, cylinder_give, growth
from boxup.hydro.water import HOTTEST
from boxup.hydro.zero_rise import zero_rise
from boxup.reference.load import source

ASSUMED_WATER, WARMER_BY = 15.0, 10.0  # degC, K: the water nobody has measured yet, and the warming shown as a warning
LEFT_OUT = "The give of tubesheets, flat covers and a floating head is left out: a little more water, a little less rise than this."
_SIZE = (("od", "d_o", "mm"), ("wall", "t_t", "mm"))
_MANY = (("count", "N", "count"), ("length", "L_t", "mm"))
_CHAMBERS = ("channel", "rear_head", "floating_head")


def fill(
    w: Working, exchanger: Exchanger, side: SideName, volume: Quantity, pressure: Quantity, water: Quantity | None,
    *, least: Step | None = None, rooms: Answer | None = None,
) -> list[Missing]:  # fmt: skip
    """Lines of `w` from V to V_pa and P_2. What is not given is returned, and the lines that need it are left out.

    `least`: the least temperature of metal and water; water nobody measured is taken no colder. `rooms`: the working of the volume, whose
    values say which part holds how much of it; without it the shell counts as holding all that is not tubes.
    """
    w.given("V", f"water in the {side} side", volume, "m3")
    _time(w, exchanger, side)
    w.given("P", "test pressure, at the top", pressure, "MPa")
    _water(w, water, least)
    what = f"litres to pressure and rise per degree, {side} side"
    if w["T"] > UNITS["degC"].to_si(HOTTEST):
        return [Missing(what, f"the water would have to be over {HOTTEST:g} °C: look at the MDMT again, and ask the engineer.")]
    absent = _take_in(w, exchanger, side, counted=rooms is None)
    if absent:
        return [Missing(what, f"give {', '.join(absent)} in the exchanger's file.")]
    _metals(w, exchanger, side)
    w.step("d_i = d_o - 2*t_t", "mm", "tube bore", "", source=source("geometry"))
    _shell(w, exchanger, rooms) if side == "shell" else _tubes(w, exchanger, rooms)
    balance(w)
    zero_rise(w)
    air_lines(w)
    w.constant("dT", "warming shown as a warning", WARMER_BY, "K", w.cite("an afternoon in the sun", source("trade")))
    w.step("T_2 = T + dT", "degC", "ten degrees warmer", "", source=source("trade"))
    end_pressure(w)
    return []


def _time(w: Working, exchanger: Exchanger, side: SideName) -> None:
    """`t_f`, where the file says what the hose or pump gives; nothing is taken for it: hoses differ tenfold."""
    rate = exchanger.side(side).fill_rate
    if rate is not None:
        w.given("q_f", "water the hose or pump gives", rate, "L/min")
        w.step("t_f = V/q_f", "min", "time to fill, vents open", "volume over rate", source=source("geometry"))


def _water(w: Working, water: Quantity | None, least: Step | None) -> None:
    """`T`: as measured, else 15 °C or the least the metal and water must have, in whole degrees upwards."""
    if water is not None:
        w.given("T", "water temperature", water, "degC")
        return
    needed = ceil(UNITS["degC"].from_si(least.si) - 1e-9) if least is not None else ASSUMED_WATER
    why = "not measured yet: put the reading in before pumping"
    if needed > ASSUMED_WATER:
        why = f"no colder than metal and water must be on this test; {why}"
    w.assumed("T", "water temperature", max(ASSUMED_WATER, float(needed)), "degC", why)


def _take_in(w: Working, exchanger: Exchanger, side: SideName, *, counted: bool) -> list[str]:
    """Tubes, and for the shell side the shell; the words for what is absent. `counted`: the room of the tubes is worked here."""
    wanted: list[tuple[Any, str, str, str, str]] = [(exchanger.tubes, "tubes", *t) for t in (*_SIZE, *(_MANY if counted else ()))]
    if side == "shell":
        wanted += [(exchanger.shell, "shell", "inside_diameter", "D", "mm"), (exchanger.shell, "shell", "wall", "t", "mm")]
    absent = []
    for part, section, key, symbol, unit in wanted:
        value: Quantity | None = getattr(part, key)
        label = part.__dataclass_fields__[key].metadata["label"]
        if value is None:
            absent.append(f"{label} ([{section}] {key})")
        else:
            w.given(symbol, label, value, unit)
    return absent


def _metals(w: Working, exchanger: Exchanger, side: SideName) -> None:
    """E, nu, a of shell or channel and E_t, nu_t, a_t of the tubes; s_s and s_t, how much a space of each grows per degree."""
    own = exchanger.side(side).material
    elastic(w, "shell" if side == "shell" else "channel", own)
    elastic(w, "tubes", exchanger.tubes.material, "_t", exchanger.tube_side.material)
    growth(w, "free")


def _wall(w: Working, head: Head, mark: str, what: str) -> bool:
    """C with `mark`, the give of a chamber or cover with a wall of its own; False where its size is not given."""
    if head.inside_diameter is None or head.wall is None:
        return False
    w.given(f"D{mark}", f"{what}, inside diameter", head.inside_diameter, "mm")
    w.given(f"t{mark}", f"{what}, wall", head.wall, "mm")
    w.step(
        f"C{mark} = D{mark}/(t{mark}*E)*(1.25 - nu)", "1/GPa", f"give of the {what}", "thin cylinder, ends free", source=source(CYLINDERS)
    )
    return True


def _shell(w: Working, exchanger: Exchanger, rooms: Answer | None) -> None:
    cylinder_give(w, "free")
    over = ["V_b*C_s"]
    if rooms is None:
        w.step("V_t = pi/4 * N * d_o**2 * L_t", "m3", "room the tubes take", "", source=source("geometry"))
        w.step("V_b = V + V_t", "m3", "room in the shell, empty", "what baffles and bars take left out", source=source("geometry"))
    else:
        w.take("V_t", rooms.values["tubes"], rooms.name, "room the tubes take")
        w.take("V_b", rooms.values["shell"], rooms.name, "room in the shell, empty")
    if rooms is not None and "shell_cover" in rooms.values:
        w.take("V_c", rooms.values["shell_cover"], rooms.name, "room in the shell cover, empty")
        over.append("V_c*C_c" if _wall(w, exchanger.shell_cover, "_c", "shell cover") else "V_c*C_s")
    w.step(SQUEEZED["free"], "1/GPa", "give of a tube squeezed from outside", "Lamé, ends free", source=source(CYLINDERS))
    w.step(
        f"C = ({' + '.join(over)} + V_t*C_t)/V",
        "1/GPa",
        "give of the walls, as a share of the water",
        SHARE,
        LEFT_OUT,
        source=source(BALANCE),
    )
    w.step("s = ((V + V_t)*s_s - V_t*s_t)/V", "1/K", GROWS, "shell grows, tubes grow into it", source=source(BALANCE))


def _tubes(w: Working, exchanger: Exchanger, rooms: Answer | None) -> None:
    if rooms is None:
        w.step("V_i = pi/4 * N * d_i**2 * L_t", "m3", "water in the tubes", "", source=source("geometry"))
    else:
        w.take("V_i", rooms.values["bores"], rooms.name, "water in the open tubes")
    w.step(STRETCHED["free"], "1/GPa", "give of a tube stretched from inside", "Lamé, ends free", source=source(CYLINDERS))
    w.limit("V >= V_i", "The volume given is less than the tubes alone hold: one of the two is wrong", "", "stop", source("geometry"))
    over = _chambers(w, exchanger, rooms)
    w.step(
        f"C = ({' + '.join(['V_i*C_t', *over])})/V",
        "1/GPa",
        "give of the walls, as a share of the water",
        SHARE,
        LEFT_OUT,
        source=source(BALANCE),
    )
    w.step("s = (V_i*s_t + (V - V_i)*s_s)/V", "1/K", GROWS, SHARE, source=source(BALANCE))


def _chambers(w: Working, exchanger: Exchanger, rooms: Answer | None) -> list[str]:
    """Room by give of channel and rear head; one whose wall is not given is taken as stiff."""
    why = "size of the {} not given: taken as stiff, so it takes a little more water than this"
    if rooms is None:
        if not _wall(w, exchanger.channel, "_1", "channel"):
            w.assumed("C_1", "give of channel and heads", 0.0, "1/GPa", why.format("channel"))
        return ["(V - V_i)*C_1"]
    found = []
    for n, id_ in enumerate((c for c in _CHAMBERS if c in rooms.values), start=1):
        what = id_.replace("_", " ")
        w.take(f"V_{n}", rooms.values[id_], rooms.name, f"water in the {what}")
        if not _wall(w, getattr(exchanger, id_), f"_{n}", what):
            w.assumed(f"C_{n}", f"give of the {what}", 0.0, "1/GPa", why.format(what))
        found.append(f"V_{n}*C_{n}")
    return found
