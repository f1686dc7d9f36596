"""Water by IAPWS-95, and a closed space solved with nothing but the mass in it.

`water_iapws95.csv` holds densities that another library (CoolProp) gave, so that a comparison needs no library and no time; a test
works some of them again. `write_table()` writes the file.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from functools import cache
from pathlib import Path

TABLE = Path(__file__).with_name("water_iapws95.csv")
TEMPERATURES = (14.95, 15.0, 15.05, 25.0)  # degC
PRESSURES = tuple(1e5 + i * 2.5e5 for i in range(41))  # Pa absolute, to 10.1 MPa
ATM, NEAR, STEP = 101325.0, 15.0, 0.05


def by_coolprop(celsius: float, pressure: float) -> float:
    """kg/m3 from the library."""
    from CoolProp.CoolProp import PropsSI

    return float(PropsSI("D", "T", celsius + 273.15, "P", pressure, "HEOS::Water"))


def write_table() -> None:
    with TABLE.open("w", encoding="utf-8", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["pressure_pa_absolute", *(f"density_at_{t}_degC" for t in TEMPERATURES)])
        out.writerows([f"{p:.0f}", *(f"{by_coolprop(t, p):.9f}" for t in TEMPERATURES)] for p in PRESSURES)


@cache
def _columns() -> dict[float, list[float]]:
    with TABLE.open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file))[1:]
    return {t: [float(r[i]) for r in rows] for i, t in enumerate(TEMPERATURES, start=1)}


def density(celsius: float, pressure: float) -> float:
    """By a cubic through the four nearest rows; the table's step leaves less than 1e-9."""
    column = _columns()[celsius]
    place = (pressure - PRESSURES[0]) / (PRESSURES[1] - PRESSURES[0])
    if not 0 <= place <= len(PRESSURES) - 1:
        raise ValueError(f"{pressure} Pa is outside the water table")
    first = min(max(int(place) - 1, 0), len(PRESSURES) - 4)
    u = place - first
    a, b, c, d = column[first : first + 4]
    return (
        -a * (u - 1) * (u - 2) * (u - 3) + 3 * b * u * (u - 2) * (u - 3) - 3 * c * u * (u - 1) * (u - 3) + d * u * (u - 1) * (u - 2)
    ) / 6


def hooke(d: float, t: float, e: float, nu: float) -> float:
    """Room a thin closed cylinder gains per pressure, as a share: two hoop strains and one along it."""
    hoop, along = d / (2 * t), d / (4 * t)
    return (2 * (hoop - nu * along) + (along - nu * hoop)) / e


def lame(outer: float, inner: float, e: float, nu: float, pressed: str) -> float:
    """Room per pressure of a thick closed tube, as a share: its bore when pressed inside, its outside when squeezed.

    Stresses A - B/r2 and A + B/r2 from the two surface pressures; strains by Hooke's law in space.
    """
    a, b = inner / 2, outer / 2
    p_in, p_out = (1.0, 0.0) if pressed == "inside" else (0.0, 1.0)
    big_b = (p_in - p_out) / (1 / a**2 - 1 / b**2)
    big_a = big_b / b**2 - p_out
    along = (p_in * a**2 - p_out * b**2) / (b**2 - a**2)
    r = a if pressed == "inside" else b
    radial, hoop = big_a - big_b / r**2, big_a + big_b / r**2
    strain_hoop = (hoop - nu * (radial + along)) / e
    strain_along = (along - nu * (radial + hoop)) / e
    return abs(2 * strain_hoop + strain_along)


def root(f: Callable[[float], float], first: float, second: float) -> float:
    """Where a smooth f is nothing, by secants."""
    f_first, f_second = f(first), f(second)
    while abs(second - first) > 1e-2 and f_second != f_first:
        first, second, f_first = second, second - f_second * (second - first) / (f_second - f_first), f_second
        f_second = f(second)
    return second


def closed(volume: float, give: float, growth: float, gauge: float) -> dict[str, float]:
    """A space of `volume` at 0 gauge and 15 °C that gains `give` m3/Pa and `growth` m3/K, full at `gauge`."""

    def held(celsius: float, p: float) -> float:
        return density(celsius, p + ATM) * (volume + give * p + growth * (celsius - NEAR))

    full = held(NEAR, gauge)

    def end(celsius: float) -> float:
        return root(lambda p: (held(celsius, p) - full) / full, gauge, gauge + 1e5 * (celsius - NEAR))

    rho = density(NEAR, gauge + ATM)
    water = {
        "rho": rho,
        "kappa": (density(NEAR, gauge + ATM + 1e4) - density(NEAR, gauge + ATM - 1e4)) / 2e4 / rho,
        "alpha": (density(NEAR - STEP, gauge + ATM) - density(NEAR + STEP, gauge + ATM)) / (2 * STEP) / rho,
    }
    pumped = (full - held(NEAR, 0.0)) / density(NEAR, ATM)
    air = 0.002 * volume
    return water | {
        "V_p": pumped,
        "V_pa": pumped + air - air * ATM / (gauge + ATM),
        "v": (held(NEAR, gauge + 1e4) - held(NEAR, gauge - 1e4)) / 2e4 / rho,
        "r": (end(NEAR + STEP) - end(NEAR - STEP)) / (2 * STEP),
        "P_2": end(25.0),
    }
