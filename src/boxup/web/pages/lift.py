"""Everything that hangs on a hook: the bundle on its way, then heads and covers; mass to plan on, gear with its tag, when to stop."""

from __future__ import annotations

from collections.abc import Iterator
from typing import cast

from boxup.core.rounding import both, unbroken
from boxup.drawing.lift import HeadLift, head_lift
from boxup.exchanger.hangs import hangs
from boxup.exchanger.masses import LiftedPart
from boxup.exchanger.parts import head
from boxup.lift.gear import gear_for_part
from boxup.paper.html.element import Inside, Markup, el, joined
from boxup.paper.html.parts import dashes, drawing, facts
from boxup.paper.sheet import PHONE, Drawing
from boxup.paper.value import lacking, shown, told
from boxup.web.ask import Ask, View
from boxup.web.bits import entered, folded, step_link
from boxup.web.pages.lift_bundle import bundle_part, stops_of_bundle
from boxup.web.pages.lift_crane import crane_part

FLAT = ("channel_cover", "closure", "rear_cover")
OPEN = ("channel", "rear_channel")


def page(ask: Ask) -> View:
    """The bundle first: it is the heaviest, and the one that moves."""
    w = ask.w
    rule = el("p", el("b", w("lift.tag_decides")), " ", w("lift.plan_decides"), cls="look")
    tags = ask.sheet.findings(told(ask.live.material.numbers.tags(ask.live.material.issued.isoformat())))
    bundle = bundle_part(ask) or el("p", w("lift.no_bundle"))
    parts = (entered(ask), rule, tags, bundle, crane_part(ask, stops_of_bundle(ask)), _heads(ask))
    return View(w("lift.title"), joined(*parts))


def _heads(ask: Ask) -> Markup:
    m = ask.live.material
    words = m.words["lift_sheet"]
    parts = [_head(ask, p) for p in m.numbers.parts if p.id != "bundle"]
    looked = (_listed(ask, "look_before", words["before_head"]), _listed(ask, "stop_signals", words["stops_head"]))
    found = list(m.numbers.heads.values())
    lacks = ask.sheet.missing(lacking([x for h in found for x in h.missing]))
    grave, notes = (ask.sheet.findings(told([f for h in found for f in h.findings if (f.level == "note") is so])) for so in (False, True))
    return el("section", grave, folded(ask.w("lift.heads"), el("div", *looked, cls="halves"), lacks, notes, parts))


def _listed(ask: Ask, title: str, lines: list[str]) -> Markup:
    return el("div", el("h3", ask.sheet.words[title]), dashes(ask.w.told(line) for line in lines))


def _head(ask: Ask, p: LiftedPart) -> Markup:
    """One part: the mass to plan on, large; gear, points, lift plan."""
    w, m = ask.w, ask.live.material
    mark = ask.sheet.mark(m.mark(f"L-{p.id.replace('_', '-')}"))
    mass = cast("dict[str, str] | None", shown("mass", p.lift_mass.si if p.lift_mass else None, "up"))
    number = el("p", ask.sheet.figure(mass), " ", mark, cls="moment")
    said = both("mass", p.lift_mass.si, "up") if p.lift_mass else ask.sheet.words["not_given"]
    summary = el("summary", el("span", el("b", w.told(p.what)), " ", unbroken(said)))
    body = el("div", el("p", el("b", w("lift.plan"))), number, facts(_facts(ask, p)))
    return el("details", summary, el("div", body, w.markup(drawing(_drawing(ask, p))), cls="halves"), id=f"lift-{p.id}")


def _facts(ask: Ask, p: LiftedPart) -> Iterator[tuple[Inside, Inside]]:
    w, x = ask.w, ask.live.exchanger
    gear = gear_for_part(x.gear, p.what)
    said = "; ".join(
        f"{g.id} {w.told(g.kind)}: {unbroken(both('mass', g.capacity.si, 'down')) if g.capacity else ask.sheet.words['not_given']}"
        for g in gear
    )
    yield w("lift.mass"), both("mass", p.mass.si, "up") if p.mass else ask.sheet.words["not_given"]
    yield w("lift.gear"), said or el("b", w("lift.no_gear"))
    if points := head(x, p.id).lifting_points:
        yield w("lift.points"), points
    yield w("lift.cg"), w.told(hangs(x, p.id).words)
    for step, name in (("LIFTPLAN", "lift_plan"), ("SUPPORT_OFF", "held")):
        code = f"{step}:{p.id.replace('_', '-')}"
        if code in ask.live.state.scope.instances:
            yield w(f"lift.{name}"), joined(step_link(ask, code), " ", el("span", _tick(ask, code), cls="by"))


def _tick(ask: Ask, code: str) -> str:
    tick = ask.live.state.step(code)
    if tick.at is None or code not in ask.live.state.done:
        return ask.w("lift.not_done") if tick.stand == "not done" else ask.w.told(f"{tick.stand}: {tick.why}".rstrip(": "))
    return f"{ask.w.at(tick.at)} {tick.by}"


def _drawing(ask: Ask, p: LiftedPart) -> Drawing:
    """As it comes off, on as many legs as its lifting points say."""
    x = ask.live.exchanger
    points = head(x, p.id).lifting_points
    shape = "flat" if p.id in FLAT else "open" if p.id in OPEN else "dished"
    weight = both("mass", p.lift_mass.si, "up") if p.lift_mass else ""
    legs = 2 if points.lower().startswith("two ") else 1
    return Drawing(head_lift(HeadLift(x.identity.tag, p.what, shape, legs, weight, points=points, width=PHONE)))
