"""How far a stud stretches under its load: what a rod gauge or an ultrasonic reading should show."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.joint.thread import size_word, thread, thread_lines
from boxup.reference.load import source

PCC_1 = source("asme-pcc-1")
USUAL_MODULUS = 205.0  # GPa, low-alloy studs at room temperature


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretched:
    """A stud, its load and the length that stretches: from mid-nut to mid-nut, grip + one diameter (a blind end: half a diameter)."""

    size: str = size_word()
    load: Quantity = number("F", "stud load", "N", above=0, most=2e7)
    length: Quantity = number("L_eff", "length that stretches, mid-nut to mid-nut", "mm", above=0, most=1e5)
    modulus: Quantity | None = number("E", "modulus of the stud", "GPa", optional=True, above=0, most=1000)

    def problems(self) -> list[str]:
        d = thread(self.size).diameter
        if self.length.si <= d:
            said = f"{self.length.typed!r} is no longer than the stud is thick"
            return [f"length: {said}; accepted: grip plus a diameter, more than {d * 1e3:.4g} mm"]
        return []


@calculation("stud-stretch", PCC_1, Stretched, "stretch=dl@mm")
def stud_stretch(w: Working, given: Stretched) -> None:
    """The stretch of one stud threaded over its whole length."""
    w.take_in(given)
    thread_lines(w, thread(given.size))
    if given.modulus is None:
        w.assumed("E", "modulus of the stud", USUAL_MODULUS, "GPa", "that of low-alloy studs (B7) at room temperature")
    w.step("dl = F*L_eff/(E*A_s)", "mm", "stretch", "elongation, on the tensile stress area")
    w.say("note", "Measured stretch is held against the stud's own length before: write both down, stud by stud.", "elongation")
