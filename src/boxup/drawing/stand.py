"""The drawing as the record inks it in: parts off or in, each joint's balloon as far as its studs are pulled, blinds, the side pressed."""

from __future__ import annotations

from boxup.drawing.view import JointLook, SectionView
from boxup.job.bolting import ACROSS, low_studs
from boxup.job.picture import picture_now
from boxup.job.state import JobState, JointState

COUNTED = (*ACROSS, "round")  # the times round that make a stud's ray grow


def stand_view(state: JobState, width: int = 1160) -> SectionView:
    """How the exchanger stands now."""
    picture = picture_now(state)
    pressed = next((t for t in state.tests.values() if t.pressure_mpa > 0), None)
    return SectionView(
        off=picture.off, rings=picture.rings, gaskets=picture.gaskets, blinds=picture.blinds, open=picture.open,
        pressed=picture.pressed, pressure=f"{pressed.pressure_mpa * 10:.1f} bar" if pressed else "",
        joints={id_: look_of(joint) for joint in state.joints.values() for id_ in joint.joints if joint.kind != "process nozzle"},
        width=width,
    )  # fmt: skip


def look_of(joint: JointState) -> JointLook:
    """How the balloon of a joint is inked."""
    low = low_studs(joint)
    match joint.word:
        case "as found":
            return JointLook("in")
        case "off" | "in" | "snug":
            return JointLook(joint.word)
        case "pulled up" | "tested dry":
            return JointLook(joint.word, low=low)
        case "undone":
            return JointLook("undone", passes=_passes(joint) if joint.rounds else (), of=len(COUNTED), low=low)
    passes = _passes(joint)
    return JointLook("pass", passes, len(COUNTED), _stopped(joint), low, said=joint.word) if any(passes) else JointLook("in")


def _passes(joint: JointState) -> tuple[int, ...]:
    """How many times round each stud has had."""
    rounds = [joint.rounds[name].studs for name in COUNTED if name in joint.rounds]
    return tuple(sum(stud in studs for studs in rounds) for stud in range(1, (joint.studs or 1) + 1))


def _stopped(joint: JointState) -> int | None:
    """The stud at which the last time round stopped; None where it is whole."""
    last = next((joint.rounds[name] for name in reversed(COUNTED) if name in joint.rounds), None)
    if last is None or not joint.studs or len(last.studs) >= joint.studs:
        return None
    return last.last_stud or max(last.studs, default=None)
