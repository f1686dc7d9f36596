"""What an entry would do to a job, looked at before it is on record for ever: the room that `boxup log` and the pages both ask."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from boxup.core.finding import Finding
from boxup.job.bolting import complete, studs_said, why_not
from boxup.job.fold import fold
from boxup.job.fold.steps import signed_over
from boxup.job.live import may_now
from boxup.job.may import Answer
from boxup.job.odd import odd
from boxup.job.person import among
from boxup.job.scope import Instance
from boxup.job.sound import unsound
from boxup.job.state import NO_RESULT, JobState, JointState, TestState
from boxup.job.steps import StepError
from boxup.record.event import Draft, Event

MOST_NAMED = 6
# Entries that say what was seen, read or found. They go on record whatever they mean; what they mean is shown after.
FACTS = (
    "face.measured", "face.flatness_read", "joint.studs_checked",
    "joint.weeped", "joint.gap_read", "joint.loads_read", "joint.marks_wrong", "joint.lubricant_changed",
    "test.over_pressure", "water.chloride_read", "water.froze", "tube.leaks", "tube.to_plug", "plug.leaks", "tool.checked", "tool.bad",
    "tool.returned", "count.short", "witness.counted", "finding.raised", "alarm.raised", "lock.removed", "bellows.stops_wrong",
    "bundle.forced", "bundle.force_read", "bundle.weighed", "bore.measured", "gasket.received", "gasket.removed", "gasket.wrong",
    "gasket.lost_load", "piece.in", "piece.out", "note.written", "record.withdrawn", "step.reopened", "joint.opened", "shift.changed",
    "job.file_revised", "job.opened", "tube.walls_read", "relief.changed", "blind.changed", "crane.stood",
)  # fmt: skip
# Of these one verdict says what was found; the other one lets the work go on.
FOUND_WANTING = {"test.result": "failed", "hold.signed": "refused", "face.judged": "to repair"}
PASSES = ("joint.pass_done", "joint.stud_done")
REPEATED = ("round", "corrective")  # pulled as often as it takes


@dataclass(frozen=True, slots=True)
class Outlook:
    """What entries would mean. `too_soon`: a step that may not begin; `findings`: new ones; `open_`: what they leave open; `vain`: what
    they say is done and the record does not take as done; `twice`: what is on record already by another entry; `odd`: readings that no test
    has and tools with another number, asked about although what is read is a fact."""

    state: JobState
    too_soon: tuple[tuple[str, Answer], ...]
    findings: tuple[Finding, ...]
    open_: tuple[str, ...]
    fact: bool
    vain: tuple[str, ...] = ()
    twice: tuple[str, ...] = ()
    odd: tuple[str, ...] = ()

    @property
    def stops(self) -> tuple[str, ...]:
        """What speaks against making these entries, as sentences; none for what was seen or found."""
        if self.fact:
            return self.odd
        said = [text for _, answer in self.too_soon for text in answer.against]
        said += [*(f.text for f in self.findings if f.level == "stop"), *self.twice, *self.odd]
        return tuple(dict.fromkeys([*said, *(text for text in self.vain if not _told(text, said))]))

    @property
    def clear(self) -> bool:
        """Nothing speaks against it."""
        return not self.odd and (self.fact or not (self.stops or self.too_soon))


def outlook(before: JobState | None, events: Sequence[Event], drafts: Sequence[Draft]) -> Outlook:
    """What these drafts would do behind those events, whose state is `before`. Nothing is written."""
    added = as_events(drafts, len(events))
    state = fold([*events, *added])
    new = {e.number for e in added}
    findings = tuple(n.finding for n in state.story if n.entry in new)
    open_ = tuple(dict.fromkeys(text for e in added for text in left_open(e, before, state)))
    fact = all(_is_fact(d, before) for d in drafts)
    vain = tuple(dict.fromkeys(text for e in added for text in _vain(e, before, state)))
    twice = tuple(dict.fromkeys(text for d in drafts if before and not d.corrects for text in _twice(d, before)))
    return Outlook(state, tuple(_too_soon(before, drafts, findings)), findings, open_, fact, vain, twice, odd(drafts, before))


def _told(text: str, said: Sequence[str]) -> bool:
    """Whether the reason has been given already."""
    why = text.partition(": ")[2]
    return any(why in other for other in said)


def _is_fact(d: Draft, before: JobState | None) -> bool:
    """Whether it says what was seen. A reading is an act where it puts pressure on; from then on it is what the gauge says."""
    if d.kind == "test.reading":
        test = _test_of(before, d)
        return not d.payload["pressure_mpa"] > 0 or (test is not None and test.pressure_mpa > 0)
    return d.kind in FACTS or (d.kind in FOUND_WANTING and d.payload["verdict"] == FOUND_WANTING[d.kind])


def _test_of(state: JobState | None, d: Draft) -> TestState | None:
    said = d.payload.get("test")
    return next((t for t in state.tests.values() if said in (t.code, t.item)), None) if state else None


def _vain(e: Event, before: JobState | None, state: JobState) -> Iterator[str]:
    """A step that is said to be done and is not accepted, and studs of a pass that do not count as loaded."""
    for code, tick in state.steps.items():
        if tick.entry == e.number and tick.stand == "not accepted" and e.kind not in (*PASSES, "hold.signed"):
            yield f"{code} would not count as done: {tick.why}"
    joint = state.joint(e.payload.get("joint", "")) if e.kind in PASSES else None
    if joint and (round_ := joint.rounds.get(e.payload["pass"])):
        was = before.joint(joint.id) if before else None
        known = was.rounds[round_.name].faults if was and was.make_up == joint.make_up and round_.name in was.rounds else []
        dry = [f"{studs_said(sorted(said))} dry, wet or dirty"] if (said := e.payload.get("dry")) else []
        yield from (f"{joint.id}, {round_.name}, would not count: {text}" for text in (*dry, *round_.faults) if text not in known)


def _twice(d: Draft, before: JobState) -> Iterator[str]:
    """The same thing said a second time, as from two tablets: a whole pass of this make-up, a step of two names by one alone."""
    p = d.payload
    second = p.get("second", "")
    if d.kind == "step.done" and among(second, ("", d.by)):
        signed = (signed_over(before, one.code, d.by, second) for one in _instances(before, p["step"]) if one.step.names > 1)
        yield from (f"{text}: once more? By one name alone it is open again" for text in signed if text)
    joint = before.joint(p["joint"]) if d.kind == "joint.pass_done" and p["pass"] not in REPEATED else None
    if joint and _whole(joint, p) and complete(joint, p["pass"]):
        round_ = joint.rounds[p["pass"]]
        if not _to_mend(joint, round_.name) and round_.ended:
            yield f"{round_.name} of {p['joint']} is on record already, by {round_.by} at {round_.ended:%d %b %H:%M}: once more?"


def _whole(joint: JointState, payload: Mapping[str, Any]) -> bool:
    """Whether the entry speaks of every stud of the joint."""
    every = set(range(1, (joint.studs or 0) + 1))
    return bool(every) and every <= set(payload.get("studs", every))


def _to_mend(joint: JointState, name: str) -> bool:
    """Whether the joint is not pulled up because of this very pass: then it is pulled again."""
    if name == "verify":
        return any("verified" in text for text in why_not(joint))
    named = (text.partition(":")[0].partition(" was made")[0].split(", ") for text in why_not(joint))
    return any(name in names for names in named)


def _instances(state: JobState, step: str) -> tuple[Instance, ...]:
    try:
        return state.scope.named(step)
    except StepError:
        return ()  # told as a name that this job does not have


def as_events(drafts: Sequence[Draft], behind: int) -> tuple[Event, ...]:
    """Drafts as the events they would become, without a hash."""
    return tuple(
        Event(**{name: getattr(d, name) for name in Draft.__slots__}, number=n, recorded_at=d.happened_at, previous="", hash="")
        for n, d in enumerate(drafts, start=behind + 1)
    )


def too_soon(kind: str, payload: dict[str, Any], state: JobState, at: Any) -> Answer | None:
    """The answer to "may I?" where work on a step begins that may not. StepError: no such step."""
    if kind != "step.started":
        return None
    answer = may_now(state, payload["step"], at)
    return None if answer.may else answer


def _too_soon(before: JobState | None, drafts: Sequence[Draft], findings: Sequence[Finding]) -> Iterator[tuple[str, Answer]]:
    for d in drafts:
        if before is None:
            return
        if (raised := _raised(d, before)) and not any(f.text.startswith(f"{raised} was pressed") for f in findings):
            yield from _not_yet(raised, may_now(before, raised, d.happened_at))
        try:
            answer = too_soon(d.kind, dict(d.payload), before, d.happened_at)
        except StepError:
            continue  # told as a name that this job does not have
        if answer is not None:
            yield d.payload["step"], answer


def _raised(d: Draft, before: JobState) -> str:
    """The test on which a reading says that pressure is put on again, after it was down; "" for any other entry."""
    test = _test_of(before, d) if d.kind == "test.reading" and d.payload["pressure_mpa"] > 0 else None
    if test is None or test.pressure_mpa > 0 or not test.attempts or test.attempts[-1].verdict not in NO_RESULT:
        return ""  # where an attempt begins, the fold looks at what it waits for; so it does later, but not at what stands on nothing
    return next((one.code for one in before.scope.named(test.step) if one.code.partition(":")[2] in ("", test.item)), "")


def _not_yet(code: str, answer: Answer) -> Iterator[tuple[str, Answer]]:
    if not answer.may:
        yield code, answer


def left_open(e: Event, before: JobState | None, state: JobState) -> Iterator[str]:
    """What the entry did not close, and what stands on nothing since it was made."""
    for code, tick in state.steps.items():
        if tick.entry == e.number and tick.stand in ("one name", "not accepted"):
            yield f"{code} is not closed: {tick.why}"
    joint = state.joint(e.payload.get("joint", ""))
    if joint and e.kind in ("joint.pass_done", "joint.stud_done") and joint.not_pulled_up:
        yield f"{joint.id} is not pulled up yet: {'; '.join(joint.not_pulled_up)}"
    loose, was = unsound(state), unsound(before) if before else {}
    fresh: dict[str, list[str]] = {}
    for code, why in loose.items():
        if code not in was:
            fresh.setdefault(why.rpartition(": ")[2], []).append(code)
    for why, codes in fresh.items():
        named = ", ".join(codes[:MOST_NAMED]) + (f" and {len(codes) - MOST_NAMED} more" if len(codes) > MOST_NAMED else "")
        yield f"STOP: {why}, so {named} stand{'s' if len(codes) == 1 else ''} on nothing"
