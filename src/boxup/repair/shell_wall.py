"""The wall of a shell or channel: the least thickness its pressure asks for, and how long a corroding wall lasts.

The thickness to compare with is measured, at its thinnest, by somebody entitled to; inspector and engineer decide what follows.
"""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.reference.load import source

UG_27 = source("asme-viii-1-ug-27")
API_510 = source("api-510")
LONGEST = 10.0  # years between internal looks, whatever the life


@dataclass(frozen=True, slots=True, kw_only=True)
class Cylinder:
    """A cylinder under pressure from inside. `radius` is the inside radius as it is now, corroded."""

    radius: Quantity = number("R", "inside radius, corroded", "mm", above=0, most=2e4)
    pressure: Quantity = number("P", "pressure inside, gauge", "MPa", above=0, most=1000)
    stress: Quantity = number("S", "allowable stress of the wall", "MPa", above=0, most=3000)
    efficiency: Quantity = number("E", "joint efficiency of the long seam", "-", above=0, most=1)
    round_efficiency: Quantity | None = number("E_c", "joint efficiency of the round seams", "-", optional=True, above=0, most=1)

    def problems(self) -> list[str]:
        """A pressure past the range of the thin-wall formula."""
        most = 0.385 * self.stress.si * self.efficiency.si
        if self.pressure.si <= most:
            return []
        text = f"{self.pressure.typed!r} is over 0.385 S E, {most / 1e6:.4g} MPa, past which this formula does not hold"
        return [f"pressure: {text}; accepted: less (a thicker wall is worked by ASME VIII-1 Appendix 1)"]


@calculation("shell-thickness", UG_27, Cylinder, "thickness=t@mm")
def shell_thickness(w: Working, wall: Cylinder) -> None:
    """The least thickness of a cylinder for a pressure from inside, corrosion not included."""
    w.take_in(wall)
    if wall.round_efficiency is None:
        w.assumed("E_c", "joint efficiency of the round seams", wall.efficiency.si, "-", "the same as of the long seam: not given")
    w.step("t_l = P*R/(S*E - 0.6*P)", "mm", "for the long seam", "UG-27(c)(1)")
    w.step("t_c = P*R/(2*S*E_c + 0.4*P)", "mm", "for the round seams", "UG-27(c)(2)")
    w.step("t = max(t_l, t_c)", "mm", "least thickness, corrosion not included", "UG-27(c), the greater")
    thick = "The wall is over half the radius: this formula does not hold. Ask the engineer"
    w.limit("t <= R/2", thick, "UG-27(c)")
    say = (
        "Pressure alone: saddles, nozzles, wind, outside pressure and the least thickness of the code or of TEMA may ask for more. "
        "The drawing's least thickness, the inspector and the engineer decide."
    )
    w.say("note", say, "UG-22, UG-16")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wasting:
    """A wall that grows thinner: as measured now, as it must be, and how fast it goes."""

    now: Quantity = number("t_a", "thickness as measured, at its thinnest", "mm", above=0, most=2000)
    required: Quantity = number("t_r", "thickness it must have", "mm", above=0, most=2000)
    rate: Quantity = number("r", "loss in a year, the worse of short and long term", "mm/yr", above=0, most=100)


@calculation("remaining-life", API_510, Wasting, "life=L_r@years interval=I@years")
def remaining_life(w: Working, wall: Wasting) -> None:
    """How long the wall lasts at that rate, and the longest time to the next internal look."""
    w.take_in(wall)
    thin = "It is thinner than it must be already: not to be closed up on this figure. The inspector and the engineer decide"
    w.limit("t_a >= t_r", thin, "7.2")
    w.constant("I_max", "longest interval, whatever the life", LONGEST, "years", w.cite("6.5.1"))
    w.step("L_r = max(t_a - t_r, 0*mm)/r", "years", "remaining life", "7.2.1")
    w.step("I = min(L_r/2, I_max)", "years", "longest time to the next internal look", "6.5.1: half the life, never over ten years")
    say = (
        "A rate read off two measurements is no better than they are; pits, cracks and local loss are other questions. "
        "The inspector sets the interval."
    )
    w.say("note", say, "6.5, 7.1")
