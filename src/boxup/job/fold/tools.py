"""Entries on wrenches, pumps, gauges and relief valves."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime

from boxup.job.fold.engine import About, Folding, tells
from boxup.job.fold.joints import evaluate
from boxup.job.serials import other_serial
from boxup.job.state import JointState, TestState, ToolState
from boxup.record.event import Event, moment_of


@tells("tool.checked")
def checked(f: Folding, e: Event) -> None:
    """Its date is read off the sticker; a date gone by is a stop, and the step stays open."""
    tool = f.state.tools.setdefault(e.payload["tool"], ToolState(e.payload["tool"]))
    tool.good_until, tool.bad = date.fromisoformat(e.payload["good_until"]).isoformat(), ""
    f.state.found.tools[tool.id] = tool.good_until
    if f.state.exchanger and (other := other_serial(e.payload, f.state.exchanger)):
        f.notice("warn", other)
    code = f.code("TOOLCAL", tool.id)
    day = e.happened_at.date().isoformat()
    if tool.good_until < day:
        f.notice("stop", f"{tool.id} is good until {tool.good_until}; today is {day}. Not used; another one is drawn")
        f.fall(code, f"out of calibration since {tool.good_until}")
        return
    f.tick(code)


@tells("tool.returned")
def returned(f: Folding, e: Event) -> None:
    """Handed back to the tool room: it is not used on this job, and nothing waits for its check."""
    tool = f.state.tools.setdefault(e.payload["tool"], ToolState(e.payload["tool"]))
    tool.with_whom = "the tool room"
    f.tick(f.code("TOOLCAL", tool.id), paper="handed back")


@tells("tool.issued")
def issued(f: Folding, e: Event) -> None:
    """Given out again after it was handed back: read again before it is used."""
    tool = f.state.tools.setdefault(e.payload["tool"], ToolState(e.payload["tool"]))
    if tool.with_whom == "the tool room":
        f.fall(f.code("TOOLCAL", tool.id), f"given out again to {e.payload['to']}: number and date read again")
    tool.with_whom = e.payload["to"]


@tells("tool.bad")
def bad(f: Folding, e: Event) -> None:
    """What it pulled or read since it was last good does not count, and nothing else."""
    tool = f.state.tools.setdefault(e.payload["tool"], ToolState(e.payload["tool"]))
    tool.bad = e.payload["why"]
    since = moment_of(e.payload["last_good_at"]) if "last_good_at" in e.payload else None
    kind = kind_of_tool(f, tool.id)
    if kind == "bolting":
        pulled = [joint for joint in f.state.joints.values() if _pulled_with(f, joint, tool.id, since)]
        ids = frozenset(id_ for joint in pulled for id_ in joint.joints)
        for joint in pulled:
            for round_ in joint.rounds.values():
                if _with(joint, round_.name, tool.id, since):
                    round_.faults.append(f"{tool.id} was found bad: {tool.bad}")
    else:
        ids = frozenset(test.item for test in f.state.tests.values() if since is None or _read_since(f, test, since))
    f.undo("tool.bad", About(ids | {tool.id}, frozenset({kind})), f"{tool.id} found bad")
    for joint in f.state.joints.values():
        if joint.rounds:
            evaluate(f, joint)


def _read_since(f: Folding, test: TestState, since: datetime) -> bool:
    """An attempt that ended later, or a relief valve and gauges put on later for the next one."""
    put_on = f.state.step(f.code(f"RV_{test.code}", test.item)).at
    return any(a.ended is None or a.ended >= since for a in test.attempts) or (put_on is not None and put_on >= since)


def _against_check(f: Folding, code: str) -> Iterable[str]:
    """A date gone by is not ticked away; a tool handed back is nobody's trouble."""
    tool = f.state.tools.get(code.partition(":")[2])
    at = f.state.step(code).at
    if tool and tool.good_until and at and tool.with_whom != "the tool room" and tool.good_until < at.date().isoformat():
        yield f"by the record {tool.id} was good until {tool.good_until}"


def register(f: Folding) -> None:
    """What is asked when the check of a tool is ticked."""
    f.objections.setdefault("TOOLCAL", []).append(_against_check)


def kind_of_tool(f: Folding, id_: str) -> str:
    """Bolting or gauge; a relief valve counts with the gauges."""
    item = next((item for item in f.state.scope.items if item.list == "tools" and item.id == id_), None)
    if item:
        return item.kind
    x = f.state.exchanger
    return "gauge" if (x and any(t.id == id_ and t.kind == "relief valve" for t in x.tools)) or id_ == "gauge" else "bolting"


def _pulled_with(f: Folding, joint: JointState, tool: str, since: datetime | None) -> bool:
    """By the passes on record; where there are none, by the tool that the lists name for the joint."""
    if any(round_.tools for round_ in joint.rounds.values()):
        return any(_with(joint, name, tool, since) for name in joint.rounds)
    x = f.state.exchanger
    listed = {item.of for item in f.state.scope.items if item.list == "tools" and item.id == tool} - {None}
    if x is not None:
        listed |= {j.id for j in x.joints if j.studs and j.studs.tool == tool}
    return bool(listed.intersection(joint.joints))


def _with(joint: JointState, name: str, tool: str, since: datetime | None) -> bool:
    round_ = joint.rounds[name]
    return tool in round_.tools and (since is None or round_.ended is None or round_.ended >= since)
