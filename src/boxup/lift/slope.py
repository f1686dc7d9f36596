"""The pull expected of a bundle in its shell, by friction and slope, the pull at which to stop, and what has to hold it back.

One place for both: all of it at once (the pull window) and place by place (the bundle on its way).
"""

from __future__ import annotations

from typing import Literal

from boxup.core.quantity import Quantity
from boxup.core.rounding import both
from boxup.core.working import Step, Working
from boxup.lift.gear import PRACTICE, STATICS

Way = Literal["insert", "pull"]
_WHERE = "slope over friction"
_FLOOR = "a twentieth of the weight tells nothing yet"


def slope_of(w: Working, slope: Quantity | None, way: Way) -> None:
    """alpha, which is that of the way: a shell that is uphill going in is downhill coming out."""
    if slope is None:
        w.assumed("alpha", "slope, uphill +", 0.0, "deg", "level: not given")
    elif way == "insert":
        w.given("alpha", "slope, uphill +", slope, "deg")
    else:
        w.given("alpha_in", "slope going in, uphill +", slope, "deg")
        w.step("alpha = -alpha_in", "deg", "slope coming out, uphill +", "the other way round")


def lies(w: Working) -> str:
    """How the shell lies, the way the bundle goes: `level shell`, `shell 12° uphill`."""
    degrees = w.steps["alpha"].value
    return f"shell {abs(degrees):.3g}° {'up' if degrees > 0 else 'down'}hill" if degrees else "level shell"


def per_weight(w: Working) -> None:
    """k_1, k_2 and F_h from mu_1, mu_2, alpha and W: the pull for each newton that rests in the shell; what holds it back where it runs."""
    why = "friction and slope"
    w.step("k_1 = mu_1*cos(alpha) + sin(alpha)", "-", "pull for what rests in the shell, clean bars", why, source=STATICS)
    w.step("k_2 = mu_2*cos(alpha) + sin(alpha)", "-", "pull for what rests in the shell, dirty bars", why, source=STATICS)
    if _runs(w):
        w.step("F_h = -k_1*W", "kN", "hold back with at least, all of it in the shell, clean bars", why, source=STATICS)


def _runs(w: Working) -> bool:
    """Whether clean bars let it go by itself."""
    return w["alpha"] < 0 and w["k_1"] <= 0


def stop_at(w: Working, way: Way) -> None:
    """F_stop from F_2, k_2 and W; nothing to pull with where it runs by itself on dirty bars too."""
    if way == "insert":
        line, over = "F_stop = min(max(1.25*F_2, 0.05*W), 0.5*W) if k_2 > 0 else 0*W", "a quarter over; half the weight"
    else:
        line, over = (
            "F_stop = min(max(1.5*F_2, 0.05*W), 1.5*W) if k_2 > 0 else 0*W",
            "half over; one and a half weights",
        )
    w.step(line, "kN", "stop and look at", f"{over}; {_FLOOR}", source=PRACTICE)


def say_margin(w: Working, way: Way, grade: str) -> None:
    """A warning where the pull expected with dirty bars is, or nearly is, the pull to stop at. `grade`: how that friction is known."""
    if w["k_2"] > 0:
        w.limit("F_2 < 0.95*F_stop", _no_margin(w, way, grade), "force expected against force to stop at", "warn", PRACTICE, bare=True)


def _no_margin(w: Working, way: Way, grade: str) -> str:
    """What it means that the pull expected is at the stop, and who settles it."""
    friction = f"the friction of dirty bars {'as assumed' if grade == 'assumed' else 'in the file'}, {w['mu_2']:g},"
    uphill = " and the shell uphill" if w["alpha"] > 0 else ""
    then = "clean and grease the bars, or put rollers under it" if way == "insert" else "soak it, jack evenly, find what holds it"
    reached = "reaches" if w["F_2"] >= w["F_stop"] * (1 - 1e-9) else "all but reaches"
    return (
        f"With {friction}{uphill} the pull expected {reached} the pull to stop at: no margin is left. Find out friction and weight; "
        f"{then}; the engineer decides what pull is allowed"
    )


def say_downhill(w: Working, back: Step | None) -> None:
    """A stop where it runs away by itself, a warning where it runs with less friction than given. `back`: F_h of all of it."""
    if back is not None:
        least = both("load", back.si, "up")
        if w["k_2"] <= 0:
            away = (
                f"On this slope it runs away by itself: rig a hold-back for {least} at least before it is let go; any pull means it binds."
            )
        else:
            away = f"On this slope it runs away by itself if the bars are clean: rig a hold-back for {least} at least before it is let go."
        w.say("stop", away, _WHERE, STATICS)
    elif w["alpha"] < 0:
        w.say("warn", "Downhill: with less friction than given the bundle may run away. Rig a hold-back.", _WHERE, STATICS)
