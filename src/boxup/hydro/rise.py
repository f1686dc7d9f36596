"""What a degree does, as it is said: its figure and the water and pressure it holds for, in the same rounding wherever it stands.

Water grows nearly four times as much for a degree at 20 °C as at 8 °C: without its temperature the figure says nothing.
"""

from __future__ import annotations

from boxup.core.rounding import both, metric
from boxup.core.unit import UNITS
from boxup.core.working import Assumed, Step


def rise_said(rise: float, kelvin: float, pressure: float) -> str:
    """`1.45 bar/K at 12.2 °C and 31.4 bar`, from SI."""
    return f"{both('rise', rise)} at {rise_at(kelvin, pressure)}"


def rise_at(kelvin: float, pressure: float) -> str:
    """`12.2 °C and 31.4 bar`: water and pressure that a rise was worked at, from SI; the pressure rounded as a test pressure is."""
    return f"{UNITS['degC'].from_si(kelvin):.1f} °C and {metric('pressure', pressure, 'up')}"


def rise_at_of(water: Step, pressure: Step) -> str:
    """The same of two lines of a sheet; a water nobody measured is said to be taken so."""
    taken = ", water taken so" if isinstance(water.origin, Assumed) else ""
    return rise_at(water.si, pressure.si) + taken
