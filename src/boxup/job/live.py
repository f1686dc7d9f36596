"""The job as it runs: may this step begin now, what may, what has run out, and what stands on nothing."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from boxup.core.finding import Finding
from boxup.job.bolting import BOLTING_STEPS
from boxup.job.freshness import freshness
from boxup.job.lifting import of_plan
from boxup.job.may import Answer, Missing
from boxup.job.order import order
from boxup.job.rules import Need
from boxup.job.scope import Instance
from boxup.job.sound import against, let_down, standing, unsound
from boxup.job.stale import stale_since, wanted
from boxup.job.state import JobState


def may_now(state: JobState, step: str, at: datetime) -> Answer:
    """May this step begin at that moment? Missing are direct needs that are not done, and those whose tick has run out.

    A need that is done but stands on nothing is missing too.

    It speaks of the order of work and the record only; permit, site procedure and the authorised person decide. StepError: no such step.
    """
    asked = tuple(one.code for one in state.scope.named(step))
    loose = unsound(state)
    found: dict[str, Missing] = {}
    for code in asked:
        for need in state.needs[code]:
            if need.step not in asked and (one := _missing(state, need, code, at, loose)):
                found.setdefault(need.step, one)
    in_order = tuple(found[code] for code in state.scope.instances if code in found)
    already = [code for code in asked if code in state.done]
    note = [Finding("note", f"{', '.join(already)} is done already.", "")] if already else []
    stopped = tuple(dict.fromkeys(text for code in asked for text in against(state, code)))
    return Answer(asked, in_order, (*note, *of_plan(state.exchanger, asked), *standing(state)), stopped)


def next_now(state: JobState, at: datetime) -> tuple[Instance, ...]:
    """What may begin at that moment, in the order of the job. What is begun is told by `begun`."""
    loose = unsound(state)
    return tuple(
        one.instance
        for one in order(state.scope)
        if (code := one.instance.code) not in state.done
        and state.step(code).stand != "begun"
        and not _too_soon(state, one.instance)
        and not against(state, code)
        and not any(_missing(state, need, code, at, loose) for need in one.needs)
    )


def _too_soon(state: JobState, one: Instance) -> bool:
    """A check of minutes that was done once, and that nothing waits for now: a gas test, in the weeks before the blinds."""
    row = freshness().get(one.step.code)
    return row is not None and row.minutes is not None and state.step(one.code).first_at is not None and not wanted(state, one)


def begun(state: JobState) -> tuple[Instance, ...]:
    """What is under way, whatever has run out since."""
    return tuple(one for code, one in state.scope.instances.items() if state.step(code).stand == "begun")


def how_it_stands(state: JobState, code: str) -> str:
    """Begun, undone or not accepted, and why; of a joint that is begun, what is still short. "" where nobody has touched it."""
    tick, joint = state.step(code), state.joint(code.partition(":")[2])
    if tick.why:
        return f"{tick.stand}: {tick.why}"
    if tick.stand == "begun" and joint and code.partition(":")[0] in BOLTING_STEPS and joint.not_pulled_up:
        return f"begun: {'; '.join(joint.not_pulled_up)}"
    return "begun" if tick.stand == "begun" else ""


def _missing(state: JobState, need: Need, code: str, at: datetime, loose: Mapping[str, str]) -> Missing | None:
    if need.step not in state.done and not let_down(state, need, code):
        return Missing(need, all(other.step in state.done for other in state.needs[need.step]), how_it_stands(state, need.step))
    if need.step in loose and (need.rule.hold or need.rule.kind != "quality"):
        return Missing(need, False, f"done, but it does not stand: {loose[need.step]}")
    if since := stale_since(state, need.step, code, at):
        tick = state.step(need.step)
        return Missing(need, True, f"done {tick.at:%d %b %H:%M}, ran out {since:%d %b %H:%M}: do it again" if tick.at else "ran out")
    return None
