"""Pulling and pushing a bundle: the force friction and slope ask for, and the force at which to stop and look."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.reference.load import source

STATICS = source("statics")
PRACTICE = source("lifting-practice")


@dataclass(frozen=True, slots=True, kw_only=True)
class InsertionPull:
    """Weight of the bundle, friction on its bars, slope of the shell (uphill +)."""

    weight: Quantity = number("W", "weight", "N", above=0, most=1e8, mass_too=True)
    friction: Quantity = number("mu", "friction", "-", least=0, most=2)
    slope: Quantity | None = number("alpha", "slope, uphill +", "deg", optional=True, least=-45, most=45)


@calculation("insertion-pull", PRACTICE, InsertionPull, "pull=F@N stop_at=F_stop@N")
def insertion_pull(w: Working, given: InsertionPull) -> None:
    """The pull expected, and the pull at which to stop. A negative pull is what must hold the bundle back."""
    w.take_in(given)
    if given.slope is None:
        w.assumed("alpha", "slope, uphill +", 0.0, "deg", "level: not given")
    w.step("F = W*(mu*cos(alpha) + sin(alpha))", "kN", "pull expected", "friction and slope", source=STATICS)
    w.step(
        "F_stop = min(1.25*F, 0.5*W) if F > 0*kN else 0*kN", "kN", "stop and look at", "a quarter over the pull, never over half the weight"
    )
    _downhill(w)
    if w["F"] > 0:
        say = "The pull expected is over half the weight: clean and grease the bars, or find what binds, before pulling"
        if w.limit("F <= 0.5*W", say, "half the weight"):
            near = (
                "With this friction the pull expected reaches, or all but reaches, the pull to stop at: no margin is left. Find out the "
                "friction and the weight; clean and grease the bars, or put rollers under it; the engineer decides what pull is allowed"
            )
            w.limit("F < 0.95*F_stop", near, "force expected against force to stop at", "warn", bare=True)


def _downhill(w: Working) -> None:
    if w["F"] <= 0:
        say = (
            "Nothing holds the bundle: on this slope it runs away by itself. Rig a hold-back before it is let go; any pull means it binds."
        )
        w.say("stop", say, "slope over friction")
    elif w["alpha"] < 0:
        w.say("warn", "Downhill: with less friction than given the bundle may run away. Rig a hold-back.", "slope over friction")
