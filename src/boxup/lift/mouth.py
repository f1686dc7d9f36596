"""A bundle at the mouth of its shell, taken as stiff: what the hook carries, what the mouth and the shell carry.

Places are metres from the outer face of the stationary tubesheet, rearward +; the rear end goes in first.
"""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.lift.gear import STATICS

MARGIN = 0.10  # of the length, up to which the hook keeps its load


@dataclass(frozen=True, slots=True, kw_only=True)
class AtMouth:
    """Weight and centre of gravity of the bundle, where the hook holds it, how long it is and how much of it is in the shell."""

    weight: Quantity = number("W", "weight", "N", above=0, most=1e8, mass_too=True)
    centre: Quantity = number("x_c", "centre of gravity", "m", least=-10, most=100)
    hook: Quantity = number("x_h", "where the hook holds it", "m", least=-10, most=100)
    length: Quantity = number("L", "length of the tubes", "m", above=0, most=100)
    inserted: Quantity = number("s", "in the shell", "m", above=0, most=100)

    def problems(self) -> list[str]:
        """More in the shell than there is; a hook that is inside; a hook or a centre where no bundle is."""
        found = [text for name, q in (("centre", self.centre), ("hook", self.hook)) if (text := self._off(name, q))]
        if self.inserted.si > self.length.si:
            found.append(f"inserted: {self.inserted.typed!r} is more than the length {self.length.typed!r}; accepted: up to the length.")
        elif self.length.si - self.inserted.si <= self.hook.si <= self.length.si:
            found.append(f"hook: {self.hook.typed!r} is inside the shell by now; accepted: in front of the mouth.")
        return found

    def _off(self, name: str, at: Quantity) -> str:
        """What is wrong with a place that is not on the bundle; in front of it a channel may ride."""
        if at.si > self.length.si:
            return f"{name}: {at.typed!r} is beyond the rear end, {self.length.typed!r} from the front; accepted: up to the length."
        if at.si < -self.length.si:
            far = "is further in front of the bundle than the bundle is long"
            return (
                f"{name}: {at.typed!r} {far}; accepted: from the outer face of the stationary tubesheet, rearward +, negative at a channel."
            )
        return ""


ANSWERS = "hook_load=R_h@N shell_load=R_m@N mouth=x_m@m inside_by_a_tenth=s_t@m"


@calculation("mouth-reaction", STATICS, AtMouth, ANSWERS)
def mouth_reaction(w: Working, given: AtMouth) -> None:
    """What the hook carries with the bundle on the mouth, and how much is in when its centre of gravity is a tenth of its length inside."""
    w.take_in(given)
    tip_length(w)
    w.step("x_m = L - s", "m", "the mouth, from the front of the bundle", "what is not in")
    on_the_mouth(w)
    inside = w["x_c"] > w["x_m"]
    if w["x_h"] > w["x_c"] and not inside:
        say = (
            "The hook holds it behind its centre of gravity: the front end drops and the rear end rises to the top of the shell. "
            "Move the hook out."
        )
        w.say("stop", say, "hook in front of the centre of gravity")
    elif w["s"] < w["s_t"] and inside:
        keep = "Its centre of gravity is inside, and not yet a tenth of its length further: the hook keeps its load."
        w.say("warn", keep, "a tenth over")


def tip_length(w: Working) -> None:
    """s_t from L and x_c."""
    w.step(
        "s_t = L - x_c + 0.1*L",
        "m",
        "centre of gravity inside by a tenth of the length, with this much in",
        "centre of gravity inside, and a tenth of the length more",
    )


def on_the_mouth(w: Working) -> None:
    """R_h and R_m from W, x_c, x_m and x_h: moments about the mouth while the centre of gravity is outside; then nothing, stiff."""
    if w["x_c"] < w["x_m"]:
        w.step("R_h = W*(x_m - x_c)/(x_m - x_h)", "kN", "the hook carries, bundle stiff", "moments about the mouth")
    else:
        w.step("R_h = 0*W", "kN", "nothing on the hook, bundle stiff", "centre of gravity inside the mouth")
    w.step("R_m = W - R_h", "kN", "mouth and shell carry, bundle stiff", "what the hook does not")
