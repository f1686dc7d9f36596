"""The backing ring of a floating head: split to come over the tubesheet, worked as a ring in one piece under more moment.

ASME VIII-1 Appendix 2, 2-9: one split ring under twice the moment; two split rings each under three quarters of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from boxup.core.calculation import calculation, number, word
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.joint.flange_shape import ring_factors, stresses
from boxup.joint.gasket_loads import APP_2

HALVES = ("one piece", "one split ring", "two split rings")
SHARE = {"one piece": 1.0, "one split ring": 2.0, "two split rings": 0.75}


@dataclass(frozen=True, slots=True, kw_only=True)
class BackingRing:
    """A ring behind a floating tubesheet, and the load of all its studs."""

    od: Quantity = number("A", "outside diameter of the ring", "mm", above=0, most=2e4)
    bore: Quantity = number("B", "inside diameter of the ring", "mm", above=0, most=2e4)
    thickness: Quantity = number("t", "thickness of one ring", "mm", above=0, most=2000)
    bolt_circle: Quantity = number("C", "bolt circle", "mm", above=0, most=2e4)
    bearing_diameter: Quantity = number("D_r", "middle of the land it bears on", "mm", above=0, most=2e4)
    bolt_load: Quantity = number("W", "load of all studs", "N", above=0, most=1e9)
    allowable: Quantity = number("S_f", "allowable stress of the ring", "MPa", above=0, most=3000)
    modulus: Quantity = number("E_f", "modulus of the ring", "GPa", above=0, most=1000)
    halves: str = word("ring", HALVES, default="one split ring")

    def problems(self) -> list[str]:
        return ring_problems(self.bore, self.bearing_diameter, self.bolt_circle, self.od)


def ring_problems(bore: Quantity, bearing: Quantity, circle: Quantity, od: Quantity) -> list[str]:
    """A sentence where bore, land, bolt circle and outside do not follow each other outward."""
    rising = [("bore", bore), ("bearing_diameter", bearing), ("bolt_circle", circle), ("od", od)]
    return [
        f"{key}: {q.typed!r} is not more than {inner} {p.typed!r}; from the bore outward: land, bolt circle, outside"
        for (inner, p), (key, q) in pairwise(rising)
        if q.si <= p.si
    ]


@calculation("backing-ring", APP_2, BackingRing, "moment=M_r@N.m tangential_stress=S_T@MPa rigidity=J")
def backing_ring(w: Working, ring: BackingRing) -> None:
    """The stress and the rigidity of a backing ring under its studs."""
    w.take_in(ring)
    ring_moment(w, ring.halves)
    ring_factors(w)
    stresses(w, "M_r", "", hub=False)
    w.constant("K_L", "rigidity factor, loose", 0.2, "-", w.cite("2-14"))
    w.step("J = 109.4*M_r/(E_f*t**3*K_L*log(K))", "-", "rigidity index", "2-14, loose, no hub")
    w.limit("S_T <= S_f", "The ring is over its limit", "2-8(a)(3)")
    w.limit("J <= 1", "The ring is not stiff enough", "2-14")
    splits_note(w, ring.halves)


def ring_moment(w: Working, halves: str) -> None:
    """M_r from W, C and D_r, with the share its splits ask for."""
    w.constant("k_s", f"share of the moment a ring is worked for: {halves}", SHARE[halves], "-", w.cite("2-9"))
    w.step("M_r = k_s*W*(C - D_r)/2", "N.m", "moment a ring is worked for", "2-9")


def splits_note(w: Working, halves: str) -> None:
    """How the splits must lie."""
    if halves == "two split rings":
        w.say("note", "Two split rings: splits a quarter turn apart, each midway between two studs.", "2-9")
    elif halves == "one split ring":
        w.say("note", "A split ring: both splits midway between two studs.", "2-9")
