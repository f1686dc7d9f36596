"""Liquid water by IAPWS-IF97, region 1: density, compressibility and expansion from one table of 34 coefficients.

IAPWS R7-97(2012), Revised Release on the Industrial Formulation 1997, section 5.1: equation (7), Table 2, Table 3. Its range here is
0 to 350 °C and up to 100 MPa absolute; a side under test uses the cold corner of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from boxup.core.source import Cite
from boxup.reference.load import source, table

# Section 3 and 5.1 of the release: what pressure and temperature are divided by, and the gas constant of water. Pa, K, J/(kg K).
P_STAR, T_STAR, GAS = 16.53e6, 1386.0, 461.526
METHOD = "IAPWS-IF97 region 1, derivatives of its equation (7)"


@dataclass(frozen=True, slots=True)
class Water:
    """At one state, in SI: density kg/m3, isothermal compressibility 1/Pa, expansion at constant pressure 1/K."""

    density: float
    compressibility: float
    expansion: float


@cache
def coefficients() -> tuple[tuple[int, int, float], ...]:
    """(I, J, n) of Table 2, 34 rows."""
    rows = table("if97_region1").values()
    return tuple((int(r.need("I")), int(r.need("J")), r.need("n")) for r in rows)


def water(temperature: float, pressure: float) -> Water:
    """Water at `temperature` K and `pressure` Pa **absolute**, liquid."""
    a, b = 7.1 - pressure / P_STAR, T_STAR / temperature - 1.222
    g_p = g_pp = g_pt = 0.0
    for i, j, n in coefficients():
        if not i:  # no pressure in these terms
            continue
        term = n * i * a ** (i - 1) * b**j
        g_p -= term
        g_pt -= term * j / b
        g_pp += term * (i - 1) / a
    tau = T_STAR / temperature
    return Water(
        density=P_STAR / (GAS * temperature * g_p),
        compressibility=-g_pp / (g_p * P_STAR),
        expansion=(1 - tau * g_pt / g_p) / temperature,
    )


def density(temperature: float, pressure: float) -> float:
    """Density alone, kg/m3, at K and Pa absolute: for roots."""
    return water(temperature, pressure).density


def cite() -> Cite:
    """Where the equation stands."""
    return Cite(source("iapws-if97"), "region 1, equation (7), Table 2")
