"""The stress on one gasket in every state of the job, against what seats it, what keeps it tight and what crushes it.

Spread evenly over the ring and half the ribs; no flange rotation; the studs keep their load under pressure.
The end force acts on G, the reaction diameter of Appendix 2: wider than the gasket's inside, which PCC-1 App. O takes,
so the load left on the gasket comes out smaller: the careful side.
"""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.finding import Missing
from boxup.core.quantity import Quantity
from boxup.core.working import Step, Working
from boxup.exchanger.joints import FLOATING_HEAD
from boxup.exchanger.model import SIDES, Gasket, Joint, SideName
from boxup.joint.gasket_hint import crush_hint, factor_hint
from boxup.joint.gasket_loads import APP_2, loads, rib_width_line, widths
from boxup.joint.girth import gasket_area
from boxup.reference.load import source

PCC_1 = source("asme-pcc-1")
# What a gasket is taken to keep of its load once it has relaxed, where its maker says nothing.
KEPT = 0.7
_LESS_H = "stud load less end force on G"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pressures:
    """Gauge pressure on each side; None where nobody gave it."""

    shell: Quantity | None = None
    tube: Quantity | None = None

    def on(self, side: SideName) -> Quantity | None:
        return self.shell if side == "shell" else self.tube


@dataclass(frozen=True, slots=True)
class GasketState:
    """The stress on a gasket in one state: assembly, operating, tube test, shell test, shell or tube side down."""

    name: str
    stress: Step
    pressed: bool  # whether pressure acts on this joint in this state


@dataclass(frozen=True, slots=True)
class GasketAnswer:
    """One gasket: its joint, its working and its stress in each state that could be worked."""

    joint: str
    working: Working
    states: tuple[GasketState, ...]

    def stress(self, state: str) -> Step | None:
        """The stress in a state, or None where it could not be worked."""
        return next((s.stress for s in self.states if s.name == state), None)

    @property
    def area(self) -> Step | None:
        return self.working.steps.get("A_g")


def inside(joint: Joint) -> SideName:
    """The side whose pressure tries to open the joint."""
    return "tube" if "tube" in joint.sides else "shell"


def has_pressure_outside(joint: Joint) -> bool:
    """A floating head sits in the shell: shell pressure presses its cover on."""
    return joint.kind == FLOATING_HEAD


def gasket_answer(w: Working, studs: Working, joint: Joint, ribs: Quantity | None, design: Pressures, test: Pressures) -> GasketAnswer:
    """Work one gasket as a part of `w`, as far as the givens go. `studs`: the part with n and F."""
    part = w.part(f"gasket of {joint.id}", APP_2)
    g = joint.gasket
    if g is None or missing_size(joint, ribs):
        return GasketAnswer(joint.id, part, ())
    _givens(part, joint, g, ribs)
    widths(part, _facing(g))
    rib_width_line(part)
    gasket_area(part)
    _end_force(part, joint, design)
    if "F" not in studs.steps or "n" not in studs.steps:
        return GasketAnswer(joint.id, part, ())
    part.take("n", studs.steps["n"], studs.name)
    part.take("F", studs.steps["F"], studs.name)
    states = _states(part, joint, design, test)
    _seating(part, g)
    _operating(part, g)
    _crush(part, g)
    return GasketAnswer(joint.id, part, states)


def _facing(g: Gasket) -> str:
    """The sketch of the code's table: 6 for a ring joint in its grooves, else a flat face."""
    return "6" if "ring joint" in g.kind.lower() else "1a"


def missing_size(joint: Joint, ribs: Quantity | None) -> list[Missing]:
    """What of the gasket must still be measured."""
    what, g = f"gasket stress of {joint.id}", joint.gasket
    if g is None:
        return [Missing(what, "the file has no gasket for this joint; measure the one in hand: outside, inside, ribs.")]
    found = [Missing(f"{what} ({said} not given)", f"measure the gasket's {said} on the part and check it against the drawing.")
             for value, said in ((g.od, "outside diameter"), (g.id_, "inside diameter")) if value is None]  # fmt: skip
    plain = not joint.ribs_end or (ribs is not None and ribs.si == 0)
    if not plain and ribs is None:
        found.append(Missing(f"{what} (rib length not given)", "measure all ribs of the gasket, or give the passes and their layout."))
    if not plain and g.rib_width is None:
        found.append(Missing(f"{what} (rib width not given)", "measure the width of a rib."))
    if g.od is not None and g.id_ is not None and g.id_.si >= g.od.si:
        found.append(Missing(what, f"the inside diameter {g.id_.typed} is not less than the outside diameter {g.od.typed}; measure again."))
    return found


def missing_limits(joint: Joint, design: Pressures, test: Pressures) -> list[Missing]:
    """Pressures and gasket figures nobody gave, and who has them."""
    side, g = inside(joint), joint.gasket
    if g is None:
        return []
    of, ask = f"of the gasket of {joint.id}", "ask the gasket maker"
    gone = (
        (design.on(side) is None, f"stress {of} under pressure", f"the {side}-side design pressure is not given: read the plate."),
        (test.on(side) is None, f"stress {of} on test", f"the {side}-side test pressure is not given."),
        (has_pressure_outside(joint) and test.shell is None, f"stress {of} on the shell test", "the shell-side pressure is not given."),
        (g.m is None or g.y is None, f"Appendix 2 loads of {joint.id} (m or y not given)", f"{ask} for m and y.{factor_hint(g.kind)}"),
        (g.seating_stress is None and g.y is None, f"least seating stress {of}", f"{ask}."),
        (g.operating_stress is None and g.m is None, f"least operating stress {of}", f"{ask}."),
        (g.crush_stress is None, f"crush limit {of}", f"{ask} for the most stress it takes.{crush_hint(g.kind)}"),
    )
    return [Missing(number, do) for absent, number, do in gone if absent]


def _givens(part: Working, joint: Joint, g: Gasket, ribs: Quantity | None) -> None:
    for symbol, label, value, unit in (
        ("G_o", "outside of the gasket", g.od, "mm"), ("G_i", "inside of the gasket", g.id_, "mm"),
        ("m", "gasket factor", g.m, "-"), ("y", "seating stress of the code", g.y, "MPa"),
    ):  # fmt: skip
        if value is not None:
            part.given(symbol, label, value, unit)
    if joint.ribs_end and ribs is not None and ribs.si > 0 and g.rib_width is not None:
        part.given("l_r", "length of all ribs together", ribs, "mm")
        part.given("w_r", "rib width", g.rib_width, "mm")


def _end_force(part: Working, joint: Joint, design: Pressures) -> None:
    """H at design pressure, and W_m1 and W_m2 where m and y are there."""
    pressure = design.on(inside(joint))
    if pressure is None:
        return
    part.given("P", f"{inside(joint)}-side design pressure", pressure, "MPa")
    if "m" in part.steps and "y" in part.steps:
        loads(part)
    else:
        part.step("H = pi/4 * G**2 * P", "kN", "end force", "2-5(c)(1)")


def _states(part: Working, joint: Joint, design: Pressures, test: Pressures) -> tuple[GasketState, ...]:
    part.step("W_b = n*F", "kN", "load of all studs", "stud load")
    made_up = part.step("S_gT = W_b/A_g", "MPa", "gasket stress at assembly", "App. O: bolt load over gasket area", source=PCC_1)
    found = [GasketState("assembly", made_up, False)]
    if "H" in part.steps:
        part.step("R_o = W_b - H", "kN", "load left on the gasket in operation", _LESS_H, "the other side at no pressure")
        part.limit("W_b > H", "The design pressure lifts the gasket off its seat: the joint opens", _LESS_H)
        found.append(
            GasketState("operating", part.step("S_gO = R_o/A_g", "MPa", "gasket stress in operation", "load left over gasket area"), True)
        )
    for tested in SIDES:
        p = test.on(tested)
        if p is not None:
            found.append(_tested(part, joint, tested, p))
    found += [state for side in SIDES if (state := _down(part, joint, side, design))]
    return tuple(found)


def _down(part: Working, joint: Joint, down: SideName, design: Pressures) -> GasketState | None:
    """In service with one side let down. A joint held by the other side stands as in operation; its own side down, it has the stud load."""
    name = f"{down} side down"
    if design.on(inside(joint)) is None:
        return None
    if inside(joint) != down:
        return GasketState(name, part.steps["S_gO"], True) if "S_gO" in part.steps else None
    if not has_pressure_outside(joint):
        return GasketState(name, part.steps["S_gT"], False)
    if design.shell is None:
        return None
    part.given("P_d", "shell-side design pressure, outside this joint", design.shell, "MPa")
    part.step("H_d = pi/4 * G**2 * P_d", "kN", "force that presses the cover on in service, tube side down", "2-5(c)(1), from outside")
    part.step("R_d = W_b + H_d", "kN", "load on the gasket, pressed on from outside", "stud load and end force on G")
    return GasketState(name, part.step("S_gd = R_d/A_g", "MPa", f"gasket stress, {name}", "load over gasket area"), True)


def _tested(part: Working, joint: Joint, tested: SideName, p: Quantity) -> GasketState:
    name = f"{tested} test"
    if tested == inside(joint):
        part.given("P_t", f"{tested}-side test pressure", p, "MPa")
        part.step("H_t = pi/4 * G**2 * P_t", "kN", "end force on test", "2-5(c)(1), at test pressure")
        part.step("R_t = W_b - H_t", "kN", "load left on the gasket on test", _LESS_H)
        part.limit("W_b > H_t", "The test pressure lifts the gasket off its seat: the joint opens", _LESS_H)
        return GasketState(name, part.step("S_gt = R_t/A_g", "MPa", f"gasket stress on the {name}", "load left over gasket area"), True)
    if has_pressure_outside(joint):
        part.given("P_x", f"{tested}-side test pressure, outside this joint", p, "MPa")
        part.step("H_x = pi/4 * G**2 * P_x", "kN", "force that presses the cover on from outside", "2-5(c)(1), from outside")
        part.step("R_x = W_b + H_x", "kN", "most load on the gasket, pressed on from outside", "stud load and end force on G")
        return GasketState(name, part.step("S_gx = R_x/A_g", "MPa", f"gasket stress on the {name}", "load over gasket area"), True)
    return GasketState(name, part.steps["S_gT"], False)


def _seating(part: Working, g: Gasket) -> None:
    if g.seating_stress is not None:
        part.given("S_gminS", "least gasket stress at assembly", g.seating_stress, "MPa")
    elif g.y is not None:
        label, where = "least gasket stress at assembly (assumed: y)", "App. O: y where the maker gives nothing"
        part.step("S_gminS = y", "MPa", label, where, "assumed: not given", PCC_1)
    else:
        return
    loose = "The target does not seat the gasket. A higher target, or another gasket: ask the engineer"
    part.limit("S_gT >= S_gminS", loose, "App. O, seating", source=PCC_1)


def _operating(part: Working, g: Gasket) -> None:
    """In operation and on test: against the maker's figure, else against m times the pressure that acts in that state."""
    least = "S_gminO"
    if g.operating_stress is not None:
        part.given(least, "least gasket stress under pressure", g.operating_stress, "MPa")
    elif g.m is not None:
        if "P" in part.steps:
            _m_times(part, least, "P", "under pressure")
        if "P_t" in part.steps:
            least = _m_times(part, "S_gminT", "P_t", "on test")
    if "S_gO" in part.steps and "S_gminO" in part.steps:
        _in_operation(part, g)
    if "S_gt" in part.steps and least in part.steps:
        leak = "Too little stress is left on the gasket on test: it may leak. Ask the engineer"
        part.limit(f"S_gt >= {least}", leak, "App. O, operating", source=PCC_1)


def _m_times(part: Working, symbol: str, pressure: str, when: str) -> str:
    label = f"least gasket stress {when} (assumed: m {pressure})"
    where = f"App. O: m {pressure} where the maker gives nothing"
    return part.step(f"{symbol} = m*{pressure}", "MPa", label, where, "assumed: not given", PCC_1).symbol


def _in_operation(part: Working, g: Gasket) -> None:
    """Fresh, and once the gasket has relaxed."""
    leak = "Too little stress is left on the gasket in operation: it may leak. Ask the engineer"
    fresh = part.limit("S_gO >= S_gminO", leak, "App. O, operating", source=PCC_1)
    if g.retained is not None:
        part.given("phi_g", "share of its load the gasket keeps", g.retained, "-")
    else:
        part.assumed("phi_g", "share of its load the gasket keeps", KEPT, "-", "the usual 0.7 where the maker gives nothing")
    part.step(
        "S_gR = (phi_g*W_b - H)/A_g", "MPa", "gasket stress in operation, relaxed", "App. O: relaxed load less end force", source=PCC_1
    )
    if fresh:
        relaxed = "Once the gasket has relaxed, too little stress may be left on it. Ask the engineer"
        part.limit("S_gR >= S_gminO", relaxed, "App. O, operating", "warn", source=PCC_1)


def _crush(part: Working, g: Gasket) -> None:
    if g.crush_stress is None:
        return
    part.given("S_gmax", "most gasket stress", g.crush_stress, "MPa")
    crushed = "the gasket would be crushed. A lower target, or another gasket: ask the engineer"
    part.limit("S_gT <= S_gmax", f"At assembly {crushed}", "App. O, gasket maximum", source=PCC_1)
    if "S_gd" in part.steps:
        pressed = f"In service with the tube side down, the shell pressing the cover on from outside, {crushed}"
        part.limit("S_gd <= S_gmax", pressed, "App. O, gasket maximum", source=PCC_1)
    if "S_gx" in part.steps:
        outside = f"On the shell test, its pressure pressing the cover on from outside, {crushed}"
        part.limit("S_gx <= S_gmax", outside, "App. O, gasket maximum", source=PCC_1)
