"""What a job starts with, from its file: joints as found, tools with their dates, tubes plugged before, what stands against a tick."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from boxup.exchanger.model import Exchanger
from boxup.job.bolting import BOLTING_STEPS
from boxup.job.scope import Instance, Item
from boxup.job.state import NO_RESULT, BlindState, JointState, TestState, ToolState

if TYPE_CHECKING:
    from boxup.job.fold.engine import Folding

SMALL_BORE = "small bore"
STEP_OF = {"B": "BENCH", "S1": "STEST1", "T": "TTEST", "S2": "STEST2"}
DRAIN_OF = {"B": ("BENCH_DRAIN", ""), "S1": ("STEST1_DRAIN", "S1"), "T": ("TTEST_DRAIN", "T"), "S2": ("DRAINDRY", "shell")}
KIND_OF = {"B": "bench", "S1": "bare ends", "T": "tube", "S2": "final shell"}
SIDE_OF = {"B": "tube", "S1": "shell", "T": "tube", "S2": "shell"}


def fill_in(f: Folding) -> None:
    """Joints, blinds, tests and tools of the scope; those that are there already stay as they are."""
    state, x = f.state, f.state.exchanger
    for item in state.scope.items:
        if item.list in ("joints", "nozzles") and not item.of and item.id not in state.joints:
            joint_state(f, item.id)
        elif item.list == "blinds":
            state.blinds.setdefault(item.id, BlindState(item.id, item.kind))
    for code, step in STEP_OF.items():
        if step in state.scope.by_step:
            named = next((i.id for i in state.scope.items if i.list == "tests" and i.kind == KIND_OF[code]), code)
            state.tests.setdefault(code, TestState(code, SIDE_OF[code], step, named))
    if x is not None:
        for tool in x.tools:
            state.tools.setdefault(tool.id, ToolState(tool.id, tool.calibrated_until))
        for joint in state.joints.values():
            joint.studs = studs_of(x, joint.joints)


def item_of(f: Folding, id_: str) -> Item | None:
    """A joint or nozzle of the lists."""
    return f.state.scope.owners.get(id_)


def seen_leaking(f: Folding, said: str, what: str) -> None:
    """Put down at the attempt that runs: of the test named, else of the one under pressure."""
    running = [t for t in f.state.tests.values() if t.attempts and t.attempts[-1].verdict in NO_RESULT]
    named = test_of(f, said)
    on = named if named in running else next((t for t in running if t.pressure_mpa > 0), None)
    if on is not None:
        on.attempts[-1].leaks.append(f"{what}, {f.event.happened_at:%H:%M}")


def test_of(f: Folding, name: str) -> TestState | None:
    """A test by its code, its name in the lists, or its kind."""
    if name in f.state.tests:
        return f.state.tests[name]
    return next((t for t in f.state.tests.values() if name in (t.item, KIND_OF[t.code])), None)


def opening_of(f: Folding, id_: str) -> Item | None:
    """A vent, drain or tapping of the lists; with bare letters its kind stands for it."""
    if id_ == SMALL_BORE:
        return Item(id_, SMALL_BORE, list="openings")
    return next((item for item in f.state.scope.items if item.list == "openings" and item.id == id_), None)


def joint_state(f: Folding, id_: str) -> JointState:
    """The stud set of a joint, made when first spoken of. With bare letters the kind stands for the joint."""
    if found := f.state.joint(id_):
        return found
    item = item_of(f, id_)
    owner = item.of if item and item.of else id_
    shared = [i for i in f.state.scope.owners.values() if owner in (i.id, i.of)]
    joints = tuple(i.id for i in shared) or (id_,)
    kind = item.kind if item else id_
    sides = tuple(dict.fromkeys(i.side for i in shared if i.side)) if kind != "floating head" else ("shell", "tube")
    made = JointState(owner, kind, sides, joints, studs_of(f.state.exchanger, joints))
    f.state.joints[owner] = made
    return made


def studs_of(x: Exchanger | None, joints: tuple[str, ...]) -> int | None:
    """How many studs clamp these joints, from the file; None where it is not given."""
    if x is None:
        return None
    counts = [j.studs.count for j in x.joints if j.id in joints and j.studs] + [n.studs for n in x.nozzles if n.id in joints]
    return next((round(count.si) for count in counts if count is not None), None)


def bolting_step(f: Folding, joint: JointState) -> str:
    """The step that is done when this joint is pulled up, "" where none exists here."""
    if joint.id not in f.bolting:
        f.bolting[joint.id] = next((one.code for one in _bolting(f, joint)), "")
    return f.bolting[joint.id]


def _bolting(f: Folding, joint: JointState) -> Iterator[Instance]:
    for step in BOLTING_STEPS:
        for one in f.state.scope.by_step.get(step, ()):
            if one.item.id in joint.joints if one.item else one.step.kind == joint.kind:
                yield one
