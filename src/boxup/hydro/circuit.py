"""The limits of everything the test pressure reaches: the lowest decides the relief of the pump, and whether there may be a test at all."""

from __future__ import annotations

from dataclasses import dataclass, replace

from boxup.core.finding import Missing
from boxup.core.quantity import BadValue, Quantity, quantity
from boxup.core.rounding import both
from boxup.core.working import Working
from boxup.exchanger.model import Exchanger, Side, SideName
from boxup.hydro.other_side import DIFFERENCE
from boxup.reference.load import source

BESIDE = (
    "Compare with it the ratings of the pump, its hoses and fittings, the test rings and every plug: the lowest of all of them is the most."
)
_STANDS = (
    "The relief settings are for a valve at the top of the side. One that stands lower sees the head of water too and may be set 0.098 bar "
    "higher for each metre; the hoses beside it must bear that."
)
ACCEPTED = 'write it with its unit, as "0 to 60 bar" or "0 to 870 psi", off its dial. Nobody knows whether it fits this test.'
UG_102, SPAN = source("asme-viii-1-ug-102"), "1.5 to 4 times"


@dataclass(frozen=True, slots=True)
class Limit:
    """The most one part of the circuit may see, and which part that is. `beside`: gear that hangs with the gauge, however low that is."""

    what: str
    most: Quantity
    beside: bool = False


def limits_of(exchanger: Exchanger, side: SideName, outside: Quantity | None, gear: tuple[Limit, ...]) -> tuple[Limit, ...]:
    """Side, blinds in its nozzles, tubes from outside (a shell test), the difference between the sides, and the gear handed in."""
    found = [replace(one, beside=True) for one in gear]
    own = exchanger.side(side)
    if own.test_limit is not None:
        found.append(Limit(own.limit_reason or f"{side} side", own.test_limit))
    here = {n.id for n in exchanger.nozzles if n.side == side}
    tested = {b.nozzle for b in exchanger.blinds if b.use == "test"}
    blinds = [b for b in exchanger.blinds if b.nozzle in here and (b.use == "test" or b.nozzle not in tested)]
    found += [Limit(f"{b.use} blind {b.id} in {b.nozzle}", b.rated) for b in blinds if b.rated]
    if outside is not None and side == "shell":
        found.append(Limit("tubes, pressed from outside", outside))
    if exchanger.tubes.differential_limit is not None:
        found.append(Limit(DIFFERENCE, exchanger.tubes.differential_limit))
    return tuple(found)


def circuit(w: Working, limits: tuple[Limit, ...], *, whole: bool) -> None:
    """Both reliefs from P and the heights of the working and the lowest limit; each limit that is passed is a finding with both numbers.

    A limit holds at the low end, where the water stands on the pressure of the top: nobody says how high up the part is that sets it.
    `whole`: the side's own limit is among them. Without it, or without the height, the lowest is not known, and no relief is given.
    """
    for limit in limits:
        seen = _seen(w, limit)
        if limit.most.si < seen:
            asked, most = both("pressure", seen, "up"), both("pressure", limit.most.si, "down")
            text = f"The test asks {asked}{_where(w, seen)}; {limit.what} may see {most}. "
            text += "Do not test: a part that bears it, or a figure from the engineer."
            w.say("stop", text, "lowest limit in the circuit", source("trade"))
    w.step("P_110 = 1.1*P", "MPa", "a tenth over the test pressure at the top, as many sites set it", "", source=source("trade"))
    w.step("P_43 = 4/3*P", "MPa", "a third over the test pressure, for water left to warm with nobody there", "(h)")
    if whole and "P_b" in w.steps:
        _reliefs(w, min(limits, key=lambda one: one.most.si - (_seen(w, one) - w["P"])))


def _seen(w: Working, limit: Limit) -> float:
    """What a part sees at test pressure: at the low end, or at a gauge that hangs lower still; Pa."""
    low = w["P_b"] if "P_b" in w.steps else w["P"]
    return max(low, w["P_g"]) if limit.beside else low


def _where(w: Working, seen: float) -> str:
    return " at the low end" if seen > w["P"] else ""


def _reliefs(w: Working, least: Limit) -> None:
    """The reliefs as set at the top, so that what is lowest sees no more than its limit; that of the pump also at the low end."""
    w.given("P_low", f"lowest limit in the circuit: {least.what}", least.most, "MPa")
    depth = "max(H_w, h)" if least.beside else "H_w"
    w.step(f"P_most = P_low - rho*g*{depth}", "MPa", "the most at the top, where the lowest part sees its limit", "head of water",
           source=source("statics"))  # fmt: skip
    w.step("P_pr = min(P_110, P_most)", "MPa", "relief of the pump set no higher than, standing at the top", "", source=source("trade"))
    w.step("P_prb = P_pr + rho*g*H_w", "MPa", "the same relief set no higher than, standing at the low end", "head of water",
           source=source("statics"))  # fmt: skip
    w.step("P_sr = min(P_43, P_most)", "MPa", "relief of water left to warm, set no higher than, standing at the top", "",
           source=source("trade"))  # fmt: skip
    if w["P_most"] < w["P_43"]:
        third, most = both("pressure", w["P_43"]), both("pressure", w["P_low"], "down")
        at_top = both("pressure", w["P_most"], "down")
        text = f"A third over the test pressure would be {third}; {least.what} may see {most}, and water stands on it: "
        w.say("warn", f"{text}no relief on this side stands above {at_top} at the top.", "lowest limit in the circuit", source("trade"))
    w.say("note", _STANDS, "head of water", source("statics"))
    w.say("note", BESIDE, "lowest limit in the circuit", source("trade"))


def missing_limits(side: Side, limits: tuple[Limit, ...], outside: Quantity | None) -> list[Missing]:
    """What nobody has said about the circuit of `side`."""
    wanted = []
    if side.test_limit is None:
        do = f"ask for the highest pressure any part of the {side.name} side may see on test ([{side.name}_side] test_limit)"
        known = f"; {', '.join(one.what for one in limits)}: the file has, but that is not the side" if limits else ""
        wanted.append(Missing("relief setting of the pump and of water left to warm", f"{do}{known}. {BESIDE}"))
    if side.name == "shell" and outside is None:
        do = "ask the engineer for the pressure the tubes may see from outside with nothing in them ([tubes] outside_limit)."
        wanted.append(Missing("limit of the tubes from outside", do))
    return wanted


def gauges(w: Working, exchanger: Exchanger) -> None:
    """The range a gauge must have for the P_g of the working, and each of the listed gauges held against it: two of them are read."""
    w.step("G_1 = 1.5*P_g", "MPa", "full scale of the gauge, at least", "1.5 times, about twice is best", source=UG_102)
    w.step("G_2 = 4*P_g", "MPa", "full scale of the gauge, at most", "4 times", source=UG_102)
    tops = {t.id: (t.range, full_scale(t.range)) for t in exchanger.tools if t.kind == "test gauge"}
    for name, (typed, top) in tops.items():
        if top is None:
            said = f'The range of gauge {name}, "{typed}", cannot be read' if typed else f"The range of gauge {name} is not given"
            w.say("warn", f"{said}: {ACCEPTED}", SPAN, UG_102)
    fit = [name for name, (_, top) in tops.items() if top is not None and w["G_1"] <= top <= w["G_2"]]
    others = [f"{name} to {both('pressure', top)}" for name, (_, top) in tops.items() if top is not None and name not in fit]
    if others:
        _misfits(w, fit, ", ".join(others))


def _misfits(w: Working, fit: list[str], others: str) -> None:
    """Gauges whose range is not for this test: a stop, unless two others are."""
    span = f"between {both('pressure', w['G_1'])} and {both('pressure', w['G_2'])}"
    if len(fit) > 1:
        w.say("note", f"Not for this test: gauges {others}.", SPAN, UG_102)
    elif fit:
        w.say("stop", f"Only gauge {fit[0]} fits, not {others}: full scale {span} is needed of both.", SPAN, UG_102)
    else:
        w.say("stop", f"No listed gauge fits: {others}; full scale {span} is needed.", SPAN, UG_102)


def full_scale(text: str) -> float | None:
    """The top of a range such as `0-60 bar` in Pa; None where it cannot be read."""
    try:
        return quantity(text.replace("–", "-").replace(" to ", "-").rpartition("-")[2], "MPa").si
    except BadValue:
        return None
