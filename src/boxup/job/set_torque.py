"""A torque that was typed for a pass, held against the joint it is typed for, at the pages and in `boxup log` alike."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from boxup.core.finding import Finding
from boxup.job.numbers import Numbers
from boxup.joint.assembly import JointAnswer
from boxup.joint.nozzle import NozzleAnswer
from boxup.joint.studs import StudSet
from boxup.joint.torque_cause import OtherSet
from boxup.joint.typed_torque import Card, judged

PULLED = ("joint.pass_done", "joint.stud_done")


def of_entry(numbers: Numbers, kind: str, payload: Mapping[str, Any]) -> Finding | None:
    """What speaks against the torque of an entry; None where it says none, or nothing does."""
    if kind not in PULLED or payload.get("torque_n_m") is None:
        return None
    return off_the_card(numbers, payload["joint"], payload["pass"], payload["torque_n_m"])


def off_the_card(numbers: Numbers, joint: str, name: str, torque: float) -> Finding | None:
    """What speaks against a torque, N.m, for a pass of that name; None where nothing does, or no such joint is known."""
    found = card_of(numbers, joint)
    return judged(found, name, torque) if found else None


def card_of(numbers: Numbers, joint: str) -> Card | None:
    """What the studs of a joint or nozzle take, and what the other stud sets of the file are pulled to."""
    answer = next((a for a in _answers(numbers) if joint in _joints(a)), None)
    if answer is None:
        return None
    others = tuple(
        OtherSet(" and ".join(_joints(a)), _studs(numbers, a).size, a.torque.si)
        for a in _answers(numbers) if a is not answer and a.torque
    )  # fmt: skip
    lower, upper = _window(answer)
    final = float(answer.torque.si) if answer.torque else None
    by_maker = isinstance(answer, JointAnswer) and answer.by_maker
    return Card(joint=joint, studs=_studs(numbers, answer), final=final, lower=lower, upper=upper, others=others, by_maker=by_maker)


def _answers(numbers: Numbers) -> Iterator[JointAnswer | NozzleAnswer]:
    yield from numbers.joints
    yield from numbers.nozzles


def _joints(a: JointAnswer | NozzleAnswer) -> tuple[str, ...]:
    return tuple(j for j in (a.joint, a.with_joint) if j) if isinstance(a, JointAnswer) else (a.nozzle,)


def _studs(numbers: Numbers, a: JointAnswer | NozzleAnswer) -> StudSet:
    if isinstance(a, NozzleAnswer):
        return a.studs
    return StudSet.of(next((s for j in _joints(a) if (s := numbers.exchanger.joint(j).studs)), None))


def _window(a: JointAnswer | NozzleAnswer) -> tuple[float | None, float | None]:
    """Least and most stud stress of a joint, Pa, as far as they are known."""
    window = a.window if isinstance(a, JointAnswer) else None
    if window is None:
        return None, None
    return (window.lower.si if window.lower else None, window.upper.si if window.upper else None)
