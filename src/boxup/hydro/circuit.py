"""The limits of everything the test pressure reaches: the lowest decides the relief of the pump, and whether there may be a test at all."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.finding import Missing
from boxup.core.quantity import BadValue, Quantity, quantity
from boxup.core.rounding import both
from boxup.core.working import Working
from boxup.exchanger.model import Exchanger, Side, SideName
from boxup.reference.load import source

BESIDE = (
    "Compare with it the ratings of the pump, its hoses and fittings, the test rings and every plug: the lowest of all of them is the most."
)


@dataclass(frozen=True, slots=True)
class Limit:
    """The most one part of the circuit may see, and which part that is."""

    what: str
    most: Quantity


def limits_of(exchanger: Exchanger, side: SideName, outside: Quantity | None, gear: tuple[Limit, ...]) -> tuple[Limit, ...]:
    """Side, blinds in that side's nozzles, tubes from outside (a shell test), and the gear handed in."""
    found = list(gear)
    own = exchanger.side(side)
    if own.test_limit is not None:
        found.append(Limit(own.limit_reason or f"{side} side", own.test_limit))
    here = {n.id for n in exchanger.nozzles if n.side == side}
    tested = {b.nozzle for b in exchanger.blinds if b.use == "test"}
    blinds = [b for b in exchanger.blinds if b.nozzle in here and (b.use == "test" or b.nozzle not in tested)]
    found += [Limit(f"{b.use} blind {b.id} in {b.nozzle}", b.rated) for b in blinds if b.rated]
    if outside is not None and side == "shell":
        found.append(Limit("tubes, pressed from outside", outside))
    return tuple(found)


def circuit(w: Working, limits: tuple[Limit, ...], *, whole: bool) -> None:
    """Both reliefs from the P and P_g of the working and the lowest limit; each limit that is passed is a finding with both numbers.

    `whole`: the side's own limit is among them. Without it the lowest is not known, and no relief is given.
    """
    for limit in limits:
        if limit.most.si < w["P_g"]:
            asked, most = both("pressure", w["P_g"], "up"), both("pressure", limit.most.si, "down")
            text = f"The test asks {asked}; {limit.what} may see {most}. Do not test: a part that bears it, or a figure from the engineer."
            w.say("stop", text, "lowest limit in the circuit", source("trade"))
    w.step("P_110 = 1.1*P_g", "MPa", "a tenth over the test pressure, as many sites set it", "", source=source("trade"))
    w.step("P_43 = 4/3*P", "MPa", "a third over the test pressure, for water left to warm with nobody there", "(h)")
    if not whole:
        return
    least = min(limits, key=lambda one: one.most.si)
    w.given("P_low", f"lowest limit in the circuit: {least.what}", least.most, "MPa")
    w.step("P_pr = min(P_110, P_low)", "MPa", "relief of the pump set no higher than", "", source=source("trade"))
    w.step("P_sr = min(P_43, P_low)", "MPa", "relief of water left to warm, set no higher than", "", source=source("trade"))
    if w["P_low"] < w["P_43"]:
        third, most = both("pressure", w["P_43"]), both("pressure", w["P_low"], "down")
        text = f"A third over the test pressure would be {third}; {least.what} may see {most}: no relief on this side stands above {most}."
        w.say("warn", text, "lowest limit in the circuit", source("trade"))
    w.say("note", BESIDE, "lowest limit in the circuit", source("trade"))


def missing_limits(side: Side, limits: tuple[Limit, ...], outside: Quantity | None) -> list[Missing]:
    """What nobody has said about the circuit of `side`."""
    wanted = []
    if side.test_limit is None:
        do = f"ask for the highest pressure any part of the {side.name} side may see on test ([{side.name}_side] test_limit)"
        known = f"; {', '.join(one.what for one in limits)}: the file has, but that is not the side" if limits else ""
        wanted.append(Missing("relief setting of the pump and of water left to warm", f"{do}{known}. {BESIDE}"))
    if side.name == "shell" and outside is None:
        do = "ask the engineer for the pressure the tubes may see from outside with nothing in them."
        wanted.append(Missing("limit of the tubes from outside", do))
    return wanted


def gauges(w: Working, exchanger: Exchanger) -> None:
    """The range a gauge must have for the P_g of the working, and whether one of the listed gauges has it."""
    ug_102 = source("asme-viii-1-ug-102")
    w.step("G_1 = 1.5*P_g", "MPa", "full scale of the gauge, at least", "1.5 times, about twice is best", source=ug_102)
    w.step("G_2 = 4*P_g", "MPa", "full scale of the gauge, at most", "4 times", source=ug_102)
    scales = [(t.id, top) for t in exchanger.tools if t.kind == "test gauge" and (top := full_scale(t.range)) is not None]
    if scales and not any(w["G_1"] <= top <= w["G_2"] for _, top in scales):
        listed = ", ".join(f"{name} to {both('pressure', top)}" for name, top in scales)
        low, high = both("pressure", w["G_1"]), both("pressure", w["G_2"])
        w.say("stop", f"No listed gauge fits: {listed}; full scale between {low} and {high} is needed.", "1.5 to 4 times", ug_102)


def full_scale(text: str) -> float | None:
    """The top of a range such as `0-60 bar` in Pa; None where it cannot be read."""
    try:
        return quantity(text.replace("–", "-").replace(" to ", "-").rpartition("-")[2], "MPa").si
    except BadValue:
        return None
