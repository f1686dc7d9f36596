"""Parts lifted on their own: channel, covers, floating head. Mass with its allowance, load on the hook, and what the gear's tags say."""

from __future__ import annotations

from boxup.core.finding import Missing
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.exchanger.lifting import Crane, Gear
from boxup.lift.answer import LiftAnswer
from boxup.lift.crane import crane_load, lifts
from boxup.lift.gear import PRACTICE, STATICS, gear_for_part, gravity, is_leg_gear, say_not_safe, say_unheld
from boxup.lift.tags import check_tag

# What is added to a mass for lifting, by how well it is known. Weighed: nothing. Common practice.
ALLOWANCE = {"measured": 1.0, "drawing": 1.10, "entered": 1.10, "assumed": 1.25, "memory": 1.25}


def head_lift(
    what: str, mass: Quantity | None, gear: tuple[Gear, ...], *, lift_mass: Quantity | None = None, crane: Crane | None = None,
) -> LiftAnswer:  # fmt: skip
    """One part on one hook. `what` in the trade's words, such as "channel cover"; the gear is what the file says is for it.

    `lift_mass`: the mass to plan on where somebody has put the allowance on already; else it goes by how well `mass` is known.

    `crane`: where it lifts this part, its load is held against its chart.
    Symbols: m, k (allowance), m_l, W. Slings at an angle pull more than their share: each of two legs is checked as at the least angle
    allowed, 30 degrees, where it pulls as much as the whole weight.
    """
    w = Working(f"lift of the {what}", PRACTICE)
    if mass is None:
        return LiftAnswer(what, w, (Missing(f"load on the hook for the {what}", "weigh it, or take its mass from the drawing."),))
    w.given("m", f"mass of the {what}", mass, "kg")
    gravity(w)
    if lift_mass is not None:
        w.given("m_l", "mass to plan on, allowance included", lift_mass, "kg")
        w.limit("m_l >= m", "The mass to plan on is less than the mass itself: look again", "mass with its allowance")
    else:
        w.constant(
            "k", f"allowance on a mass that is {mass.grade}", ALLOWANCE[mass.grade], "-", w.cite("none weighed, 10 % drawing, 25 % guessed")
        )
        w.step("m_l = k*m", "kg", "mass to plan on", "mass with its allowance")
    w.step("W = m_l*g_n", "kN", "load on the hook, slings not counted", "weight", source=STATICS)
    say_unheld(w, gear)
    missing = crane_load(w, crane, w.steps["m_l"], what) if crane and lifts(crane, what) else []
    mine = gear_for_part(gear, what)
    if not mine:
        missing.append(Missing(f"capacity of the gear for the {what}", "list it with the capacity on its tag. No tag, no lift."))
        return LiftAnswer(what, w, tuple(missing))
    say_not_safe(w)
    missing += [m for g in mine for m in check_tag(w, g, w.steps["W"], _carries(g), whole=True)]
    return LiftAnswer(what, w, tuple(missing))


def _carries(g: Gear) -> str:
    if g.legs or not is_leg_gear(g):
        return "whole weight"
    return "whole weight: one straight leg, or each of two at 30° from the horizontal"
