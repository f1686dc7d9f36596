"""What the tests have proved in this assembly, gasket by gasket and tube by tube, and what nothing has proved yet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from boxup.hydro.plan import PlannedTest, plan_of
from boxup.job.bolting import ACROSS, BOLTING_STEPS, missing, studs_said
from boxup.job.state import Attempt, JobState, JointState, TestState


@dataclass(frozen=True, slots=True)
class Proof:
    """One thing that must hold pressure. `by`: the tests that proved it as it is now; `open`: why nothing has, empty where one did."""

    what: str  # gasket, nozzle gasket, tube joints, plug, tube
    id: str
    item: str = ""
    by: tuple[str, ...] = ()
    open: str = ""


def proofs(state: JobState) -> tuple[Proof, ...]:
    """Every gasket that is made new this time, the tube joints as a whole, and each tube worked on."""
    plan = plan_of(state.exchanger) if state.exchanger else ()
    return (*_gaskets(state, plan), *_nozzles(state), *_tubes(state, plan))


def unproved(state: JobState) -> tuple[Proof, ...]:
    """What stands unproved."""
    return tuple(proof for proof in proofs(state) if proof.open)


def _gaskets(state: JobState, plan: tuple[PlannedTest, ...]) -> Iterator[Proof]:
    for item in state.scope.items:
        if item.list != "joints" or item.place == "left alone":
            continue
        joint = state.joint(item.id)
        tests = [t for t in plan if item.id in t.proves and item.id in t.final]
        by = tuple(_said(state.tests[t.code]) for t in tests if joint and _proves_joint(state, t.code, joint))
        fitted = joint.gaskets.get(item.id, "") if joint else ""
        yield Proof("gasket", item.id, fitted, by, "" if by else _why_open(state, joint, [t.code for t in tests]))


def _proof(state: JobState, code: str) -> Attempt | None:
    """The attempt that counts, while its step is done: passed, with its names, and not refused."""
    test = state.tests.get(code)
    return test.proof if test and not state.done.isdisjoint((f"{test.step}:{test.item}", test.step)) else None


def _proves_joint(state: JobState, code: str, joint: JointState) -> bool:
    """Passed, not fallen, with this make-up and these gasket items under pressure."""
    proof = _proof(state, code)
    if proof is None or proof.make_ups.get(joint.id) != joint.make_up or joint.undone or joint.weeping:
        return False
    return all(proof.items.get(of) == joint.gaskets.get(of) for of in joint.joints)


def _why_open(state: JobState, joint: JointState | None, codes: list[str]) -> str:
    if not codes:
        return "no test of the plan proves it: watched at the tightness test and at start-up"
    attempts = [(code, state.tests[code].attempts[-1]) for code in codes if code in state.tests and state.tests[code].attempts]
    for code, last in reversed(attempts):
        if last.lacks:
            return f"test {code}, attempt {last.number}, is not accepted: {last.lacks[0]}"
        if last.verdict == "failed":
            return f"test {code} failed (attempt {last.number}); to be tested again"
        if last.fell:
            return f"test {code} passed, and fell: {last.fell}"
        if joint and last.verdict == "passed":
            return f"test {code} passed with another make-up"
    return f"waits for test {' or '.join(codes)}"


def _nozzles(state: JobState) -> Iterator[Proof]:
    """Blanked during the water tests: proved at the tightness test."""
    for item in state.scope.items:
        if item.list == "nozzles" and item.place != "kept":
            codes = [
                one.code for one in state.scope.by_step.get("LEAKTEST", ()) if not one.item or not item.side or one.item.id == item.side
            ]
            done = [code for code in codes if code in state.done]
            yield Proof(
                "nozzle gasket", item.id, "", tuple(done), "" if done else "blanked in the water tests; waits for the tightness test"
            )


def _tubes(state: JobState, plan: tuple[PlannedTest, ...]) -> Iterator[Proof]:
    planned = [t.code for t in plan]
    first = next((code for code in ("S1", "T") if code in planned), "")
    if not first or first not in state.tests:
        return
    proof = _proof(state, first)
    by = tuple(_said(state.tests[code]) for code in ("B", "S1", "T") if _proof(state, code))
    leaking = [tube.id for tube in state.tubes.values() if tube.leaking]
    open_ = f"tube {', '.join(leaking)} leaks" if leaking else "" if proof else _why_open(state, None, [first])
    yield Proof("tube joints", "all", "", () if open_ else by, open_)
    for tube in state.tubes.values():
        if tube.worked or tube.leaks:
            yield _tube(state, first, proof, tube.id)


def _tube(state: JobState, first: str, proof: Attempt | None, id_: str) -> Proof:
    tube = state.tubes[id_]
    what = "plug" if tube.plugged else "tube"
    if tube.leaking:
        return Proof(what, id_, "", (), "leaks; nothing is on record that cures it")
    if tube.plugged and not tube.plugged >= {"front", "rear"}:
        return Proof(what, id_, "", (), "plugged at one end only")
    if proof and proof.tubes.get(id_, 0) == tube.worked:
        return Proof(what, id_, "", (_said(state.tests[first]),))
    return Proof(what, id_, "", (), f"worked on after the last test {first} that stands")


def _said(test: TestState) -> str:
    proof = test.proof
    return f"{test.code}, attempt {proof.number}" if proof else test.code


# the word of each joint


def joint_words(state: JobState) -> None:
    """Put every joint's word: as found, off, in, snug, pass 2 at stud 20, pulled up, tested dry, undone."""
    plan = plan_of(state.exchanger) if state.exchanger else ()
    for joint in state.joints.values():
        joint.word = _word(state, joint, plan)


def _word(state: JobState, joint: JointState, plan: tuple[PlannedTest, ...]) -> str:
    tick = next((state.steps[code] for code in _bolting(state, joint) if code in state.steps), None)
    if joint.weeping or joint.undone:
        return "undone"
    if joint.pulled_up or (tick is not None and tick.stand == "done"):
        return "tested dry" if _dry(state, joint, plan) else "pulled up"
    if joint.word in ("as found", "off"):
        return joint.word
    if joint.rounds:
        return _how_far(joint)
    return "in"


def _bolting(state: JobState, joint: JointState) -> Iterator[str]:
    for step in BOLTING_STEPS:
        for one in state.scope.by_step.get(step, ()):
            if one.item.id in joint.joints if one.item else one.step.kind == joint.kind:
                yield one.code


def _dry(state: JobState, joint: JointState, plan: tuple[PlannedTest, ...]) -> bool:
    """Every gasket on these studs that a test proves is proved."""
    wanted = [[t.code for t in plan if id_ in t.proves and id_ in t.final] for id_ in joint.joints]
    wanted = [codes for codes in wanted if codes]
    return bool(wanted) and all(any(_proves_joint(state, code, joint) for code in codes) for codes in wanted)


def _how_far(joint: JointState) -> str:
    for name in ("round after the wait", "round", *reversed(ACROSS)):
        if name in joint.rounds:
            short = missing(joint, name)
            if not short or not joint.studs:
                return name
            last = joint.rounds[name].last_stud
            return f"{name} at stud {last}" if last else f"{name}, not {studs_said(short)}"
    return "snug" if "all snug" in joint.rounds else "in"
