"""Cold water under pressure: the three figures every pressure test needs."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number
from boxup.core.quantity import Quantity
from boxup.core.source import Cite
from boxup.core.working import Working
from boxup.hydro import if97
from boxup.reference.load import source

COLDEST, HOTTEST, HIGHEST = 0.0, 100.0, 100.0  # degC, degC, MPa gauge: where the calculations of this room are meant to be used

ICE = "Ice is not worked here: what it wants of room, and when a side is drained for frost, stands on the test sheet (boxup hydro FILE)"


def temperature_field(symbol: str, label: str, *, optional: bool = False) -> Quantity:
    """A field for a water temperature within the range of this room."""
    return number(symbol, label, "degC", least=COLDEST, most=HOTTEST, optional=optional, below=ICE)  # type: ignore[no-any-return]


def pressure_field(symbol: str, label: str) -> Quantity:
    """A field for a gauge pressure within the range of this room."""
    return number(symbol, label, "MPa", least=0, most=HIGHEST)  # type: ignore[no-any-return]


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterState:
    """Temperature and gauge pressure of the water."""

    temperature: Quantity = temperature_field("T", "water temperature")
    pressure: Quantity = pressure_field("P", "pressure, gauge")


def atmosphere(w: Working) -> None:
    """The step from gauge to absolute needs it: p_atm, 1 standard atmosphere."""
    w.constant("p_atm", "standard atmosphere", 0.101325, "MPa abs", Cite(source("statics"), "1 atm"))


def water_lines(w: Working) -> None:
    """Density, compressibility and expansion at the T and p (absolute) of the working: rho, kappa, alpha."""
    at = if97.water(w["T"], w["p"])
    w.kernel("rho", "density of the water", at.density, "kg/m3", if97.METHOD, if97.cite(), ("T", "p"))
    w.kernel("kappa", "compressibility of the water", at.compressibility, "1/GPa", if97.METHOD, if97.cite(), ("T", "p"))
    w.kernel("alpha", "expansion of the water", at.expansion, "1/K", if97.METHOD, if97.cite(), ("T", "p"))


@calculation("water", source("iapws-if97"), WaterState, "density=rho@kg/m3 compressibility=kappa@1/GPa expansion=alpha@1/K")
def water(w: Working, state: WaterState) -> None:
    """Liquid water at a temperature and a gauge pressure."""
    w.take_in(state)
    atmosphere(w)
    w.step("p = P + p_atm", "MPa abs", "absolute pressure", "gauge + 1 atm", source=source("statics"))
    water_lines(w)
