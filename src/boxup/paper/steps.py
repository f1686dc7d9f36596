"""The steps: each once, a box for each of its items, why it stands there, its number, and its picture where the picture changes."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from typing import Any

from boxup.core.rounding import both
from boxup.job.order import Placed
from boxup.job.rules import Need
from boxup.lift.gear import BUNDLE, PULLER, gear_for
from boxup.paper.sheet import SMALL, Material, Sheet

# Steps whose number stands on the row itself; the others point to their own sheet.
_TORQUE_STEPS = ("GIRTH_TORQ", "FH_TORQ", "CC_ON", "SC_ON", "REAR_LMN", "FH_ON_T", "P_COVER", "W_REAR")
_TEST_STEPS = {"STEST1": "S1", "TTEST": "T", "STEST2": "S2"}
_WARM_STEPS = {"MDT_S1": "S1", "MDT_T": "T", "MDT_S2": "S2"}
ON_A_HOOK = ("RIG_PULL", "PULL", "RIG", "INSERT")  # steps with the bundle in its gear
_FILL_STEPS = {"FILL_S1": "S1", "FILL_T": "T", "FILL_S2": "S2"}


def step_sheet(m: Material) -> Sheet:
    """Every step of this exchanger in a legal order, by phase."""
    groups = [list(g) for _, g in groupby(m.ordered, key=lambda p: (p.instance.step.code, p.what, p.who))]
    row_of = {p.instance.code: n for n, group in enumerate(groups, start=1) for p in group}
    phases: list[dict[str, Any]] = []
    for number, group in enumerate(groups, start=1):
        step = group[0].instance.step
        if not phases or phases[-1]["title"] != step.phase:
            phases.append({"title": step.phase, "parts": []})
        parts = phases[-1]["parts"]
        if not parts or parts[-1]["kind"] != "rows":
            parts.append({"kind": "rows", "rows": []})
        parts[-1]["rows"].append(_row(m, number, group, row_of))
        parts += _picture(m, group)
    w = m.words
    return {"kind": "steps", "title": w["step_list"], "sub": w["works_without"], "text": w["step_sheet"]["text"], "phases": phases}


def _row(m: Material, number: int, group: list[Placed], row_of: dict[str, int]) -> dict[str, Any]:
    step = group[0].instance.step
    needs = sorted((n for p in group for n in p.needs), key=lambda n: (not n.rule.hold, n.rule.kind != "safety"))
    holds = sorted({row_of[n.step] for n in needs if n.rule.hold})
    others = sorted({row_of[n.step] for n in needs} - set(holds) - {number})
    figure, mark = number_of(m, group)
    return {
        "n": str(number),
        "code": step.code,
        "what": group[0].what,
        "after": m.words["step_sheet"]["not_before"].format(rows=_listed(holds)) if holds else "",
        "number": figure,
        "mark": mark,
        "first": m.words["step_sheet"]["first"].format(rows=_listed(others)) if others else "",
        "because": "; ".join(filter(None, (*_tags(m, step.code), _reasons(needs, row_of, 2 if holds else 1)))),
        "who": group[0].who or step.who,
        "hold": bool(holds),
        "items": [p.instance.item.id for p in group if p.instance.item],
    }


def _tags(m: Material, code: str) -> Iterator[str]:
    """Gear of the bundle whose tag is old, or read on a day still to come."""
    if code in ON_A_HOOK:
        yield from (f.text.partition(". ")[0] for f in m.numbers.tags(m.issued.isoformat(), gear_for(m.exchanger.gear, *BUNDLE, *PULLER)))


def _reasons(needs: list[Need], row_of: dict[str, int], most: int) -> str:
    """The gravest reasons, each with the row it looks back to."""
    seen: dict[str, int] = {}
    for n in needs:
        seen.setdefault(n.rule.because, row_of[n.step])
    return "; ".join(f"{because} ({row})" for because, row in list(seen.items())[:most])


def _listed(rows: list[int]) -> str:
    """`8–13, 41`: rows in a line are one range."""
    runs: list[list[int]] = []
    for row in rows:
        if runs and row == runs[-1][-1] + 1:
            runs[-1].append(row)
        else:
            runs.append([row])
    return ", ".join(f"{r[0]}–{r[-1]}" if len(r) > 2 else ", ".join(map(str, r)) for r in runs)


def number_of(m: Material, group: list[Placed]) -> tuple[str, str]:
    """The number needed at that moment, and the code of its working."""
    code = group[0].instance.step.code
    if code in _TORQUE_STEPS:
        return _torques(m, [p.instance.item.id for p in group if p.instance.item])
    if code == "NOZ_TORQ":
        found = [f"{n.nozzle}: {n.torque_text}" for n in m.numbers.nozzles if n.torque_text]
        return "; ".join(found), ""
    for table, key, words in (
        (_TEST_STEPS, "gauge_pressure", "at the gauge"),
        (_WARM_STEPS, "least_temperature", "at least"),
        (_FILL_STEPS, "fill", "of water"),
    ):
        if code in table:
            return _from_test(m, table[code], key, words)
    if code == "ORIENT":
        return m.numbers.way_up.short, ""
    if code in ("INSERT", "PULL"):
        lift = m.numbers.insertion if code == "INSERT" else m.numbers.pulling
        stop = lift.step("F_stop") if lift else None
        return (f"STOP at {both('load', stop.si, 'down')}", m.mark("L-in" if code == "INSERT" else "L-out")) if stop else ("", "")
    return "", ""


def _torques(m: Material, joints: list[str]) -> tuple[str, str]:
    answers = [m.numbers.joint(j) for j in joints]
    text = "; ".join(f"{j}: {a.torque_text}" for j, a in zip(joints, answers, strict=True) if a.torque_text)
    return text, m.mark(answers[0].joint) if answers else ""


def _from_test(m: Material, code: str, key: str, words: str) -> tuple[str, str]:
    kinds = {"gauge_pressure": "pressure", "least_temperature": "temperature", "fill": "volume"}
    step = next((t.values.get(key) for t in m.numbers.tests if t.test.code == code), None)
    if step is None:
        return "", ""
    return f"{both(kinds[key], step.si, 'near' if key == 'fill' else 'up')} {words}", m.mark(code)


def _picture(m: Material, group: list[Placed]) -> Iterator[dict[str, Any]]:
    """The drawing before and after, where the words of the catalogue name this step."""
    code = group[-1].instance.step.code
    change, text = m.changes.get(group[-1].instance.code), m.words["step_sheet"]["pictures"].get(code)
    if change is None or text is None:
        return
    if change.mover and code == "BREAK":
        text = f"{change.mover[0].upper()}{change.mover[1:]} off"
    if code == "REAR_LMN":
        text = f"{' and '.join(sorted(change.before.off - change.after.off))} on".capitalize()
    pressure = ""
    if change.after.pressed:
        pressure = _from_test(m, _TEST_STEPS.get(code, ""), "gauge_pressure", "")[0].split(" (")[0]
    before, after = m.pair(
        m.view(change.before, width=SMALL, mover=change.mover, moving=change.moving), m.view(change.after, width=SMALL, pressure=pressure)
    )
    if after:
        yield {"kind": "picture", "text": text, "before": before, "after": after}
