"""The exchanger: its drawing as far as it is inked in, what comes next, and what stands against it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from boxup.drawing.section import section
from boxup.drawing.stand import stand_view
from boxup.job.live import begun
from boxup.job.proof import unproved
from boxup.job.scope import Instance
from boxup.job.sound import standing
from boxup.paper.html.element import Markup, el, joined
from boxup.paper.html.parts import drawing as figure
from boxup.paper.html.parts import table
from boxup.paper.sheet import PHONE, Drawing
from boxup.paper.steps import number_of
from boxup.web.ask import Ask, View
from boxup.web.bits import entered, finding, grouped, place_of, ran_out, step_link, upcoming, what, who

SHOWN_NEXT = 8  # steps in the list under the first one; the whole of it is a page


def page(ask: Ask) -> View:
    """Drawing, Next, what is under way, what ran out, what is open."""
    live = ask.live
    parts = [
        entered(ask), drawing(ask), _next(ask), _under_way(ask), _ran_out(ask), _joints(ask), _open(ask),
        *(finding(ask, f) for f in standing(live.state)),
    ]  # fmt: skip
    return View(ask.w("exchanger.title"), joined(parts))


def drawing(ask: Ask) -> Markup:
    """The drawing as the record inks it in; every joint, blind and nozzle on it leads to its page."""
    x = ask.live.exchanger
    view = replace(stand_view(ask.live.state), links=_links(ask))
    made = Drawing(section(x, view), lambda: section(x, replace(view, width=PHONE, narrow=True)))
    return ask.w.markup(figure(made, "home"))


def _links(ask: Ask) -> dict[str, str]:
    x = ask.live.exchanger
    joints = {j: ask.link("joint", j) for joint in ask.live.state.joints.values() for j in joint.joints}
    blinds = {b.id: ask.link("blinds") for b in x.blinds}
    return joints | blinds | {"bundle": ask.link("lift")}


def _next(ask: Ask) -> Markup:
    """What is under way comes before what may begin: nobody leaves a joint half pulled up to start something else."""
    way, ready = upcoming(ask, ask.live)
    groups = [*way, *ready]
    head = el("h2", ask.w("exchanger.next"))
    if not groups:
        text = ask.w("exchanger.all_done" if ask.live.state.complete else "exchanger.nothing_next")
        return el("section", head, el("p", text), cls="next")
    rest = ready if way else ready[1:]
    more = [el("li", _row(ask, g)) for g in rest[:SHOWN_NEXT]]
    all_ = el("p", el("a", ask.w("exchanger.all_next", count=len(ready)), href=ask.link("order"))) if rest else Markup("")
    under = el("h3", ask.w("exchanger.may_too")) if more else Markup("")
    return el("section", head, _moment(ask, groups[0]), under, el("ul", more, cls="jumps"), all_, cls="next")


def _moment(ask: Ask, group: list[Instance]) -> Markup:
    """The step of the moment: one sentence, its number, who, one button."""
    one, tick = group[0], ask.live.state.step(group[0].code)
    why = el("p", f"{ask.w('exchanger.undone')} {ask.w.told(tick.why)}", cls="look") if tick.stand == "undone" and tick.why else ""
    way = el("p", ask.w("exchanger.begun", at=ask.w.at(tick.begun_at))) if tick.stand == "begun" and tick.begun_at else ""
    go = el("a", ask.w("exchanger.go", what=_items(group) or one.code), href=place_of(ask, one), cls="button")
    return joined(el("p", what(ask, one), cls="now"), _number(ask, group), why, way, el("p", who(ask, one), cls="who"), el("p", go))


def _number(ask: Ask, group: list[Instance]) -> Markup:
    """The number that is needed at this moment, with its working behind it; none for most steps."""
    codes = {one.code for one in group}
    figure, mark = number_of(ask.live.material, [p for p in ask.live.material.ordered if p.instance.code in codes])
    if not figure:
        return Markup("")
    return el("div", [el("p", _figure(part), cls="moment") for part in figure.split("; ")], ask.sheet.mark(mark))


def _figure(text: str) -> Markup:
    """The value large, what stands round it smaller."""
    value, _, other = text.partition(" (")
    return joined(value, el("span", f"({other}", cls="other") if other else "")


def _named(group: list[Instance]) -> str:
    """The code of a step and its items."""
    return f"{group[0].step.code} {_items(group)}".strip()


def _items(group: list[Instance]) -> str:
    return " ".join(one.item.id for one in group if one.item)


def _row(ask: Ask, group: list[Instance]) -> Markup:
    said = (el("span", what(ask, group[0])), " ", el("span", _named(group), cls="code"))
    return el("a", *said, href=place_of(ask, group[0]))


def _under_way(ask: Ask) -> Markup:
    """What else is under way, beside the step of the moment."""
    groups = grouped(begun(ask.live.state))[1:]
    rows = [el("li", _row(ask, g)) for g in groups]
    return el("section", el("h2", ask.w("exchanger.under_way")), el("ul", rows, cls="jumps")) if rows else Markup("")


def _ran_out(ask: Ask) -> Markup:
    rows = ran_out(ask, ask.live)
    return el("section", el("h2", ask.w("exchanger.ran_out")), el("ul", rows, cls="jumps")) if rows else Markup("")


def _joints(ask: Ask) -> Markup:
    w = ask.w
    rows = [
        (
            el("a", ", ".join(j.joints), href=ask.link("joint", j.joints[0])), w.told(j.kind), el("b", w.told(j.word)),
            ", ".join(j.gaskets[of] for of in j.joints if of in j.gaskets), w.told("; ".join(j.not_pulled_up)) if j.rounds else "",
        )
        for j in ask.live.state.joints.values()
    ]  # fmt: skip
    heads = [w(f"exchanger.{k}") for k in ("joint", "what", "stands", "gasket", "still")]
    return el("section", el("h2", w("exchanger.joints")), table(heads, rows))


def _open(ask: Ask) -> Markup:
    return joined(_section(ask, "not_closed", _not_closed(ask)), _section(ask, "unproved", _unproved(ask)))


def _section(ask: Ask, name: str, rows: Iterator[Markup]) -> Markup:
    found = list(rows)
    return el("section", el("h2", ask.w(f"exchanger.{name}")), el("ul", found)) if found else Markup("")


def _not_closed(ask: Ask) -> Iterator[Markup]:
    state = ask.live.state
    for code, tick in state.steps.items():
        if tick.stand in ("one name", "not accepted") and code in state.scope.instances:
            yield el("li", step_link(ask, code), " ", ask.w.told(tick.why))
    for one in state.to_put_right.values():
        if not one.closed:
            yield el("li", el("a", f"{one.letter}: {one.text}", href=ask.link("findings")), f" ({one.by})")


def _unproved(ask: Ask) -> Iterator[Markup]:
    for p in unproved(ask.live.state):
        yield el("li", el("b", f"{ask.w.told(p.what)} {p.id}".strip()), ": ", ask.w.told(p.open))
