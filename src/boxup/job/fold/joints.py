"""Entries on joints: opened, pulled round by round, read, weeping; and on the faces between."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, timedelta
from statistics import median

from boxup.core.quantity import Quantity
from boxup.job.bolting import ACROSS, BOLTING_STEPS, GASKET_STEPS, LOW_SHARE, WHOLE, complete, low_studs, reasons, snug, studs_said
from boxup.job.fold.engine import About, Folding, tells
from boxup.job.fold.start import bolting_step, item_of, joint_state, opening_of, seen_leaking, test_of
from boxup.job.state import JointState, Round
from boxup.job.turn import last_in_order
from boxup.record.event import Event, moment_of

MEMORY = "from memory"


def about_joint(f: Folding, id_: str, *, whole_set: bool = True, test: str = "") -> About:
    """A joint, with the others on its studs where the whole set is meant; with bare letters the name is the kind."""
    item = item_of(f, id_)
    joint = joint_state(f, id_)
    ids = frozenset(joint.joints if whole_set else (id_,))
    known = test_of(f, test)
    side = joint.sides[0] if len(joint.sides) == 1 else ""
    kinds = frozenset({item.kind if item else id_})
    return About(ids, kinds, known.code if known else "", known.side if known else "", side, frozenset(joint.joints))


# opened


@tells("joint.opened")
def opened(f: Folding, e: Event) -> None:
    """The make-up is gone: what was loaded is used, what was proved is not."""
    if opening := opening_of(f, e.payload["joint"]):
        about = About(frozenset({opening.id}), frozenset({opening.kind}), side=opening.side or "")
        f.undo("joint.opened", about, f"{opening.id} opened")
        return
    joint = joint_state(f, e.payload["joint"])
    _refuse_under_pressure(f, joint, "opened")
    if out := [blind.id for blind in f.state.blinds.values() if blind.use == "process" and blind.word == "out"]:
        what = f"{name_of(joint)} opened with blind{'s' if len(out) > 1 else ''} {', '.join(out)} out"
        f.notice("stop", f"{what}: the plant stands behind a valve. Isolated, blinded and proved again first")
    for id_ in joint.joints:
        if joint.word == "as found" and (code := f.code("BREAK", id_)):
            f.tick(code)
    f.undo("joint.opened", about_joint(f, e.payload["joint"]), f"{name_of(joint)} opened")
    if e.payload["joint"] != joint.id:  # the shell side of a tubesheet was opened by name: its gasket is not held any more
        f.undo("gasket.lost_load", about_joint(f, e.payload["joint"]), f"{e.payload['joint']} opened")
    take_apart(f, joint, keep=_held(f, joint))


def _held(f: Folding, joint: JointState) -> tuple[str, ...]:
    """Joints on these studs whose gasket step still stands: collar studs hold the shell-side gasket while the channel is off."""
    steps = ((of, f"{step}:{of}") for of in joint.joints if of != joint.id for step in GASKET_STEPS)
    return tuple(of for of, code in steps if code in f.state.done)


def take_apart(f: Folding, joint: JointState, keep: tuple[str, ...] = ()) -> None:
    """Off: its gaskets come out, but for those that are held; one that was loaded is used."""
    for of, item in joint.gaskets.items():
        if item in f.state.gaskets and of not in keep:
            f.state.gaskets[item].where = f"out of {of}"
    joint.gaskets = {of: item for of, item in joint.gaskets.items() if of in keep}
    joint.word, joint.weeps, joint.weeping = "off", 0, False
    start_again(f, joint)
    joint.undone = False


def start_again(f: Folding, joint: JointState) -> None:
    """Another make-up: no pass of the old one counts, and no test has seen it."""
    joint.make_up += 1
    f.stamp += 1
    joint.rounds, joint.loads = {}, ()
    joint.gaps, joint.gap_after, joint.gaps_before, joint.gap_last = (), "", (), False
    joint.pulled_up, joint.not_pulled_up = False, ()


def broken(f: Folding, code: str) -> None:
    """BREAK is done: the joint is off."""
    id_ = code.partition(":")[2]
    if not id_ or (joint := f.state.joint(id_)) is None or joint.word == "off":
        return
    if joint.word != "as found":  # closed since: breaking it again is opening it
        f.undo("joint.opened", about_joint(f, id_), f"{name_of(joint)} broken again")
    take_apart(f, joint, keep=_held(f, joint))


@tells("joint.squared")
def squared(f: Folding, e: Event) -> None:
    """Slackened for the pipe is slackened: the channel gasket is used, and only the collar studs hold the other."""
    joint = joint_state(f, e.payload["joint"])
    f.undo("joint.squared", about_joint(f, e.payload["joint"]), f"{name_of(joint)} slackened to square a nozzle")
    take_apart(f, joint, keep=_held(f, joint))


@tells("joint.weeped")
def weeped(f: Folding, e: Event) -> None:
    """The first time: one corrective pass at no pressure. Again: it is opened and looked at."""
    joint = joint_state(f, e.payload["joint"])
    joint.weeps += 1
    joint.weeping = True
    round_it = f", {e.payload['clock']}" if e.payload.get("clock") else ""
    at = f", {e.payload['pressure_mpa'] * 10:.1f} bar" if "pressure_mpa" in e.payload else ""
    seen_leaking(f, e.payload.get("test", ""), f"joint {e.payload['joint']}{round_it}{at}")
    joint.rounds.pop("corrective", None)
    again = joint.weeps > 1
    about = about_joint(f, e.payload["joint"], test=_test_on(f, e.payload.get("test", "")))
    why = f"{name_of(joint)} weeped{' again' if again else ''}"
    f.undo("joint.weeped again" if again else "joint.weeped", about, why)
    if again:
        f.notice("stop", f"{why}: no more tightening. Gauge to 0, drained, opened; face, gasket and load are looked at")
    evaluate(f, joint)


def _test_on(f: Folding, said: str) -> str:
    """The test under which it weeped; where nobody said, the one that is on, or was on last."""
    if test_of(f, said):
        return said
    if len(f.pressing) == 1:
        return next(iter(f.pressing))
    tried = [test for test in f.state.tests.values() if test.attempts]
    return max(tried, key=lambda test: test.attempts[-1].began).code if tried else ""


@tells("joint.studs_changed", "joint.lubricant_changed", "joint.marks_wrong")
def changed(f: Folding, e: Event) -> None:
    """Load and torque belong to the stud and the lubricant they were worked for: the passes are pulled again."""
    joint = joint_state(f, e.payload["joint"])
    what = {"joint.studs_changed": "other studs in", "joint.lubricant_changed": "other lubricant, or dry threads"}.get(
        e.kind, "marks wrong"
    )
    f.undo(e.kind, about_joint(f, e.payload["joint"]), f"{name_of(joint)}: {what}")
    if e.kind == "joint.marks_wrong":
        return
    start_again(f, joint)
    if e.kind == "joint.studs_changed":
        joint.studs_seen, joint.studs_wrong = "", ()  # of the set that is out
    _keep_studs(f, joint, e)


def _keep_studs(f: Folding, joint: JointState, e: Event) -> None:
    """What the new studs or the new lubricant say for the numbers. A target for other studs is nobody's figure."""
    where = f"entry {e.number}, {e.by}"
    for id_ in joint.joints:
        kept = f.state.found.studs.setdefault(id_, {})
        for key in ("size", "grade", "lubricant"):
            if key in e.payload:
                kept[key] = str(e.payload[key])
        if "length_mm" in e.payload:
            kept["length"] = Quantity(e.payload["length_mm"] / 1000, "mm", f"{e.payload['length_mm']:g} mm", "measured", where)
        if "nut_factor" in e.payload:
            kept["nut_factor"] = Quantity(e.payload["nut_factor"], "-", f"{e.payload['nut_factor']:g}", "entered", where)
        elif e.kind == "joint.lubricant_changed":
            kept["nut_factor"] = ""  # absent: not the old one
        if {"size", "grade"} & set(e.payload):
            kept["target_stress"] = ""


# pulled


@tells("joint.pass_done")
def pass_done(f: Folding, e: Event) -> None:
    """One time round, or as far as it went."""
    joint, p = joint_state(f, e.payload["joint"]), e.payload
    began = moment_of(p["started_at"]) if "started_at" in p else None
    if began and began > e.happened_at:
        f.notice("warn", f"{name_of(joint)}, {p['pass']}: it is said to begin after it ended; the end counts for both")
        began = None
    _begin(f, joint, began or e.happened_at)
    if _refuse_under_pressure(f, joint, f"pulled ({p['pass']})"):
        return
    round_ = _round(f, joint, p["pass"], e, began)
    studs = set(p["studs"]) if "studs" in p else set(range(1, (joint.studs or 0) + 1))
    if joint.studs and (strange := sorted(s for s in studs | set(p.get("dry", ())) if s > joint.studs)):
        f.notice("warn", f"{name_of(joint)}, {p['pass']}: {studs_said(strange)} on record, but it has {joint.studs} studs")
    dry = set(p.get("dry", ()))
    if not missing_after(joint, studs):  # pulled again from the start: what was wrong the first time is mended
        round_.faults, round_.dry, round_.hands, round_.tools = [], set(), {e.by}, set()
        round_.began = began or e.happened_at
    round_.studs |= studs
    round_.last_stud = last_in_order(p["pass"], p.get("studs", ()), joint.studs or 0) or round_.last_stud
    round_.dry = (round_.dry - studs) | dry
    round_.moved = p.get("moved", round_.moved)
    _tool_and_tin(f, joint, round_, p.get("tool", ""), p.get("lubricant", ""), e.happened_at)
    _over_a_shift(f, joint, round_, began, e.happened_at)
    _out_of_order(f, joint, p["pass"])
    _cured(joint)
    _loaded(f, joint, p["pass"])
    evaluate(f, joint)


def _cured(joint: JointState) -> None:
    """After the first weep one whole corrective pass, with a good tool; after the second only opening helps."""
    round_ = joint.rounds.get("corrective")
    if round_ and joint.weeps == 1 and complete(joint, "corrective") and not round_.faults and not round_.dry:
        joint.weeping = False


def missing_after(joint: JointState, studs: set[int]) -> bool:
    """Whether these studs leave some of the joint out."""
    return not set(range(1, (joint.studs or 0) + 1)) <= studs


@tells("joint.stud_done")
def stud_done(f: Folding, e: Event) -> None:
    """One stud of a pass: a pass that is broken off is taken up after it."""
    p = e.payload
    joint = joint_state(f, p["joint"])
    if not joint.rounds:
        _begin(f, joint, e.happened_at)
    if f.pressing and _refuse_under_pressure(f, joint, f"pulled ({p['pass']})"):
        return
    round_ = joint.rounds.get(p["pass"])
    if round_ is None:
        round_ = _round(f, joint, p["pass"], e, e.happened_at)
        _out_of_order(f, joint, p["pass"])
        _loaded(f, joint, p["pass"])
    round_.studs.add(p["stud"])
    round_.dry.discard(p["stud"])
    round_.last_stud, round_.ended, round_.by = p["stud"], e.happened_at, e.by
    round_.hands.add(e.by)
    if p.get("tool", "") != round_.tool or "lubricant" in p:
        _tool_and_tin(f, joint, round_, p.get("tool", ""), p.get("lubricant", ""), e.happened_at)
    if joint.studs and len(round_.studs) >= joint.studs:
        _cured(joint)
        evaluate(f, joint)


def _round(f: Folding, joint: JointState, name: str, e: Event, began: datetime | None) -> Round:
    round_ = joint.rounds.setdefault(name, Round(name))
    round_.by, round_.ended = e.by, e.happened_at
    round_.hands.add(e.by)
    joint.undone = False
    round_.began = round_.began if round_.began and began is None else began or e.happened_at
    return round_


def _begin(f: Folding, joint: JointState, at: datetime) -> None:
    """The first pass of a make-up begins the step; its gasket, if nobody named it, is the joint's all the same."""
    if joint.word in ("as found", "off"):
        joint.word = "in"
    step = _snug_step(f, joint) or bolting_step(f, joint)
    if step and not joint.rounds:
        f.begin(step, at)


def _snug_step(f: Folding, joint: JointState) -> str:
    return f.code("GIRTH_SNUG", joint.id) if joint.kind == "channel/shell joint" else ""


def _refuse_under_pressure(f: Folding, joint: JointState, what: str) -> bool:
    """Nobody touches a joint with pressure on: the act is a stop, and a pass made so is not counted."""
    on = [t for t in f.state.tests.values() if t.pressure_mpa > 0 and (not joint.sides or t.side in joint.sides)]
    if on:
        bar = ", ".join(f"{t.pressure_mpa * 10:.1f} bar on the {t.side} side" for t in on)
        f.notice("stop", f"{name_of(joint)} {what} with {bar}. Gauge to 0, vent open, then the joint; what was done is not counted")
    return bool(on)


def _tool_and_tin(f: Folding, joint: JointState, round_: Round, tool: str, tin: str, at: datetime) -> None:
    """A wrench out of date, or another lubricant than the torque was worked for, gives no load anybody can name."""
    round_.tool, round_.lubricant = tool or round_.tool, tin or round_.lubricant
    if tool:
        round_.tools.add(tool)
    for fault in (_tool_fault(f, tool, at.date()), _tin_fault(f, joint, tin)):
        if fault and fault not in round_.faults:
            round_.faults.append(fault)


def _tool_fault(f: Folding, tool: str, day: date) -> str:
    known = f.state.tools.get(tool)
    if tool and known is None and f.state.tools:
        return f"{tool} is not on the tool list"
    if known and known.bad:
        return f"{tool} was found bad: {known.bad}"
    if known and known.good_until and known.good_until < day.isoformat():
        late = (day - date.fromisoformat(known.good_until)).days
        return f"{tool} was {late} day{'s' if late != 1 else ''} out of calibration"
    return ""


def _tin_fault(f: Folding, joint: JointState, tin: str) -> str:
    listed = listed_lubricant(f, joint)
    if not tin or not listed or tin.strip().casefold().startswith(listed.casefold()):
        return ""
    return f"lubricant {tin!r} is not {listed!r}, which the torque was worked for"


def listed_lubricant(f: Folding, joint: JointState) -> str:
    """The lubricant of the list, or the one that the record says took its place."""
    for id_ in joint.joints:
        if said := f.state.found.studs.get(id_, {}).get("lubricant"):
            return str(said)
    x = f.state.exchanger
    if x is None:
        return ""
    tins = [j.studs.lubricant for j in x.joints if j.id in joint.joints and j.studs] + [
        n.lubricant for n in x.nozzles if n.id in joint.joints
    ]
    return next(filter(None, tins), "")


def _over_a_shift(f: Folding, joint: JointState, round_: Round, began: datetime | None, ended: datetime) -> None:
    """A pass over a shift change with no stud on record: the new crew did not know where the old one stopped."""
    if began and not round_.last_stud and f.state.shifts.between(began, ended - timedelta(seconds=1)):
        round_.faults.append("the shift changed in the middle of it and no stud was written down; from the start again")


def _out_of_order(f: Folding, joint: JointState, name: str) -> None:
    if name not in ACROSS and name != "round":
        return
    earlier = (*ACROSS, "round")[: (*ACROSS, "round").index(name)]
    if short := [one for one in earlier if not complete(joint, one) and joint.studs]:
        f.notice("warn", f"{name_of(joint)}: {name} was pulled although {', '.join(short)} {'is' if len(short) == 1 else 'are'} not whole")


def _loaded(f: Folding, joint: JointState, name: str) -> None:
    """The first real pass uses the gaskets, for good."""
    if name in ACROSS:
        for item in joint.gaskets.values():
            if item in f.state.gaskets:
                f.state.gaskets[item].loaded = True


def evaluate(f: Folding, joint: JointState) -> None:
    """Whether the joint is pulled up now, and what that does to its steps."""
    was = joint.pulled_up
    joint.pulled_up = joint.rounds.keys() >= WHOLE and not reasons(f.state, joint)
    if joint.gaps and (step := _snug_step(f, joint)) and step not in f.state.done and snug(joint):
        f.tick(step)
        if step := bolting_step(f, joint):
            f.begin(step, f.event.happened_at)
    step = bolting_step(f, joint)
    if joint.pulled_up and not was and not joint.studs_seen:
        f.notice("note", f"{name_of(joint)}: no entry says that its studs were looked at", MEMORY)
    if joint.pulled_up and not was and not joint.gap_last:
        f.notice("warn", f"{name_of(joint)} is pulled up, and no gap is on record since pass 3: read it and enter it", MEMORY)
    if step and joint.pulled_up and step not in f.state.done:
        f.tick(step, by=joint.rounds["round after the wait"].by, second=joint.rounds["verify"].by)
    for settled in (step, *(f.code("BOLTREC", id_) for id_ in joint.joints)):
        if settled in f.state.steps:
            f.settle(settled)


@tells("joint.loads_read")
def loads_read(f: Folding, e: Event) -> None:
    """The load of every stud, as measured."""
    joint = joint_state(f, e.payload["joint"])
    loads = tuple(e.payload["loads_n"])
    if joint.studs and len(loads) != joint.studs:
        f.notice("warn", f"{name_of(joint)}: {len(loads)} stud loads on record for {joint.studs} studs; they were not used")
        return
    if not all(load >= 0 for load in loads) or not any(loads):
        f.notice("warn", f"{name_of(joint)}: a stud load below 0, or all of them 0; they were not used")
        return
    joint.loads = loads
    if low := low_studs(joint):
        least = min(loads) / median(loads)
        f.notice(
            "stop", f"{name_of(joint)}: {studs_said(low)} carry less than {LOW_SHARE:.0%} of the middle load, the least {least:.0%}", MEMORY
        )


# what stands against a tick


def _against_bolting(f: Folding, code: str) -> Iterable[str]:
    joint = f.state.joint(code.partition(":")[2])
    return reasons(f.state, joint) if joint and (joint.rounds or joint.weeping) else tuple(joint.marks.values()) if joint else ()


def _against_record(f: Folding, code: str) -> Iterable[str]:
    """A bolt-up record is complete when the passes are in it, or it names its sheet."""
    joint = f.state.joint(code.partition(":")[2])
    if joint is None:
        return ()
    step = bolting_step(f, joint)
    if joint.rounds:
        return reasons(f.state, joint)
    if step and not f.state.step(step).paper and not f.state.step(code).paper:
        return ("no pass is on record and no sheet is named",)
    return ()


def _slack(f: Folding, code: str) -> None:
    """The bolting of a joint fell: its passes count no more. After a weep they do, with one corrective pass on top; a bad tool is told in
    the passes it made."""
    joint = f.state.joint(code.partition(":")[2])
    if joint is None or joint.word == "off":
        return
    joint.undone = True
    if f.event.kind == "tool.bad":
        joint.make_up += 1
        f.stamp += 1
    elif not joint.weeping:
        start_again(f, joint)


def _out(f: Folding, code: str) -> None:
    """A gasket step fell: what lies there comes out, and does not go back."""
    id_ = code.partition(":")[2]
    joint = f.state.joint(id_)
    item = f.state.gaskets.get(joint.gaskets.pop(id_, "")) if joint and f.event.kind != "gasket.removed" else None
    if item is not None:
        item.where = f"out of {id_}"
        f.state.found.gaskets.pop(id_, None)
    if joint is not None and f.event.kind in ("step.reopened", "gasket.removed", "gasket.lost_load"):
        unmade(f, joint, f"gasket of {id_} out")


def unmade(f: Folding, joint: JointState, why: str) -> None:
    """A gasket came out of, or went into, a joint that was pulled: its passes and its proof are of another gasket."""
    step = bolting_step(f, joint)
    if joint.rounds or step in f.state.done:
        f.notice("stop", f"{why}, and {name_of(joint)} was pulled up: it is open again, by its gasket")
        f.undo("joint.opened", about_joint(f, joint.id), why)
        f.fall(step, why)
        start_again(f, joint)


def _closed(f: Folding, code: str) -> None:
    """A gasket step or a bolting step ticked: the joint is in."""
    joint = f.state.joint(code.partition(":")[2])
    if joint:
        joint.undone = False
        joint.word = "in" if joint.word in ("as found", "off") else joint.word


def register(f: Folding) -> None:
    """What is asked when one of these steps is ticked."""
    f.reconsider = lambda joint: evaluate(f, joint)
    f.after_fall |= {**dict.fromkeys(BOLTING_STEPS, _slack), **dict.fromkeys(GASKET_STEPS, _out)}
    f.after_tick |= {"BREAK": broken, **dict.fromkeys((*GASKET_STEPS, *BOLTING_STEPS), _closed)}
    for step in BOLTING_STEPS:
        f.objections.setdefault(step, []).append(_against_bolting)
    f.objections.setdefault("BOLTREC", []).append(_against_record)


def name_of(joint: JointState) -> str:
    """Its number and its kind."""
    return joint.id if joint.id == joint.kind else f"{joint.id} ({joint.kind})"
