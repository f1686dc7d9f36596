"""Hydraulic pressure of a stud tensioner: what it pulls so that the load is left when it is let down, and what the stud sees meanwhile."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.joint.grade import grade_problem, grade_word, material, yield_line
from boxup.joint.thread import area_line, area_word, size_word, thread, thread_lines
from boxup.reference.load import source

TENSIONERS = source("tensioner-makers")
TRADE = source("trade")
PULL_MOST = 0.95  # of yield while the tensioner pulls


@dataclass(frozen=True, slots=True, kw_only=True)
class TensionerGiven:
    """Stud, load wanted when the tensioner is off, hydraulic area, and the load loss or the grip to estimate it from."""

    size: str = size_word()
    load: Quantity = number("F", "stud load when the tensioner is off", "N", above=0, most=2e7)
    piston_area: Quantity = number("A_p", "hydraulic area of the tensioner", "mm2", above=0, most=1e6)
    load_loss: Quantity | None = number("k_l", "load applied over load left", "-", optional=True, least=1, most=3)
    grip: Quantity | None = number("l_g", "grip, nut face to nut face", "mm", optional=True, above=0, most=5000)
    area: str = area_word()
    grade: str = grade_word(optional=True)

    def problems(self) -> list[str]:
        found = grade_problem(self.grade, self.size)
        if self.load_loss is None and self.grip is None:
            ask = "the tensioner maker's figure, or the grip it is estimated from"
            found.append(f'load_loss, grip: one of the two is accepted, {ask}: load_loss=1.2 or grip="180 mm"')
        return found


@calculation("tensioner", TENSIONERS, TensionerGiven, "load_loss=k_l@- applied_load=F_a@N applied_stress=S_a@MPa pressure=p_t@MPa")
def tensioner(w: Working, given: TensionerGiven) -> None:
    """Load, stress and hydraulic pressure while a tensioner pulls; no pressure where the grade is given and the stud would be spoilt."""
    w.take_in(given)
    w.words = {label: said for label, said in w.words.items() if said}
    thread_lines(w, thread(given.size))
    area_line(w, given.area)
    if pull_lines(w, given.grade, given.size):
        oil_line(w)


def pull_lines(w: Working, grade: str, size: str) -> bool:
    """`k_l` where it is not given, `F_a`, `S_a`, and against yield `f_a`, from D, A and F. False where the stud would be spoilt."""
    if "k_l" not in w.steps:
        label, note = "load applied over load left (assumed)", "assumed: the maker's figure is not given"
        w.step("k_l = max(1.01 + D/l_g, 1.1)", "-", label, "estimate of tensioner makers", note)
        say = "The load loss is an estimate of common practice, not the tensioner maker's figure: ask for that, or measure the stretch."
        w.say("warn", say, "estimate of tensioner makers")
    w.step("F_a = k_l*F", "kN", "load while the tensioner pulls", "load loss when it is let down")
    w.step("S_a = F_a/A", "MPa", "stud stress while the tensioner pulls", "stress on the area used")
    return _judged(w, grade, size)


def _judged(w: Working, grade: str, size: str) -> bool:
    if not grade:
        w.say("note", "No grade given: the stress while pulling was not compared with the stud's yield strength.", "95 % of yield")
        return True
    yield_line(w, material(grade, thread(size)))
    w.step("f_a = S_a/S_y", "-", "stress while pulling as a fraction of yield", "stud stress over yield strength", source=TRADE)
    w.constant("f_p", "most while pulling", PULL_MOST, "-", w.cite("never above 95 % of yield"))
    say = "While the tensioner pulls, the stud would be too near yield: not to be pulled so. Ask the engineer who set the target"
    return w.limit("f_a <= f_p", say, "never above 95 % of yield")


def oil_line(w: Working) -> None:
    """`p_t` from F_a and A_p; a stop where P_w, the most this tensioner may see, is there and passed."""
    w.step("p_t = F_a/A_p", "bar", "hydraulic pressure of the tensioner", "load over hydraulic area")
    if "P_w" in w.steps:
        say = "The pressure is more than this tensioner may see: do not set it. Take a larger one, or ask the tool room"
        w.limit("p_t <= P_w", say, "most pressure of the tensioner")
