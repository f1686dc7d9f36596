"""Numbers as the trade reads them: both unit systems, each rounded the way that quantity is set, read or ordered."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from boxup.core.unit import UNITS

Way = Literal["near", "up", "down"]


@dataclass(frozen=True, slots=True)
class Rounded:
    """One number in one system: `text` without the unit, `sign` the unit."""

    text: str
    sign: str

    def __str__(self) -> str:
        return f"{self.text}{'' if self.sign == '°' else ' '}{self.sign}".strip()


# For each kind: (metric unit, steps), (US unit, steps). A step list is (below, nearest) pairs in that unit, smallest first.
_Steps = tuple[tuple[float, float], ...]
_KINDS: dict[str, tuple[tuple[str, _Steps], tuple[str, _Steps]]] = {
    "torque": (("N.m", ((100, 1), (1000, 5), (math.inf, 10))), ("lbf.ft", ((50, 1), (1000, 5), (math.inf, 10)))),
    "pressure": (("bar", ((math.inf, 0.1),)), ("psi", ((math.inf, 1),))),
    "pump pressure": (("bar", ((math.inf, 5),)), ("psi", ((math.inf, 50),))),
    "stress": (("MPa", ((10, 0.1), (math.inf, 1))), ("ksi", ((math.inf, 0.1),))),
    "load": (("kN", ((10, 0.1), (200, 0.5), (math.inf, 5))), ("lbf", ((1000, 10), (10000, 50), (math.inf, 100)))),
    "stud load": (("kN", ((math.inf, 0.1),)), ("lbf", ((math.inf, 100),))),
    "mass": (("kg", ((1000, 1), (10000, 10), (math.inf, 50))), ("lb", ((1000, 1), (10000, 10), (math.inf, 100)))),
    "length": (("mm", ((math.inf, 1),)), ("in", ((math.inf, 0.01),))),
    "small length": (("mm", ((math.inf, 0.1),)), ("in", ((math.inf, 0.001),))),
    "position": (("m", ((math.inf, 0.01),)), ("ft", ((math.inf, 0.1),))),
    "volume": (("L", ((10, 0.1), (100, 1), (math.inf, 10))), ("gal", ((1, 0.01), (10, 0.1), (100, 1), (math.inf, 5)))),
    "temperature": (("degC", ((math.inf, 1),)), ("degF", ((math.inf, 1),))),
    "temperature read": (("degC", ((math.inf, 0.1),)), ("degF", ((math.inf, 0.1),))),
    "rise": (("bar/K", ((math.inf, 0.05),)), ("bar/K", ((math.inf, 0.05),))),
    "velocity": (("m/s", ((10, 0.01), (math.inf, 0.1))), ("ft/s", ((math.inf, 0.1),))),
    "duty": (("kW", ((10000, 1), (math.inf, 10))), ("Btu/h", ((math.inf, 10000),))),
    "angle": (("deg", ((math.inf, 1),)), ("deg", ((math.inf, 1),))),
}

SET_IN_EACH = ("torque", "pump pressure")


def metric(kind: str, si: float, way: Way = "near") -> Rounded:
    """The metric figure."""
    return _round(si, *_KINDS[kind][0], way)


def customary(kind: str, si: float, way: Way = "near") -> Rounded:
    """The US customary figure: of the rounded metric one, so that the two agree wherever they stand; never past `si` the wrong way.

    What a tool is set to in either system is rounded from the value itself.
    """
    name, steps = _KINDS[kind][1]
    shown = si if kind in SET_IN_EACH else shown_si(kind, si, way)
    turned = UNITS[name].to_si(_nearest(UNITS[name].from_si(shown), steps, "near"))
    past = turned < si * (1 - 1e-12) if way == "up" else turned > si * (1 + 1e-12) if way == "down" else False
    return _round(shown, name, steps, way if past else "near")


def both(kind: str, si: float, way: Way = "near") -> str:
    """`615 N·m (455 lbf·ft)`; one figure where both systems use the same unit."""
    one, other = metric(kind, si, way), customary(kind, si, way)
    return str(one) if one == other else f"{one} ({other})"


def between(kind: str, low: float, high: float, to: str = "to") -> str:
    """`300 to 507 MPa (43.5 to 73.5 ksi)`: two values of one kind, each unit said once."""
    ends = [(metric(kind, low), metric(kind, high)), (customary(kind, low), customary(kind, high))]
    one, other = (f"{a.text} {to} {b}" for a, b in ends)
    return one if one == other else f"{one} ({other})"


def span(kind: str, low: float, high: float, top: Way = "up", to: str = "–") -> str:
    """`17.0 – 23.5 kN (3 850 – 5 300 lbf)`: a range rounded outwards, so that nothing in it is left out; one figure where both are one.

    `top`: how its upper end rounds, where that is the stop.
    """
    ends = [(f(kind, low, "down"), f(kind, max(low, high), top)) for f in (metric, customary)]
    one, other = (str(b) if a == b or low == high else f"{a.text} {to} {b}" for a, b in ends)
    return one if one == other else f"{one} ({other})"


def shown_si(kind: str, si: float, way: Way = "near") -> float:
    """The value that the metric figure stands for: what a reader compares with."""
    name, steps = _KINDS[kind][0]
    return UNITS[name].to_si(_nearest(UNITS[name].from_si(si), steps, way))


def unbroken(figure: str) -> str:
    """A figure that a line breaks before the other system, and nowhere else: never between a number and its unit."""
    return figure.replace(" ", "\u00a0").replace("\u00a0(", " (").replace("–\u00a0", "–\u2060\u00a0")


def _step(number: float, steps: _Steps) -> float:
    return next(s for below, s in steps if abs(number) < below)


def _nearest(number: float, steps: _Steps, way: Way) -> float:
    step = _step(number, steps)
    return _turn(number / step, way) * step


def _round(si: float, name: str, steps: _Steps, way: Way) -> Rounded:
    u = UNITS[name]
    number = u.from_si(si)
    step = _step(number, steps)
    places = max(0, -math.floor(math.log10(step) + 1e-9)) if step < 1 else 0
    turned = _nearest(number, steps, way)
    text = f"{turned:.{places}f}" if places else f"{round(turned):,}".replace(",", "\u202f")
    return Rounded(text.replace("-", "−"), u.sign)


def _turn(x: float, way: Way) -> int:
    if way == "up":
        return math.ceil(x - 1e-9)
    return math.floor(x + 1e-9) if way == "down" else round(x)
