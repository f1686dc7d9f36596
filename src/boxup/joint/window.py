"""The window of a joint: the least and the most stud stress that every part of it takes, and who says so. ASME PCC-1 Appendix O.

One gasket as a single calculation here; a whole joint, both gaskets of its studs and its flanges, in `joint_window.py`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from boxup.core.calculation import calculation, number
from boxup.core.quantity import Quantity
from boxup.core.rounding import both
from boxup.core.working import Step, Working
from boxup.joint.girth import stud_count
from boxup.joint.grade import grade_problem, grade_word, material
from boxup.joint.thread import area_line, area_word, size_word, thread, thread_lines
from boxup.joint.torque import torque_line
from boxup.reference.load import source

PCC_1 = source("asme-pcc-1")
APP_O = "App. O"
End = Literal["low", "high"]


@dataclass(frozen=True, slots=True)
class Limit:
    """One limit on the stud stress: which end of the window, who sets it, and the line that gave it."""

    end: End
    who: str
    step: Step
    by_practice: bool = False  # a usual figure nobody gave for this joint: it warns, it does not stop
    careful: bool = False  # a closed form on the careful side: it stops, but the engineer's torque is not taken away for it


def governing(limits: Sequence[Limit], end: End) -> Limit:
    """The limit that holds at that end: the highest of the low ones, the lowest of the high ones; the first of two alike."""
    of_end = [limit for limit in limits if limit.end == end]
    return max(of_end, key=lambda x: x.step.si) if end == "low" else min(of_end, key=lambda x: x.step.si)


def ends(w: Working, limits: Sequence[Limit]) -> tuple[Step, Step]:
    """`S_low` and `S_up` from the limits, whose symbols are in `w`."""
    low, high = ([limit.step.symbol for limit in limits if limit.end == end] for end in ("low", "high"))
    line = f"S_low = max({', '.join(low)})" if len(low) > 1 else f"S_low = {low[0]}"
    lower = w.step(line, "MPa", "least stud stress", f"{APP_O}, largest of the low limits", source=PCC_1)
    line = f"S_up = min({', '.join(high)})" if len(high) > 1 else f"S_up = {high[0]}"
    return lower, w.step(line, "MPa", "most stud stress", f"{APP_O}, smallest of the high limits", source=PCC_1)


def no_load(low: Limit, high: Limit) -> str:
    """What is said where no stud stress satisfies both ends."""
    need, stand = both("stress", low.step.si), both("stress", high.step.si)
    return (
        f"No stud load satisfies every limit: {low.who} needs at least {need}, {high.who} takes at most {stand}. "
        "No torque cures this: another gasket, other studs or a lower pressure; ask the engineer"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class WindowGiven:
    """One gasket, one set of studs, and what each part takes. Stud stresses are on root area unless area=tensile."""

    gasket_area: Quantity = number("A_g", "gasket area: ring and half the ribs", "mm2", above=0, most=1e8)
    gasket_id: Quantity = number("G_i", "inside of the sealing element", "mm", above=0, most=2e4)
    bolts: Quantity = number("n", "studs", "count", least=4, most=1000)
    size: str = size_word()
    pressure: Quantity = number("P", "highest pressure, gauge", "MPa", least=0, most=1000)
    gasket_target: Quantity = number("S_gT", "gasket stress aimed at", "MPa", above=0, most=3000)
    gasket_min_seating: Quantity = number("S_gminS", "least gasket stress at assembly", "MPa", least=0, most=3000)
    gasket_min_operating: Quantity = number("S_gminO", "least gasket stress under pressure", "MPa", least=0, most=3000)
    gasket_max: Quantity = number("S_gmax", "most gasket stress", "MPa", above=0, most=3000)
    retained_fraction: Quantity = number("phi_g", "share of its load the gasket keeps", "-", above=0, most=1)
    bolt_min: Quantity = number("S_bmin", "least stud stress the site works to", "MPa", least=0, most=3000)
    bolt_max: Quantity = number("S_bmax", "most stud stress the site works to", "MPa", above=0, most=3000)
    flange_max: Quantity | None = number("S_fmax", "most stud stress the flanges take", "MPa", above=0, most=3000, optional=True)
    nut_factor: Quantity = number("K", "nut factor", "-", above=0, most=1)
    area: str = area_word()
    grade: str = grade_word(optional=True)

    def problems(self) -> list[str]:
        found = stud_count("bolts", self.bolts) + grade_problem(self.grade, self.size)
        if self.grade and not found and self.bolt_max.si > (strength := material(self.grade, thread(self.size)).need("yield_strength")):
            text = f"{self.bolt_max.typed!r} is above the yield strength of {self.grade}, {strength / 1e6:.0f} MPa"
            found.append(f"bolt_max: {text}: the stud would stay longer; accepted: less")
        return found


@calculation("assembly-window", PCC_1, WindowGiven, "lower=S_low upper=S_up target=S_t torque=T@N.m load=F@N")
def assembly_window(w: Working, given: WindowGiven) -> dict[str, tuple[Any, str]]:
    """Least and most stud stress, who governs, and the target between them; no target where there is no window."""
    w.take_in(given)
    w.words = {label: said for label, said in w.words.items() if said}
    thread_lines(w, thread(given.size))
    area_line(w, given.area)
    limits = _limits(w)
    ends(w, limits)
    low, high = governing(limits, "low"), governing(limits, "high")
    feasible = w.limit("S_low <= S_up", no_load(low, high), APP_O, bare=True)
    w.step("S_1 = S_gT*A_g/(n*A)", "MPa", "stud stress for the gasket stress aimed at", "App. O, (O-1)")
    if feasible:
        _target(w, low, high)
    return {"governing_low": (low.who, "-"), "governing_high": (high.who, "-"), "feasible": (feasible, "-")}


def _limits(w: Working) -> list[Limit]:
    seat = w.step("S_s = S_gminS*A_g/(n*A)", "MPa", "stud stress that seats the gasket", "App. O, (O-6)")
    line = "S_o = (S_gminO*A_g + pi/4 * P * G_i**2)/(phi_g*n*A)"
    hold = w.step(line, "MPa", "stud stress that keeps it tight once relaxed", "App. O, (O-7)")
    crush = w.step("S_x = S_gmax*A_g/(n*A)", "MPa", "stud stress that crushes the gasket", "App. O, (O-8)")
    found = [
        Limit("low", "least stud stress", w.steps["S_bmin"]),
        Limit("low", "gasket seating", seat),
        Limit("low", "gasket in operation", hold),
        Limit("high", "most stud stress", w.steps["S_bmax"]),
        Limit("high", "gasket crushing", crush),
    ]
    return [*found, Limit("high", "flange", w.steps["S_fmax"])] if "S_fmax" in w.steps else found


def _target(w: Working, low: Limit, high: Limit) -> None:
    w.step("S_t = min(max(S_1, S_low), S_up)", "MPa", "stud stress to aim at", "App. O, steps 1 to 8")
    w.limit("S_1 >= S_low", f"The gasket stress aimed at is too little: {low.who} asks for more, and that is taken", APP_O, "warn")
    w.limit("S_1 <= S_up", f"The gasket stress aimed at is not reached: {high.who} holds it lower", APP_O, "warn")
    w.step("F = S_t*A", "kN", "load of one stud", "stress on the area used")
    torque_line(w)
