"""`boxup joint`: the studs of one exchanger, joint by joint: load, torque, window, passes, and what a tool is set to."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import click

from boxup.cli.answers import FILE, JSON, missing_json, numbers_of, out, said, si_value, value
from boxup.cli.live import DB
from boxup.cli.refusal import Refusal

if TYPE_CHECKING:
    from boxup.core.finding import Finding, Missing
    from boxup.job.numbers import Numbers
    from boxup.joint.assembly import JointAnswer
    from boxup.joint.flanges import FlangeState
    from boxup.joint.joint_window import JointWindow
    from boxup.joint.nozzle import NozzleAnswer


@click.command("joint")
@FILE
@click.argument("joint", required=False)
@click.option("--torque", default="", metavar="TORQUE", help="Whether JOINT takes this as its full torque, and where it may come from.")
@JSON
@DB
def joint_command(file: str, joint: str | None, torque: str, as_json: bool, db: str | None) -> None:
    """Load, torque, stress and gasket stress of every stud set; with JOINT, its passes too."""
    n = numbers_of(file, db)
    if torque:
        found = _typed(n, joint, torque)
        out(as_json, lambda: {"joint": joint, "finding": found.as_json() if found else None}, lambda: _typed_text(joint, torque, found))
        return
    nozzle = next((a for a in n.nozzles if a.nozzle == joint), None)
    if nozzle:
        out(as_json, lambda: _nozzle_json(nozzle), lambda: _nozzle_text(nozzle))
        return
    try:
        answers = [n.joint(n.exchanger.joint(joint).id)] if joint else list(n.joints)
    except KeyError as bad:
        raise Refusal([str(bad.args[0])]) from bad
    out(as_json, lambda: [_joint_json(n, a) for a in answers], lambda: _joint_text(n, answers, whole=bool(joint)))


def _typed(n: Numbers, joint: str | None, torque: str) -> Finding | None:
    """What speaks against a torque as the full one of a joint or nozzle."""
    from boxup.core.quantity import BadValue, quantity
    from boxup.job.set_torque import card_of, off_the_card

    card = card_of(n, joint) if joint else None
    if joint is None or card is None:
        raise Refusal(['--torque goes with one joint or nozzle of the file: boxup joint FILE J2 --torque "615 N.m"'])
    if card.unknown:
        raise Refusal(
            [f"--torque: no torque and no window of {joint} is known here, so {torque} is held against nothing: {_ask_for(n, joint)}"]
        )
    try:
        return off_the_card(n, joint, "pass 3", quantity(torque, "N.m").si)
    except BadValue as bad:
        raise Refusal([f"--torque: {bad}"]) from bad


def _ask_for(n: Numbers, joint: str) -> str:
    """What is done about a joint or nozzle with no figure of its own."""
    lacks = next((a.missing for a in n.joints if joint in (a.joint, a.with_joint)), ()) or next(
        (a.missing for a in n.nozzles if a.nozzle == joint), ()
    )
    return lacks[0].do if lacks else "ask the engineer for it."


def _typed_text(joint: str | None, torque: str, found: Finding | None) -> Iterator[str]:
    if found is None:
        yield f"{joint}: nothing speaks against {torque} as its full torque. The card and the engineer's figure come first."
    else:
        yield f"{found.level.upper()}: {found.text}  [{found.source}]"


def _setting_missing(n: Numbers, a: JointAnswer) -> tuple[Missing, ...]:
    setting = n.settings.get(a.joint)
    return setting.missing if setting else ()


def _missing_of(n: Numbers, a: JointAnswer) -> tuple[Missing, ...]:
    """Of the joint, its window, and the setting of its tool."""
    window = a.window.missing if a.window and a.window.limits else ()
    return tuple(dict.fromkeys([*a.missing, *window, *_setting_missing(n, a)]))


def _findings_of(n: Numbers, a: JointAnswer) -> list[Finding]:
    setting = n.settings.get(a.joint)
    return [*a.findings, *(setting.findings if setting else ())]


def _joint_json(n: Numbers, a: JointAnswer) -> dict[str, Any]:
    return {
        "joint": a.joint,
        "with_joint": a.with_joint,
        "load": value(a.load, "N"),
        "stress": value(a.stress, "MPa"),
        "torque": value(a.torque, "N.m"),
        "yield_fraction": value(a.yield_fraction, "-"),
        "gaskets": [
            {"joint": g.joint, "area": value(g.area, "mm2"), "stress": {s.name: value(s.stress, "MPa") for s in g.states}}
            for g in a.gaskets
        ],
        "window": _window_json(a.window),
        "flanges": [{"flange": f.flange, "part": f.part, "states": [_flange_state_json(s) for s in f.states]} for f in a.flanges],
        "setting": _setting_json(n, a),
        "scatter": _scatter_json(n, a),
        "missing": missing_json((*a.missing, *_setting_missing(n, a))),
        "findings": [f.as_json() for f in _findings_of(n, a)],
    }


def _window_json(found: JointWindow | None) -> dict[str, Any] | None:
    if found is None:
        return None
    return {
        "lower": value(found.lower, "MPa"),
        "upper": value(found.upper, "MPa"),
        "governing_low": found.governing_low,
        "governing_high": found.governing_high,
        "feasible": found.feasible,
        "limits": [{"end": x.end, "who": x.who, "stress": value(x.step, "MPa"), "by_practice": x.by_practice} for x in found.limits],
        "missing": missing_json(found.missing),
    }


def _flange_state_json(s: FlangeState) -> dict[str, Any]:
    return {"state": s.name, "share": value(s.share, "-"), "rotation": value(s.rotation, "deg")}


def _setting_json(n: Numbers, a: JointAnswer) -> dict[str, Any] | None:
    """Of the hydraulic tool the file names for the studs."""
    found = n.settings.get(a.joint)
    if found is None:
        return None
    return {
        "tool": found.tool.id,
        "serial": found.tool.serial,
        "calibrated_until": found.tool.calibrated_until,
        "pressure": value(found.pressure, "MPa"),
        "passes": [{"share": share, "pressure": si_value(p, "MPa")} for share, p in found.by_pass()],
    }


def _scatter_json(n: Numbers, a: JointAnswer) -> dict[str, Any] | None:
    found = n.scatter(a)
    if found is None:
        return None
    return {"share": found.share, "low": si_value(found.low, "MPa"), "high": si_value(found.high, "MPa"), "source": str(found.cite)}


def _nozzle_json(a: NozzleAnswer) -> dict[str, Any]:
    count = int(a.count.si) if a.count else None
    return {
        "nozzle": a.nozzle,
        "studs": count,
        "size": a.size,
        "torque": value(a.torque, "N.m"),
        "missing": missing_json(a.missing),
        "findings": [f.as_json() for f in a.findings],
    }


def _nozzle_text(a: NozzleAnswer) -> Iterator[str]:
    yield f"{a.nozzle}  {f'{a.count.si:.0f} × {a.size}' if a.count else 'studs not counted'}; torque {a.torque_text or 'not given'}"
    yield from said(a.missing, a.findings)


def _joint_text(n: Numbers, answers: list[JointAnswer], whole: bool) -> Iterator[str]:
    from boxup.core.rounding import both
    from boxup.exchanger.joints import words_of_both
    from boxup.joint.tool_setting import settings_text

    for a in answers:
        names = " + ".join(x for x in (a.joint, a.with_joint) if x)
        what = words_of_both(n.exchanger.joint(a.joint).kind) if a.with_joint else n.exchanger.joint(a.joint).between
        yield f"{names}  {what}"
        if a.torque and a.load and a.stress and a.yield_fraction:
            stud = f"{both('stud load', a.load.si)}, {both('stress', a.stress.si)}, {a.yield_fraction.si * 100:.0f} % of yield"
            yield f"  torque {a.torque_text}; stud {stud}"
        if a.window and a.window.limits:
            yield from _window_text(a.window)
        setting, spread = n.settings.get(a.joint), n.scatter(a)
        if setting and setting.pressure:
            yield f"  {setting.who}: {settings_text(setting)}"
        for g in a.gaskets:
            if g.states:
                yield f"  gasket {g.joint}: " + "; ".join(f"{s.name} {both('stress', s.stress.si)}" for s in g.states)
        for f in a.flanges:
            if f.states:
                yield f"  {f.who}: " + "; ".join(f"{s.name} {_share(s)}" for s in f.states)
        if whole and not a.shut and not a.by_maker:  # nor a round at a share of a torque nobody gives
            yield from _passes(n, a)
        yield from said(_missing_of(n, a), [*_findings_of(n, a), *([spread.note(names)] if spread and whole else [])])
        yield ""


def _window_text(found: JointWindow) -> Iterator[str]:
    """The window and who governs; which end is not known; or that there is none."""
    from boxup.core.rounding import both

    low, high = (both("stress", end.si) if end else "not known" for end in (found.lower, found.upper))
    if not found.whole:
        yield f"  window: at least {low}, at most {high}"
        return
    what = f"window {found.words}" if found.feasible else f"NO window: at least {low}, at most {high}"
    yield f"  {what}; low: {found.governing_low}; high: {found.governing_high}"


def _share(s: FlangeState) -> str:
    return f"{s.share.si * 100:.0f} % of what it takes" + (f", turns {s.rotation.value:.2f}°" if s.rotation else "")


def _passes(n: Numbers, a: JointAnswer) -> Iterator[str]:
    from boxup.core.quantity import Quantity
    from boxup.joint.crossover import working_groups
    from boxup.joint.passes import schedule

    studs = n.exchanger.joint(a.joint).studs
    if not studs or not studs.count:
        return
    count, setting = int(studs.count.si), n.settings.get(a.joint)
    for p in schedule(count, Quantity(a.torque.si, "N.m") if a.torque else None).passes:
        pump = setting.at(p.fraction) if setting and p.fraction else ""
        and_pump = f", pump {pump}" if pump else ""
        if setting and setting.out_of_reach(p.fraction):
            and_pump = f", out of the range of {setting.tool.id}"
        yield f"  {p.name}: {p.what}" + (f"  {p.torque}" if p.torque else "") + and_pump
    for tools in (1, 2, 4):
        groups = ", ".join("+".join(map(str, g)) for g in working_groups(count, tools))
        yield f"  {tools} tool{'s' if tools > 1 else ''}: {groups}"
