"""What the exchanger is for: the lines of its data sheet that a duty needs."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.quantity import Quantity
from boxup.exchanger.field import COLDEST, HOTTEST, num, opt


@dataclass(frozen=True, slots=True, kw_only=True)
class Service:
    """[service]: the lines of the data sheet that say what it is for. Nothing here is ever assumed; without it no duty is given."""

    tube_flow: Quantity | None = num("W_t", "flow of the tube side", "kg/s", above=0, most=1e5)
    tube_inlet: Quantity | None = num("T_t", "tube side inlet", "degC", least=COLDEST, most=HOTTEST)
    tube_density: Quantity | None = num("rho", "density in the tubes, at their mean temperature", "kg/m3", above=0, most=2e4)
    tube_viscosity: Quantity | None = num("mu", "viscosity in the tubes, at their mean temperature", "mPa.s", above=0, most=1e5)
    tube_heat_capacity: Quantity | None = num("c_t", "heat capacity in the tubes", "kJ/kg.K", above=0, most=100)
    tube_conductivity: Quantity | None = num("k_t", "conductivity in the tubes", "W/m.K", above=0, most=1000)
    tube_fouling: Quantity | None = num("r_si", "fouling in the tubes", "m2.K/W", least=0, most=1)
    wall_conductivity: Quantity | None = num("k_w", "conductivity of the tube metal", "W/m.K", above=0, most=1000)
    shell_inlet: Quantity | None = num("T_s", "shell side inlet", "degC", least=COLDEST, most=HOTTEST)
    shell_holds: str = opt("the shell fluid boils or condenses, at its inlet temperature", ("yes", "no"))
    shell_flow: Quantity | None = num("W_s", "flow of the shell side", "kg/s", above=0, most=1e5)
    shell_heat_capacity: Quantity | None = num("c_s", "heat capacity in the shell", "kJ/kg.K", above=0, most=100)
    shell_fouling: Quantity | None = num("r_so", "fouling outside the tubes", "m2.K/W", least=0, most=1)
    shell_film: Quantity | None = num("h_o", "heat transfer outside the tubes", "W/m2.K", above=0, most=1e6)
    design_duty: Quantity | None = num("Q_d", "design duty, every tube open", "kW", above=0, most=1e7)
    roughness: Quantity | None = num("e_r", "roughness of the tube bore", "mm", least=0, most=1)
    losses: Quantity | None = num("K_n", "velocity heads lost at the ends, each pass", "-", least=0, most=20)
    most_velocity: Quantity | None = num("v_max", "the most in the tubes, as the site says", "m/s", above=0, most=100)
