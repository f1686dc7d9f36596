"""The job as it runs: may this step begin now, what may, what has run out, and what stands on nothing."""

from __future__ import annotations

from datetime import datetime

from boxup.core.finding import Finding
from boxup.job.bolting import BOLTING_STEPS
from boxup.job.may import Answer, Missing, standing_on_nothing
from boxup.job.order import order
from boxup.job.rules import Need
from boxup.job.scope import Instance
from boxup.job.stale import stale_since
from boxup.job.state import JobState


def may_now(state: JobState, step: str, at: datetime) -> Answer:
    """May this step begin at that moment? Missing are direct needs that are not done, and those whose tick has run out.

    It speaks of the order of work and the record only; permit, site procedure and the authorised person decide. StepError: no such step.
    """
    asked = tuple(one.code for one in state.scope.named(step))
    found: dict[str, Missing] = {}
    for code in asked:
        for need in state.needs[code]:
            if need.step not in asked and (one := _missing(state, need, code, at)):
                found.setdefault(need.step, one)
    in_order = tuple(found[code] for code in state.scope.instances if code in found)
    already = [code for code in asked if code in state.done]
    note = [Finding("note", f"{', '.join(already)} is done already.", "")] if already else []
    return Answer(asked, in_order, (*note, *now_standing(state)))


def next_now(state: JobState, at: datetime) -> tuple[Instance, ...]:
    """What may begin at that moment, in the order of the job; what is begun already comes first."""
    ready = [one.instance for one in order(state.scope) if one.instance.code not in state.done and _ready(state, one.instance.code, at)]
    begun = [one for one in ready if state.step(one.code).stand == "begun"]
    return (*begun, *(one for one in ready if one not in begun))


def now_standing(state: JobState) -> tuple[Finding, ...]:
    """Done steps whose own needs have fallen or were never done."""
    return standing_on_nothing(state.scope, state.done, state.needs)


def _ready(state: JobState, code: str, at: datetime) -> bool:
    return not any(_missing(state, need, code, at) for need in state.needs[code])


def how_it_stands(state: JobState, code: str) -> str:
    """Begun, undone or not accepted, and why; of a joint that is begun, what is still short. "" where nobody has touched it."""
    tick, joint = state.step(code), state.joint(code.partition(":")[2])
    if tick.why:
        return f"{tick.stand}: {tick.why}"
    if tick.stand == "begun" and joint and code.partition(":")[0] in BOLTING_STEPS and joint.not_pulled_up:
        return f"begun: {'; '.join(joint.not_pulled_up)}"
    return "begun" if tick.stand == "begun" else ""


def _missing(state: JobState, need: Need, code: str, at: datetime) -> Missing | None:
    if need.step not in state.done:
        return Missing(need, all(other.step in state.done for other in state.needs[need.step]), how_it_stands(state, need.step))
    if since := stale_since(state, need.step, code, at):
        tick = state.step(need.step)
        return Missing(need, True, f"done {tick.at:%d %b %H:%M}, ran out {since:%d %b %H:%M}: do it again" if tick.at else "ran out")
    return None
