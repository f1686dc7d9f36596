"""A flat bolted cover: the thickness the code asks for, the stress its studs put into it, and how far it bows over a pass plate.

ASME VIII-1 UG-34(c)(2), sketches (j) and (k); the bow is that of a round plate carried on the gasket circle.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from boxup.core.calculation import calculation, number
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.reference.load import source

UG_34 = source("asme-viii-1-ug-34")
PLATE = source("plate-theory")
TEMA = source("tema")
ATTACHMENT = 0.3  # C of a bolted cover


def _diameter() -> Quantity:
    return number("G", "diameter of the gasket load reaction", "mm", above=0, most=2e4)  # type: ignore[no-any-return]


def _load(optional: bool = False) -> Quantity:
    return number("W", "load of all studs", "N", above=0, most=1e9, optional=optional)  # type: ignore[no-any-return]


def _arm() -> Quantity:
    return number("h_G", "arm of the gasket load, bolt circle to G", "mm", above=0, most=5000)  # type: ignore[no-any-return]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cover:
    """A flat cover on its gasket, and the stud load of one condition."""

    diameter: Quantity = _diameter()
    pressure: Quantity = number("P", "pressure inside, gauge", "MPa", least=0, most=1000)
    stress: Quantity = number("S", "allowable stress of the cover", "MPa", above=0, most=3000)
    efficiency: Quantity = number("E", "joint efficiency", "-", above=0, most=1)
    bolt_load: Quantity = _load()
    gasket_arm: Quantity = _arm()
    C: Quantity | None = number("C", "attachment factor", "-", optional=True, above=0, most=1)

    def problems(self) -> list[str]:
        end = pi / 4 * self.diameter.si**2 * self.pressure.si
        if self.bolt_load.si < end * (1 - 1e-9):
            text = f"{self.bolt_load.typed!r} is less than the end force {end / 1e3:.4g} kN that {self.pressure.typed} puts on the cover"
            return [f"bolt_load: {text}: such studs do not hold it; accepted: the end force or more"]
        return []


@calculation("cover-thickness", UG_34, Cover, "thickness=t@mm end_force=H@N")
def cover_thickness(w: Working, cover: Cover) -> None:
    """The least thickness of a flat bolted cover in one condition: operating with its pressure, seating with none."""
    w.take_in(cover)
    if cover.C is None:
        w.assumed("C", "attachment factor", ATTACHMENT, "-", "0.3, a bolted cover on its gasket (UG-34 sketches j and k)")
    w.step("H = pi/4 * G**2 * P", "kN", "end force", "2-5(c)(1)")
    w.step("t = G*sqrt(C*P/(S*E) + 1.9*W*h_G/(S*E*G**3))", "mm", "least thickness, corrosion not included", "UG-34(c)(2), formula (2)")
    say = "The greater of operating (W_m1 and its pressure) and seating (no pressure, room temperature) counts; corrosion on top."
    w.say("note", say, "UG-34(c)(2)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Bow:
    """A flat cover as it bows under its studs and the pressure."""

    diameter: Quantity = _diameter()
    thickness: Quantity = number("t", "thickness of the cover, as it is now", "mm", above=0, most=2000)
    pressure: Quantity = number("P", "pressure inside, gauge", "MPa", least=0, most=1000)
    bolt_load: Quantity = _load()
    gasket_arm: Quantity = _arm()
    modulus: Quantity = number("E", "modulus of the cover", "GPa", above=0, most=1000)


@calculation("cover-bow", PLATE, Bow, "bow=y@mm bow_limit=y_max@mm")
def cover_bow(w: Working, cover: Bow) -> None:
    """How far a flat cover bows away from the pass plates at its middle, and what is usually allowed."""
    w.take_in(cover)
    bow_lines(w, "y", "P", "E")
    bow_limit(w)
    bowed = "The cover bows away from the pass plates: the ribs of its gasket lose their load and water passes from pass to pass"
    w.limit("y <= y_max", bowed, "RCB-9.21", "warn", TEMA)


def bow_lines(w: Working, symbol: str, pressure: str, modulus: str) -> None:
    """The bow at the middle, from `pressure` and the moment of the studs, W h_G, on the gasket circle."""
    line = f"{symbol} = G/({modulus}*t**3)*(0.0435*G**3*{pressure} + 0.334*W*h_G)"
    w.step(line, "mm", "bow at the middle of the cover", "round plate carried at its edge, ratio 0.3", source=PLATE)


def bow_limit(w: Working) -> None:
    """0.03 in up to 24 in, G/800 above."""
    w.step("y_max = 0.03*inch if G <= 24*inch else G/800", "mm", "bow usually allowed over a pass plate", "RCB-9.21", source=TEMA)
