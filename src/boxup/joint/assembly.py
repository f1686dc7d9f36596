"""One joint of one exchanger: stud load and torque, the stress on every gasket its studs clamp in every state, and what is missing."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.finding import Finding, Missing
from boxup.core.quantity import Quantity
from boxup.core.rounding import between, both
from boxup.core.working import Step, Working
from boxup.exchanger.joints import CHANNEL_PACKING, CLOSURE, SHELL_PACKING, STUFFING_BOX
from boxup.exchanger.model import Joint
from boxup.joint.balance import Balance, balance
from boxup.joint.flanges import FlangeAnswer, flange_answer
from boxup.joint.gasket_loads import APP_2
from boxup.joint.gasket_stress import GasketAnswer, GasketState, Pressures, gasket_answer, missing_limits, missing_size
from boxup.joint.grade import allowable, material
from boxup.joint.joint_window import JointWindow, joint_window
from boxup.joint.studs import PCC_1, StudSet, missing_studs, stud_lines, torque_lines, withheld
from boxup.joint.thread import Thread

__all__ = ["GasketAnswer", "GasketState", "JointAnswer", "Pressures", "assembly"]

_PACKING = (
    "a packing is drawn up evenly and a little at a time, to the packing maker's or the engineer's figure, until it holds and no further: "
    "ask for that figure. A torque for a flat gasket is not given."
)
_CLOSURE = "how far it is pulled up stands in the closure maker's procedure: ask for it. A torque for a flat gasket is not given."
# Joints with no flat gasket: nothing here can say how far they are pulled up.
BY_MAKER = {STUFFING_BOX: _PACKING, SHELL_PACKING: _PACKING, CHANNEL_PACKING: _PACKING, CLOSURE: _CLOSURE}


@dataclass(frozen=True, slots=True)
class JointAnswer:
    """What one stud set asks for. `with_joint` names the second joint on the same studs, if there is one.

    `by_maker`: a packing or a special closure, made up to its maker's figure: no stress, no torque and no passes of ours.
    """

    joint: str
    with_joint: str
    working: Working
    missing: tuple[Missing, ...]
    gaskets: tuple[GasketAnswer, ...]
    by_maker: bool = False
    flanges: tuple[FlangeAnswer, ...] = ()
    window: JointWindow | None = None
    balance: Balance | None = None

    def _stud(self, symbol: str) -> Step | None:
        return self.working.parts[0].steps.get(symbol)

    @property
    def load(self) -> Step | None:
        """The load of one stud."""
        return self._stud("F")

    @property
    def stress(self) -> Step | None:
        """Target stud stress, on the area the file names."""
        return self._stud("S_b")

    @property
    def torque(self) -> Step | None:
        return self._stud("T")

    @property
    def yield_fraction(self) -> Step | None:
        return self._stud("f_y")

    @property
    def shut(self) -> bool:
        """No stud load satisfies the limits of this very joint: nothing is pulled, whatever its target."""
        return self.window is not None and self.window.impossible

    @property
    def window_torque(self) -> str:
        """The two ends of the window as this stud and lubricant give them on a wrench, or nothing."""
        if not (self.torque and self.stress and self.window and self.window.feasible and self.window.lower and self.window.upper):
            return ""
        each = self.torque.si / self.stress.si
        return between("torque", self.window.lower.si * each, self.window.upper.si * each)

    @property
    def torque_text(self) -> str:
        """`615 N·m (455 lbf·ft)`, as it is set on a wrench, or nothing."""
        return both("torque", self.torque.si) if self.torque else ""

    @property
    def findings(self) -> list[Finding]:
        return self.working.all_findings()


def assembly(joint: Joint, *, design: Pressures, test: Pressures, rib_length: Quantity | None = None, shared: Joint | None = None,
             shared_rib_length: Quantity | None = None, temperature: Quantity | None = None) -> JointAnswer:  # fmt: skip
    """Work one joint, with the second joint on the same studs where there is one.

    `design`, `test`: pressures of the two sides. `rib_length`: all pass ribs of the gasket together, 0 for a plain ring;
    needed where the joint has a ribs end. `temperature`: design temperature of the studs, for their allowable stress.
    What is not given is in `missing`; nothing is guessed.
    """
    if any(j.kind in BY_MAKER for j in (joint, shared) if j):
        return _by_maker(joint, shared)
    studs = StudSet.of(joint.studs or (shared.studs if shared else None))
    name = f"{joint.id} and {shared.id}" if shared else joint.id
    w = Working(name, PCC_1)
    missing = missing_studs(studs, name)
    part = w.part("studs")
    t = stud_lines(part, studs)
    missing += withheld(part, name)
    gaskets = []
    for j, ribs in ((joint, rib_length), *([(shared, shared_rib_length)] if shared else [])):
        gaskets.append(gasket_answer(w, part, j, ribs, design, test))
        missing += missing_size(j, ribs) + missing_limits(j, design, test)
    both_ = [j for j in (joint, shared) if j]
    set_ = joint.studs or (shared.studs if shared else None)
    flanges = [flange_answer(w, part, set_, g, f) for j, g in zip(both_, gaskets, strict=True) for f in j.flanges]
    window = joint_window(w, part, set_, both_, gaskets, flanges)
    missing += [m for f in flanges for m in f.missing]
    if window.impossible:
        missing.append(
            Missing(
                f"torque for {name}", "no stud load satisfies the gasket, the flanges and the studs: the engineer must say what is changed."
            )
        )
    else:
        torque_lines(part, studs)
    missing += _required_area(w, studs, t, gaskets, temperature, name)
    moved = balance(w, part, set_, both_, gaskets, flanges, temperature)
    return JointAnswer(
        joint.id, shared.id if shared else "", w, tuple(missing), tuple(gaskets), flanges=tuple(flanges), window=window, balance=moved
    )


def _by_maker(joint: Joint, shared: Joint | None) -> JointAnswer:
    """A joint no flat-gasket rule fits, whatever sizes the file gives for it."""
    both_ = [j for j in (joint, shared) if j]
    w = Working(" and ".join(j.id for j in both_), PCC_1)
    w.part("studs")
    do = next(BY_MAKER[j.kind] for j in both_ if j.kind in BY_MAKER)
    missing = tuple(Missing(f"torque and gasket stress of {j.id}, {j.kind}", BY_MAKER.get(j.kind, do)) for j in both_)
    return JointAnswer(joint.id, shared.id if shared else "", w, missing, (), by_maker=True)


def _required_area(
    w: Working, studs: StudSet, t: Thread | None, gaskets: list[GasketAnswer], temperature: Quantity | None, name: str
) -> list[Missing]:
    """Appendix 2: the root area there is against the area the larger gasket load asks for."""
    asked = [(f"_{i}", g.working) for i, g in enumerate(gaskets, start=1) if "W_m1" in g.working.steps]
    if t is None or "n" not in w.parts[0].steps or studs.strength_refused or len(asked) < len(gaskets):
        return []
    what = f"Appendix 2 stud area of {name}"
    if temperature is None:
        return [Missing(what, "the design temperature is not given, so the studs' allowable stress is not known: read the plate.")]
    part = w.part("stud area, Appendix 2", APP_2)
    row = material(studs.grade, t)
    try:
        allowable(part, "S_a", row, None)
        allowable(part, "S_b", row, temperature)
    except LookupError as bad:
        return [Missing(what, f"{bad}; ask the engineer for the allowable stress of the studs.")]
    for symbol in ("n", "A_r"):
        part.take(symbol, w.parts[0].steps[symbol], "studs")
    for x, of in asked:
        part.take(f"W_m1{x}", of.steps["W_m1"], of.name)
        part.take(f"W_m2{x}", of.steps["W_m2"], of.name)
    part.step(f"A_m = max({', '.join(f'W_m1{x}/S_b, W_m2{x}/S_a' for x, _ in asked)})", "mm2", "stud root area asked for", "2-5(d)")
    part.step("A_b = n*A_r", "mm2", "stud root area there is", "2-5(d)")
    thin = "The studs have less root area than Appendix 2 asks for. Check count, size, gasket and pressure, then ask the engineer"
    part.limit("A_b >= A_m", thin, "2-5(d)", "warn")
    return []
