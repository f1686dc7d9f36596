"""Entries on steps, holds and the file itself."""

from __future__ import annotations

from boxup.job.fold.engine import OPENED, Folding, exchanger_of, tells
from boxup.job.shift import Shifts, shift_ends
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
        f.tick(code, second=e.payload.get("second", ""), paper=e.payload.get("paper", ""))


@tells("step.seconded")
def seconded(f: Folding, e: Event) -> None:
    """The second name; it must be another person's."""
    for code in f.named(e.payload["step"]):
        tick = f.tick_of(code)
        if tick.stand not in ("done", "one name", "not accepted"):
            f.notice("warn", f"{code} was seconded by {e.by} although nobody has signed it first")
        elif tick.by.strip().casefold() == e.by.strip().casefold():
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
    if named and named.casefold() != e.by.casefold():
        f.notice("stop" if verdict == "accepted" else "note", f"the file names {named} as {role}; {e.by} signed as {role}")
    for code in f.named(e.payload["step"]):
        tick = f.tick_of(code)
        lifts = (
            (f"{role} {e.by}: refused",)
            if named.casefold() != e.by.casefold()
            else tuple(h for h in tick.holds if h.startswith(f"{role} "))
        )
        tick.holds = (*(hold for hold in tick.holds if hold not in lifts), f"{role} {e.by}: {verdict}")
        f.settle(code)


def _named(f: Folding, role: str) -> str:
    """Whom the exchanger file names as inspector; crew leads change with the shift."""
    x = f.state.exchanger
    return x.identity.inspector if x and role == "inspector" else ""
