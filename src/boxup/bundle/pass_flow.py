"""One tube pass: how fast the fluid runs in its open tubes, what that costs in pressure, what heat passes at the wall."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.reference.load import source

GNIELINSKI, PETUKHOV, HAALAND = source("gnielinski"), source("petukhov"), source("haaland")
LAMINAR, TURBULENT = 2300.0, 4000.0  # Reynolds numbers: below the one, above the other
USUAL_LOSSES = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PassFlow:
    """Open tubes of one pass, and what runs in them."""

    tubes: Quantity = number("n_o", "open tubes of the pass", "count", above=0, most=1e5)
    tube_od: Quantity = number("d_o", "tube outside diameter", "mm", above=0, most=1000)
    tube_wall: Quantity = number("t_t", "tube wall", "mm", above=0, most=100)
    tube_length: Quantity = number("L_t", "tube length of one pass", "m", above=0, most=100)
    flow: Quantity = number("W_t", "flow of the tube side", "kg/s", above=0, most=1e5)
    density: Quantity = number("rho", "density in the tubes", "kg/m3", above=0, most=2e4)
    viscosity: Quantity = number("mu", "viscosity in the tubes", "mPa.s", above=0, most=1e5)
    heat_capacity: Quantity = number("c_t", "heat capacity in the tubes", "kJ/kg.K", above=0, most=100)
    conductivity: Quantity = number("k_t", "conductivity in the tubes", "W/m.K", above=0, most=1000)
    roughness: Quantity | None = number("e_r", "roughness of the bore", "mm", optional=True, least=0, most=1)
    losses: Quantity | None = number("K_n", "velocity heads lost at the ends, each pass", "-", optional=True, least=0, most=20)

    def problems(self) -> list[str]:
        """A wall that leaves no bore."""
        if 2 * self.tube_wall.si < self.tube_od.si:
            return []
        return [f"tube_wall: {self.tube_wall.typed!r} leaves no bore in {self.tube_od.typed!r}; accepted: less than half of it."]


@calculation("pass-velocity", GNIELINSKI, PassFlow, "velocity=v reynolds=Re@- pressure_drop=Dp@kPa film=h_i")
def pass_velocity(w: Working, given: PassFlow) -> None:
    """Velocity, pressure drop and heat transfer of one tube pass by its open tubes."""
    w.take_in(given)
    w.step("d_i = d_o - 2*t_t", "mm", "tube bore", "geometry")
    assume_bore(w)
    pass_lines(w)


def assume_bore(w: Working) -> None:
    """Roughness and end losses where nobody gave them: they move the pressure drop, and hardly its ratio."""
    if "e_r" not in w.steps:
        w.assumed("e_r", "roughness of the bore", 0.0015, "mm", "drawn tubing as new (Moody, from memory); scale loses more")
    if "K_n" not in w.steps:
        w.assumed("K_n", "velocity heads lost at the ends, each pass", USUAL_LOSSES, "-", "in, out and the turn: common practice")


def pass_lines(w: Working) -> None:
    """a_i, v, Re, friction, Dp, h_i from n_o, d_i, L_t, W_t, rho, mu, c_t, k_t, e_r, K_n."""
    w.step("a_i = n_o*pi*d_i**2/4", "m2", "bores of the pass", "geometry")
    w.step("v = W_t/(rho*a_i)", "m/s", "velocity in its tubes", "mass balance")
    w.step("Re = rho*v*d_i/mu", "-", "Reynolds number", "definition")
    w.step("Pr = c_t*mu/k_t", "-", "Prandtl number", "definition")
    w.step("Re_t = max(Re, 4000)", "-", "Reynolds number, turbulent at least", "turbulent from 4000")
    w.step("g_t = (Re - 2300)/1700", "-", "way from laminar to turbulent", "straight line, 2300 to 4000")
    _friction(w)
    _film(w)


def _friction(w: Working) -> None:
    w.step("f_r = 1/(1.8*log10(6.9/Re_t + (e_r/(3.7*d_i))**1.11))**2", "-", "friction, turbulent and rough", "Darcy", source=HAALAND)
    line = "f = 64/Re if Re <= 2300 else f_r if Re >= 4000 else (1 - g_t)*64/2300 + g_t*f_r"
    w.step(line, "-", "friction factor", "laminar 64/Re, then a straight line, then turbulent", source=HAALAND)
    w.step("Dp = (f*L_t/d_i + K_n)*rho*v**2/2", "kPa", "pressure drop of the pass", "velocity heads", source=HAALAND)


def _film(w: Working) -> None:
    w.step("f_g = 1/(0.79*log(Re_t) - 1.64)**2", "-", "friction of a smooth tube", "Petukhov", source=PETUKHOV)
    line = "Nu_t = f_g/8*(Re_t - 1000)*Pr/(1 + 12.7*sqrt(f_g/8)*(Pr**(2/3) - 1))"
    w.step(line, "-", "Nusselt number, turbulent", "1976", source=GNIELINSKI)
    line = "Nu = 3.66 if Re <= 2300 else Nu_t if Re >= 4000 else (1 - g_t)*3.66 + g_t*Nu_t"
    w.step(line, "-", "Nusselt number", "laminar 3.66, then a straight line, then turbulent", source=GNIELINSKI)
    w.step("h_i = Nu*k_t/d_i", "W/m2.K", "heat transfer at the bore", "definition")
