"""Torque and stud load: by nut factor (short form) and by friction of thread and nut face (long form)."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.joint.grade import grade_problem, grade_word, material, yield_limits, yield_line
from boxup.joint.thread import area_line, area_word, size_word, thread, thread_lines
from boxup.reference.load import source

PCC_1 = source("asme-pcc-1")
TRADE = source("trade")
B7_GUIDES = source("b7-torque-guides")
_SAME_LOAD = "Torque at the same load goes with the nut factor: another tin, another torque."


def _nut_factor() -> Quantity:
    return number("K", "nut factor", "-", above=0, most=1)  # type: ignore[no-any-return]


@dataclass(frozen=True, slots=True, kw_only=True)
class TorqueGiven:
    """Stud, load or stress, nut factor. With the grade, the stress is judged against yield."""

    size: str = size_word()
    load: Quantity | None = number("F", "stud load", "N", optional=True, above=0, most=2e7)
    stress: Quantity | None = number("S_b", "stud stress", "MPa", optional=True, above=0, most=3000)
    nut_factor: Quantity = _nut_factor()
    area: str = area_word()
    grade: str = grade_word(optional=True)

    def problems(self) -> list[str]:
        found = grade_problem(self.grade, self.size)
        if (self.load is None) == (self.stress is None):
            found.append('load, stress: exactly one of the two is accepted, for example load="134.8 kN" or stress="345 MPa"')
        return found


@calculation("torque", PCC_1, TorqueGiven, "load=F@N stress=S_b@MPa torque=T@N.m")
def torque(w: Working, given: TorqueGiven) -> None:
    """Torque for a stud load by the nut factor; none where the grade is given and the stud would yield."""
    take_stud(w, given, given.size, given.area)
    if given.load is not None:
        w.step("S_b = F/A", "MPa", "stud stress", "stress on the area used")
    else:
        w.step("F = S_b*A", "kN", "stud load", "stress on the area used")
    if judge(w, given.grade, given.size):
        torque_line(w)


@dataclass(frozen=True, slots=True, kw_only=True)
class PreloadGiven:
    """Stud, torque, nut factor: what the torque puts into the stud."""

    size: str = size_word()
    torque: Quantity = number("T", "torque", "N.m", above=0, most=1e6)
    nut_factor: Quantity = _nut_factor()
    area: str = area_word()
    grade: str = grade_word(optional=True)

    def problems(self) -> list[str]:
        return grade_problem(self.grade, self.size)


@calculation("preload", PCC_1, PreloadGiven, "load=F@N stress=S_b@MPa")
def preload(w: Working, given: PreloadGiven) -> None:
    """The stud load a torque gives."""
    take_stud(w, given, given.size, given.area)
    w.step("F = T/(K*D)", "kN", "stud load", "T = K D F")
    w.step("S_b = F/A", "MPa", "stud stress", "stress on the area used")
    nut_factor_limits(w)
    judge(w, given.grade, given.size)


@dataclass(frozen=True, slots=True, kw_only=True)
class FrictionGiven:
    """Stud, load, friction of thread and nut face, and where the nut bears."""

    size: str = size_word()
    load: Quantity = number("F", "stud load", "N", above=0, most=2e7)
    thread_friction: Quantity = number("mu_t", "friction in the thread", "-", above=0, most=1)
    nut_friction: Quantity = number("mu_n", "friction under the nut", "-", above=0, most=1)
    bearing_od: Quantity | None = number("d_o", "outside of the nut's bearing face", "mm", optional=True, above=0, most=1000)
    hole: Quantity | None = number("d_i", "hole under the nut", "mm", optional=True, above=0, most=1000)

    def problems(self) -> list[str]:
        d = thread(self.size).diameter
        hole = d + 0.003175 if self.hole is None else self.hole.si
        found = []
        if hole < d:
            found.append(f"hole: {self.hole.typed!r} is smaller than the stud {self.size}; accepted: more than {d * 1e3:.4g} mm")  # type: ignore[union-attr]
        if self.bearing_od is not None and self.bearing_od.si <= hole:
            found.append(f"bearing_od: {self.bearing_od.typed!r} leaves no bearing face; accepted: more than the hole, {hole * 1e3:.4g} mm")
        return found


@calculation("torque-friction", PCC_1, FrictionGiven, "torque=T@N.m nut_factor=K@-")
def torque_friction(w: Working, given: FrictionGiven) -> None:
    """Torque by the friction of thread and nut face, and the nut factor it amounts to."""
    t = thread(given.size)
    w.take_in(given)
    thread_lines(w, t)
    if given.bearing_od is None:
        w.step("d_o = 1.5*D + 0.125*inch", "mm", "outside of the bearing face (assumed)", "heavy hex nut", "assumed: not given")
    if given.hole is None:
        w.step("d_i = D + 0.125*inch", "mm", "hole under the nut (assumed)", "usual stud hole", "assumed: not given")
    w.step("D_e = (d_o + d_i)/2", "mm", "effective bearing diameter", "nut friction on the mean diameter")
    w.step("T = F/2*(p/pi + mu_t*d_2/cos(pi/6) + mu_n*D_e)", "N.m", "torque", "long form: pitch, thread friction, nut friction")
    w.step("K = T/(D*F)", "-", "nut factor this amounts to", "T = K D F")


def take_stud(w: Working, given: object, size: str, area: str) -> None:
    """The givens, the thread and the area used; words nobody gave are left out."""
    w.take_in(given)
    w.words = {label: said for label, said in w.words.items() if said}
    thread_lines(w, thread(size))
    area_line(w, area)


def torque_line(w: Working) -> None:
    """`T = K D F`."""
    w.step("T = K*D*F", "N.m", "torque", "T = K D F")
    nut_factor_limits(w)


def nut_factor_limits(w: Working) -> None:
    """Warn where a nut factor lies outside what any lubricant chart we saw prints (0.10 moly paste to 0.30 dry)."""
    say = f"The nut factor is outside what lubricant charts print, 0.10 to 0.30. {_SAME_LOAD} Check the figure on the tin"
    if w.limit("K >= 0.1", say, "nut factor by lubricant", "warn", B7_GUIDES):
        w.limit("K <= 0.3", say, "nut factor by lubricant", "warn", B7_GUIDES)


def judge(w: Working, grade: str, size: str) -> bool:
    """Against yield where the grade is given; else say that it was not. False where the stud would yield."""
    if not grade:
        w.say("note", "No grade given: this stress was not compared with the stud's yield strength.", "40 to 70 % of yield", TRADE)
        return True
    yield_line(w, material(grade, thread(size)))
    w.step("f_y = S_b/S_y", "-", "stud stress as a fraction of yield", "stud stress over yield strength", source=TRADE)
    return yield_limits(w)
