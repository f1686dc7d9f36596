"""One set of studs as a joint or a nozzle gives it: load, torque, fraction of yield; what is not given is named, never guessed."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.finding import Missing
from boxup.core.quantity import BadValue, Quantity
from boxup.core.working import Working
from boxup.exchanger.model import Nozzle, Studs
from boxup.joint.grade import material, yield_limits, yield_line
from boxup.joint.lubricant import factor_hint, far_from_chart
from boxup.joint.thread import Thread, area_line, thread, thread_lines
from boxup.joint.torque import torque_line
from boxup.reference.load import source

PCC_1 = source("asme-pcc-1")


@dataclass(frozen=True, slots=True, kw_only=True)
class StudSet:
    """What one set of studs needs for a number; None or "" where nobody gave it."""

    count: Quantity | None = None
    size: str = ""
    grade: str = ""
    lubricant: str = ""
    nut_factor: Quantity | None = None
    target_stress: Quantity | None = None
    area: str = ""  # root or tensile; nothing said is taken as root, and said so

    @classmethod
    def of(cls, studs: Studs | None) -> StudSet:
        """From [studs.S1]; an empty set where there is none."""
        if studs is None:
            return cls()
        return cls(count=studs.count, size=studs.size, grade=studs.grade, lubricant=studs.lubricant, nut_factor=studs.nut_factor,
                   target_stress=studs.target_stress, area=studs.stress_area)  # fmt: skip

    @classmethod
    def of_nozzle(cls, n: Nozzle) -> StudSet:
        """From [nozzle.N1]."""
        return cls(count=n.studs, size=n.stud_size, grade=n.stud_grade, lubricant=n.lubricant, nut_factor=n.nut_factor,
                   target_stress=n.target_stress, area=n.stress_area)  # fmt: skip

    @property
    def size_refused(self) -> str:
        """Why the size cannot be read, or nothing."""
        try:
            thread(self.size)
        except BadValue as bad:
            return str(bad)
        return ""

    @property
    def strength_refused(self) -> str:
        """Why there is no strength for this grade and size, or nothing."""
        try:
            material(self.grade, thread(self.size))
        except BadValue as bad:
            return str(bad)
        return ""


_ASK: dict[str, tuple[str, str]] = {
    "count": ("total stud load", "count the studs on the flange."),
    "size": ("stud load and torque", "measure a stud across the threads, gauge its thread, and write both: 1-8, M24x3."),
    "grade": ("torque and fraction of yield", "read the grade stamped on the stud's end. No stamp: the stud is not used."),
    "lubricant": ("torque", "write the lubricant as it stands on the tin."),
    "nut_factor": ("torque", "take the nut factor from the data sheet of that very lubricant."),
    "target_stress": ("stud load and torque", "ask the engineer who sets the target stud stress, on which area, and where it is written."),
}


def missing_studs(studs: StudSet, joint: str) -> list[Missing]:
    """What is not given or cannot be read, and what to measure or ask for."""
    absent = {key: said for key, said in _ASK.items() if not getattr(studs, key)}
    found = [
        Missing(f"{number} for {joint} ({key.replace('_', ' ')} not given)", _do(studs, key, do)) for key, (number, do) in absent.items()
    ]
    if studs.size and studs.size_refused:
        found.append(Missing(f"{_ASK['size'][0]} for {joint}", studs.size_refused))
    elif studs.size and studs.grade and studs.strength_refused:
        found.append(Missing(f"{_ASK['grade'][0]} for {joint}", studs.strength_refused))
    return found


def _do(studs: StudSet, key: str, do: str) -> str:
    """What to do about a key that is absent; beside a nut factor, what charts print for that lubricant."""
    return do + factor_hint(studs.lubricant) if key == "nut_factor" else do


def withheld(w: Working, joint: str) -> list[Missing]:
    """The torque that is not given because the stud would yield, from a working `stud_lines` has filled."""
    if "f_y" not in w.steps or w["f_y"] < 1:
        return []
    do = (
        f"at the target the stud would be at {w['f_y'] * 100:.0f} % of yield. Check size and grade on the stud, the target stress and the "
        "area it is on; then ask the engineer who set the target."
    )
    return [Missing(f"torque for {joint}", do)]


def stud_lines(w: Working, studs: StudSet) -> Thread | None:
    """As many lines as the givens allow: D, areas, S_b, A, F, n, S_y, f_y. Returns the thread, or None without a size."""
    w.words = {k: v for k, v in (("stud size", studs.size), ("stud grade", studs.grade), ("lubricant", studs.lubricant)) if v}
    if studs.count is not None:
        w.given("n", "studs", studs.count, "count")
    if studs.size_refused:
        return None
    t = thread(studs.size)
    thread_lines(w, t)
    if studs.target_stress is not None:
        area_line(w, studs.area)
        w.given("S_b", f"target stud stress on {studs.area or 'root'} area", studs.target_stress, "MPa")
        w.step("F = S_b*A", "kN", "load of one stud", "bolt load from bolt stress")
        _judge(w, studs, t)
    return t


def _judge(w: Working, studs: StudSet, t: Thread) -> None:
    if studs.strength_refused:
        return
    yield_line(w, material(studs.grade, t))
    w.step("f_y = S_b/S_y", "-", "stud stress as a fraction of yield", "stud stress over yield strength", source=source("trade"))
    yield_limits(w)


def torque_lines(w: Working, studs: StudSet) -> None:
    """K and T, behind what `stud_lines` wrote.

    The torque is withheld until count, size, grade, lubricant, nut factor and target are all there, and where the stud would yield:
    a torque that nobody could judge against yield, or that breaks the stud, is not handed to a crew.
    """
    judged = "f_y" in w.steps and w["f_y"] < 1
    if judged and studs.lubricant and studs.nut_factor is not None and studs.count is not None:
        w.given("K", f"nut factor, {studs.lubricant}", studs.nut_factor, "-")
        far_from_chart(w, studs.lubricant, studs.nut_factor.si)
        torque_line(w)
