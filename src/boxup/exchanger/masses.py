"""How heavy the bundle is and where its centre of gravity lies, worked from the drawing.

A mass is a plan figure until a load cell has read it: the lift is planned on it with an allowance.
"""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import Answer
from boxup.core.finding import Missing
from boxup.core.quantity import Quantity
from boxup.core.source import Cite
from boxup.core.working import CannotWork, Working
from boxup.exchanger.bundle_parts import GEOMETRY, Weighed, assumed_in, not_given, weigh
from boxup.exchanger.heads import head_mass
from boxup.exchanger.layout import layout_of
from boxup.exchanger.model import BundleParts, Exchanger
from boxup.exchanger.parts import Part, PartId, parts
from boxup.reference.load import source

_PRACTICE = source("trade")
_RULE = "10 % by drawing, 25 % where an assumed part is more than 5 % of the whole, none once weighed"
ANSWERS = {"dry": "m_d", "cg": "x_d", "fouled": "m_o", "fouled_cg": "x_o", "wet": "m_w1", "lift_mass": "m_lift", "insert_mass": "m_in",
           "allowance": "k"}  # fmt: skip


def bundle_mass(exchanger: Exchanger) -> Answer | Missing | None:
    """The bundle's mass and centre of gravity; None where the tubesheets are welded to the shell and no bundle comes out.

    Answers: `dry`, `cg` (m from the outer face of the stationary tubesheet), `fouled` (as pulled: with the dirt and water the file gives)
    and its `fouled_cg`, `wet` (clean, with the water), `lift_mass` (as pulled, with the allowance), `insert_mass` (clean and dry, with the
    allowance), `allowance`; the list `parts`: name, kg, m, and what was assumed.
    """
    if exchanger.letters.fixed:
        return None
    layout = layout_of(exchanger)
    if isinstance(layout, Missing):
        return Missing("bundle mass", layout.do)
    if lacks := not_given(exchanger):
        return Missing("bundle mass", f"give {', '.join(lacks)}, or weigh the bundle")
    w = Working("bundle mass", GEOMETRY)
    w.findings += layout.findings
    try:
        pieces = weigh(w, exchanger, layout)
        _sum(w, pieces)
        _as_lifted(w, exchanger.bundle)
        _allowance(w, exchanger.bundle, pieces)
    except CannotWork as bad:
        return Missing("bundle mass", f"the dimensions do not fit each other ({bad}); check them against the drawing")
    values = {k: w.steps[s] for k, s in ANSWERS.items()}
    listed = [(p.name, p.mass.si, p.place.si, list(p.assumed)) for p in pieces]
    return Answer("bundle mass", w, values, {"parts": (listed, "kg, m")}, {k: s.unit for k, s in values.items()})


def _sum(w: Working, pieces: list[Weighed]) -> None:
    masses, moments = [], []
    for i, p in enumerate(pieces, start=1):
        masses.append(w.take(f"m_{i}", p.mass, p.name, p.name).symbol)
        moments.append(f"m_{i}*" + w.take(f"x_{i}", p.place, p.name, f"{p.name}: centre of gravity").symbol)
    w.step("m_c = " + " + ".join(masses), "kg", "bundle, dry, computed", "sum of its parts")
    label = "centre of gravity from the outer face of the stationary tubesheet"
    w.step("x_d = (" + " + ".join(moments) + ")/m_c", "m", label, "sum of moments")


def _as_lifted(w: Working, b: BundleParts) -> None:
    """Dry (the weighed mass wins), with water, and as pulled with dirt and water."""
    if b.weighed_mass:
        w.given("m_w", "bundle as weighed, dry", b.weighed_mass, "kg")
        w.step("m_d = m_w", "kg", "bundle, dry", "weighed, which counts more than a computed mass")
        differ = "The weighed and the computed mass differ by more than a tenth; find out why before the lift"
        w.limit("abs(m_w - m_c) <= 0.1*m_w", differ, "weighed against computed", "warn", _PRACTICE)
    else:
        w.step("m_d = m_c", "kg", "bundle, dry", "computed")
    left = (("m_f", "dirt on the bundle as it is pulled", b.fouling_mass), ("m_v", "water in and on it", b.water_mass))
    for symbol, label, given in left:
        if given:
            w.given(symbol, label, given, "kg")
        else:
            w.assumed(symbol, label, 0.0, "kg", "no figure in the file")
    if not b.fouling_mass:
        w.say("warn", "No figure for the dirt on the bundle: it is heavier when pulled than this. Ask what it weighed last time.",
              source=_PRACTICE)  # fmt: skip
    w.step("m_w1 = m_d + m_v", "kg", "clean, with the water left in it", "sum")
    w.step("m_o = m_d + m_f + m_v", "kg", "as pulled, with dirt and water", "sum")
    w.take("x_t", w.parts[0].steps["x"], "tubes", "middle of the tubes")
    w.step("x_o = (m_d*x_d + (m_f + m_v)*x_t)/m_o", "m", "centre of gravity as pulled", "dirt and water spread along the tubes")


def _allowance(w: Working, b: BundleParts, pieces: list[Weighed]) -> None:
    """The allowance on the clean bundle and, where the dirt is a guess too, on the bundle as pulled."""
    guessed = [] if b.weighed_mass else [p for p in pieces if p.assumed]
    worst = max(guessed, key=lambda p: p.mass.si, default=None)
    said = f"the {worst.name}, resting on: {', '.join(worst.assumed)}" if worst else "no part rests on an assumed dimension"
    inputs = (f"m_{pieces.index(worst) + 1}",) if worst else ()
    kg = worst.mass.si if worst else 0.0
    w.kernel("m_a", "heaviest part that rests on an assumption", kg, "kg", said, Cite(_PRACTICE, _RULE), inputs)
    if b.weighed_mass:
        w.constant("k", "allowance on a weighed bundle", 1.0, "-", Cite(_PRACTICE, _RULE))
    else:
        w.step("f_a = m_a/m_d", "-", "its share of the bundle", "share")
        w.step("k = 1.25 if f_a > 0.05 else 1.10", "-", "allowance, clean", _RULE, source=_PRACTICE)
    w.step("m_in = k*m_d", "kg", "plan the insertion on", _RULE, source=_PRACTICE)
    dirt_guessed = bool(assumed_in(w.steps["m_f"]))
    share = "f_p = max(m_a, m_f)/m_o" if dirt_guessed else "f_p = m_a/m_o"
    w.step(share, "-", "assumed share as pulled", "the dirt counts where it is a guess")
    w.step("k_p = 1.25 if f_p > 0.05 else k", "-", "allowance, as pulled", _RULE, source=_PRACTICE)
    w.step("m_lift = k_p*m_o", "kg", "plan the pull on", _RULE, source=_PRACTICE)


@dataclass(frozen=True, slots=True)
class LiftedPart:
    """One lift. `mass` as it hangs, `lift_mass` with the allowance; or `missing`, with what to do. `estimate`: not by drawing or scale."""

    id: PartId
    what: str
    answer: Answer | None = None
    mass: Quantity | None = None
    lift_mass: Quantity | None = None
    cg: Quantity | None = None
    estimate: bool = False
    missing: Missing | None = None


def lifted_parts(exchanger: Exchanger) -> list[LiftedPart]:
    """Every part of this exchanger that hangs on a hook, front to rear, in the trade's words. The bundle as it is pulled."""
    return [_bundle_lift(exchanger, p) if p.id == "bundle" else _head_lift(exchanger, p) for p in parts(exchanger) if not p.with_bundle]


def _head_lift(exchanger: Exchanger, part: Part) -> LiftedPart:
    got = head_mass(exchanger, part)
    if isinstance(got, Missing):
        return LiftedPart(part.id, part.what, missing=got)
    estimate = bool(assumed_in(got.values["mass"])) or "rho" in got.working.steps
    return LiftedPart(part.id, part.what, got, _quantity(got, "mass", estimate), _quantity(got, "lift_mass", estimate), estimate=estimate)


def _bundle_lift(exchanger: Exchanger, part: Part) -> LiftedPart:
    got = bundle_mass(exchanger)
    rider = next((p for p in parts(exchanger) if p.with_bundle), None)
    what = f"{part.what} with its channel" if rider else part.what
    if rider and isinstance(got, Answer):
        got = _with_channel(exchanger, rider, got)
    if got is None or isinstance(got, Missing):
        return LiftedPart(part.id, what, missing=got)
    estimate = got.working["m_lift"] > 1.2 * got.working["m_o"]
    cg = _quantity(got, "fouled_cg", estimate)
    return LiftedPart(part.id, what, got, _quantity(got, "fouled", estimate), _quantity(got, "lift_mass", estimate), cg, estimate)


def _with_channel(exchanger: Exchanger, rider: Part, bundle: Answer) -> Answer | Missing:
    """A C front: the channel is one piece with the tubesheet, so it hangs on the hook too and draws the centre of gravity forward."""
    channel, length = head_mass(exchanger, rider), exchanger.channel.length
    if isinstance(channel, Missing):
        return Missing("mass of the bundle with its channel", channel.do)
    if length is None:
        return Missing("centre of gravity of the bundle with its channel", "give length in [channel]")
    w = Working("bundle with its channel", GEOMETRY, parts=[bundle.working, channel.working])
    for to, key in (("m_1", "dry"), ("x_1", "cg"), ("m_2", "fouled"), ("x_2", "fouled_cg"), ("m_3", "lift_mass"), ("m_4", "insert_mass")):
        w.take(to, bundle.values[key], bundle.working.name)
    w.take("m_h", channel.values["mass"], channel.working.name)
    w.take("m_hl", channel.values["lift_mass"], channel.working.name, "channel with its allowance")
    w.given("L", "channel length", length, "mm")
    w.step("m_d = m_1 + m_h", "kg", "bundle with its channel, dry", "sum")
    w.step("x_d = (m_1*x_1 - m_h*L/2)/m_d", "m", "its centre of gravity, dry", "channel in front of the tubesheet")
    w.step("m_o = m_2 + m_h", "kg", "as pulled", "sum")
    w.step("x_o = (m_2*x_2 - m_h*L/2)/m_o", "m", "centre of gravity as pulled", "channel in front of the tubesheet")
    w.step("m_lift = m_3 + m_hl", "kg", "plan the pull on", "each with its allowance")
    w.step("m_in = m_4 + m_hl", "kg", "plan the insertion on", "each with its allowance")
    symbols = {"dry": "m_d", "cg": "x_d", "fouled": "m_o", "fouled_cg": "x_o", "lift_mass": "m_lift", "insert_mass": "m_in"}
    values = {k: w.steps[s] for k, s in symbols.items()}
    return Answer(w.name, w, values, bundle.lists, {k: s.unit for k, s in values.items()})


def _quantity(answer: Answer, key: str, estimate: bool) -> Quantity:
    step = answer.values[key]
    return Quantity(step.si, step.unit, "", "assumed" if estimate else "drawing", f"{answer.name}: {step.symbol}")
