"""A wide sling round a bundle: how hard it presses, and how far the tubes under it bend where it lies between two baffles."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.lift.gear import PRACTICE, STATICS


@dataclass(frozen=True, slots=True, kw_only=True)
class SlingContact:
    """What hangs in a sling, the bundle it goes round, its width; for the tubes under it their pitch, size and the span between baffles."""

    load: Quantity = number("R", "what hangs in the sling", "N", above=0, most=1e8, mass_too=True)
    diameter: Quantity = number("D_b", "outside diameter of the bundle", "mm", above=0, most=1e4)
    width: Quantity = number("b", "width of the sling along the bundle", "mm", above=0, most=3000)
    pitch: Quantity = number("p_t", "pitch of the tubes", "mm", above=0, most=1000)
    tube_od: Quantity = number("d_o", "tube outside diameter", "mm", above=0, most=1000)
    tube_wall: Quantity = number("t_t", "tube wall", "mm", above=0, most=200)
    span: Quantity = number("s_b", "between the two baffles it lies between", "mm", above=0, most=1e4)

    def problems(self) -> list[str]:
        """A wall that leaves no bore."""
        if 2 * self.tube_wall.si < self.tube_od.si:
            return []
        return [f"tube_wall: {self.tube_wall.typed!r} leaves no bore in {self.tube_od.typed!r}; accepted: less than half of it."]


@calculation("sling-contact", STATICS, SlingContact, "pressure=p@MPa tube_load=P_t@N tube_stress=s_l@MPa")
def sling_contact(w: Working, given: SlingContact) -> None:
    """The pressure of a basket hitch with legs straight up, and the bending of a tube under it, held at the baffles, free to turn there."""
    w.take_in(given)
    w.step("I_1 = pi/64*(d_o**4 - (d_o - 2*t_t)**4)", "mm4", "second moment of one tube", "ring")
    pressure(w)
    between_baffles(w)


def pressure(w: Working) -> None:
    """p from R, D_b and b."""
    w.step("p = R/(D_b*b)", "MPa", "pressure under the sling", "half of it in each part of the sling, round the radius")


def between_baffles(w: Working) -> None:
    """P_t, M_t and s_l from p, p_t, b, s_b, d_o and I_1: the outermost tubes carry the pressure of one pitch each."""
    w.step("c_b = min(b, s_b)", "mm", "length of tube it presses on", "no longer than the span")
    w.step("P_t = p*p_t*c_b", "N", "on one of the outermost tubes", "pressure over one pitch")
    w.step("M_t = P_t/4*(s_b - c_b/2)", "N.m", "bending of that tube", "held at two baffles, free to turn, load in the middle")
    w.step("s_l = M_t*d_o/(2*I_1)", "MPa", "bending stress in it", "bending")
    say = "Wide web slings or a saddle lined with wood, over two baffles. Never wire rope or chain on tubes, no hook in a tube."
    w.say("note", say, "slings at baffles", PRACTICE)
