"""Two legs that are not alike: picks at different heights, and slings of given length, which say how the piece hangs."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.lift.sling import LEAST_ANGLE
from boxup.reference.load import source

STATICS, PRACTICE = source("statics"), source("lifting-practice")
LEVEL = 1.0  # degrees out of level from which a bundle is hung anew
SIDES = (("1", "left"), ("2", "right"))


@dataclass(frozen=True, slots=True, kw_only=True)
class UnevenLegs:
    """Weight under the hook; how far each pick lies from the hook along the level, and how far below it."""

    weight: Quantity = number("W", "weight", "N", above=0, most=1e8, mass_too=True)
    left: Quantity = number("d_1", "left pick to hook, level", "m", least=0, most=1000)
    right: Quantity = number("d_2", "right pick to hook, level", "m", least=0, most=1000)
    left_height: Quantity = number("h_1", "hook over the left pick", "m", above=0, most=1000)
    right_height: Quantity = number("h_2", "hook over the right pick", "m", above=0, most=1000)

    def problems(self) -> list[str]:
        if self.left.si == 0 and self.right.si == 0:
            return ["left, right: both picks under the hook are one pick; accepted: at least one of them away from it"]
        return []


PULLS = "left_tension=T_1@N right_tension=T_2@N left_angle=theta_1@deg right_angle=theta_2@deg"


@calculation("uneven-legs", STATICS, UnevenLegs, PULLS + " left_length=L_1 right_length=L_2")
def uneven_legs(w: Working, given: UnevenLegs) -> None:
    """Tension and angle of each leg with the picks at different heights; the centre of gravity under the hook."""
    w.take_in(given)
    for x, side in SIDES:
        w.step(f"L_{x} = hypot(d_{x}, h_{x})", "m", f"{side} leg, hook to pick", "right triangle")
        w.step(f"theta_{x} = acos(d_{x}/L_{x})", "deg", f"{side} leg from the horizontal", "right triangle")
    for x, other, side in (("1", "2", "left"), ("2", "1", "right")):
        line = f"T_{x} = W*cos(theta_{other})/sin(theta_1 + theta_2)"
        w.step(line, "kN", f"pull in the {side} leg", "three forces through the hook")
    _not_flat(w)


def _not_flat(w: Working) -> None:
    w.constant("theta_min", "least angle from the horizontal", LEAST_ANGLE, "deg", w.cite("no leg below 30°", PRACTICE))
    for x, side in SIDES:
        say = f"The {side} leg is too flat. Longer slings or a spreader"
        w.limit(f"theta_{x} >= theta_min", say, "no leg below 30°", source=PRACTICE)


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenSlings:
    """A piece on two slings as they are. Places along it from the left pick; `below`: centre of gravity under the line of the picks."""

    weight: Quantity = number("W", "weight", "N", above=0, most=1e8, mass_too=True)
    between: Quantity = number("s", "between the picks", "m", above=0, most=1000)
    left_sling: Quantity = number("L_1", "left sling", "m", above=0, most=1000)
    right_sling: Quantity = number("L_2", "right sling", "m", above=0, most=1000)
    gravity: Quantity = number("x_c", "centre of gravity from the left pick", "m", least=0, most=1000)
    below: Quantity | None = number("e", "centre of gravity under the line of the picks", "m", optional=True, least=0, most=100)

    def problems(self) -> list[str]:
        s, one, two = self.between.si, self.left_sling.si, self.right_sling.si
        if one + two <= s or abs(one - two) >= s:
            said = f"{self.left_sling.typed} and {self.right_sling.typed} do not meet over picks {self.between.typed} apart"
            return [f"left_sling, right_sling: {said}; accepted: together longer than that, and apart in length by less"]
        return []


@calculation("hang", STATICS, GivenSlings, PULLS + " tilt=phi@deg level=x_h@m height=y_h@m")
def hang(w: Working, given: GivenSlings) -> None:
    """How far out of level it hangs (+ the right end low) and what each sling pulls; the hook comes over the centre of gravity."""
    w.take_in(given)
    if given.below is None:
        w.assumed("e", "centre of gravity under the line of the picks", 0, "m", "not given; lower hangs nearer to level")
    w.step("x_h = (L_1**2 - L_2**2 + s**2)/(2*s)", "m", "foot of the hook on the line of the picks", "triangle of two slings")
    w.step("y_h = sqrt(L_1**2 - x_h**2)", "m", "hook over the line of the picks", "right triangle")
    w.step("phi = atan((x_c - x_h)/(y_h + e))", "deg", "out of level, + right end low", "hook over the centre of gravity")
    w.step("n = hypot(x_c - x_h, y_h + e)", "m", "hook to centre of gravity", "right triangle")
    w.step("T_1 = W*L_1*((y_h + e)*(s - x_h) - y_h*(x_c - x_h))/(n*y_h*s)", "kN", "pull in the left sling", "moments about the right pick")
    w.step("T_2 = W*L_2*((y_h + e)*x_h + y_h*(x_c - x_h))/(n*y_h*s)", "kN", "pull in the right sling", "moments about the left pick")
    w.step("theta_1 = asin(sin(acos(x_h/L_1) - phi))", "deg", "left sling from the horizontal", "as it hangs")
    w.step("theta_2 = asin(sin(acos((s - x_h)/L_2) + phi))", "deg", "right sling from the horizontal", "as it hangs")
    slack = [
        w.limit(f"T_{x} > 0*kN", f"The {side} sling goes slack: the piece turns. Move the picks", "both slings pull") for x, side in SIDES
    ]
    if all(slack):
        _not_flat(w)
    w.constant("phi_max", "out of level from which it is hung anew", LEVEL, "deg", w.cite("level before it moves off", PRACTICE))
    w.limit("abs(phi) <= phi_max", "It hangs out of level: other slings, a turnbuckle, or move the hook", "level", "warn", PRACTICE)
