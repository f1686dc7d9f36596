"""What a test holds ready: the water with its walls, a little air in it, and the same side full of air, as a warning."""

from __future__ import annotations

from boxup.core.quantity import Quantity
from boxup.core.rounding import both
from boxup.core.working import Step, Working, plain
from boxup.hydro.stored_energy import PCC_2, air_lines, gas_lines, water_energy


def ready_energy(w: Working, water: Working, pressure: Quantity) -> None:
    """U of the water, U_l of the 0.2 % of air in it, and in a part what air alone would hold and how far away people would stand.

    `water`: the part of the sheet with V, v, V_a.
    """
    w.given("P", "test pressure, at the top", pressure, "MPa")
    w.take("C", water.steps["v"], water.name, "volume for each pressure, water and walls")
    water_energy(w)
    gas_lines(w)
    w.take("V_a", water.steps["V_a"], water.name, "air at 1 atm, 0.2 % of the fill")
    w.take("p_atm", water.steps["p_atm"], water.name)
    w.step("V_l = V_a*p_atm/P_at", "L", "the same air at test pressure", "air at constant temperature")
    w.step("U_l = P_at*V_l/(k - 1)*(1 - (P_a/P_at)**((k - 1)/k))", "kJ", "energy of that air", "App. II, (II-1)", source=PCC_2)
    air = w.part("the same side full of air", PCC_2)
    air.take("V", water.steps["V"], water.name)
    air.given("P", "test pressure, at the top", pressure, "MPa")
    air_lines(air)
    w.take("U_g", air.steps["U"], air.name, "energy of that side full of air instead")
    w.take("R_g", air.steps["R"], air.name, "distance to keep with air instead")
    w.say("note", _said(w.steps["U"], w.steps["U_l"], w.steps["U_g"], w.steps["R_g"]), "elastic energy")


def _said(water: Step, little: Step, gas: Step, far: Step) -> str:
    """The three energies and the distance. People are killed by far less than a kilojoule: no figure here makes a test harmless."""
    first = f"At test pressure the water holds {plain(water, 2)} and 0.2 % of air in it {plain(little, 2)} more: enough to kill. "
    second = f"Full of air instead it would hold {plain(gas, 2)} and ask for {both('position', far.si, 'up')} clear all round: "
    return first + second + "no test with air without the engineer and his procedure."
