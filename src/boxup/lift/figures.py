"""The figures of a place on the way as they are printed, in both systems: on terminal, page and paper alike.

What something has to carry rounds up, the least of it down, a stop down; a pull expected is never printed over the stop.
"""

from __future__ import annotations

from boxup.core.rounding import both, shown_si, span
from boxup.core.working import Working
from boxup.lift.way import OnItsWay, Stand


def hook_said(stand: Stand) -> str:
    """What the hook carries of the bundle."""
    return span("load", *stand.hook)


def rests_said(stand: Stand) -> str:
    """What rests in the shell."""
    return span("load", stand.working["N_1"], stand.working["N_2"])


def pull_said(w: Working) -> str:
    """Pull with clean and with dirty bars, of a place or of the whole way; at most the stop. Nothing where no friction is known."""
    if "F_stop" not in w.steps:
        return ""
    if shown_si("load", w["F_2"], "up") <= shown_si("load", w["F_stop"], "down"):
        return span("load", w["F_1"], w["F_2"])
    return span("load", min(w["F_1"], w["F_stop"]), w["F_stop"], "down")


def stop_said(stand: Stand) -> str:
    """The pull to stop at; nothing where no friction is known."""
    return both("load", stand.working["F_stop"], "down") if "F_stop" in stand.working.steps else ""


def hung_said(way: OnItsWay) -> str:
    """What comes on top of the bundle on the cell of the hook."""
    if way.hung_below:
        hung = both("load", way.hung_below, "up")
        return f"of the bundle; {hung} of slings and spreader on top, and the hook block where the cell hangs over it"
    return "of the bundle; slings, spreader, and the hook block where the cell hangs over it, come on top: weigh them"
