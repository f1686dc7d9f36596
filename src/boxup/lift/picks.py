"""Where two slings bend the bundle least: bending at each pick equal to that in the middle.

The bundle is taken as a beam, its mass spread evenly and its tubesheets at the ends. How stiff it is does not enter, only where it hangs.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.lift.gear import PRACTICE, STATICS


@dataclass(frozen=True, slots=True)
class Picks:
    """Where two slings bend the bundle least, metres from the outer face of the stationary tubesheet."""

    front: float
    rear: float
    working: Working


def equal_bending_picks(
    *, spread: Quantity, length: Quantity, front_end: Quantity | None = None, rear_end: Quantity | None = None
) -> Picks:
    """The two picks at which the bending at each pick equals that in the middle.

    `spread`: mass spread evenly along `length` (tubes, baffles, rods); `front_end`, `rear_end`: tubesheets at the ends. Without them the
    picks come out at 0.2071 of the length from each end, the known answer for an even beam.
    """
    w = Working("picks that bend the bundle least", STATICS)
    w.given("m_u", "mass spread along the bundle", spread, "kg")
    w.given("L", "length", length, "m")
    for symbol, label, mass in (("m_1", "mass at the front end", front_end), ("m_2", "mass at the rear end", rear_end)):
        if mass is not None:
            w.given(symbol, label, mass, "kg")
        else:
            w.assumed(symbol, label, 0.0, "kg", "none given")
    w.step("q = m_u/L", "kg/m", "mass a metre", "even")
    moment = _equal_moment(w["m_1"], w["m_2"], w["q"], w["L"])
    overhangs = "(sqrt(m_1**2 + 2*q*M_e) - m_1)/q + (sqrt(m_2**2 + 2*q*M_e) - m_2)/q"
    label, where = "bending at the picks and in the middle, as mass times arm", "two overhangs and the span make the length"
    w.solved("M_e", label, moment, "kg.m", f"({overhangs} + 4*sqrt(M_e/q) - L)/L", where)
    w.step("a_1 = (sqrt(m_1**2 + 2*q*M_e) - m_1)/q", "m", "front pick from the front end", "bending at the front pick")
    w.step("a_2 = (sqrt(m_2**2 + 2*q*M_e) - m_2)/q", "m", "rear pick from the rear end", "bending at the rear pick")
    w.step("x_2 = L - a_2", "m", "rear pick from the front end", "geometry")
    say = "Put each sling at the baffle nearest to this, wide enough to lie on two; the centre of gravity stays between them."
    w.say("note", say, "slings at baffles", PRACTICE)
    return Picks(w["a_1"], w["x_2"], w)


def _equal_moment(front: float, rear: float, q: float, length: float) -> float:
    """M_e by halving: the length asked for grows with it."""

    def asked(moment: float) -> float:
        return sum((sqrt(m * m + 2 * q * moment) - m) / q for m in (front, rear)) + 4 * sqrt(moment / q)

    low, high = 0.0, q * length**2  # at the upper end the span alone is four lengths
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (middle, high) if asked(middle) < length else (low, middle)
    return (low + high) / 2
