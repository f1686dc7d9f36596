"""A card for each stud set: the torque as large as it goes, the stress it means, the passes, the order of the studs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from boxup.core.finding import Finding, Missing
from boxup.core.quantity import Quantity
from boxup.core.rounding import between, both, customary, metric
from boxup.core.source import SAID
from boxup.core.working import Step
from boxup.drawing.bolt_circle import BoltCircle, bolt_circle
from boxup.exchanger.joints import (
    CHANNEL_PACKING,
    CLOSURE,
    FLOATING_HEAD,
    REAR_COVER,
    REAR_HEAD,
    SHELL_COVER,
    SHELL_PACKING,
    STUFFING_BOX,
    words_of_both,
)
from boxup.exchanger.model import Studs
from boxup.joint.assembly import GasketAnswer, JointAnswer
from boxup.joint.crossover import tightening_order, working_groups
from boxup.joint.passes import Pass, schedule
from boxup.joint.tool_setting import TENSIONER, ToolSetting
from boxup.joint.tools import out_of_date
from boxup.paper.sheet import PHONE, Drawing, Material, Sheet
from boxup.paper.value import lacking, of_step, plainly, shown, told
from boxup.paper.window import window_part

REAR_KINDS = (FLOATING_HEAD, SHELL_COVER, REAR_HEAD, REAR_COVER, STUFFING_BOX, SHELL_PACKING, CHANNEL_PACKING)  # seen from the rear


def joint_sheets(m: Material) -> Iterator[Sheet]:
    """One card a stud set that is opened this time, front to rear."""
    for answer in m.numbers.joints:
        if not {answer.joint, answer.with_joint} - {""} <= m.scope.left_alone:
            yield joint_sheet(m, answer)


def joint_sheet(m: Material, a: JointAnswer) -> Sheet:
    """The card of one stud set."""
    x, w = m.exchanger, m.words["joint_sheet"]
    joint = x.joint(a.joint)
    studs = joint.studs or (x.joint(a.with_joint).studs if a.with_joint else None)
    names = " + ".join(n for n in (a.joint, a.with_joint) if n)
    count = int(studs.count.si) if studs and studs.count else 0
    closure = joint.kind == CLOSURE
    shut = a.shut
    setting = m.numbers.settings.get(a.joint)
    passes = schedule(count, _torque(a), tools=1) if count >= 4 and not a.by_maker and not shut else None
    return {
        "kind": "joint",
        "title": f"{names} {_what(m, a)}",
        "sub": f"{count} × {studs.size}, {studs.grade}" if studs and count else "",
        "circle": "" if a.by_maker else _circle(m, a, count),
        "mark": m.mark(a.joint),
        "seen": m.words["seen_rear" if joint.kind in REAR_KINDS else "seen_channel"],
        "gap_rule": "" if a.by_maker or shut else w["gap_rule"],
        "torque": of_step("torque", a.torque),
        "torque_text": "" if shut else _torque_text(m, a),
        "facts": [] if closure else _facts(m, a, studs, passes.minutes if passes else None),
        "missing": lacking(_missing(a, setting)),
        "findings": told([*a.findings, *m.numbers.tools[a.joint], *(setting.findings if setting else ()), *_late(m, a.joint)]),
        "window": window_part(a, w, stress_on(m, a)),
        "stresses": [_stress_row(g) for g in a.gaskets if g.states],
        "before": _before(m, a, closure=closure),
        "passes": [_pass_row(w, p, setting) for p in passes.passes] if passes else [],
        "wrench": _wrench(m, studs),
        "pump": _pump(m, a),
        "orders": [] if a.by_maker else _orders(m, count),
        "roles": m.roles("fitter", "second", "lead"),
    }


def _missing(a: JointAnswer, setting: ToolSetting | None) -> list[Missing]:
    """Of the joint and of its tool; what the window lacks is told beside the window."""
    beside = a.window.missing if a.window else ()
    return [*(x for x in a.missing if x not in beside), *(setting.missing if setting else ())]


def _before(m: Material, a: JointAnswer, *, closure: bool) -> list[str]:
    """What is looked at before the first nut; where no load is right, that there is no first nut."""
    w, x = m.words["joint_sheet"], m.exchanger
    if closure:
        return list(w["before_maker"])
    if a.by_maker:
        return list(w["before_packing"])
    if a.shut:
        return [w["before_shut"]]
    ribbed = m.ribbed(x.joint(a.joint)) or (a.with_joint and m.ribbed(x.joint(a.with_joint)))
    splits = [w["before_splits"][f.halves] for f in x.joint(a.joint).flanges if f.halves in w["before_splits"]]
    return [w["gasket_ribs" if ribbed else "gasket_plain"], *splits, *w["before"]]


def _pass_row(w: dict[str, Any], p: Pass, setting: ToolSetting | None) -> dict[str, str]:
    """A time round: what the wrench is set to and, of a hydraulic one, the pump."""
    pump = setting.at(p.fraction) if setting and p.fraction else ""
    said = f"{w['pump']} {pump}" if pump else ""
    if setting and setting.out_of_reach(p.fraction):
        said = w["pump_out"].format(tool=setting.tool.id)
    return {"n": p.name, "how": p.what, "set": p.torque or "–", "pump": said}


def _what(m: Material, a: JointAnswer) -> str:
    between = m.exchanger.joint(a.joint).kind
    return words_of_both(between) if a.with_joint else between


def _torque(a: JointAnswer) -> Quantity | None:
    return Quantity(a.torque.si, "N.m") if a.torque else None


def _torque_text(m: Material, a: JointAnswer) -> str:
    if a.stress is None or a.yield_fraction is None:
        return ""
    w = m.words["joint_sheet"]
    return f"= {both('stress', a.stress.si)} {w['stud_stress']} {stress_on(m, a)}, {a.yield_fraction.si * 100:.0f} % {w['of_yield']}"


def stress_on(m: Material, a: JointAnswer) -> str:
    """`on tensile area`: what the stresses of that card stand on."""
    studs = m.exchanger.joint(a.joint).studs
    return str(m.words["joint_sheet"]["stress_on"].get(studs.stress_area or "root", "")) if studs else ""


def _facts(m: Material, a: JointAnswer, studs: Studs | None, minutes: float | None) -> list[dict[str, object]]:
    w = m.words["joint_sheet"]
    shut = a.shut
    facts: list[dict[str, object]] = [] if shut else [{"label": w["per_stud"], "value": of_step("stud load", a.load), "note": ""}]
    if studs:
        lubricant = (
            ", ".join(t for t in (studs.lubricant, f"K {studs.nut_factor.si:g}" if studs.nut_factor else "") if t) or m.words["not_given"]
        )
        facts += [
            {
                "label": w["studs"],
                "value": plainly(f"{studs.count.si:.0f} × {studs.size}" if studs.count else "?"),
                "note": f"{studs.grade} / {studs.nut}",
            },
            {"label": w["stud_length"], "value": shown("length", studs.length.si if studs.length else None), "note": ""},
            {"label": w["bolt_circle"], "value": shown("length", studs.bolt_circle.si if studs.bolt_circle else None), "note": ""},
            {"label": w["lubricant"], "value": plainly(lubricant), "note": ""},
            {"label": w["tool_named"], "value": plainly(_tool(m, studs)), "note": ""},
            *_tensioner(m, a),
            *_scatter(m, a),
        ]
    if minutes is not None:
        facts.append({"label": w["time"], "value": plainly(f"{minutes / 60:.1f}", "h"), "note": "+ 4 h wait"})
    return facts


def _tool(m: Material, studs: Studs) -> str:
    """The tool the file names for this set, with its serial number."""
    tool = next((t for t in m.exchanger.tools if t.id == studs.tool), None)
    return f"{tool.id}, {tool.serial}" if tool and tool.serial else studs.tool or "–"


def _wrench(m: Material, studs: Studs | None) -> str:
    """The tool named, its serial number and its calibration."""
    tool = next((t for t in m.exchanger.tools if studs and t.id == studs.tool), None)
    until = f"{m.words['joint_sheet']['calibrated']} {tool.calibrated_until}" if tool and tool.calibrated_until else ""
    return ", ".join(t for t in (_tool(m, studs), until) if t) if tool and studs else ""


def _pump(m: Material, a: JointAnswer) -> str:
    """The pressure at the full figure, with the mark of its working."""
    setting = m.numbers.settings.get(a.joint)
    return f"{setting.at(1.0)}, {m.mark(f'{a.joint}-{setting.tool.id}')}" if setting and setting.pressure else ""


def _tensioner(m: Material, a: JointAnswer) -> Iterator[dict[str, object]]:
    """What a tensioner is set to; the pump of a wrench stands beside each time round."""
    setting = m.numbers.settings.get(a.joint)
    if setting and setting.pressure and setting.tool.kind == TENSIONER:
        yield {"label": m.words["joint_sheet"]["tensioner_pressure"], "value": of_step("pump pressure", setting.pressure), "note": ""}


def _scatter(m: Material, a: JointAnswer) -> Iterator[dict[str, object]]:
    """What scatter makes of the target."""
    found = m.numbers.scatter(a)
    if found:
        label = m.words["joint_sheet"]["scatter"].format(share=f"{found.share * 100:.0f}", grade=SAID[found.cite.source.label])
        yield {"label": label, "value": plainly(found.span), "note": found.past}


def _stress_row(g: GasketAnswer) -> dict[str, str]:
    """The stress on one gasket in each state, and the window it must stay in."""
    steps = g.working.steps
    tests = [s for s in g.states if s.name.endswith("test")]
    least = min(tests, key=lambda s: s.stress.si).stress if tests else None
    low, top = steps.get("S_gminS"), steps.get("S_gmax")
    pressed = steps.get("S_gminO")
    said = [
        f"{between('stress', low.si, top.si, '–')} at bolt-up" if low and top else "",
        f"≥ {both('stress', low.si)} at bolt-up" if low and not top else "",
        f"≥ {both('stress', pressed.si)} under pressure" if pressed else "",
    ]
    return {
        "gasket": g.joint,
        "assembly": _stress(g.stress("assembly")),
        "operating": _stress(g.stress("operating")),
        "test": _stress(least),
        "window": "; ".join(t for t in said if t) or "not given: ask the gasket maker",
    }


def _stress(s: Step | None) -> str:
    return both("stress", s.si) if s else "–"


def _circle(m: Material, a: JointAnswer, count: int) -> Drawing:
    if count < 4:
        return Drawing("")
    torque = (str(metric("torque", a.torque.si)), f"({customary('torque', a.torque.si)})") if a.torque else ()
    seen = m.words["from_rear" if m.exchanger.joint(a.joint).kind in REAR_KINDS else "from_channel"]
    given = BoltCircle(a.joint, count, tuple(tightening_order(count)), 1, torque=torque, seen_from=seen)
    return Drawing(bolt_circle(given), lambda: bolt_circle(replace(given, width=PHONE)))


def _orders(m: Material, count: int) -> list[dict[str, str]]:
    if count < 4:
        return []
    found = []
    for tools in (2, 4):
        groups = working_groups(count, tools)
        found.append({"tools": m.words["joint_sheet"][f"tools_{tools}"], "order": ",  ".join("+".join(map(str, g)) for g in groups)})
    return found


def nozzle_sheets(m: Material) -> Iterator[Sheet]:
    """The nozzle joints on one sheet: torque and the same passes."""
    w = m.words["joint_sheet"]
    nozzles = {n.id: n for n in m.exchanger.nozzles}
    if not nozzles:
        return
    rows = []
    for a in m.numbers.nozzles:
        n = nozzles[a.nozzle]
        studs = f"{a.count.si:.0f} × {a.size}, {n.stud_grade or '?'}" if a.count and a.size else "?"
        place = f"{n.side} side, {n.duty}; {n.size} class {n.flange_class or '?'}"
        torque = a.torque_text or m.words["not_given"]
        lubricant = f"; {n.lubricant}" if n.lubricant else ""
        rows.append({"id": n.id, "place": place, "studs": f"{studs}{lubricant}; {n.gasket or '?'}", "torque": torque, "mark": m.mark(n.id)})
    yield {
        "kind": "nozzles",
        "title": m.words["nozzle_card"],
        "sub": "",
        "rows": rows,
        "before": w["nozzle_before"],
        "missing": lacking([x for a in m.numbers.nozzles for x in a.missing]),
        "findings": told([f for a in m.numbers.nozzles for f in a.findings]),
        "roles": m.roles("fitter", "second", "lead"),
    }


def _late(m: Material, joint: str) -> list[Finding]:
    """The tool named for these studs, where its calibration has run out."""
    studs = m.exchanger.joint(joint).studs
    named = tuple(t for t in m.exchanger.tools if studs and t.id == studs.tool)
    return out_of_date(named, m.issued.isoformat())
