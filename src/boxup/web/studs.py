"""Which studs a form means: all but those a pass did not reach, or those of its order up to the one where it stopped."""

from __future__ import annotations

from collections.abc import Mapping

from boxup.job.turn import order_of
from boxup.record.event import BadEvent
from boxup.record.kinds import kind_of
from boxup.record.typed import payload_of
from boxup.web.live import Live

ALL_BUT = "not_studs"  # studs a pass did not reach; the others had it
STOPPED_AT = "stopped_at"  # the last stud of the order that had it
STUD_WORDS = (ALL_BUT, STOPPED_AT)


def studs_meant(words: Mapping[str, str], said: Mapping[str, str], live: Live, problems: list[str]) -> str:
    """As typed for `studs`: those the form was made for, else all, less what was not reached. Nothing: all. What is wrong: `problems`.

    It does not depend on what is on record, so that a form sent twice means the same twice.
    """
    joint, name = words.get("joint", ""), words.get("pass", "")
    missed, last = said.get(ALL_BUT, "").strip(), said.get(STOPPED_AT, "").strip()
    studs = words.get("studs", "")
    if not (missed or last):
        return studs
    state = live.state.joint(joint)
    if state is None or not state.studs:
        problems.append(f"The studs of {joint or 'this joint'} are not counted in the file; name those that were done.")
        return studs
    meant = _numbers(studs, problems) or list(order_of(name, state.studs))
    if last:
        meant = _up_to(meant, last, joint, name, problems)
    left = _numbers(missed, problems)
    if strange := [n for n in left if not 1 <= n <= state.studs]:
        problems.append(f"{joint} has {state.studs} studs, and {', '.join(map(str, strange))} is none of them.")
    done = [n for n in meant if n not in left]
    if not done and not problems:
        problems.append(f"No stud of {joint} is left: a pass that reached none is not entered.")
    return ",".join(map(str, done))


def _numbers(text: str, problems: list[str]) -> list[int]:
    if not text:
        return []
    try:
        found: list[int] = payload_of(kind_of("joint.pass_done"), {"joint": "J", "pass": "pass 1", "studs": text})["studs"]
    except BadEvent as bad:
        problems.extend(bad.problems)
        return []
    return found


def _up_to(order: list[int], last: str, joint: str, name: str, problems: list[str]) -> list[int]:
    if not last.isdigit() or int(last) not in order:
        there = ", ".join(map(str, order))
        problems.append(f"{joint}, {name or 'pass'}: stopped at {last!r} is none of the studs of this form, in their order: {there}.")
        return order
    return order[: order.index(int(last)) + 1]
