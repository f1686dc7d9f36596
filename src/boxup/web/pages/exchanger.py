"""The exchanger: its drawing as far as it is inked in, what comes next, and what stands against it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from boxup.drawing.section import section
from boxup.drawing.stand import stand_view
from boxup.job.live import begun, next_now
from boxup.job.proof import unproved
from boxup.job.scope import Instance
from boxup.job.sound import standing
from boxup.job.stale import run_out
from boxup.paper.html.element import Markup, el, joined
from boxup.paper.html.parts import drawing as figure
from boxup.paper.html.parts import table
from boxup.paper.sheet import PHONE, Drawing
from boxup.web.ask import Ask, View
from boxup.web.bits import entered, finding, grouped, place_of, step_link, what, who

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
    return figure(made, "home")


def _links(ask: Ask) -> dict[str, str]:
    x = ask.live.exchanger
    joints = {j: ask.link("joint", j) for joint in ask.live.state.joints.values() for j in joint.joints}
    blinds = {b.id: ask.link("blinds") for b in x.blinds}
    return joints | blinds | {"bundle": ask.link("lift")}


def first_of(ask: Ask) -> list[Instance] | None:
    """The step to be done next, with all its items: what is under way first, else what may begin."""
    groups = grouped([*begun(ask.live.state), *next_now(ask.live.state, ask.at)])
    return groups[0] if groups else None


def _next(ask: Ask) -> Markup:
    w, state = ask.w, ask.live.state
    groups = grouped(next_now(state, ask.at))
    if not groups:
        text = w("exchanger.all_done") if state.complete else w("exchanger.nothing_next")
        return el(
            "section", el("h2", w("exchanger.next")), el("p", text), el("p", el("a", w("frame.order"), href=ask.link("order"))), cls="next"
        )
    first, *rest = groups
    more = [el("li", _row(ask, g)) for g in rest[:SHOWN_NEXT]]
    all_ = el("p", el("a", w("exchanger.all_next", count=len(rest)), href=ask.link("order"))) if rest else Markup("")
    return el("section", el("h2", w("exchanger.next")), _moment(ask, first), el("ul", more, cls="jumps"), all_, cls="next")


def _moment(ask: Ask, group: list[Instance]) -> Markup:
    """The step of the moment: one sentence, who, one button."""
    one = group[0]
    undone = ask.live.state.step(one.code)
    why = (
        el("p", f"{ask.w('exchanger.undone')} {ask.w.told(undone.why)}", cls="look")
        if undone.stand == "undone" and undone.why
        else Markup("")
    )
    items = " ".join(i.item.id for i in group if i.item)
    go = el("a", ask.w("exchanger.go", what=f"{one.step.code} {items}".strip()), href=place_of(ask, one), cls="button")
    return joined(el("p", what(ask, one), cls="now"), why, el("p", who(ask, one), cls="who"), el("p", go))


def _row(ask: Ask, group: list[Instance]) -> Markup:
    items = " ".join(i.item.id for i in group if i.item)
    return el(
        "a",
        el("span", what(ask, group[0])),
        " ",
        el("span", f"{group[0].step.code} {items}".strip(), cls="code"),
        href=place_of(ask, group[0]),
    )


def _under_way(ask: Ask) -> Markup:
    groups = grouped(begun(ask.live.state))
    if not groups:
        return Markup("")
    return el("section", el("h2", ask.w("exchanger.under_way")), el("ul", [el("li", _row(ask, g)) for g in groups], cls="jumps"))


def _ran_out(ask: Ask) -> Markup:
    old = run_out(ask.live.state, ask.at)
    if not old:
        return Markup("")
    rows = [el("li", step_link(ask, code), " ", ask.w("exchanger.since", at=f"{since:%d %b %H:%M}")) for code, since in old.items()]
    return el("section", el("h2", ask.w("exchanger.ran_out")), el("ul", rows))


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
