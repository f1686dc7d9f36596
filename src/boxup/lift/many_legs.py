"""Three or four legs from one hook: two of them are taken to carry all, unless something makes them share."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number, word
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.lift.sling import LEAST_ANGLE
from boxup.reference.load import source

STATICS, PRACTICE = source("statics"), source("lifting-practice")


@dataclass(frozen=True, slots=True, kw_only=True)
class ManyLegs:
    """Legs alike, evenly round the hook. `equalised`: by a beam or sheaves that let them share, not by slings of one length."""

    weight: Quantity = number("W", "weight", "N", above=0, most=1e8, mass_too=True)
    legs: Quantity = number("n", "legs", "count", least=2, most=4)
    out: Quantity = number("d", "pick to hook, level", "m", least=0, most=1000)
    height: Quantity = number("h", "hook over the picks", "m", above=0, most=1000)
    equalised: str = word("whether something makes the legs share", ("no", "yes"), default="no")

    def problems(self) -> list[str]:
        return [f"legs: {self.legs.typed!r} is not a whole number; accepted: 2, 3 or 4"] if self.legs.si != round(self.legs.si) else []


@calculation("several-legs", STATICS, ManyLegs, "tension=T@N angle=theta@deg carrying=n_c")
def several_legs(w: Working, given: ManyLegs) -> None:
    """Pull in the leg that is pulled hardest."""
    w.take_in(given)
    if given.equalised == "yes":
        w.step("n_c = n", "count", "legs that carry", "they are made to share", source=PRACTICE)
    else:
        w.step("n_c = min(n, 2)", "count", "legs that carry", "two carry all: no four slings are of one length", source=PRACTICE)
    w.step("L = hypot(d, h)", "m", "leg, hook to pick", "right triangle")
    w.step("T = W/n_c*L/h", "kN", "pull in a leg", "force along the leg")
    w.step("theta = acos(d/L)", "deg", "leg from the horizontal", "right triangle")
    w.constant("theta_min", "least angle from the horizontal", LEAST_ANGLE, "deg", w.cite("no leg below 30°", PRACTICE))
    w.limit("theta >= theta_min", "The legs are too flat. Longer slings or a spreader", "no leg below 30°", source=PRACTICE)
