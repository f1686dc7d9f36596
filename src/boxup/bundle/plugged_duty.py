"""What plugged tubes cost: duty, pressure drop and velocity with them and without them, at the same flows and inlets."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from boxup.bundle.arrangement import SHELLS, Arrangement
from boxup.bundle.effectiveness import WAYS, ZONES, halves_of
from boxup.bundle.service import Standing, film_of_the_design, ready, stands
from boxup.core.calculation import calculation, number, word
from boxup.core.quantity import BadValue, Quantity
from boxup.core.source import Cite
from boxup.core.working import Working
from boxup.reference.load import source

HOLDS = ("no", "yes")
_UNSURE = (
    "Flow in the tubes is not fully turbulent: heat transfer is little known there and may even rise as plugs make it faster. "
    "Take the change of duty for a guess; the process engineer says"
)
_RISES = (
    "By these figures the duty rises with the plugs: temperatures cross in some passes, or the flow comes nearer to turbulence. "
    "Count it as no loss, never as a gain; the process engineer says"
)


def counts_of(text: str) -> tuple[int, ...]:
    """`148 148 148 148`: tubes by pass. Raises BadValue."""
    parts = text.replace(",", " ").split()
    if not parts or len(parts) > 16 or not all(p.isdecimal() and len(p) < 6 for p in parts):
        raise BadValue(f"{text!r}; accepted: a whole number for each of up to 16 passes, the first first, for example '148 148 148 148'")
    return tuple(map(int, parts))


@dataclass(frozen=True, slots=True, kw_only=True)
class Plugged:
    """Holes and plugs by pass, and the lines of the data sheet. The shell film, or the design duty with every tube open."""

    holes: str = word("tube holes by pass, for example '200 200'", check=counts_of)
    plugged: str = word("of them plugged, by pass, for example '20 4'", check=counts_of)
    tube_od: Quantity = number("d_o", "tube outside diameter", "mm", above=0, most=1000)
    tube_wall: Quantity = number("t_t", "tube wall", "mm", above=0, most=100)
    tube_length: Quantity = number("L_t", "tube length of one pass", "m", above=0, most=100)
    wall_conductivity: Quantity = number("k_w", "conductivity of the tube metal", "W/m.K", above=0, most=1000)
    tube_flow: Quantity = number("W_t", "flow of the tube side", "kg/s", above=0, most=1e5)
    tube_inlet: Quantity = number("T_t", "tube side inlet", "degC", least=-273, most=1200)
    tube_density: Quantity = number("rho", "density in the tubes", "kg/m3", above=0, most=2e4)
    tube_viscosity: Quantity = number("mu", "viscosity in the tubes", "mPa.s", above=0, most=1e5)
    tube_heat_capacity: Quantity = number("c_t", "heat capacity in the tubes", "kJ/kg.K", above=0, most=100)
    tube_conductivity: Quantity = number("k_t", "conductivity in the tubes", "W/m.K", above=0, most=1000)
    tube_fouling: Quantity = number("r_si", "fouling in the tubes", "m2.K/W", least=0, most=1)
    shell_flow: Quantity | None = number("W_s", "flow of the shell side", "kg/s", optional=True, above=0, most=1e5)
    shell_inlet: Quantity = number("T_s", "shell side inlet", "degC", least=-273, most=1200)
    shell_heat_capacity: Quantity | None = number("c_s", "heat capacity in the shell", "kJ/kg.K", optional=True, above=0, most=100)
    shell_fouling: Quantity = number("r_so", "fouling outside the tubes", "m2.K/W", least=0, most=1)
    shell_film: Quantity | None = number("h_o", "heat transfer outside the tubes", "W/m2.K", optional=True, above=0, most=1e6)
    design_duty: Quantity | None = number("Q_d", "design duty, every tube open", "kW", optional=True, above=0, most=1e7)
    roughness: Quantity | None = number("e_r", "roughness of the bore", "mm", optional=True, least=0, most=1)
    losses: Quantity | None = number("K_n", "velocity heads lost at the ends, each pass", "-", optional=True, least=0, most=20)
    holds: str = word("the shell fluid boils or condenses at its inlet temperature", HOLDS, default="no")
    shell: str = word("shell: E, F, G, H, J12 (one inlet in the middle), J21 (two inlets at the ends)", SHELLS, default="E")
    first: str = word("shell E: the first pass runs against the shell fluid, or with it", WAYS, default="against")
    halves: str = word("shells F, G, H: where each pass lies, upper or lower", check=halves_of, default="")

    def problems(self) -> list[str]:
        """Lists that do not fit, a bore that is none, a shell side that is not given or given twice."""
        return [*_lists(self), *_shell_side(self)]

    @property
    def way(self) -> Arrangement:
        """The arrangement that is meant; a shell at one temperature does not mind."""
        return Arrangement("E") if self.holds == "yes" else Arrangement(self.shell, self.first == "with", halves_of(self.halves))


def _lists(g: Plugged) -> list[str]:
    holes, shut = counts_of(g.holes), counts_of(g.plugged)
    found = []
    if len(holes) != len(shut):
        found.append(f"plugged: {len(shut)} passes where holes has {len(holes)}; accepted: a number for each pass, 0 where none is plugged")
    elif over := [i for i, (h, s) in enumerate(zip(holes, shut, strict=True), start=1) if s >= h]:
        found.append(f"plugged: pass {over[0]} has {holes[over[0] - 1]} holes and {shut[over[0] - 1]} plugged: nothing flows")
    if 2 * g.tube_wall.si >= g.tube_od.si:
        found.append(f"tube_wall: {g.tube_wall.typed!r} leaves no bore in {g.tube_od.typed!r}; accepted: less than half of it")
    return found


def _shell_side(g: Plugged) -> list[str]:
    found = []
    if (g.shell_film is None) == (g.design_duty is None):
        found.append("shell_film: give it or design_duty, one of the two; the data sheet has the duty")
    if g.holds == "no" and (g.shell_flow is None or g.shell_heat_capacity is None):
        found.append("shell_flow: give it with shell_heat_capacity, or holds=yes where the shell fluid boils or condenses")
    if g.holds == "yes" and (g.shell_flow or g.shell_heat_capacity):
        found.append("holds: with yes the shell stays at its inlet temperature; leave shell_flow and shell_heat_capacity out, or holds=no")
    if g.shell_inlet.si == g.tube_inlet.si:
        found.append(f"shell_inlet: {g.shell_inlet.typed!r} is the tube inlet too: no heat passes")
    return found


ANSWERS = (
    "duty_before=Q_1@kW duty=Q_2@kW duty_ratio=y_Q area_ratio=y_A velocity=v_2@m/s velocity_ratio=y_v "
    "pressure_drop_before=Dp_1@kPa pressure_drop=Dp_2@kPa pressure_drop_ratio=y_p reynolds=Re_2@- ntu=N_2@- film=h_o"
)


@calculation("plugged-duty", ZONES, Plugged, ANSWERS)
def plugged_duty(w: Working, given: Plugged) -> dict[str, tuple[Any, str]]:
    """Duty, pressure drop and velocity with these tubes plugged, beside every tube open."""
    holes, shut = counts_of(given.holes), counts_of(given.plugged)
    left = tuple(h - s for h, s in zip(holes, shut, strict=True))
    before, after = compared(w, given, holes, left)
    return {"pass_pressure_drops": ([before.si(f"Dp_{i}") / 1e3 for i in range(1, len(holes) + 1)], "kPa"),
            "pass_pressure_drops_plugged": ([after.si(f"Dp_{i}") / 1e3 for i in range(1, len(holes) + 1)], "kPa"),
            "pass_velocities": ([after.si(f"v_{i}") for i in range(1, len(holes) + 1)], "m/s")}  # fmt: skip


def compared(w: Working, given: Plugged, holes: tuple[int, ...], left: tuple[int, ...]) -> tuple[Standing, Standing]:
    """Every tube open, these many open, and the ratios. Raises CannotWork."""
    w.take_in(given)
    ready(w)
    find_film(w, holes, given.way)
    before = stands(w, "every tube open", holes, given.way)
    after = stands(w, "with the plugs", left, given.way)
    ratios(w, before, after)
    return before, after


def find_film(w: Working, holes: tuple[int, ...], way: Arrangement) -> None:
    """h_o from the design duty, where it is not given."""
    if "h_o" not in w.steps:
        film = film_of_the_design(w, holes, way)
        w.kernel("h_o", "heat transfer outside the tubes", film, "W/m2.K", "halved until every tube open gives the design duty",
                 Cite(ZONES, "backed out of the design duty"), ("Q_d", "W_t", "c_t", "R", "dT"))  # fmt: skip


def ratios(w: Working, before: Standing, after: Standing) -> None:
    """Both standings side by side in the working, and their ratios."""
    for symbol, label in (("A_s", "surface"), ("v_x", "velocity, fastest pass"), ("Dp_s", "pressure drop"), ("Q", "duty")):
        short = symbol.partition("_")[0]
        w.take(f"{short}_1", before.working.steps[symbol], before.name, f"{label}, every tube open")
        w.take(f"{short}_2", after.working.steps[symbol], after.name, f"{label}, with the plugs")
    w.take("Re_1", before.working.steps["Re_n"], before.name)
    w.take("Re_2", after.working.steps["Re_n"], after.name)
    w.take("N_2", after.working.steps["N_t"], after.name)
    w.step("y_A = A_2/A_1", "-", "surface left", "ratio")
    w.step("y_v = v_2/v_1", "-", "velocity in the fastest pass, times", "ratio")
    w.step("y_p = Dp_2/Dp_1", "-", "pressure drop, times", "ratio")
    w.step("y_Q = Q_2/Q_1", "-", "duty left", "ratio")
    w.limit("min(Re_1, Re_2) >= 10000", _UNSURE, "fully turbulent from about 10,000", "warn", source("gnielinski"))
    w.limit("y_Q <= 1", _RISES, "duty left", "warn", ZONES)
