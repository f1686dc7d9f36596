"""Units as values: a scale to coherent SI (m, kg, s, K) and the exponents, with an exact table of the spellings accepted.

Temperature points and absolute pressures are marked: two points may be subtracted or compared, never added or multiplied.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import pi


class DimensionError(TypeError):
    """A formula adds, compares or scales things that do not belong together."""


@dataclass(frozen=True, slots=True)
class Dim:
    """Exponents of m, kg, s, K; `point` marks a temperature point (degC) or an absolute pressure (abs)."""

    m: float = 0.0
    kg: float = 0.0
    s: float = 0.0
    K: float = 0.0
    point: str = ""

    def _bare(self) -> tuple[float, float, float, float]:
        return (self.m, self.kg, self.s, self.K)

    def _loose(self) -> Dim:
        """As a factor: an absolute pressure is a pressure; a temperature point may not be scaled."""
        if self.point == "degC":
            raise DimensionError("scales a temperature point; take a difference first")
        return Dim(*self._bare())

    def __mul__(self, other: Dimlike) -> Dim:
        return _dim(round(a + b, 6) for a, b in zip(self._loose()._bare(), dim(other)._loose()._bare(), strict=True))

    __rmul__ = __mul__

    def __truediv__(self, other: Dimlike) -> Dim:
        return _dim(round(a - b, 6) for a, b in zip(self._loose()._bare(), dim(other)._loose()._bare(), strict=True))

    def __rtruediv__(self, other: Dimlike) -> Dim:
        return dim(other) / self

    def __pow__(self, power: Dimlike) -> Dim:
        if isinstance(power, Dim):
            if self._bare() != NONE._bare():
                raise DimensionError("raises a dimension to a power that is not a plain number")
            return NONE
        return _dim(round(a * power, 6) for a in self._loose()._bare())

    def __rpow__(self, base: Dimlike) -> Dim:
        if self != NONE:
            raise DimensionError("has an exponent with a unit")
        return NONE

    def _match(self, other: Dimlike) -> Dim:
        them = dim(other)
        if self._bare() != them._bare():
            raise DimensionError(f"puts {self} together with {them}")
        return them

    def __add__(self, other: Dimlike) -> Dim:
        them = self._match(other)
        if self.point and them.point:
            raise DimensionError("adds two points; only their difference means something")
        return Dim(*self._bare(), point=self.point or them.point)

    __radd__ = __add__

    def __sub__(self, other: Dimlike) -> Dim:
        them = self._match(other)
        if them.point and not self.point:
            raise DimensionError("takes a point from a difference")
        return Dim(*self._bare(), point="" if them.point else self.point)

    def __rsub__(self, other: Dimlike) -> Dim:
        return dim(other) - self

    def __neg__(self) -> Dim:
        return self._loose()

    def _compare(self, other: Dimlike) -> bool:
        them = self._match(other)
        if self.point != them.point:
            raise DimensionError("compares a point with a difference")
        return True

    __lt__ = __le__ = __gt__ = __ge__ = _compare

    def __str__(self) -> str:
        named = [f"{n}^{e:g}" for n, e in zip(("m", "kg", "s", "K"), self._bare(), strict=True) if e]
        return " ".join(named + ([f"({self.point})"] if self.point else [])) or "a plain number"


def _dim(exponents: Iterable[float]) -> Dim:
    m, kg, s, kelvin = exponents
    return Dim(m, kg, s, kelvin)


Dimlike = Dim | float
NONE = Dim()


def dim(x: Dimlike) -> Dim:
    """The dimension of `x`; a bare number has none."""
    return x if isinstance(x, Dim) else NONE


@dataclass(frozen=True, slots=True)
class Unit:
    """`name` as JSON spells it, `sign` as print shows it, value in SI = number * scale + offset."""

    name: str
    scale: float
    dim: Dim
    sign: str
    offset: float = 0.0

    def to_si(self, number: float) -> float:
        return number * self.scale + self.offset

    def from_si(self, si: float) -> float:
        return (si - self.offset) / self.scale


_L, _M, _S, _K = Dim(m=1), Dim(kg=1), Dim(s=1), Dim(K=1)
_FORCE = _M * _L / _S**2
_PRESSURE = _FORCE / _L**2
_INCH, _LB, _G = 0.0254, 0.45359237, 9.80665
_LBF = _LB * _G
_PSI = _LBF / _INCH**2
_POWER = _FORCE * _L / _S
_BTU = 1055.05585262  # J, International Table
_GAL = 231 * _INCH**3  # US gallon
_YEAR = 365.25 * 86400.0

_TABLE: tuple[tuple[str, float, Dim, str], ...] = (
    ("-", 1.0, NONE, ""),
    ("count", 1.0, NONE, ""),
    ("deg", pi / 180, NONE, "°"),
    ("m", 1.0, _L, "m"),
    ("mm", 1e-3, _L, "mm"),
    ("cm", 1e-2, _L, "cm"),
    ("in", _INCH, _L, "in"),
    ("ft", 12 * _INCH, _L, "ft"),
    ("mm2", 1e-6, _L**2, "mm²"),
    ("m2", 1.0, _L**2, "m²"),
    ("in2", _INCH**2, _L**2, "in²"),
    ("ft2", (12 * _INCH) ** 2, _L**2, "ft²"),
    ("mm3", 1e-9, _L**3, "mm³"),
    ("m3", 1.0, _L**3, "m³"),
    ("ft3", (12 * _INCH) ** 3, _L**3, "ft³"),
    ("mm4", 1e-12, _L**4, "mm⁴"),
    ("L", 1e-3, _L**3, "L"),
    ("mL", 1e-6, _L**3, "mL"),
    ("gal", _GAL, _L**3, "US gal"),
    ("kg", 1.0, _M, "kg"),
    ("lb", _LB, _M, "lb"),
    ("t", 1000.0, _M, "t"),
    ("klb", 1000 * _LB, _M, "klb"),
    ("short ton", 2000 * _LB, _M, "short ton"),
    ("long ton", 2240 * _LB, _M, "long ton"),
    ("kg/m", 1.0, _M / _L, "kg/m"),
    ("kg.m", 1.0, _M * _L, "kg·m"),
    ("s", 1.0, _S, "s"),
    ("min", 60.0, _S, "min"),
    ("h", 3600.0, _S, "h"),
    ("years", _YEAR, _S, "years"),
    ("K", 1.0, _K, "K"),
    ("N", 1.0, _FORCE, "N"),
    ("kN", 1e3, _FORCE, "kN"),
    ("MN", 1e6, _FORCE, "MN"),
    ("lbf", _LBF, _FORCE, "lbf"),
    ("kgf", _G, _FORCE, "kgf"),
    ("Pa", 1.0, _PRESSURE, "Pa"),
    ("kPa", 1e3, _PRESSURE, "kPa"),
    ("MPa", 1e6, _PRESSURE, "MPa"),
    ("GPa", 1e9, _PRESSURE, "GPa"),
    ("bar", 1e5, _PRESSURE, "bar"),
    ("psi", _PSI, _PRESSURE, "psi"),
    ("ksi", 1e3 * _PSI, _PRESSURE, "ksi"),
    ("kgf/cm2", _G * 1e4, _PRESSURE, "kgf/cm²"),
    ("N.m", 1.0, _FORCE * _L, "N·m"),
    ("kN.m", 1e3, _FORCE * _L, "kN·m"),
    ("lbf.ft", _LBF * 12 * _INCH, _FORCE * _L, "lbf·ft"),
    ("lbf.in", _LBF * _INCH, _FORCE * _L, "lbf·in"),
    ("J", 1.0, _FORCE * _L, "J"),
    ("kJ", 1e3, _FORCE * _L, "kJ"),
    ("MJ", 1e6, _FORCE * _L, "MJ"),
    ("kg/m3", 1.0, _M / _L**3, "kg/m³"),
    ("m/s2", 1.0, _L / _S**2, "m/s²"),
    ("mm/kN", 1e-6, _L / _FORCE, "mm/kN"),
    ("deg/kN.m", pi / 180e3, NONE / (_FORCE * _L), "°/kN·m"),
    ("1/mm", 1e3, NONE / _L, "1/mm"),
    ("1/K", 1.0, NONE / _K, "1/K"),
    ("1/degF", 1.8, NONE / _K, "1/°F"),
    ("1/GPa", 1e-9, NONE / _PRESSURE, "1/GPa"),
    ("MPa/K", 1e6, _PRESSURE / _K, "MPa/K"),
    ("bar/K", 1e5, _PRESSURE / _K, "bar/K"),
    ("L/MPa", 1e-9, _L**3 / _PRESSURE, "L/MPa"),
    ("mL/MPa", 1e-12, _L**3 / _PRESSURE, "mL/MPa"),
    ("mL/min", 1e-6 / 60, _L**3 / _S, "mL/min"),
    ("L/min", 1e-3 / 60, _L**3 / _S, "L/min"),
    ("gal/min", _GAL / 60, _L**3 / _S, "US gal/min"),
    ("N.m/bar", 1e-5, _L**3, "N·m/bar"),
    ("N.m/MPa", 1e-6, _L**3, "N·m/MPa"),
    ("lbf.ft/psi", _LBF * 12 * _INCH / _PSI, _L**3, "lbf·ft/psi"),
    ("MJ/kg", 1e6, _FORCE * _L / _M, "MJ/kg"),
    ("m/kg^(1/3)", 1.0, Dim(m=1, kg=-0.333333), "m/kg^(1/3)"),
    ("mm/yr", 1e-3 / _YEAR, _L / _S, "mm/yr"),
    ("in/yr", _INCH / _YEAR, _L / _S, "in/yr"),
    ("m/s", 1.0, _L / _S, "m/s"),
    ("km/h", 1 / 3.6, _L / _S, "km/h"),
    ("mph", 0.44704, _L / _S, "mph"),
    ("ft/s", 12 * _INCH, _L / _S, "ft/s"),
    ("kg/s", 1.0, _M / _S, "kg/s"),
    ("kg/h", 1 / 3600, _M / _S, "kg/h"),
    ("lb/h", _LB / 3600, _M / _S, "lb/h"),
    ("W", 1.0, _POWER, "W"),
    ("kW", 1e3, _POWER, "kW"),
    ("MW", 1e6, _POWER, "MW"),
    ("Btu/h", _BTU / 3600, _POWER, "Btu/h"),
    ("W/K", 1.0, _POWER / _K, "W/K"),
    ("kW/K", 1e3, _POWER / _K, "kW/K"),
    ("J/kg.K", 1.0, _POWER * _S / _M / _K, "J/kg·K"),
    ("kJ/kg.K", 1e3, _POWER * _S / _M / _K, "kJ/kg·K"),
    ("Btu/lb.degF", 1.8 * _BTU / _LB, _POWER * _S / _M / _K, "Btu/lb·°F"),
    ("W/m.K", 1.0, _POWER / _L / _K, "W/m·K"),
    ("W/m2.K", 1.0, _POWER / _L**2 / _K, "W/m²·K"),
    ("Btu/h.ft2.degF", 1.8 * _BTU / 3600 / (12 * _INCH) ** 2, _POWER / _L**2 / _K, "Btu/h·ft²·°F"),
    ("m2.K/W", 1.0, _L**2 * _K / _POWER, "m²·K/W"),
    ("h.ft2.degF/Btu", 3600 * (12 * _INCH) ** 2 / (1.8 * _BTU), _L**2 * _K / _POWER, "h·ft²·°F/Btu"),
    ("Pa.s", 1.0, _PRESSURE * _S, "Pa·s"),
    ("mPa.s", 1e-3, _PRESSURE * _S, "mPa·s"),
)

UNITS: dict[str, Unit] = {n: Unit(n, k, d, sign) for n, k, d, sign in _TABLE}
UNITS["degC"] = Unit("degC", 1.0, Dim(K=1, point="degC"), "°C", 273.15)
UNITS["degF"] = Unit("degF", 5 / 9, Dim(K=1, point="degC"), "°F", 459.67 * 5 / 9)
UNITS["MPa abs"] = Unit("MPa abs", 1e6, Dim(*_PRESSURE._bare(), point="abs"), "MPa abs")

ALSO_SPELT: dict[str, str] = {
    '"': "in", "inch": "in", "′": "ft", "mm²": "mm2", "in²": "in2", "sq in": "in2", "m³": "m3", "litre": "L", "l": "L",
    "lbs": "lb", "tonne": "t", "tonnes": "t", "metric ton": "t", "metric tons": "t", "short tons": "short ton", "ston": "short ton",
    "ton (US)": "short ton", "tons (US)": "short ton", "US ton": "short ton", "US tons": "short ton", "long tons": "long ton",
    "ton (UK)": "long ton", "tons (UK)": "long ton",
    "kgf/cm²": "kgf/cm2", "kg/cm2": "kgf/cm2", "barg": "bar", "bar g": "bar", "psig": "psi",
    "N·m": "N.m", "Nm": "N.m", "N m": "N.m", "lbf·ft": "lbf.ft", "lbf ft": "lbf.ft", "ft.lbf": "lbf.ft", "ft·lbf": "lbf.ft",
    "ft-lb": "lbf.ft", "ft lbf": "lbf.ft", "°C": "degC", "°F": "degF", "°": "deg", "US gal": "gal", "kg/m³": "kg/m3", "": "-",
    "1/degC": "1/K", "year": "years", "cP": "mPa.s", "Pa·s": "Pa.s", "mPa·s": "mPa.s", "J/kg·K": "J/kg.K", "kJ/kg·K": "kJ/kg.K",
    "W/m·K": "W/m.K", "W/m²·K": "W/m2.K", "m²·K/W": "m2.K/W",
}  # fmt: skip


# Three masses go by this name, and a load may hang on which: it is asked for, never guessed. `t` alone is the tonne of the SI brochure.
TONS = ("ton", "tons", "tn", "tns", "T", "Ts")


def unit(spelling: str) -> Unit:
    """The unit of that spelling. Raises KeyError naming it when it is not in the table."""
    name = spelling.strip()
    return UNITS[ALSO_SPELT.get(name, name)]


def known(spelling: str) -> bool:
    """Whether a unit is spelt so."""
    name = spelling.strip()
    return ALSO_SPELT.get(name, name) in UNITS


def units_like(example: str) -> str:
    """The accepted spellings that measure the same thing as `example`, for an error sentence."""
    if example in ("-", "count"):
        return "a plain number"
    if example == "deg":  # an angle has no dimension, and a plain number is no angle
        return "deg, °"
    like = UNITS[example].dim
    names = [n for n, u in UNITS.items() if u.dim == like]
    return ", ".join(names)
