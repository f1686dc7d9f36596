"""The lift sheets: the bundle on its slings with the pull going in and coming out, and the heads and covers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from boxup.core.calculation import STANDARD_GRAVITY, Answer
from boxup.core.rounding import both, metric
from boxup.core.working import Step
from boxup.drawing.lift import BundleLift, bundle_lift
from boxup.exchanger.hangs import hangs
from boxup.exchanger.parts import head
from boxup.lift.answer import LiftAnswer
from boxup.lift.gear import BACK, BUNDLE, PULLER, gear_for, gear_for_part
from boxup.lift.hold import bends_too_far
from boxup.paper.lift_words import NONE_SO, crane_lines, critical_words, gear_rows, wind_words, zone_words
from boxup.paper.sheet import PHONE, Drawing, Material, Sheet
from boxup.paper.value import Shown, lacking, of_step, told


def lift_sheets(m: Material) -> Iterator[Sheet]:
    """One sheet for the bundle where there is one to pull, one for everything else on a hook."""
    if m.numbers.sling is not None:
        yield _bundle_sheet(m, m.numbers.sling)
    yield _head_sheet(m)


def _bundle_sheet(m: Material, sling: LiftAnswer) -> Sheet:
    w, n, mine = m.words["lift_sheet"], m.numbers, gear_for(m.exchanger.gear, *BUNDLE, *PULLER, *BACK)
    lifts = [one for one in (sling, n.zone, n.insertion, n.pulling) if one]
    figures = []
    if isinstance(n.hung, Answer):
        figures = [
            {"label": w["plan"], "mark": m.mark(n.hung_code), "value": of_step("mass", n.hung.values["lift_mass"], "up")},
            {"label": w["leg_front"], "mark": m.mark("L"), "value": _leg(sling.step("T_1"))},
            {"label": w["leg_rear"], "mark": m.mark("L"), "value": _leg(sling.step("T_2"))},
            {
                "label": w["out_stop"],
                "mark": m.mark("L-out"),
                "value": of_step("load", n.pulling.step("F_stop") if n.pulling else None, "down"),
            },
            {
                "label": w["pull_stop"],
                "mark": m.mark("L-in"),
                "value": of_step("load", n.insertion.step("F_stop") if n.insertion else None, "down"),
            },
        ]
    return {
        "kind": "lift",
        "title": m.words["lift_bundle"],
        "sub": m.exchanger.bundle.match_mark,
        "drawing": _bundle_drawing(m, sling),
        "numbers": figures,
        "rows": _bundle_rows(m),
        "gear": gear_rows(lifts, mine),
        "crane": [
            *crane_lines(sling),
            *critical_words(sling),
            f"{zone_words(n.zone)} ({w['judged']})",
            *filter(None, (wind_words(n.zone),)),
        ],
        "before": [*w["before"], *_held_back(m)],
        "stops": w["stops"],
        "missing": lacking([x for one in lifts for x in one.missing]),
        "findings": told([*n.tags(m.issued.isoformat(), mine), *bends_too_far(n.holding), *(f for one in lifts for f in one.findings)]),
        "log": True,
        "roles": m.roles("rigger", "lead", "inspector"),
    }


def _held_back(m: Material) -> Iterator[str]:
    """What a bundle that goes downhill asks for before it is let go; nothing on the level."""
    for lift, key in ((m.numbers.insertion, "held_back_in"), (m.numbers.pulling, "held_back_out")):
        if lift and (most := lift.step("F_b")):
            yield m.words["lift_sheet"][key].format(load=both("load", most.si, "up"))


def _leg(step: Step | None) -> Shown | None:
    """The pull in a leg in kN, and as the mass a tag is read against."""
    if step is None:
        return None
    kn = metric("load", step.si, "up")
    return {"text": kn.text, "sign": kn.sign, "other": f"as {both('mass', step.si / STANDARD_GRAVITY, 'up')}"}


def _bundle_rows(m: Material) -> list[dict[str, str]]:
    """The other figures of the bundle, as rows of the same table the heads have."""
    n, w = m.numbers, m.words["lift_sheet"]
    if not isinstance(n.hung, Answer):
        return []
    b, mark = n.hung, m.mark(n.hung_code)
    rows = [
        {"what": w["dry"], "mark": mark, "mass": both("mass", b.si("dry"), "up"), "planned": both("mass", b.si("insert_mass"), "up")},
        {"what": w["hangs"], "mark": mark, "mass": both("mass", b.si("fouled"), "up"), "planned": both("mass", b.si("lift_mass"), "up")},
        {"what": w["cg"], "mark": mark, "mass": both("position", b.si("cg")), "planned": both("position", b.si("fouled_cg"))},
    ]
    for key, code, lift, way in (("pull_expected", "L-in", n.insertion, "in"), ("out_expected", "L-out", n.pulling, "out")):
        if lift and lift.step("F_1") and lift.step("F_2") and lift.step("F_stop"):
            at_stop = lift.working["F_2"] >= lift.working["F_stop"] * (1 - 1e-9)  # rounded apart the two would contradict each other
            least = both("load", lift.working["F_1"], "down")
            span = f"{least} – {w['the_stop'] if at_stop else both('load', lift.working['F_2'], 'up')}"
            stop = f"STOP {way}: {both('load', lift.working['F_stop'], 'down')}"
            rows.append({"what": w[key], "mark": m.mark(code), "mass": span, "planned": stop})
    return rows


def _bundle_drawing(m: Material, sling: LiftAnswer) -> Drawing:
    x, b, w = m.exchanger, m.exchanger.bundle, sling.working
    if not (b.sling_points_m and b.sling_points_far_m and b.hook_height and x.tubes.length and "T_1" in w.steps):
        return Drawing("")
    front, rear = x.stationary_tubesheet.outside_diameter, x.floating_tubesheet.outside_diameter
    u_tubes = x.letters.rear == "U"
    given = BundleLift(
        x.identity.tag,
        x.tubes.length.to("m") * (1.05 if u_tubes else 1.0),
        b.sling_points_m.to("m"),
        b.sling_points_far_m.to("m"),
        w["x_c"],
        b.hook_height.to("m"),
        both("load", w["W"], "up"),
        both("load", w["T_1"], "up"),
        both("load", w["T_2"], "up"),
        front_radius=front.to("m") / 2 if front else 0.48,
        rear_radius=rear.to("m") / 2 if rear else 0.4,
        rear_bend=u_tubes,
        channel=_channel(m),
        zone=zone_words(m.numbers.zone),
        stop=_over(sling),
        width=640,
    )
    try:
        return Drawing(bundle_lift(given), lambda: bundle_lift(replace(given, width=PHONE)))
    except ValueError:  # picks that do not lie either side of the centre of gravity: the finding says so
        return Drawing("")


def _channel(m: Material) -> float:
    """m of the channel that hangs with the bundle in front of it; 0 where none does."""
    hung = m.numbers.hung
    middle = hung.working.steps.get("x_h") if isinstance(hung, Answer) else None
    return max(-2 * middle.si, 0.0) if middle else 0.0


def _over(sling: LiftAnswer) -> str:
    """What stands beside the STOP sign of the drawing: which piece is over, in a few words."""
    if none := [g.id for g in sling.gear if g.share is None]:
        return f"Not lifted: {', '.join(none)}: {NONE_SO}"
    over = [g.id for g in sling.gear if g.share and g.share.si > 1 + 1e-9]
    crane = sling.crane
    if crane is not None and "u" in crane.steps and crane["u"] > 1 + 1e-9:
        over.insert(0, crane.name)
    return f"Not lifted: {', '.join(over)} over what {'they' if len(over) > 1 else 'it'} may carry" if over else ""


def _head_sheet(m: Material) -> Sheet:
    w, n = m.words["lift_sheet"], m.numbers
    rows = []
    for part in n.parts:
        if part.id == "bundle":
            continue
        code = f"M-{part.id.replace('_', '-')}"
        planned = both("mass", part.lift_mass.si, "up") if part.lift_mass else m.words["not_given"]
        mass = both("mass", part.mass.si, "up") if part.mass else "?"
        points = head(m.exchanger, part.id).lifting_points
        note = f"{w['points']}: {points}; " if points else ""
        note += f"{w['gravity']}: {hangs(m.exchanger, part.id).words}"
        rows.append({"what": part.what, "note": note, "mark": m.mark(code), "mass": mass, "planned": planned})
    heads = list(n.heads.values())
    mine = tuple(g for g in m.exchanger.gear if any(gear_for_part((g,), h.name) for h in heads))
    return {
        "kind": "lift",
        "title": m.words["lift_heads"],
        "sub": "",
        "drawing": "",
        "numbers": [],
        "rows": rows,
        "gear": gear_rows(heads, mine),
        "crane": [f"{h.name}: {line}" for h in heads for line in crane_lines(h)],
        "before": w["before_head"],
        "stops": w["stops_head"],
        "missing": lacking([x for h in heads for x in h.missing]),
        "findings": told([*n.tags(m.issued.isoformat(), mine), *(f for h in heads for f in h.findings)]),
        "log": False,
        "roles": m.roles("rigger", "lead"),
    }
