"""Checks that run out: a tick is good for so many minutes, or to the end of the shift; a step it guards may not begin on an old one."""

from __future__ import annotations

from datetime import datetime, timedelta

from boxup.job.freshness import freshness
from boxup.job.scope import Instance
from boxup.job.sound import met
from boxup.job.state import JobState


def good_until(state: JobState, step: str, at: datetime, until: datetime) -> datetime | None:
    """When a tick of this step (bare code), made at `at`, ran out; None where it is still good at `until` or never runs out."""
    row = freshness().get(step)
    if row is None:
        return None
    if row.minutes is None:
        return state.shifts.between(at, until)
    end = at + timedelta(minutes=row.minutes)
    return end if until > end else None


def stale_since(state: JobState, code: str, guarded: str, at: datetime) -> datetime | None:
    """Since when the tick of `code` is too old for `guarded` (full codes) to begin at that moment; None where it is not."""
    row = freshness().get(code.partition(":")[0])
    tick = state.steps.get(code)
    if row is None or tick is None or tick.at is None or guarded.partition(":")[0] not in row.guards:
        return None
    if tick.at > at:
        return at  # ticked later than the moment that is asked about: no tick of then
    return good_until(state, row.step, tick.at, at)


def run_out(state: JobState, at: datetime) -> dict[str, datetime]:
    """Every done check that has run out by then while a step it guards is still to do: code, and when it ran out.

    One that is good for minutes is told only when it is wanted: read an hour early it is worth nothing.
    """
    found: dict[str, datetime] = {}
    for code, instance in state.scope.instances.items():
        row, tick = freshness().get(instance.step.code), state.steps.get(code)
        if row is None or tick is None or tick.at is None or code not in state.done or not wanted(state, instance):
            continue
        if end := good_until(state, row.step, tick.at, at):
            found[code] = end
    return found


def still_guards(state: JobState, one: Instance) -> bool:
    """Whether a step that waits for this check is still to begin; a step that never runs out is of use until the handover."""
    row = freshness().get(one.step.code)
    here = state.scope.by_step
    if row is None:
        return any(_to_begin(state, other.code) for other in here.get("HANDOVER", ()))
    return any(
        _to_begin(state, other.code) and any(need.step == one.code for need in state.needs[other.code])
        for step in row.guards
        for other in here.get(step, ())
    )


def wanted(state: JobState, one: Instance) -> bool:
    """Whether it is time for this check: it is good for a shift, or a step that it guards waits for checks only."""
    row = freshness().get(one.step.code)
    if row is None or row.minutes is None:
        return still_guards(state, one)
    guarded = (other.code for step in row.guards for other in state.scope.by_step.get(step, ()) if _to_begin(state, other.code))
    return any(_waits_for(state, code, one.code) for code in guarded)


def _waits_for(state: JobState, code: str, check: str) -> bool:
    needs = state.needs[code]
    return any(need.step == check for need in needs) and all(met(state, need) for need in needs)


def _to_begin(state: JobState, code: str) -> bool:
    return code not in state.done and state.step(code).stand != "begun"
