"""Two sling legs from one hook to level picks, the centre of gravity under the hook."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.reference.load import source

STATICS = source("statics")
PRACTICE = source("lifting-practice")
LEAST_ANGLE = 30.0  # degrees from the horizontal; a leg lower than that pulls more than twice its share


@dataclass(frozen=True, slots=True, kw_only=True)
class SlingLegs:
    """Weight, how far each pick lies from the hook along the level, and the hook's height over the picks."""

    weight: Quantity = number("W", "weight", "N", above=0, most=1e8, mass_too=True)
    left: Quantity = number("d_1", "left pick to hook, level", "m", least=0, most=1000)
    right: Quantity = number("d_2", "right pick to hook, level", "m", least=0, most=1000)
    height: Quantity = number("h", "hook over the picks", "m", above=0, most=1000)

    def problems(self) -> list[str]:
        if self.left.si == 0 and self.right.si == 0:
            return ["left, right: both picks under the hook are one pick; accepted: at least one of them away from it"]
        return []


ANSWERS = "left_tension=T_1@N right_tension=T_2@N left_share=R_1@N right_share=R_2@N left_angle=theta_1@deg right_angle=theta_2@deg"


@calculation("sling-legs", STATICS, SlingLegs, ANSWERS)
def sling_legs(w: Working, given: SlingLegs) -> None:
    """Share, tension and angle of each leg."""
    w.take_in(given)
    shares(w)
    legs(w)


Names = tuple[str, str]


def shares(w: Working, names: Names = ("left", "right")) -> None:
    """R_1 and R_2, what hangs on each pick, from W, d_1 and d_2."""
    one, other = names
    w.step("R_1 = W*d_2/(d_1 + d_2)", "kN", f"share on the {one} pick", f"moments about the {other} pick", source=STATICS)
    w.step("R_2 = W*d_1/(d_1 + d_2)", "kN", f"share on the {other} pick", f"moments about the {one} pick", source=STATICS)


def legs(w: Working, names: Names = ("left", "right")) -> None:
    """Length, tension and angle of each leg from R_1, R_2, d_1, d_2 and h; a leg below 30 degrees is a stop."""
    w.constant("theta_min", "least angle from the horizontal", LEAST_ANGLE, "deg", w.cite("no leg below 30°", PRACTICE))
    for x, side in zip("12", names, strict=True):
        w.step(f"L_{x} = hypot(d_{x}, h)", "m", f"{side} leg, hook to pick", "right triangle", source=STATICS)
        w.step(f"T_{x} = R_{x}*L_{x}/h", "kN", f"pull in the {side} leg", "force along the leg", source=STATICS)
        w.step(f"theta_{x} = acos(d_{x}/L_{x})", "deg", f"{side} leg from the horizontal", "right triangle", source=STATICS)
        say = f"The {side} leg is too flat. Longer slings or a spreader"
        w.limit(f"theta_{x} >= theta_min", say, "no leg below 30°", source=PRACTICE)
