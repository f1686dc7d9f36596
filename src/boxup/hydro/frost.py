"""Water that stays, and frost: how much more room ice needs, below what a full side is drained, and what keeps water after draining."""

from __future__ import annotations

from boxup.core.finding import Level
from boxup.core.quantity import Quantity
from boxup.core.rounding import both
from boxup.core.working import Working
from boxup.exchanger.heights import upright
from boxup.exchanger.model import Exchanger, SideName
from boxup.reference.load import source

DRAINED_BELOW = 5.0  # degC: air and metal are never the same all over, and a thermometer stands somewhere else
ICE, COLD_WATER = 916.7, 999.8  # kg/m3 at 0 degC and 1 atm


def frost(w: Working, exchanger: Exchanger, side: SideName, fill: Quantity, readings: tuple[tuple[str, Quantity | None], ...]) -> None:
    """T_f, below which the side is drained, and dV_i, what ice wants beyond the room there is.

    `readings`: (metal or water, as read now); one under T_f is a warning, at or under 0 °C a stop.
    """
    w.given("V", f"water in the {side} side", fill, "m3")
    w.constant("T_f", "drained before metal or air falls to", DRAINED_BELOW, "degC", w.cite("frost", source("trade")))
    w.constant("T_i", "water freezes at", 0.0, "degC", w.cite("ice at 1 atm", source("metal-handbooks")))
    w.constant("rho_i", "density of ice", ICE, "kg/m3", w.cite("ice at 0 °C", source("metal-handbooks")))
    w.constant("rho_0", "density of water about to freeze", COLD_WATER, "kg/m3", w.cite("water at 0 °C", source("metal-handbooks")))
    w.step("dV_i = V*(rho_0/rho_i - 1)", "L", "more room that ice needs", "same mass", source=source("mass-balance"))
    more = both("volume", w["dV_i"])
    text = f"Frozen, this water wants {more} more than there is: tubes and heads split. Below 5 °C, metal or air, it is drained or kept "
    w.say("note", f"{text}warm; {_stays(exchanger, side)}", "frost", source("trade"))
    for what, q in readings:
        if q is not None and q.si <= w["T_f"]:
            here = both("temperature", q.si, "down")
            end = "It is drained now and the low points are looked at before any test." if q.si <= w["T_i"] else "Warm it, or do not fill."
            level: Level = "stop" if q.si <= w["T_i"] else "warn"
            w.say(level, f"The {what} is at {here}: near freezing with water in, or about to be. {end}", "frost", source("trade"))


def _stays(exchanger: Exchanger, side: SideName) -> str:
    """Where water stands after the drain has stopped running."""
    if side == "shell":
        where = "between baffles, on a tubesheet that lies, in nozzle necks and low drains"
        return f"after draining it stays {where}: blow them out, vents open and nobody in line, and look."
    if exchanger.letters.rear == "U":
        kept = "the bends hang full" if upright(exchanger) else "bends and sagging tubes stay full"
    else:
        kept = "sagging tubes stay full" if not upright(exchanger) else "the lower channel stays full to its drain"
    return f"after draining {kept}, plugged tubes that are not pierced too: blow tube by tube, vents open and nobody in line, and look."
