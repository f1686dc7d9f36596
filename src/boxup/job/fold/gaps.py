"""Entries on the gap between two flanges: what the readings say, and how the tilt has moved since the reading before."""

from __future__ import annotations

from collections.abc import Iterator

from boxup.core.finding import Finding
from boxup.core.quantity import Quantity
from boxup.exchanger.model import Flange, Gasket
from boxup.job.bolting import ACROSS, SNUG, complete
from boxup.job.fold.engine import Folding, tells
from boxup.job.fold.joints import evaluate, name_of
from boxup.job.fold.start import joint_state
from boxup.job.state import JointState
from boxup.joint.gaps import CLOCK, EVEN, Gaps, gap, said, tilt_of, typed
from boxup.record.event import Event

LATE = ("round", "round after the wait", "verify")


@tells("joint.gap_read")
def gap_read(f: Folding, e: Event) -> None:
    """Four or eight gaps, clockwise from 12. Too uneven to go on, the joint is not pulled up until a later reading is better."""
    joint = joint_state(f, e.payload["joint"])
    gaps, after = tuple(e.payload["gaps_mm"]), e.payload.get("pass", "")
    at = f"{name_of(joint)}, gap{f' after {after}' if after else ''}"
    if len(gaps) not in CLOCK:
        f.notice("warn", f"{name_of(joint)}: {len(gaps)} gaps read; four or eight are read, clockwise from 12")
    for one in (*findings(f, joint, gaps, after), *moved(joint.gaps, gaps)):
        f.notice(one.level, f"{at}: {one.text}", one.source)
    joint.gaps_before = joint.gaps or joint.gaps_before
    joint.gaps, joint.gap_after = gaps, after
    joint.gap_last = complete(joint, ACROSS[-1])
    evaluate(f, joint)


def findings(f: Folding, joint: JointState, gaps: tuple[float, ...], after: str) -> tuple[Finding, ...]:
    """What the calculation says of readings in mm; nothing of a number of readings that makes no plane."""
    if tilt_of(gaps) is None:
        return ()
    gasket, flange = _parts(f, joint)
    given = Gaps(
        readings=typed(gaps),
        studs=Quantity(float(joint.studs), "count", str(joint.studs)) if joint.studs and joint.studs >= 4 else None,
        gasket_thickness=gasket.thickness if gasket else None,
        recess_depth=flange.recess_depth if flange else None,
        stage=stage_of(joint, after),
    )
    return tuple(gap.run(given).findings)


def stage_of(joint: JointState, after: str) -> str:
    """Hand-tight, after a pass, or pulled up: as said with the reading, else by the passes on record."""
    if after:
        return "snug" if after in SNUG else "final" if after in LATE else "pass"
    if LATE[0] in joint.rounds:
        return "final"
    return "pass" if joint.rounds.keys() & set(ACROSS) else "snug"


def _parts(f: Folding, joint: JointState) -> tuple[Gasket | None, Flange | None]:
    """The gasket between the two flanges the feeler goes between, and its recess; nothing where more than one gasket lies there."""
    x = f.state.exchanger
    if x is None or len(joint.joints) != 1:
        return None, None
    listed = next((j for j in x.joints if j.id == joint.id), None)
    if listed is None:
        return None, None
    return listed.gasket, next((one for one in listed.flanges if one.recess_depth), None)


def moved(before: tuple[float, ...], gaps: tuple[float, ...]) -> Iterator[Finding]:
    """A tilt that grows from pass to pass: one side is drawn in before the other."""
    here, there = tilt_of(gaps), tilt_of(before)
    if here and there and here.change(there) > EVEN and here.tilt > there.tilt:
        text = f"tilt grown from {said(there)} to {said(here)}. Look at the order of the studs and at the torque before going on"
        yield Finding("warn", text, "common practice, the amount from memory")
