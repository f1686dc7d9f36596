"""The flanges of a joint under the very load its studs give: stress against yield, and how far they rotate, in every state.

Appendix 2's stresses go in proportion to the moment, so the most a flange takes follows from one load. Held against yield, not against
the code's allowable stress: this is the load of assembly, not of design (ASME PCC-1 App. O; the closed form is from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.finding import Missing
from boxup.core.quantity import Quantity
from boxup.core.working import Step, Working
from boxup.exchanger.model import Flange, Studs
from boxup.joint.backing_ring import ring_moment, ring_problems, splits_note
from boxup.joint.cover import PLATE, bow_limit, bow_lines
from boxup.joint.dished_cover import cover_arms, cover_moment, dish_problems
from boxup.joint.flange_shape import arms, has_hub, hub_lines, ring_factors, spacing, stresses
from boxup.joint.gasket_loads import APP_2
from boxup.joint.gasket_stress import GasketAnswer
from boxup.joint.hot_metal import TooHot, modulus, modulus_row
from boxup.joint.hub_factors import hub_problems, hub_reach
from boxup.reference.load import source

PCC_1 = source("asme-pcc-1")
TEMA = source("tema")
UG_34 = source("asme-viii-1-ug-34")
APP_1 = source("asme-viii-1-app-1")
ROOM = Quantity(294.26, "degC", "70 degF")
_RINGS = ("integral", "loose", "lap", "ring")
_HUB = ("hub_small", "hub_large", "hub_length")
_NEEDS: dict[str, tuple[str, ...]] = {
    "integral": ("od", "bore", "thickness", "hub_small", "hub_large", "hub_length"),
    "loose": ("od", "bore", "thickness"),
    "lap": ("od", "bore", "thickness"),
    "ring": ("od", "bore", "thickness"),
    "flat cover": ("thickness",),
    "dished cover": ("od", "bore", "thickness", "crown_radius", "head_thickness", "head_lever"),
    "backing ring": ("od", "bore", "thickness", "bearing_diameter", "halves"),
}


@dataclass(frozen=True, slots=True)
class FlangeState:
    """One flange in one state: stress as a share of what it takes, the stud stress at which that is all of it, its rotation where known."""

    name: str
    share: Step
    most: Step
    rotation: Step | None = None


@dataclass(frozen=True, slots=True)
class FlangeAnswer:
    """One flange of a joint: its working, its states; nothing but `missing` where it could not be worked."""

    flange: str
    part: str
    joint: str
    working: Working
    states: tuple[FlangeState, ...] = ()
    material: str = ""
    missing: tuple[Missing, ...] = ()

    @property
    def who(self) -> str:
        """`channel flange (F2)`, `backing ring (F5)`."""
        kind = "" if self.part in ("backing ring", "channel cover", "rear cover", "shell cover", "floating head") else " flange"
        return f"{self.part}{kind} ({self.flange})"


def flange_answer(w: Working, studs: Working, set_: Studs | None, gasket: GasketAnswer, f: Flange) -> FlangeAnswer:
    """Work one flange as a part of `w`. Nothing is guessed but the usual share of yield to allowable stress, and that is said."""
    name = f"{f.part} {f.id}"
    part = w.part(f"{f.part} {f.id} of {f.joint}", APP_2)
    part.aside = True
    lacks = _lacking(f, set_, gasket, studs)
    if lacks:
        w.parts.remove(part)
        return FlangeAnswer(
            f.id, f.part, f.joint, part, (), f.material, tuple(Missing(f"limit of the {name} of {f.joint}", do) for do in lacks)
        )
    _take(part, studs, set_, gasket, f)
    _strength(part, f)
    unknown = _modulus(part, f, gasket)
    work = {"flat cover": _flat, "dished cover": _dished, "backing ring": _backing}.get(f.type, _flange)
    states = tuple(work(part, f, gasket))
    _judge(part, states, f)
    return FlangeAnswer(f.id, f.part, f.joint, part, states, f.material, unknown)


def _lacking(f: Flange, set_: Studs | None, gasket: GasketAnswer, studs: Working) -> list[str]:
    """What stands in the way, a sentence each."""
    if not f.type:
        return ["say how it carries the load: type = integral, loose, lap, ring, flat cover, dished cover or backing ring."]
    if not gasket.states or set_ is None or set_.bolt_circle is None or "D" not in studs.steps:
        return ["the gasket, the bolt circle and the stud load of this joint come first."]
    lost = [key for key in _NEEDS[f.type] if not getattr(f, key)]
    if f.type == "integral" and f.hub_small and f.hub_large is None and f.hub_length is None:
        lost = [key for key in lost if not key.startswith("hub")]
    if f.type in ("loose", "lap") and 0 < len(half := _hub_keys(f)) < 3:
        lost += [key for key in _HUB if key not in half]
    if lost:
        return [f"read {', '.join(lost)} on the drawing ([flange.{f.id}])."]
    if f.yield_ambient is None and f.allowable_ambient is None:
        return [f"read the yield strength or the allowable stress of its metal, {f.material or 'not named'} ([flange.{f.id}])."]
    return [f"{p}. Look at [flange.{f.id}] again." for p in _misfits(f, set_, gasket)]


def _hub_keys(f: Flange) -> list[str]:
    return [key for key in _HUB if getattr(f, key)]


def _misfits(f: Flange, set_: Studs, gasket: GasketAnswer) -> list[str]:
    """Sizes that no such part can have."""
    circle, g = set_.bolt_circle, Quantity(gasket.working["G"], "mm", f"{gasket.working['G'] * 1e3:.4g} mm")
    if circle is None or f.type == "flat cover" or not (f.od and f.bore):
        return []
    if f.type == "backing ring" and f.bearing_diameter:
        return ring_problems(f.bore, f.bearing_diameter, circle, f.od)
    if f.type == "dished cover" and f.crown_radius:
        return dish_problems(f.crown_radius, f.bore, g, circle, f.od)
    found = hub_problems(f.hub_small, f.hub_large)
    straight = f.hub_small and f.hub_large and f.hub_large.si <= f.hub_small.si * (1 + 1e-9)
    if f.type == "ring" and (given := _hub_keys(f)):
        return [f"{', '.join(given)}: a ring has no hub; with one it is type = loose"]
    if not (straight and f.type == "integral"):  # that one is the shell itself, however long
        found += hub_reach(f.bore, f.hub_small, f.hub_large, f.hub_length)
    if not f.bore.si < g.si < circle.si < f.od.si:
        found.append(f"bore {f.bore.typed}, gasket {g.typed}, bolt circle {circle.typed}, od {f.od.typed} do not follow each other outward")
    if f.hub_large and f.bore.si + 2 * f.hub_large.si >= circle.si:
        found.append(f"hub_large {f.hub_large.typed} reaches the bolt circle")
    return found


_GIVEN = (
    ("A", "outside diameter", "od", "mm"), ("B", "inside diameter", "bore", "mm"), ("t", "thickness", "thickness", "mm"),
    ("g_0", "hub at its thin end", "hub_small", "mm"), ("g_1", "hub at the back of the flange", "hub_large", "mm"),
    ("h", "hub length", "hub_length", "mm"), ("L", "inside radius of the dish", "crown_radius", "mm"),
    ("t_h", "thickness of the dish", "head_thickness", "mm"), ("h_r", "lever of the dish", "head_lever", "mm"),
    ("D_r", "middle of the land it bears on", "bearing_diameter", "mm"),
)  # fmt: skip


def _take(part: Working, studs: Working, set_: Studs | None, gasket: GasketAnswer, f: Flange) -> None:
    for symbol, label, key, unit in _GIVEN:
        value = getattr(f, key)
        if value is not None:
            part.given(symbol, label, value, unit)
    if f.type == "integral" and f.hub_large is None:
        part.step("g_1 = g_0", "mm", "no hub: as thick as the shell", "2-3")
    if set_ and set_.bolt_circle:
        part.given("C", "bolt circle", set_.bolt_circle, "mm")
    for symbol in ("n", "D", "S_b"):
        part.take(symbol, studs.steps[symbol], studs.name)
    for symbol in ("G", "W_b", "P", "P_t", "P_x", "P_d"):
        if symbol in gasket.working.steps:
            part.take({"W_b": "W"}.get(symbol, symbol), gasket.working.steps[symbol], gasket.working.name)


def _strength(part: Working, f: Flange) -> None:
    """S_y at room temperature and S_yo hot, given or by the usual share of the allowable stress."""
    for symbol, when, given, s, allowed in (
        ("S_y", "room temperature", f.yield_ambient, "S_fa", f.allowable_ambient),
        ("S_yo", "design temperature", f.yield_design, "S_fo", f.allowable_design),
    ):
        if given is not None:
            part.given(symbol, f"yield strength, {when}", given, "MPa")
        elif allowed is not None:
            part.given(s, f"allowable stress, {when}", allowed, "MPa")
            note = "assumed: the code's allowable is at most two thirds of yield"
            part.step(f"{symbol} = 1.5*{s}", "MPa", f"yield strength, {when} (assumed)", "allowable stress and yield", note, PCC_1)


def _modulus(part: Working, f: Flange, gasket: GasketAnswer) -> tuple[Missing, ...]:
    """E_a at room temperature, given or from the table; what it takes to know it where neither says."""
    if f.modulus_ambient is not None:
        part.given("E_a", "modulus, room temperature", f.modulus_ambient, "GPa")
        return ()
    row = modulus_row(f.material)
    if row is None:
        do = f"name its metal or give modulus_ambient ([flange.{f.id}]); {f.material!r} is not in the table."
        return (Missing(f"rotation of {f.part} {f.id}", do),)
    try:
        modulus(part, "a", row, ROOM)
    except TooHot:  # never at room temperature
        return ()
    return ()


def _loads(gasket: GasketAnswer) -> list[tuple[str, str, str, str]]:
    """(state, mark, pressure, yield): each state in which this joint is pressed from inside."""
    steps = gasket.working.steps
    return [row for row in (("operating", "_o", "P", "S_yo"), ("test", "_t", "P_t", "S_y")) if row[2] in steps]


def _flange(part: Working, f: Flange, gasket: GasketAnswer) -> list[FlangeState]:
    ring_factors(part)
    hub = f.type == "integral" or has_hub(part)
    if hub:
        hub_lines(part, integral=f.type == "integral")
    arms(part, f.type)
    spacing(part)
    part.step("M_a = C_s*W*h_G", "N.m", "moment at assembly", "2-6, at the stud load of this joint")
    found = [_ring_state(part, "assembly", "M_a", "_a", "S_y", hub)]
    if found[0].rotation is not None:
        _turn(part, "theta_a/M_a", "h_G")
    for name, mark, p, s in _loads(gasket):
        part.step(f"M_p{mark} = C_s*pi/4*{p}*(B**2*(h_D - h_G) + (G**2 - B**2)*(h_T - h_G))", "N.m",
                  f"moment the pressure adds, {name}", "2-6: H_D (h_D − h_G) + H_T (h_T − h_G)")  # fmt: skip
        part.step(f"M{mark} = M_a + M_p{mark}", "N.m", f"moment, {name}", "2-6, the studs keeping their load")
        if s in part.steps:
            found.append(_ring_state(part, name, f"M{mark}", mark, s, hub))
    return found


def _turn(part: Working, line: str, arm: str) -> None:
    """Z_f and h_f: how far the part turns for a moment, and the arm at which the studs feel it."""
    part.step(f"Z_f = {line}", "deg/kN.m", "turn for a moment", "rotation over moment")
    part.step(f"h_f = {arm}", "mm", "arm at which the studs feel it", "Table 2-6")


def _ring_state(part: Working, name: str, moment: str, mark: str, strength: str, hub: bool) -> FlangeState:
    stresses(part, moment, mark, hub=hub)
    h, r, t, s = f"S_H{mark}", f"S_R{mark}", f"S_T{mark}", strength
    line = f"u{mark} = max({h}/(1.5*{s}), {r}/{s}, {t}/{s}, ({h} + {r})/(2*{s}), ({h} + {t})/(2*{s}))" if hub else f"u{mark} = {t}/{s}"
    where = "2-8, with yield in place of the allowable stress"
    share = part.step(line, "-", f"stress as a share of what it takes, {name}", where, source=PCC_1)
    line = f"U{mark} = S_b/u{mark}" if f"M_p{mark}" not in part.steps else f"U{mark} = S_b*({moment}/u{mark} - M_p{mark})/M_a"
    return FlangeState(name, share, _most(part, line, name), _rotation(part, name, moment, mark, hub))


def _most(part: Working, line: str, name: str) -> Step:
    return part.step(line, "MPa", f"stud stress it takes at most, {name}", "stress goes with the moment", source=PCC_1)


def _rotation(part: Working, name: str, moment: str, mark: str, hub: bool) -> Step | None:
    if "E_a" not in part.steps:
        return None
    body = f"52.14*V*{moment}/(L*E_a*g_0**2*h_0)" if hub else f"109.4*{moment}/(E_a*t**3*log(K))"
    return part.step(f"theta{mark} = pi/180*{body}", "deg", f"rotation, {name}", "2-14: rigidity index times its factor, in degrees")


def _flat(part: Working, f: Flange, gasket: GasketAnswer) -> list[FlangeState]:
    part.step("h_G = (C - G)/2", "mm", "arm of the gasket load", "Table 2-6")
    part.step("S_a = 1.9*W*h_G/(G*t**2)", "MPa", "bending stress at assembly", "UG-34(c)(2), solved for the stress", source=UG_34)
    found = [_flat_state(part, "assembly", "_a", "S_y")]
    if "E_a" in part.steps:
        _turn(part, "1.337/(E_a*t**3)", "h_G")  # round plate, ratio 0.3: 12 (1 - nu^2)/(2 pi (1 + nu))
    for name, mark, p, s in _loads(gasket):
        label = f"moment that turns its edge as the pressure does, {name}"
        part.step(f"M_p{mark} = pi/32*{p}*G**3", "N.m", label, "round plate carried at its edge", source=PLATE)
        if s in part.steps:
            line = f"S{mark} = (0.3*{p}*G**2 + 1.9*W*h_G/G)/t**2"
            part.step(line, "MPa", f"bending stress, {name}", "UG-34(c)(2), solved for the stress", source=UG_34)
            found.append(_flat_state(part, name, mark, s, f"0.3*{p}*G**2/t**2"))
    if "E_a" in part.steps and "l_r" in gasket.working.steps and "P" in part.steps:
        bow_lines(part, "y", "P", "E_a")
        bow_limit(part)
        bowed = "The cover bows away from the pass plates: the ribs lose their load and water passes from pass to pass"
        part.limit("y <= y_max", bowed, "RCB-9.21", "warn", TEMA)
    return found


def _flat_state(part: Working, name: str, mark: str, strength: str, pressed: str = "") -> FlangeState:
    """`pressed`: the stress of the pressure alone."""
    share = _share(part, mark, strength, name)
    left = f"({strength} - {pressed})" if pressed else strength
    return FlangeState(name, share, _most(part, f"U{mark} = S_b*{left}/S_a", name))


def _share(part: Working, mark: str, strength: str, name: str) -> Step:
    label = f"stress as a share of what it takes, {name}"
    return part.step(f"u{mark} = S{mark}/{strength}", "-", label, "against yield", source=PCC_1)


def _dished(part: Working, f: Flange, gasket: GasketAnswer) -> list[FlangeState]:
    cover_arms(part)
    part.step("M_c_a = W*h_G", "N.m", "moment on the ring, no pressure yet", "1-6(g)(2)", source=APP_1)
    line, where = "S_a = M_c_a*(A + B)/(B*(A - B)*t**2)", "1-6(g)(2), solved for the stress"
    part.step(line, "MPa", "stress in the ring of the cover, assembly", where, source=APP_1)
    found = [_flat_state(part, "assembly", "_a", "S_y")]
    if "E_a" in part.steps:
        _turn(part, "pi/180*109.4/(E_a*t**3*log(A/B))", "h_G")
    for name, mark, p, s in _loads(gasket):
        if s in part.steps:
            found.append(_dish_state(part, name, True, p, mark, s))
    if "P_x" in part.steps:
        found.append(_dish_state(part, "shell test", False, "P_x", "_x", "S_y"))
    if "P_d" in part.steps and "S_yo" in part.steps:  # hot, and pressed on from outside alone
        found.append(_dish_state(part, "tube side down", False, "P_d", "_d", "S_yo"))
    return found


def _dish_state(part: Working, name: str, inside: bool, pressure: str, mark: str, strength: str) -> FlangeState:
    cover_moment(part, inside, "W", pressure, mark)
    part.step(f"S_p{mark} = {pressure}*B*sqrt(4*L**2 - B**2)/(4*(A - B)*t)", "MPa", f"part of the pressure in it, {name}",
              "1-6(g)(2), factor F", source=APP_1)  # fmt: skip
    line = f"S{mark} = S_p{mark} + abs(M_c{mark})*(A + B)/(B*(A - B)*t**2)"
    part.step(line, "MPa", f"stress in the ring of the cover, {name}", "1-6(g)(2), solved for the stress", source=APP_1)
    share = _share(part, mark, strength, name)
    part.step(f"M_p{mark} = M_c{mark} - W*h_G", "N.m", f"moment the pressure adds, {name}", "moment less that of the studs")
    line = f"U{mark} = S_b*(({strength} - S_p{mark})*B*(A - B)*t**2/(A + B) - M_p{mark})/(W*h_G)"
    return FlangeState(name, share, _most(part, line, name))


def _backing(part: Working, f: Flange, gasket: GasketAnswer) -> list[FlangeState]:
    ring_moment(part, f.halves)
    ring_factors(part)
    found = [_ring_state(part, "assembly", "M_r", "_a", "S_y", False)]
    if found[0].rotation is not None:
        _turn(part, "theta_a/M_r", "(C - D_r)/2")
    if "S_yo" in part.steps:
        part.step("S_o = S_T_a", "MPa", "stress, the studs keeping their load", "2-9")
        found.append(FlangeState("operating", _share(part, "_o", "S_yo", "operating"), _most(part, "U_o = S_b/u_o", "operating")))
    splits_note(part, f.halves)
    return found


def _judge(part: Working, states: tuple[FlangeState, ...], f: Flange) -> None:
    """Over what it takes in a state: a stop, with the state's name."""
    for state in states:
        say = f"The {f.part} ({f.id}) is over its yield, {state.name}: it would bend and stay bent. Ask the engineer"
        part.limit(f"{state.share.symbol} <= 1", say, "against yield", source=PCC_1)
