"""How heavy the bundle is and where its centre of gravity lies, worked from the drawing.

A mass is a plan figure until a load cell has read it: the lift is planned on it with an allowance.
"""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import Answer
from boxup.core.finding import Finding, Missing
from boxup.core.quantity import Quantity
from boxup.core.source import Cite
from boxup.core.working import CannotWork, Working
from boxup.exchanger.bundle_parts import GEOMETRY, Weighed, assumed_in, not_given, weigh
from boxup.exchanger.heads import head_mass
from boxup.exchanger.joints import has_shell_cover
from boxup.exchanger.layout import layout_of
from boxup.exchanger.model import BundleParts, Exchanger
from boxup.exchanger.parts import Part, PartId, head, parts
from boxup.reference.load import source

_PRACTICE = source("trade")
_RULE = "10 % by drawing, 25 % where an assumed part is more than 5 % of the whole, none once weighed"
_DIRT_RULE = "25 % on the whole unless dirt and water were both weighed"
_GUESSES = ("assumed", "memory")
_MORE = "It weighed more as it came out than the lift was planned on: lower it, lift and pull no more"
GUESSED = 1.25  # the allowance on what is a guess
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
        if _rider(exchanger) is None:
            _as_it_came_out(w, exchanger.bundle)
    except CannotWork as bad:
        return Missing("bundle mass", f"stop, the dimensions do not fit each other ({bad}); check them, or weigh the bundle")
    values = {k: w.steps[s] for k, s in (ANSWERS | _came_out(w)).items()}
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
    """Dry, with water, and as pulled with dirt and water."""
    _dry(w, b)
    left = (("m_f", "dirt on the bundle as it is pulled", b.fouling_mass), ("m_v", "water in and on it", b.water_mass))
    for symbol, label, given in left:
        if given is not None:
            w.given(symbol, label, given, "kg")
        else:
            w.assumed(symbol, label, 0.0, "kg", "no figure in the file: not counted, and the allowance is that of a guess")
    lost = [word for word, given in (("dirt", b.fouling_mass), ("water", b.water_mass)) if given is None]
    if lost:
        w.say("warn", f"No figure for the {' and the '.join(lost)} on the bundle: it is heavier when pulled than this sum, and a quarter "
              "on top may not cover it. Weigh it as it comes out, or estimate it from last time: fouling_mass and water_mass in [bundle].",
              source=_PRACTICE)  # fmt: skip
    w.step("m_w1 = m_d + m_v", "kg", "clean, with the water left in it", "sum")
    w.step("m_o = m_d + m_f + m_v", "kg", "as pulled, with dirt and water", "sum")
    w.take("x_t", w.parts[0].steps["x"], "tubes", "middle of the tubes")
    w.step("x_o = (m_d*x_d + (m_f + m_v)*x_t)/m_o", "m", "centre of gravity as pulled", "dirt and water spread along the tubes")


def _dry(w: Working, b: BundleParts) -> None:
    """`m_d`: a weighed mass counts alone only where it was measured and the sum of the parts agrees; else the larger of the two."""
    if b.weighed_mass is None:
        w.step("m_d = m_c", "kg", "bundle, dry", "computed")
        return
    w.given("m_w", "bundle as weighed, dry", b.weighed_mass, "kg")
    differ = "The weighed and the computed mass differ by more than a tenth; the larger counts until somebody has found out why"
    agree = w.limit("abs(m_w - m_c) <= 0.1*m_w", differ, "weighed against computed", "warn", _PRACTICE)
    if b.weighed_mass.grade != "measured":
        w.say("warn", f"The weighed mass is not marked measured (it is {b.weighed_mass.grade}): the larger of it and the computed mass "
              "counts, with an allowance. Weigh the bundle, or mark the figure measured where a load cell read it.",
              source=_PRACTICE)  # fmt: skip
    elif agree:
        w.step("m_d = m_w", "kg", "bundle, dry", "weighed, which counts more than a computed mass")
        return
    w.step("m_d = max(m_w, m_c)", "kg", "bundle, dry", "the larger of weighed and computed")


def _allowance(w: Working, b: BundleParts, pieces: list[Weighed]) -> None:
    """The allowance on the clean bundle and, unless dirt and water were weighed, that of a guess on the bundle as pulled."""
    trusted = b.weighed_mass is not None and b.weighed_mass.grade == "measured" and w["m_d"] == w["m_w"]
    guessed = [] if trusted else [p for p in pieces if p.assumed]
    worst = max(guessed, key=lambda p: p.mass.si, default=None)
    said = f"the {worst.name}, resting on: {', '.join(worst.assumed)}" if worst else "no part rests on an assumed dimension"
    inputs = (f"m_{pieces.index(worst) + 1}",) if worst else ()
    w.kernel(
        "m_a", "heaviest part that rests on an assumption", worst.mass.si if worst else 0.0, "kg", said, Cite(_PRACTICE, _RULE), inputs
    )
    if trusted:
        w.constant("k", "allowance on a weighed bundle", 1.0, "-", Cite(_PRACTICE, _RULE))
    elif b.weighed_mass is not None and b.weighed_mass.grade in _GUESSES and w["m_w"] > w["m_c"]:
        w.constant("k", f"allowance on a weighed mass that is {b.weighed_mass.grade}", GUESSED, "-", Cite(_PRACTICE, _RULE))
    else:
        w.step("f_a = m_a/m_d", "-", "its share of the bundle", "share")
        w.step("k = 1.25 if f_a > 0.05 else 1.10", "-", "allowance, clean", _RULE, source=_PRACTICE)
    w.step("m_in = k*m_d", "kg", "plan the insertion on", _RULE, source=_PRACTICE)
    _allowance_as_pulled(w, b)
    w.step("m_lift = k_p*m_o", "kg", "plan the pull on", _DIRT_RULE, source=_PRACTICE)


def _allowance_as_pulled(w: Working, b: BundleParts) -> None:
    """Dirt and water are one guess. No share is small enough to be let off: a guess of 1 kg would then plan lighter than no guess at all.

    Only a weighing makes dirt known; no drawing shows it.
    """
    w.step("f_p = (m_f + m_v)/m_o", "-", "dirt and water together, a share of the whole", "share")
    if all(q is not None and q.grade == "measured" for q in (b.fouling_mass, b.water_mass)):
        w.step("k_p = k", "-", "allowance, as pulled", "dirt and water weighed", source=_PRACTICE)
        return
    w.constant("k_g", "allowance where dirt or water is a guess or not given", GUESSED, "-", Cite(_PRACTICE, _DIRT_RULE))
    note = (
        "Dirt or water not weighed, however small the guess: it may be several times that, and a small guess must not undo the allowance."
    )
    w.step("k_p = max(k, k_g)", "-", "allowance, as pulled", _DIRT_RULE, note, source=_PRACTICE)


def _as_it_came_out(w: Working, b: BundleParts) -> None:
    """`m_ow` and `m_plan`: the load cell's reading where it is more than what was worked; more than the plan is a stop until it is anew."""
    if b.pulled_mass is None:
        return
    w.given("m_wp", "as weighed when it came out", b.pulled_mass, "kg")
    if b.planned_mass is not None:
        w.given("m_pl", "mass the lift plan was made for", b.planned_mass, "kg")
    plan = "m_pl" if b.planned_mass is not None else "m_lift"
    do = "Slings, crane and pull are worked with the weighed mass from here; make the lift plan anew, and find out what is in it"
    w.limit(f"m_wp <= {plan}", f"{_MORE}. {do}", "weighed mass against the lift plan", source=_PRACTICE)
    w.step("m_ow = max(m_o, m_wp)", "kg", "as pulled, with what was weighed", "the larger of worked and weighed")
    w.step("m_plan = max(m_lift, m_wp)", "kg", "plan the pull on, with what was weighed", "the larger of worked and weighed")


def over_plan(answer: Answer) -> list[Finding]:
    """The stop of a bundle that weighed more than the lift was planned on: every lift and pull of it says so."""
    return [f for f in answer.findings if f.level == "stop" and f.text.startswith(_MORE)]


def _came_out(w: Working) -> dict[str, str]:
    return {"fouled": "m_ow", "lift_mass": "m_plan"} if "m_plan" in w.steps else {}


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
    rider = _rider(exchanger)
    what = f"{part.what} with its {_SHORT[rider.id]}" if rider else part.what
    if rider and isinstance(got, Answer):
        got = _with_rider(exchanger, rider, got, what)
    if got is None or isinstance(got, Missing):
        return LiftedPart(part.id, what, missing=got)
    estimate = got.si("lift_mass") > 1.2 * got.si("fouled")
    cg = _quantity(got, "fouled_cg", estimate)
    return LiftedPart(part.id, what, got, _quantity(got, "fouled", estimate), _quantity(got, "lift_mass", estimate), cg, estimate)


_SHORT = {"channel": "channel", "floating_head": "floating head"}


def _rider(exchanger: Exchanger) -> Part | None:
    """What hangs on the hook with the bundle: the channel of a C or D front, the floating head of a T whose shell is closed at the rear."""
    closed = exchanger.letters.rear == "T" and not has_shell_cover(exchanger.letters, exchanger.options)
    return next((p for p in parts(exchanger) if p.with_bundle or (closed and p.id == "floating_head")), None)


def rider_length(exchanger: Exchanger) -> Quantity | None:
    """How long the part is that hangs with the bundle; None where none does, or nobody said."""
    rider = _rider(exchanger)
    return head(exchanger, rider.id).length if rider else None


def rides_in_front(exchanger: Exchanger) -> Quantity | None:
    """How far a channel reaches that hangs in front of the bundle; None where none does."""
    rider = _rider(exchanger)
    return head(exchanger, rider.id).length if rider and rider.id == "channel" else None


def _with_rider(exchanger: Exchanger, rider: Part, bundle: Answer, what: str) -> Answer | Missing:
    """The bundle with the part that rides on one of its ends, which draws the centre of gravity that way."""
    part, length = head_mass(exchanger, rider), head(exchanger, rider.id).length
    if isinstance(part, Missing):
        return Missing(f"mass of the {what}", part.do)
    if length is None:
        return Missing(f"centre of gravity of the {what}", f"give length in [{rider.id}]")
    w = Working(what, GEOMETRY, parts=[bundle.working, part.working])
    for to, key in (("m_1", "dry"), ("x_1", "cg"), ("m_2", "fouled"), ("x_2", "fouled_cg"), ("m_3", "lift_mass"), ("m_4", "insert_mass")):
        w.take(to, bundle.values[key], bundle.working.name)
    short = _SHORT[rider.id]
    w.take("m_h", part.values["mass"], part.working.name)
    w.take("m_hl", part.values["lift_mass"], part.working.name, f"{short} with its allowance")
    w.given("L", f"{short} length", length, "mm")
    if rider.id == "channel":
        w.step("x_h = -L/2", "m", "centre of gravity of the channel", "in front of the tubesheet, half its length")
    else:
        w.take("L_t", bundle.working.parts[0].steps["L_t"], "tubes")
        w.step("x_h = L_t + L/2", "m", "centre of gravity of the floating head", "behind the tubes, half its length")
    w.step("m_d = m_1 + m_h", "kg", f"{what}, dry", "sum")
    w.step("x_d = (m_1*x_1 + m_h*x_h)/m_d", "m", "its centre of gravity, dry", "sum of moments")
    w.step("m_o = m_2 + m_h", "kg", "as pulled", "sum")
    w.step("x_o = (m_2*x_2 + m_h*x_h)/m_o", "m", "centre of gravity as pulled", "sum of moments")
    w.step("m_lift = m_3 + m_hl", "kg", "plan the pull on", "each with its allowance")
    w.step("m_in = m_4 + m_hl", "kg", "plan the insertion on", "each with its allowance")
    _as_it_came_out(w, exchanger.bundle)
    symbols = {"dry": "m_d", "cg": "x_d", "fouled": "m_o", "fouled_cg": "x_o", "lift_mass": "m_lift", "insert_mass": "m_in"} | _came_out(w)
    values = {k: w.steps[s] for k, s in symbols.items()}
    return Answer(w.name, w, values, bundle.lists, {k: s.unit for k, s in values.items()})


def _quantity(answer: Answer, key: str, estimate: bool) -> Quantity:
    step = answer.values[key]
    return Quantity(step.si, step.unit, "", "assumed" if estimate else "drawing", f"{answer.name}: {step.symbol}")
