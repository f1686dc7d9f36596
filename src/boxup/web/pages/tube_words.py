"""How a tube stands, in words: from the file, and from what was entered on this job."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from boxup.job.plugs import other_end
from boxup.job.state import TubeState
from boxup.web.ask import Ask

Short = Literal["", "plugged", "one", "listed", "leaking"]
BOTH = {"front", "rear"}


def tube_of(ask: Ask, id_: str) -> TubeState:
    """What is known of a tube; one nobody spoke of stands as the file has it."""
    x = ask.live.exchanger
    before = BOTH if id_ in x.plugged else ()
    return ask.live.state.tubes.get(id_) or TubeState(id_, plugged=set(before), to_plug=id_ in x.to_plug or bool(before))


def bent(ask: Ask) -> bool:
    """U-tubes: both ends of a tube are holes of the one tubesheet."""
    return ask.live.exchanger.letters.rear == "U"


def open_leg(ask: Ask, t: TubeState) -> str:
    """The other hole of a U-tube that is shut in this one and open there; "" where both are shut, and for straight tubes."""
    other = other_end(ask.live.exchanger, t.id) if bent(ask) and t.plugged else ""
    return other if other and not tube_of(ask, other).plugged else ""


def short(ask: Ask, t: TubeState) -> Short:
    """The one word that counts on the map and in its row."""
    if t.leaking:
        return "leaking"
    if t.plugged:
        return "plugged" if t.plugged >= BOTH and not open_leg(ask, t) else "one"
    return "listed" if t.to_plug else ""


def stands(ask: Ask, id_: str) -> str:
    """How it stands, in a line."""
    return ", ".join(_stands(ask, tube_of(ask, id_))) or ask.w("tubes.is_open")


def _stands(ask: Ask, t: TubeState) -> Iterator[str]:
    w = ask.w
    if t.leaking:
        yield w("tubes.is_leaking_at", ends=w.told(t.leaks)) if t.leaks in (*BOTH, "both") else w("tubes.is_leaking")
    if t.id in ask.live.exchanger.plugged and t.id not in ask.live.state.found.plugged:
        yield w("tubes.was_plugged")
    elif t.plugged:
        yield w("tubes.is_plugged_leg", other=other) if (other := open_leg(ask, t)) else w(_plugged(ask, t))
    elif t.to_plug:
        yield w("tubes.is_listed")
    if t.pierced:
        yield w("tubes.is_pierced")
    if t.repaired:
        yield w.told(t.repaired)


def _plugged(ask: Ask, t: TubeState) -> str:
    if bent(ask):
        return "tubes.is_plugged"
    return "tubes.is_plugged_both" if t.plugged >= BOTH else f"tubes.is_plugged_{next(iter(t.plugged))}"
