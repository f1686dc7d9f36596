"""Entries on steps, holds and the file itself."""

from __future__ import annotations

from collections.abc import Iterable

from boxup.job.bolting import BOLTING_STEPS
from boxup.job.fold.engine import OPENED, Folding, exchanger_of, tells
from boxup.job.freshness import freshness
from boxup.job.person import same
from boxup.job.roles import SIGNED_AS, lacking
from boxup.job.shift import Shifts, shift_ends
from boxup.job.state import Hold, JobState
from boxup.record.event import Event


@tells(OPENED)
def opened(f: Folding, e: Event) -> None:
    """The exchanger as the file had it, and the hours of the shifts."""
    if f.opened and f.state.file_text:
        f.notice(
            "warn", f"entry {e.number} opens a job that is open already; it was not used. A changed file is entered as job.file_revised"
        )
        return
    _take_file(f, e)
    if ends := e.payload.get("shift_ends"):
        f.state.shifts = Shifts(shift_ends(ends), assumed=False)


@tells("job.file_revised")
def revised(f: Folding, e: Event) -> None:
    """The file as it stands from now on; what was done stays done where its step still exists."""
    _take_file(f, e)


def _take_file(f: Folding, e: Event) -> None:
    text = str(e.payload["file"])
    exchanger = exchanger_of(text)
    if exchanger is None:
        f.notice("stop", f"the exchanger file of entry {e.number} has errors: check it with boxup check and enter it again")
        return
    before = exchanger_of(f.state.file_text) if f.state.file_text else None
    if before is not None and before.identity.tag != exchanger.identity.tag:
        f.notice(
            "stop",
            f"the file of entry {e.number} is of {exchanger.identity.tag}; this is the job of {before.identity.tag}. It was not used",
        )
        return
    f.opened = True
    f.state.file_text = text
    f.state.found.studs.clear()  # a newer file has the studs and the targets of now
    f.describe(exchanger)
    for joint in f.state.joints.values():
        if joint.rounds:
            f.reconsider(joint)


@tells("step.started")
def started(f: Folding, e: Event) -> None:
    """Work begins: looked at once, against what the step waits for."""
    for code in f.named(e.payload["step"]):
        f.begin(code, e.happened_at)


@tells("step.done")
def done(f: Folding, e: Event) -> None:
    """A step, or all items of it, is ticked."""
    for code in f.named(e.payload["step"]):
        second, paper = e.payload.get("second", ""), e.payload.get("paper", "")
        before, by_passes = signed_over(f.state, code, e.by, second), _by_passes(f.state, code)
        if before:
            f.notice("note", f"{before}. {'Who pulled and who verified stays' if by_passes else 'From now on it stands in the new names'}")
        if by_passes:
            f.tick_of(code).paper = paper or f.tick_of(code).paper
        else:
            tick = f.tick_of(code)
            tick.role, tick.reading = e.payload.get("role", ""), e.payload.get("reading", "")
            f.tick(code, second=second, paper=paper)


def _by_passes(state: JobState, code: str) -> bool:
    """Whether a bolting step is done by its passes: their hands are its names."""
    joint = state.joint(code.partition(":")[2])
    return code in state.done and code.partition(":")[0] in BOLTING_STEPS and joint is not None and joint.pulled_up


def signed_over(state: JobState, code: str, by: str, second: str) -> str:
    """Where a done step is ticked once more in other names: by whom it is done already. "" for a check that is made again and again."""
    tick = state.step(code)
    if code not in state.done or code.partition(":")[0] in freshness() or tick.at is None:
        return ""
    if same(tick.by, by) and same(tick.second, second):
        return ""
    return f"{code} is done already, by {' + '.join(name for name in (tick.by, tick.second) if name)} at {tick.at:%d %b %H:%M}"


@tells("step.seconded")
def seconded(f: Folding, e: Event) -> None:
    """The second name; it must be another person's."""
    for code in f.named(e.payload["step"]):
        tick = f.tick_of(code)
        if tick.stand not in ("done", "one name", "not accepted"):
            f.notice("warn", f"{code} was seconded by {e.by} although nobody has signed it first")
        elif same(tick.by, e.by):
            f.notice("warn", f"{code} was seconded by {e.by}, who signed it first; the second name is another person's")
        else:
            tick.second = e.by
            f.settle(code)
            if after := f.after_second.get(code.partition(":")[0]):
                after(f, code)


@tells("step.reopened")
def reopened(f: Folding, e: Event) -> None:
    """A person takes a tick back for a reason that is no mistake of writing."""
    for code in f.named(e.payload["step"]):
        f.fall(code, f"to be done again, said {e.by}: {e.payload['why']}")


@tells("hold.signed")
def signed(f: Folding, e: Event) -> None:
    """A refused hold stands until the person who refused accepts, or the one whom the file names for that role."""
    role, verdict = e.payload["role"], e.payload["verdict"]
    named = _named(f, role)
    if named and not same(named, e.by):
        f.notice("stop" if verdict == "accepted" else "note", f"the file names {named} as {role}; {e.by} signed as {role}")
    lifts = e.by if not named or same(named, e.by) else f"{e.by} or {named}"
    for code in f.named(e.payload["step"]):
        tick = f.tick_of(code)
        kept = (hold for hold in tick.holds if hold.role != role or not (same(hold.by, e.by) or same(named, e.by)))
        tick.holds = (*kept, Hold(role, e.by, verdict, e.happened_at, e.payload.get("words", ""), lifts))
        f.settle(code)


def _against_role(f: Folding, code: str) -> Iterable[str]:
    """A step of one role is not done by another's tick."""
    return lacking(code.partition(":")[0], f.tick_of(code))


def register(f: Folding) -> None:
    """Steps that only one role signs."""
    for step in SIGNED_AS:
        f.objections.setdefault(step, []).append(_against_role)


def _named(f: Folding, role: str) -> str:
    """Whom the exchanger file names as inspector; crew leads change with the shift."""
    x = f.state.exchanger
    return x.identity.inspector if x and role == "inspector" else ""
