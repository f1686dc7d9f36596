"""A torque that was typed for a pass, held against the card of the joint: what is far off is told before it is on record.

The range of each pass is wide, for a wrench has its least setting and a site its own steps; what is found is a slip of the hand or of the
unit, not a fine judgement of the load.
"""

from __future__ import annotations

from boxup.core.finding import Finding
from boxup.core.rounding import both
from boxup.job.numbers import Numbers
from boxup.joint.assembly import JointAnswer
from boxup.joint.nozzle import NozzleAnswer

# Shares of the final torque, common practice: snug at most 20 to 30 %, first 20 to 40, second 50 to 80, then all of it.
SNUG, FULL = (0.0, 0.30), (0.95, 1.05)
RANGES = {"four snug": SNUG, "all snug": SNUG, "pass 1": (0.15, 0.40), "pass 2": (0.45, 0.80)}
IN_POUND_FEET = 1.3558  # N.m in a lbf.ft


def final_torque(numbers: Numbers, joint: str) -> float | None:
    """The torque of the card for the studs of a joint or nozzle, N.m; None where the card has none."""
    answers: list[JointAnswer | NozzleAnswer] = [a for a in numbers.joints if joint in (a.joint, a.with_joint)]
    answers += [a for a in numbers.nozzles if a.nozzle == joint]
    found = next((a.torque for a in answers if a.torque), None)
    return found.si if found else None


def off_the_card(joint: str, name: str, torque: float, final: float | None) -> Finding | None:
    """What speaks against a torque, N.m, typed for a pass of that name; None where nothing does, or where the card has no torque."""
    if final is None:
        return None
    low, high = RANGES.get(name, FULL)
    if low * final <= torque <= high * final:
        return None
    said = f"{joint}, {name}: {both('torque', torque)} is {torque / final:.0%} of the {both('torque', final)} on the card"
    want = f"{both('torque', low * final)} to {both('torque', high * final)}" if low else f"at most {both('torque', high * final)}"
    swapped = _swapped(torque, low * final, high * final)
    return Finding("stop", f"{said}; for this pass {want}{swapped}. Look at the wrench and at the card", "common practice")


def _swapped(torque: float, low: float, high: float) -> str:
    """Whether the other unit would make sense of it."""
    if torque > high and low <= torque / IN_POUND_FEET <= high:
        return "; is the unit lbf·ft, and the figure one of N·m"
    if torque < low and low <= torque * IN_POUND_FEET <= high:
        return "; is the unit N·m, and the figure one of lbf·ft"
    return ""
