"""The stud load of a joint of an exchanger in every state, by the stiffness of its studs, gaskets and flanges. EN 1591-1 in outline.

Both gaskets of a clamped tubesheet lie in one stack: each gives way to its own end force, the studs feel the sum.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from boxup.core.finding import Missing
from boxup.core.quantity import Quantity
from boxup.core.working import Step, Working
from boxup.exchanger.model import Joint, Studs
from boxup.joint.flanges import ROOM, FlangeAnswer
from boxup.joint.gasket_stress import GasketAnswer, has_pressure_outside, inside
from boxup.joint.hot_metal import TooHot, growth, growth_row, modulus, modulus_row
from boxup.joint.load_change import EN_1591, stud_give
from boxup.joint.stretch import USUAL_MODULUS

STATES = ("operating", "tube test", "shell test")
_MARK = {"operating": "o", "tube test": "tt", "shell test": "st"}


@dataclass(frozen=True, slots=True)
class StudState:
    """One state: the load of one stud, and the stress left on each gasket."""

    name: str
    load: Step
    stresses: dict[str, Step]


@dataclass(frozen=True, slots=True)
class Balance:
    """The states, or why there are none."""

    working: Working
    states: tuple[StudState, ...] = ()
    missing: tuple[Missing, ...] = ()


def balance(
    w: Working,
    studs: Working,
    set_: Studs | None,
    joints: Sequence[Joint],
    gaskets: Sequence[GasketAnswer],
    flanges: Sequence[FlangeAnswer],
    temperature: Quantity | None,
) -> Balance:
    """Work the balance as a part of `w`. `temperature`: the hotter design temperature, for service."""
    part = w.part("stud load in each state", EN_1591)
    part.aside = True
    lacks = list(_lacking(w.name, studs, set_, joints, gaskets))
    if lacks or set_ is None:
        w.parts.remove(part)
        return Balance(part, missing=tuple(lacks))
    _gives(part, studs, set_, joints, gaskets, flanges)
    hot = _heat(part, set_, flanges, temperature)
    return Balance(part, tuple(_states(part, joints, gaskets, flanges, hot)))


def _lacking(name: str, studs: Working, set_: Studs | None, joints: Sequence[Joint], gaskets: Sequence[GasketAnswer]) -> Iterator[Missing]:
    what = f"how the stud load of {name} moves with pressure and heat"
    if "F" not in studs.steps or "n" not in studs.steps or not all(g.states for g in gaskets):
        yield Missing(what, "the stud load and the gasket stress come first.")
        return
    if set_ is None or set_.grip is None:
        yield Missing(what, "measure the stack the nuts clamp ([studs] grip).")
    for j in joints:
        if j.gasket and j.gasket.thickness is None:
            yield Missing(what, f"measure the thickness of the gasket of {j.id}.")
        if j.gasket and j.gasket.unloading_modulus is None:
            yield Missing(what, f"ask the maker of the gasket of {j.id} for its modulus as it is unloaded ([gasket] unloading_modulus).")


def _gives(
    part: Working, studs: Working, set_: Studs, joints: Sequence[Joint], gaskets: Sequence[GasketAnswer], flanges: Sequence[FlangeAnswer]
) -> None:
    """X_B, each X_G, each Z h², and Y."""
    for symbol in ("n", "D", "A_s", "F"):
        part.take(symbol, studs.steps[symbol], studs.name)
    assert set_.grip is not None  # _lacking has asked for it
    part.given("l_g", "stack the nuts clamp", set_.grip, "mm")
    _stud_modulus(part, set_.grade)
    stud_give(part)
    terms = ["X_B"]
    for joint, gasket in zip(joints, gaskets, strict=True):
        terms.append(_gasket_give(part, joint, gasket))
    terms += [_flange_give(part, f) for f in _turning(flanges)]
    part.step(f"Y = {' + '.join(terms)}", "mm/kN", "give of the whole joint", "sum of the compliances")
    if not _turning(flanges):
        part.say("note", "The flanges are taken as rigid: their sizes are not given.", "in outline")


def _stud_modulus(part: Working, grade: str) -> None:
    row = modulus_row(grade)
    if row is None:
        part.assumed("E_b", "modulus of the studs", USUAL_MODULUS, "GPa", "that of low-alloy studs at room temperature")
    else:
        modulus(part, "b", row, ROOM)


def _gasket_give(part: Working, joint: Joint, gasket: GasketAnswer) -> str:
    x, g = joint.id, joint.gasket
    assert g is not None  # _lacking has asked for all three
    assert g.thickness is not None
    assert g.unloading_modulus is not None
    part.given(f"t_g_{x}", f"thickness of the gasket of {x}", g.thickness, "mm")
    part.given(f"E_g_{x}", f"modulus of the gasket of {x} as it is unloaded", g.unloading_modulus, "MPa")
    part.take(f"A_g_{x}", gasket.working.steps["A_g"], gasket.working.name)
    return part.step(f"X_G_{x} = t_g_{x}/(E_g_{x}*A_g_{x})", "mm/kN", f"give of the gasket of {x}", "gasket compliance").symbol


def _turning(flanges: Sequence[FlangeAnswer]) -> list[FlangeAnswer]:
    return [f for f in flanges if "Z_f" in f.working.steps]


def _flange_give(part: Working, f: FlangeAnswer) -> str:
    for symbol in ("Z_f", "h_f"):
        part.take(f"{symbol}_{f.flange}", f.working.steps[symbol], f.working.name)
    x = f.flange
    line = f"X_F_{x} = Z_f_{x}*h_f_{x}**2"
    return part.step(line, "mm/kN", f"give of the {f.part} ({x}) as it turns", "flange compliance").symbol


def _heat(part: Working, set_: Studs, flanges: Sequence[FlangeAnswer], temperature: Quantity | None) -> bool:
    """dU, the growth of the stack over that of the studs, all at one temperature. False where a metal or the temperature is not known."""
    rows = growth_row(set_.grade), next((r for f in flanges if (r := growth_row(f.material))), None)
    if temperature is None or rows[0] is None or rows[1] is None:
        return False
    try:
        growth(part, "sh", rows[0], temperature)
        growth(part, "fh", rows[1], temperature)
    except TooHot as bad:
        part.say("note", f"Not worked hot: {bad}.", "Table TE-1")
        return False
    part.constant("T_0", "temperature the mean coefficients count from", 70, "degF", part.cite("Table TE-1"))
    part.step("dU = (a_fh - a_sh)*l_g*(T_fh - T_0)", "mm", "growth of the stack over that of the studs", "all at one temperature")
    part.constant("dT", "flanges hotter than studs", 10, "K", part.cite("for a feel of it"))
    part.step("dF = a_fh*l_g*dT/(Y*n)", "kN", "each 10 K the flanges are hotter than the studs, a stud", "growth over compliance")
    return True


def _states(
    part: Working, joints: Sequence[Joint], gaskets: Sequence[GasketAnswer], flanges: Sequence[FlangeAnswer], hot: bool
) -> Iterator[StudState]:
    for state in STATES:
        asked = [(j, *_push(j, g, state)) for j, g in zip(joints, gaskets, strict=True)]
        pushes = [(j, sign, step) for j, sign, step in asked if step is not None]
        if not pushes:
            continue
        m, terms = _MARK[state], []
        for j, sign, step in pushes:
            part.take(f"H_{m}_{j.id}", step, f"gasket of {j.id}")
            terms.append(f"{sign} X_G_{j.id}*H_{m}_{j.id}")
        for f in _turning(flanges):
            terms += _turned(part, f, m, {j.id: sign for j, sign, _ in pushes}, state)
        terms += ["+ dU"] if hot and state == "operating" else []
        line = f"W_{m} = n*F + ({' '.join(terms).removeprefix('+ ')})/Y"
        part.step(line, "kN", f"load of all studs, {state}", "compatibility of studs, gaskets and flanges")
        load = part.step(f"F_{m} = W_{m}/n", "kN", f"load of one stud, {state}", "shared evenly")
        yield StudState(state, load, dict(_left(part, m, state, joints, gaskets, {j.id: sign for j, sign, _ in pushes})))


def _push(joint: Joint, gasket: GasketAnswer, state: str) -> tuple[str, Step | None]:
    """The end force on this joint in that state, + where it opens it."""
    steps = gasket.working.steps
    if state == "operating":
        return "+", steps.get("H")
    if state.split()[0] == inside(joint):
        return "+", steps.get("H_t")
    return "-", steps.get("H_x") if has_pressure_outside(joint) else None


def _turned(part: Working, f: FlangeAnswer, m: str, pushed: dict[str, str], state: str) -> list[str]:
    """What the moment of the pressure on this flange adds."""
    if f.joint not in pushed:
        return []
    mark = "_o" if state == "operating" else "_t" if pushed[f.joint] == "+" else "_x"
    step = f.working.steps.get(f"M_p{mark}")
    if step is None:
        return []
    x = f.flange
    part.take(f"M_{m}_{x}", step, f.working.name)
    return [f"- Z_f_{x}*h_f_{x}*M_{m}_{x}"]


def _left(
    part: Working, m: str, state: str, joints: Sequence[Joint], gaskets: Sequence[GasketAnswer], pushed: dict[str, str]
) -> Iterator[tuple[str, Step]]:
    """The stress left on each gasket, and a remark where it is too little for it."""
    for joint, gasket in zip(joints, gaskets, strict=True):
        x, sign = joint.id, {"+": "-", "-": "+"}.get(pushed.get(joint.id, ""), "")
        body = f"(W_{m} {sign} H_{m}_{x})/A_g_{x}" if sign else f"W_{m}/A_g_{x}"
        step = part.step(f"S_{m}_{x} = {body}", "MPa", f"stress on the gasket of {x}, {state}", "load over gasket area")
        least = gasket.working.steps.get("S_gminO")
        if least is not None and sign == "-":
            part.take(f"S_min_{m}_{x}", least, gasket.working.name)
            say = f"By the stiffness of the joint too little stress is left on the gasket of {x}, {state}. Ask the engineer"
            part.limit(f"S_{m}_{x} >= S_min_{m}_{x}", say, "gasket under pressure", "warn")
        yield x, step
