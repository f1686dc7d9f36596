"""A torque somebody typed, judged for the very studs it is meant for: what it puts into them, against yield and against the target."""

from __future__ import annotations

from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.exchanger.model import Studs
from boxup.joint.grade import material, yield_limits, yield_line
from boxup.joint.studs import PCC_1, StudSet
from boxup.joint.thread import area_line, thread, thread_lines
from boxup.reference.load import source

TRADE = source("trade")
APART = 0.10  # of the target; more is another torque, not rounding


def typed_torque(studs: Studs, torque: Quantity) -> Working | None:
    """The working, with a finding where the torque belongs to another joint; None where size or nut factor is not given.

    Symbols: F (stud load), S_b (stud stress), f_y (of yield, with the grade), r (share of the target, with the target).
    """
    given = StudSet.of(studs)
    if given.size_refused or given.nut_factor is None:
        return None
    w = Working(f"torque typed for {studs.id}", PCC_1)
    w.given("T", "torque as typed", torque, "N.m")
    w.given("K", f"nut factor, {given.lubricant or 'lubricant not given'}", given.nut_factor, "-")
    t = thread(given.size)
    thread_lines(w, t)
    area_line(w, given.area)
    w.step("F = T/(K*D)", "kN", "load of one stud", "T = K D F")
    w.step("S_b = F/A", "MPa", "stud stress", "stress on the area used")
    if not given.strength_refused:
        yield_line(w, material(given.grade, t))
        w.step("f_y = S_b/S_y", "-", "stud stress as a fraction of yield", "stud stress over yield strength", source=TRADE)
        yield_limits(w)
    if given.target_stress is not None:
        w.given("S_t", "target stud stress", given.target_stress, "MPa")
        w.step("r = S_b/S_t", "-", "share of the target", "typed against target", source=TRADE)
        w.constant("r_off", "most it may differ", APART, "-", w.cite("typed against target", TRADE))
        say = "This torque is not the one for these studs. Was it copied from another joint?"
        w.limit("abs(r - 1) <= r_off", say, "typed against target", source=TRADE)
    return w
