"""Whether a joint is pulled up, by what is on record: every pass on every stud, the wait, the second round, the second man."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import timedelta
from itertools import pairwise
from statistics import median

from boxup.job.person import among
from boxup.job.state import JobState, JointState
from boxup.joint.gaps import CORRECT, spread

WAIT = timedelta(hours=4)  # between the end of the round and the round after the wait (ASME PCC-1 gives 4 h; from memory)
ACROSS = ("pass 1", "pass 2", "pass 3")
LOADED = (*ACROSS, "round", "round after the wait")
SNUG = ("four snug", "all snug")
WHOLE = {*SNUG, *LOADED, "verify"}  # what must at least be on record
LOW_SHARE = 0.8  # of the middle load: the spread of torque tightening is some 30 % (ASME PCC-1, from memory)
# The step that is done when a joint is pulled up, and the one that puts a gasket in.
BOLTING_STEPS = (
    "CC_ON", "GIRTH_TORQ", "FH_TORQ", "FH_ON_T", "SC_ON", "REAR_LMN", "P_COVER", "W_REAR", "NOZ_TORQ", "STACK_S", "STACK_T",
)  # fmt: skip
GASKET_STEPS = ("GKT_SHELLTS", "GKT_CHTS", "GKT_CC", "GKT_FH", "GKT_SC")


def missing(joint: JointState, name: str) -> tuple[int, ...]:
    """Studs of a pass that are not on record, in order; all of them where the pass is not. Nothing where the count is not known."""
    studs = joint.rounds[name].studs if name in joint.rounds else set()
    return tuple(stud for stud in range(1, (joint.studs or 0) + 1) if stud not in studs)


def complete(joint: JointState, name: str) -> bool:
    """Whether a pass is on record for every stud."""
    return name in joint.rounds and not missing(joint, name)


def snug(joint: JointState) -> bool:
    """Four snug, the gap read, the rest hand-tight."""
    return all(complete(joint, name) or (name == "four snug" and name in joint.rounds) for name in SNUG) and bool(joint.gaps)


def reasons(state: JobState, joint: JointState) -> tuple[str, ...]:
    """As `why_not`, and a gasket in it that is not accepted."""
    return (*(f"gasket of {of}: {state.refused[of]}" for of in joint.joints if of in state.refused), *why_not(joint))


def why_not(joint: JointState) -> tuple[str, ...]:
    """Every reason why the joint is not pulled up in its present make-up."""
    return tuple(dict.fromkeys(_why_not(joint)))


def _why_not(joint: JointState) -> Iterator[str]:
    if joint.weeping:
        yield "it weeped on a test: one corrective pass, at no pressure"
    if not joint.studs:
        yield "how many studs it has is not known; put the count in the file"
    for name in (*SNUG, *LOADED):
        if name not in joint.rounds:
            yield f"{name} is not on record"
        elif name != "four snug" and (short := missing(joint, name)):
            yield f"{name}: {studs_said(short)} not done"
    if not joint.gaps:
        yield "no gap is on record"
    elif (differs := spread(joint.gaps)) > CORRECT:
        yield f"the gap read last differs by {differs:g} mm round the joint, more than {CORRECT:g} mm: put it right, then read it again"
    yield from joint.studs_wrong
    yield from _faults(joint)
    yield from _order(joint)
    yield from _wait(joint)
    yield from _second_man(joint)
    yield from (f"{face} of {of}: {text}" for (of, face, _), text in joint.marks.items())


def _faults(joint: JointState) -> Iterator[str]:
    """What is wrong with the passes that were made, those of one fault together."""
    found: dict[str, list[str]] = {}
    for name in LOADED:
        if round_ := joint.rounds.get(name):
            if round_.dry:
                found.setdefault(f"{studs_said(sorted(round_.dry))} pulled on dry, wet or dirty threads", []).append(name)
            for fault in round_.faults:
                found.setdefault(fault, []).append(name)
    yield from (f"{', '.join(names)}: {fault}" for fault, names in found.items())


def _order(joint: JointState) -> Iterator[str]:
    """Each time round begins after the one before has ended."""
    made = [joint.rounds[name] for name in (*LOADED, "verify") if name in joint.rounds]
    for first, second in pairwise(made):
        if first.ended and second.ended and second.ended < first.ended:
            yield f"{second.name} was made before {first.name}"


def _wait(joint: JointState) -> Iterator[str]:
    first, second = joint.rounds.get("round"), joint.rounds.get("round after the wait")
    if first and second and first.ended and second.began and second.began - first.ended < WAIT:
        waited = (second.began - first.ended).total_seconds() / 3600
        yield f"round after the wait: it began {max(waited, 0):.1f} h after the round, not {WAIT.total_seconds() / 3600:g} h or more"


def _second_man(joint: JointState) -> Iterator[str]:
    verified = joint.rounds.get("verify")
    pullers = [hand for name in ("round", "round after the wait") if (r := joint.rounds.get(name)) for hand in r.hands]
    if verified is None:
        yield "no second man has verified it"
    elif verified.moved:
        yield f"{verified.moved} nuts still turned when it was verified: round again"
    elif among(verified.by, pullers):
        yield f"verified by {verified.by}, who pulled it; a second man verifies"


def low_studs(joint: JointState) -> tuple[int, ...]:
    """Studs that carry much less than the others, by the loads measured in this make-up."""
    if not joint.loads:
        return ()
    least = LOW_SHARE * median(joint.loads)
    return tuple(stud for stud, load in enumerate(joint.loads, start=1) if load < least)


def studs_said(studs: Iterable[int]) -> str:
    """`stud 16`, `studs 13-19, 22`."""
    listed = list(studs)
    parts: list[str] = []
    start = 0
    for place in range(1, len(listed) + 1):
        if place == len(listed) or listed[place] != listed[place - 1] + 1:
            parts.append(str(listed[start]) if place - start == 1 else f"{listed[start]}-{listed[place - 1]}")
            start = place
    return f"stud{'' if len(listed) == 1 else 's'} {', '.join(parts)}"
