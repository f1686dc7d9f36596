"""Where to hold a bundle, and what its tubes bear there: one point, a saddle, two slings as planned, two slings at their best."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from math import inf

from boxup.core.calculation import STANDARD_GRAVITY, Answer
from boxup.core.finding import Finding, Missing
from boxup.core.quantity import Quantity
from boxup.core.rounding import both
from boxup.core.source import Cite
from boxup.core.working import Working
from boxup.exchanger.bundle_parts import give
from boxup.exchanger.metal import STEEL, named
from boxup.exchanger.model import Exchanger
from boxup.lift.answer import LiftAnswer
from boxup.lift.beam import Bent, Support, Tips, bent
from boxup.lift.bundle_beam import BundleBeam, bundle_beam
from boxup.lift.contact import between_baffles, pressure
from boxup.lift.gear import PRACTICE, STATICS, gravity
from boxup.lift.rigging import PICKS
from boxup.reference.load import table

NAME = "where to hold the bundle"
ONE, SADDLE, PLANNED, BEST = "one narrow sling", "one saddle", "two slings as planned", "two slings at the best baffles"
_AS_SLUNG, _AT_BEST = "In the two slings of the file", "Even in two slings at their best"
SHARE, WIDTH, SAME = 1 / 3, 300.0, 0.02  # of yield; mm; m
_THREE_MOMENTS = "three-moment equation; the bundle bends as its tubes side by side"
_AT = "slings at baffles"


def holding(exchanger: Exchanger, bundle: Answer | Missing | None, hung: Answer | Missing | None) -> LiftAnswer:
    """Tube bending and droop for each way of holding it, and what a sling does to the tubes under it.

    Symbols: S_b the stress allowed; in each part x_1, x_2 (places, m), R_1, R_2 (shares), M_b (bending), s_b (tube stress), v_1, v_2 (how
    far the ends lie under the line), f_b (share of yield).
    """
    w = Working(NAME, STATICS)
    beam = bundle_beam(exchanger, bundle, hung, "lifted")
    if isinstance(beam, Missing) or not isinstance(bundle, Answer):
        return LiftAnswer(NAME, w, (beam,) if isinstance(beam, Missing) else ())
    missing = list(_tubes(w, exchanger, bundle))
    plan = Cite(PRACTICE, "plan the pull on")
    w.kernel("m", "mass it is held with, allowance included", beam.weight / STANDARD_GRAVITY, "kg", "as pulled", plan)
    gravity(w)
    w.step("W = m*g_n", "kN", "weight", "weight")
    w.kernel("x_c", "centre of gravity", beam.centre, "m", "sum of moments", Cite(STATICS, "sum of moments"))
    for name, supports in _ways(exchanger, beam):
        _held(w, beam, name, supports)
    if not beam.baffles:
        missing.append(Missing("slings at baffles", "give count, spacing and first_position in [baffles]: slings go where baffles are."))
    _contacts(w, exchanger, beam)
    _says(w, beam)
    return LiftAnswer(NAME, w, tuple(missing))


def bends_too_far(held: LiftAnswer | None) -> list[Finding]:
    """The warning that its tubes bend too far as it is slung, with where they bend less: it goes wherever the lift is planned."""
    return [f for f in held.findings if f.level != "note" and f.text.startswith((_AS_SLUNG, _AT_BEST))] if held else []


def _tubes(w: Working, x: Exchanger, bundle: Answer) -> Iterator[Missing]:
    """I_b, E_t, S_y and S_b."""
    t = x.tubes
    w.take("N_t", bundle.working.parts[0].steps["N_t"], "tubes")
    give(w, "d_o", "tube outside diameter", t.od, "mm")
    give(w, "t_t", "tube wall", t.wall, "mm")
    w.step("I_1 = pi/64*(d_o**4 - (d_o - 2*t_t)**4)", "mm4", "second moment of one tube", "ring")
    w.step("I_b = N_t*I_1", "mm4", "second moment of the bundle", "tubes side by side, nothing else counted")
    _modulus(w, t.material)
    row = named(table("tube_yield"), t.material)
    if t.yield_strength is not None:
        w.given("S_y", "yield strength of the tubes, at least", t.yield_strength, "MPa")
    elif row is not None:
        w.table("S_y", "yield strength of the tubes, at least", row.need("yield"), "MPa", row.place("yield"), row.cite)
    else:
        yield Missing("what the tubes may bend to", "give yield_strength in [tubes], from the certificate of the tubes.")
        return
    if x.bundle.tube_stress_share is not None:
        w.given("f_y", "share of yield allowed while it hangs", x.bundle.tube_stress_share, "-")
    else:
        w.assumed("f_y", "share of yield allowed while it hangs", SHARE, "-", "a third: a lift jerks, and tubes are old (common practice)")
    w.step("S_b = f_y*S_y", "MPa", "bending stress allowed in the tubes", "a share of yield", source=PRACTICE)


def _modulus(w: Working, words: str) -> None:
    row = named(table("metal_elastic"), words)
    if row:
        w.table("E_t", "modulus of the tubes", row.need("modulus"), "GPa", row.place("modulus"), row.cite)
    else:
        w.assumed("E_t", "modulus of the tubes", float(table("metal_elastic")[STEEL].cells["modulus"]), "GPa", "that of carbon steel")


def _ways(x: Exchanger, beam: BundleBeam) -> Iterator[tuple[str, tuple[float, ...]]]:
    """Each way of holding it: its name and where."""
    yield ONE, (beam.centre,)
    before, after = beam.beside(beam.centre)
    if before is not None and after is not None:
        yield SADDLE, (before, after)
    b = x.bundle
    if b.sling_points_m and b.sling_points_far_m and b.sling_points_m.si < b.sling_points_far_m.si:
        yield PLANNED, (b.sling_points_m.si, b.sling_points_far_m.si)
    if pair := best_pair(beam):
        yield BEST, pair


@lru_cache(maxsize=64)  # each way of holding names it beside its own
def best_pair(beam: BundleBeam) -> tuple[float, float] | None:
    """The two places that bend the tubes least: baffles, or in front the channel that rides along. None where no two hold it level."""
    front = [*beam.baffles, *([beam.rider] if beam.rider is not None and beam.rider < 0 else [])]
    grid = [beam.length * i / 120 for i in range(121)]
    hung = [(x, _times_arm(beam, x)) for x in grid]
    pairs = [(a, b) for a in front for b in beam.baffles if a < beam.centre < b]
    return min(pairs, key=lambda pair: _hardest(beam, hung, *pair), default=None)


def _times_arm(beam: BundleBeam, x: float) -> float:
    """Moment about x of everything in front of it."""
    return Bent(1.0, beam.loads, ()).moment(x) * -1


def _hardest(beam: BundleBeam, hung: list[tuple[float, float]], front: float, rear: float) -> float:
    """The hardest bending on two picks, on a grid fine enough to choose by."""
    share = beam.weight * (rear - beam.centre) / (rear - front)
    sag = max((share * (x - front) - arm for x, arm in hung if front < x < rear), default=inf)
    return max(abs(sag), abs(_times_arm(beam, front)), abs(share * (rear - front) - _times_arm(beam, rear)))


def _held(w: Working, beam: BundleBeam, name: str, at: tuple[float, ...]) -> None:
    """A part for one way of holding it."""
    part = w.part(name)
    part.aside = name in (ONE, SADDLE)
    supports = [Support(str(i), x) for i, x in enumerate(at, start=1)]
    for symbol, label in (("W", "weight"), ("x_c", "centre of gravity"), ("d_o", "tube outside diameter"), ("I_b", "bundle")):
        part.take(symbol, w.steps[symbol], NAME, label)
    for i, x in enumerate(at, start=1):
        part.kernel(f"x_{i}", f"held at ({i})" if len(at) > 1 else "held at", x, "m", _where(name), Cite(PRACTICE, _AT))
    try:
        got = bent(beam.stiffness, beam.loads, supports)
    except Tips:
        tips = f"{name.capitalize()}: the centre of gravity is not between the slings: the bundle tips. Move a sling."
        part.say("stop", tips, _AT, PRACTICE)
        return
    if len(at) == 2:
        part.step("R_1 = W*(x_2 - x_c)/(x_2 - x_1)", "kN", "carried in front", "moments")
        part.step("R_2 = W*(x_c - x_1)/(x_2 - x_1)", "kN", "carried behind", "moments")
    _bends(w, part, beam, got)


def _where(name: str) -> str:
    return {ONE: "under the centre of gravity", SADDLE: "the baffles either side of the centre of gravity",
            PLANNED: "sling points of the file", BEST: "the two baffles that bend the tubes least"}[name]  # fmt: skip


def _bends(w: Working, part: Working, beam: BundleBeam, got: Bent) -> None:
    how = _THREE_MOMENTS
    at, moment = got.worst()
    part.kernel("x_b", "bent hardest at", at, "m", how, Cite(STATICS, "elastic line"))
    part.kernel("M_b", "bending there", abs(moment), "kN.m", how, Cite(STATICS, "elastic line"), ("x_b",))
    part.step("s_b = M_b*d_o/(2*I_b)", "MPa", "bending stress in the tubes", "bending")
    if got.bearing[0][0].at >= 0:  # a channel is no tube: how far it turns is not worked
        for symbol, label, x in (("v_1", "front end lower by", 0.0), ("v_2", "rear end lower by", beam.length)):
            part.kernel(symbol, label, got.droop(x), "mm", how, Cite(STATICS, "elastic line"))
    if "S_b" not in w.steps:
        return
    part.take("S_y", w.steps["S_y"], NAME)
    part.take("S_b", w.steps["S_b"], NAME)
    part.step("f_b = s_b/S_y", "-", "share of yield", "bending over yield")
    say = {ONE: "Held by one narrow sling its tubes bend too far: use two wide slings from a spreader, or a cradle",
           SADDLE: "Held on one saddle its tubes bend too far: use two wide slings from a spreader, or a cradle",
           PLANNED: f"In the two slings of the file its tubes bend too far: {_better(beam, _places(got))}",
           BEST: "Even in two slings at their best its tubes bend too far: use a cradle, and ask the engineer"}[part.name]  # fmt: skip
    aside = part.name in (ONE, SADDLE) or (part.name == BEST and _said_of_the_planned(w, got))
    part.limit("s_b <= S_b", say, "a share of yield", "note" if aside else "warn", PRACTICE, few=True)


def _places(got: Bent) -> tuple[float, ...]:
    return tuple(support.at for support, _ in got.bearing)


def _said_of_the_planned(w: Working, got: Bent) -> bool:
    """Whether the two slings of the file hang at the best places already: then it has been said once."""
    planned = next((p for p in w.parts if p.name == PLANNED and "x_2" in p.steps), None)
    return planned is not None and _same((planned["x_1"], planned["x_2"]), _places(got))


def _same(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    """Whether two slings hang at the same places as two others."""
    return all(abs(a - b) < SAME for a, b in zip(one, other, strict=True))


def _better(beam: BundleBeam, planned: tuple[float, ...]) -> str:
    """Where they bend less than at the places planned."""
    pair = best_pair(beam)
    if pair is None or len(planned) != len(pair):
        return "use a cradle"
    if _same(pair, planned):
        return "no two places bend them less; use a cradle, and ask the engineer"
    front = "on the channel that rides along" if pair[0] < 0 else f"at the baffle at {both('position', pair[0])}"
    return f"least with one {front} and one at the baffle at {both('position', pair[1])}; hang it so from a spreader or use a cradle"


def _contacts(w: Working, x: Exchanger, beam: BundleBeam) -> None:
    """For each sling of the file: which baffles are under it, how hard it presses, and the tubes' bending where none is."""
    planned = next((p for p in w.parts if p.name == PLANNED), None)
    if planned is None or x.baffles.outside_diameter is None or "R_1" not in planned.steps:
        return  # the slings' own answer asks for their places
    for i, pick in enumerate(PICKS, start=1):
        if planned[f"x_{i}"] < 0:
            continue  # on the channel that rides along: no tube is under it
        part = w.part(f"{pick} sling on the tubes", PRACTICE)
        part.aside = True
        part.take("R", planned.steps[f"R_{i}"], PLANNED)
        part.take("x_s", planned.steps[f"x_{i}"], PLANNED, f"{pick} sling")
        part.given("D_b", "outside diameter of the bundle", x.baffles.outside_diameter, "mm")
        _width(part, x.bundle.sling_width)
        pressure(part)
        _under(w, part, x, beam, pick)


def _width(part: Working, width: Quantity | None) -> None:
    if width is not None:
        part.given("b", "width of the sling along the bundle", width, "mm")
    else:
        why = "300 mm, the least that is usual (common practice): measure it"
        part.assumed("b", "width of the sling along the bundle", WIDTH, "mm", why)


def _under(w: Working, part: Working, x: Exchanger, beam: BundleBeam, pick: str) -> None:
    """The baffles under a sling: two are asked for, one will do for the tubes, none bends them."""
    at, half = part["x_s"], part["b"] / 2
    if at > beam.length:
        part.say("stop", f"The {pick} sling is on the bends: a bend is never slung, nor rested on. Move it to a baffle.", _AT)
        return
    under = [p for p in beam.baffles if at - half <= p <= at + half]
    before, after = beam.beside(at)
    if before is None or after is None:  # nothing to span: beside the tubesheet, or behind the last baffle
        if beam.baffles and not under and at - half > beam.front:
            near = both("position", min(beam.baffles, key=lambda p: abs(p - at)))
            off = f"The {pick} sling, {both('position', at)}, lies where no baffle is: the next one is at {near}."
            part.say("warn", f"{off} It presses on bare tubes.", _AT)
        return
    if len(under) >= 2:
        return
    one, other = both("position", before), both("position", after)
    if len(under) == 1:
        part.say(
            "note",
            f"The {pick} sling lies on the baffle at {both('position', under[0])} alone. Two carry it better: a saddle lined with wood "
            f"over the baffles at {one} and {other}.",
            _AT,
        )
        return
    _bare(w, part, x, after - before)
    part.say(
        "warn",
        f"The {pick} sling, {both('position', at)}, lies between baffles and presses on bare tubes: move it to a baffle, or put a saddle "
        f"lined with wood over those at {one} and {other}.",
        _AT,
    )


def _bare(w: Working, part: Working, x: Exchanger, span: float) -> None:
    if x.tubes.pitch is None:
        return
    part.given("p_t", "pitch of the tubes", x.tubes.pitch, "mm")
    part.take("d_o", w.steps["d_o"], NAME)
    part.take("I_1", w.steps["I_1"], NAME)
    part.kernel("s_b", "between the two baffles it lies between", span, "mm", "places of the baffles", Cite(STATICS, "geometry"))
    between_baffles(part)
    if "S_b" in w.steps:
        part.take("S_b", w.steps["S_b"], NAME)
        part.limit("s_l <= S_b", "The tubes under it bend too far: a wider sling or a saddle, at baffles", "a share of yield", "warn",
                   few=True)  # fmt: skip


_ALONE = (
    "Worked with the tubes' own stiffness alone, as if they slid freely in the baffles: friction in the holes, rods and spacers help and "
    "are not counted. The bundle droops and bends less than this, not more."
)
_NEVER = (
    "Wide web slings or a saddle lined with wood, on baffles or tubesheet. Never wire rope or chain on tubes, no hook in a tube, never let "
    "it down on its tubes."
)


def _says(w: Working, beam: BundleBeam) -> None:
    w.say("note", _ALONE, "tubes slide in baffles", PRACTICE)
    w.say("note", _NEVER, _AT, PRACTICE)
    if beam.bends:
        w.say("note", "The bends hang free: they are never slung, never rested on, never pushed.", "U-bends", PRACTICE)
