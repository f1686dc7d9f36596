"""A side shut in and full: its volume, what a degree does, what must be pumped, where it ends when it warms.

Shell side: shell bore less the tubes, which the water squeezes. Tube side: the tubes, which the water stretches. Heads, nozzles and channel
are not counted. Free: the ends may move (a vessel on its saddles, closed ends). Fixed: nothing may lengthen (a buried or anchored line).
"""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number, word
from boxup.core.quantity import Quantity
from boxup.core.working import Working, plain
from boxup.exchanger.metal import STEEL
from boxup.hydro.balance import BALANCE, CYLINDERS, LEAK_FREE, balance, end_pressure
from boxup.hydro.water import pressure_field, temperature_field
from boxup.hydro.zero_rise import zero_rise
from boxup.reference.load import source, table

_TUBES = ("tubes", "tube_od", "tube_wall")
SHARE = "each part by its own volume"
GROWS = "growth of the space for each degree"
# What a cylinder gives in volume per pressure, as a share of its own volume. Free: closed ends that may move. Fixed: no strain along it.
CYLINDER = {"free": "C_s = D/(t*E)*(1.25 - nu)", "fixed": "C_s = D/(t*E)*(1 - nu**2)"}
SQUEEZED = {
    "free": "C_t = (3*(1 - 2*nu_t)*d_o**2 + 2*(1 + nu_t)*d_i**2)/(E_t*(d_o**2 - d_i**2))",
    "fixed": "C_t = 2*(1 + nu_t)*(d_i**2 + (1 - 2*nu_t)*d_o**2)/(E_t*(d_o**2 - d_i**2))",
}
STRETCHED = {
    "free": "C_t = (2*(1 + nu_t)*d_o**2 + 3*(1 - 2*nu_t)*d_i**2)/(E_t*(d_o**2 - d_i**2))",
    "fixed": "C_t = 2*(1 + nu_t)*(d_o**2 + (1 - 2*nu_t)*d_i**2)/(E_t*(d_o**2 - d_i**2))",
}
GROWTH = {"free": "3*a{0}", "fixed": "2*a{0}*(1 + nu{0})"}


@dataclass(frozen=True, slots=True, kw_only=True)
class ShutIn:
    """A cylinder, with or without tubes in it, full of water."""

    diameter: Quantity = number("D", "shell inside diameter", "mm", above=0)
    wall: Quantity = number("t", "shell wall", "mm", above=0)
    length: Quantity = number("L", "length", "mm", above=0)
    temperature: Quantity = temperature_field("T", "water and metal temperature")
    pressure: Quantity = pressure_field("P", "pressure, gauge")
    side: str = word("side under pressure", ("shell", "tube"), default="shell")
    tubes: Quantity | None = number("N", "tubes", "count", least=0, optional=True)
    tube_od: Quantity | None = number("d_o", "tube outside diameter", "mm", above=0, optional=True)
    tube_wall: Quantity | None = number("t_t", "tube wall", "mm", above=0, optional=True)
    modulus: Quantity | None = number("E", "modulus of the steel", "GPa", above=0, optional=True)
    poisson: Quantity | None = number("nu", "Poisson's ratio", "-", least=0, most=0.5, optional=True)
    steel_expansion: Quantity | None = number("a", "growth of the steel, linear", "1/K", least=0, optional=True)
    tube_modulus: Quantity | None = number("E_t", "modulus of the tubes, where they are of another metal", "GPa", above=0, optional=True)
    tube_expansion: Quantity | None = number("a_t", "growth of the tubes, linear, likewise", "1/K", least=0, optional=True)
    restraint: str = word("ends", ("free", "fixed"), default="free")
    to_temperature: Quantity | None = temperature_field("T_2", "temperature at the end", optional=True)

    def problems(self) -> list[str]:
        """What does not fit together, a sentence each."""
        absent = [k for k in _TUBES if getattr(self, k) is None]
        if absent and (self.side == "tube" or len(absent) < len(_TUBES)):
            why = "the tube side is the tubes" if self.side == "tube" else "with one of the three the others are needed too"
            return [f"{', '.join(absent)}: missing; {why}. Give tubes, tube_od and tube_wall."]
        return [] if absent else self._tube_problems()

    def _tube_problems(self) -> list[str]:
        assert self.tubes is not None
        assert self.tube_od is not None
        assert self.tube_wall is not None
        od, wall, n = self.tube_od.si, self.tube_wall.si, self.tubes.si
        wrong = []
        if 2 * wall >= od:
            wrong.append(f"tube_wall: {self.tube_wall.typed!r} leaves no bore in {self.tube_od.typed!r}; accepted: less than half of it.")
        if self.side == "tube" and n == 0:
            wrong.append("tubes: 0 tubes hold no water; give the number of tubes.")
        if n * od**2 >= self.diameter.si**2:
            wrong.append(f"tubes: {self.tubes.typed!r} of {self.tube_od.typed!r} do not fit in a shell of {self.diameter.typed!r}.")
        return wrong


@calculation(
    "shut-in", source(BALANCE), ShutIn,
    "volume=V@m3 rise_per_degree=r@MPa/K pump_in=V_p@L volume_per_pressure=v@mL/MPa end_pressure=P_2@MPa "
    "zero_rise_temperature=T_0@degC",
)  # fmt: skip
def shut_in(w: Working, given: ShutIn) -> None:
    """Volume, rise per degree, litres to pressure, volume per pressure, the pressure after warming, and where a degree does nothing."""
    w.take_in(given)
    steel(w, given.restraint)
    shell_space(w, given.restraint) if given.side == "shell" else tube_space(w, given.restraint)
    balance(w)
    zero_rise(w)
    if given.to_temperature is not None:
        end_pressure(w)
        _warn_of_warming(w)


def steel(w: Working, restraint: str) -> None:
    """E, nu, a where they were not given: carbon steel; the tubes as the shell where nobody says otherwise; s_s and s_t, their growth."""
    steel_row = table("metal_elastic")[STEEL]
    for symbol, label, column, unit in (
        ("E", "modulus of the steel", "modulus", "GPa"),
        ("nu", "Poisson's ratio", "poisson", "-"),
        ("a", "growth of the steel, linear", "expansion", "1/K"),
    ):
        if symbol not in w.steps:
            w.assumed(symbol, label, float(steel_row.cells[column]), unit, "carbon steel, near room temperature")
    if "d_o" in w.steps:
        for symbol, label in (("E", "modulus of the tubes"), ("nu", "Poisson's ratio of the tubes"), ("a", "growth of the tubes, linear")):
            if f"{symbol}_t" not in w.steps:
                w.take(f"{symbol}_t", w.steps[symbol], "the shell", f"{label}: as the shell")
    growth(w, restraint)


def growth(w: Working, restraint: str) -> None:
    """s_s and, where there are tubes, s_t: how much a space with such walls grows for each degree, as a share."""
    where = f"ends {restraint}"
    w.step("s_s = " + GROWTH[restraint].format(""), "1/K", "growth of a space in the shell's metal", where, source=source(CYLINDERS))
    if "a_t" in w.steps:
        w.step("s_t = " + GROWTH[restraint].format("_t"), "1/K", "growth of a space in the tubes' metal", where, source=source(CYLINDERS))


def cylinder_give(w: Working, restraint: str) -> None:
    """C_s of a thin cylinder of D, t."""
    w.limit("t <= 0.1*D", "The wall is thick for the thin-cylinder line: the sum makes it too soft", "thin wall", "warn", source(CYLINDERS))
    w.step(CYLINDER[restraint], "1/GPa", "give of the shell", f"thin cylinder, ends {restraint}", source=source(CYLINDERS))


def shell_space(w: Working, restraint: str) -> None:
    """V and C of a shell of D, t, L with N tubes of d_o, t_t in it (or none)."""
    cylinder_give(w, restraint)
    if "N" not in w.steps:
        w.step("V = pi/4 * D**2 * L", "m3", "water in the shell", "", source=source("geometry"))
        w.step("C = C_s", "1/GPa", "give of the steel, as a share of the water", SHARE)
        w.step("s = s_s", "1/K", GROWS, SHARE)
        return
    w.step("V = pi/4 * (D**2 - N*d_o**2) * L", "m3", "water in the shell", "", source=source("geometry"))
    w.step("d_i = d_o - 2*t_t", "mm", "tube bore", "", source=source("geometry"))
    w.step(SQUEEZED[restraint], "1/GPa", "give of a tube squeezed from outside", f"Lamé, ends {restraint}", source=source(CYLINDERS))
    w.step("C = (D**2*C_s + N*d_o**2*C_t)/(D**2 - N*d_o**2)", "1/GPa", "give of the steel, as a share of the water", SHARE)
    w.step("s = (D**2*s_s - N*d_o**2*s_t)/(D**2 - N*d_o**2)", "1/K", GROWS, "shell grows, tubes grow into it")


def tube_space(w: Working, restraint: str) -> None:
    """V and C of N tubes of d_o, t_t, L. The shell is not in it."""
    w.step("d_i = d_o - 2*t_t", "mm", "tube bore", "", source=source("geometry"))
    w.step("V = pi/4 * N * d_i**2 * L", "m3", "water in the tubes", "", source=source("geometry"))
    w.step(STRETCHED[restraint], "1/GPa", "give of a tube stretched from inside", f"Lamé, ends {restraint}", source=source(CYLINDERS))
    w.step("C = C_t", "1/GPa", "give of the steel, as a share of the water", SHARE)
    w.step("s = s_t", "1/K", GROWS, SHARE)


def _warn_of_warming(w: Working) -> None:
    if "P_2" in w.steps and w["P_2"] > w["P"]:
        before, after, to = (plain(w.steps[x], 4) for x in ("P", "P_2", "T_2"))
        w.say("warn", f"Shut in and full it goes from {before} to {after} by {to}. Relief open to it, somebody with it, and the vent open "
              "before anybody leaves.", LEAK_FREE)  # fmt: skip
