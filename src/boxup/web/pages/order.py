"""The whole order of work as it stands: done, under way, may begin, waits; nothing of it is hidden."""

from __future__ import annotations

from itertools import groupby

from boxup.job.live import begun, next_now
from boxup.job.order import Placed
from boxup.paper.html.element import Markup, el, joined
from boxup.web.ask import Ask, View
from boxup.web.bits import entered, place_of, what


def page(ask: Ask) -> View:
    """A phase a heading, a step a row, its items with how they stand."""
    w, state = ask.w, ask.live.state
    ready = {i.code for i in next_now(state, ask.at)}
    way = {i.code for i in begun(state)}
    parts: list[Markup] = [entered(ask), el("p", w("order.text"))]
    for phase, placed in groupby(ask.live.material.ordered, key=lambda p: p.instance.step.phase):
        rows = [_row(ask, list(g), ready, way) for _, g in groupby(placed, key=lambda p: p.instance.step.code)]
        parts.append(joined(el("h2", w.told(phase)), el("ul", rows, cls="order")))
    return View(w("frame.order"), joined(parts))


def _row(ask: Ask, group: list[Placed], ready: set[str], way: set[str]) -> Markup:
    one = group[0].instance
    hold = any(n.rule.hold for p in group for n in p.needs)
    marks = [_item(ask, p, ready, way) for p in group]
    named = el("p", el("span", ask.w("order.hold"), cls="hold") if hold else "", " " if hold else "", what(ask, one))
    return el("li", named, el("p", marks, cls="items"))


def _item(ask: Ask, p: Placed, ready: set[str], way: set[str]) -> Markup:
    one, code = p.instance, p.instance.code
    name = one.item.id if one.item else code
    word = _word(ask, code, ready, way)
    cls = "may" if code in ready or code in way else ""
    href = place_of(ask, one) if cls else ask.link("step", code)
    return el("a", el("b", name), " ", word, href=href, cls=cls)


def _word(ask: Ask, code: str, ready: set[str], way: set[str]) -> str:
    stand = ask.live.state.step(code).stand
    if code in ask.live.state.done:
        return ask.w("order.done")
    if code in way:
        return ask.w("order.begun")
    if stand in ("one name", "not accepted", "undone"):
        return ask.w(f"step.{stand.replace(' ', '_')}")
    return ask.w("order.may" if code in ready else "order.waits")
