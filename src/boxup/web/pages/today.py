"""One page for one person and one shift: their exchangers, what ran out, pressures and lifts of the day, what is next."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from boxup.job.scope import Instance
from boxup.paper.html.element import Markup, el, joined
from boxup.web.ask import Ask, View, address
from boxup.web.bits import place_of, pressures, ran_out, stop, upcoming
from boxup.web.live import Damaged, Live

SHOWN = 3  # steps of each exchanger
LIFTS = ("PULL", "INSERT", "CC_ON", "SC_ON", "FH_ON", "FH_ON_T", "LIFTPLAN")


def page(ask: Ask) -> View:
    """A part an exchanger: the person's own first, those with work begun, then the rest in a line."""
    w = ask.w
    lives = list(_lives(ask))
    mine = [one for one in lives if _is_mine(ask, one)]
    running = [one for one in lives if one not in mine and one.head > 1]
    rest = [one for one in lives if one not in mine and one not in running]
    parts = [el("p", w.day(ask.at, whole=True), cls="under"), _cautions(ask)]
    if not ask.person.name:
        parts.append(el("p", el("a", w("today.who_are_you"), href="/me", cls="button")))
    parts += [_part(ask, one) for one in (*mine, *running)]
    if not (mine or running):
        parts.append(el("p", w("today.nothing")))
    links = [el("li", el("a", one.exchanger.identity.tag, href=address(one.job))) for one in rest]
    parts.append(el("section", el("h2", w("today.not_begun")), el("ul", links, cls="jumps abreast")) if links else Markup(""))
    return View(w("frame.today"), joined(parts))


def _lives(ask: Ask) -> Iterator[Live]:
    for job in ask.jobs.names():
        try:
            live = ask.jobs[job]
            live.exchanger  # noqa: B018  a job without a file is told on the fleet's page
        except Damaged:
            continue
        yield live


def _is_mine(ask: Ask, live: Live) -> bool:
    """The person leads or inspects it, or has an entry on it."""
    name, i = ask.person.name, live.exchanger.identity
    return bool(name) and (name in (i.crew_lead, i.inspector) or (live.head > 1 and any(e.by == name for e in live.events[-200:])))


def _cautions(ask: Ask) -> Markup:
    said = [ask.w(f"today.caution_{n}") for n in (1, 2, 3)]
    return el("details", el("summary", el("b", ask.w("today.cautions"))), el("ul", [el("li", text) for text in said]), open="open")


def _part(ask: Ask, live: Live) -> Markup:
    w, at, i = ask.w, live.now(), live.exchanger.identity
    head = el("h2", el("a", i.tag, href=address(live.job)), " ", el("small", w.told(live.exchanger.letters.short)))
    stands = w("frame.stands", done=len(live.state.done), all=len(live.state.scope.instances), at=ask.w.at(at))
    pressed = [stop(text) for text in pressures(ask, live)]
    old = ran_out(ask, live)
    way, ready = upcoming(ask, live)
    groups = [*way, *ready]
    there = replace(ask, job=live)
    steps = [el("li", el("a", _said(ask, live, g), href=place_of(there, g[0]))) for g in groups[:SHOWN]]
    lifts = [el("li", w("today.lift", what=_said(ask, live, g))) for g in groups if g[0].step.code in LIFTS]
    listed = [el("ul", rows, cls=cls) for rows, cls in ((old, "jumps"), (steps, "jumps"), (lifts, "look")) if rows]
    return el("section", head, el("p", stands), pressed, listed)


def _said(ask: Ask, live: Live, group: list[Instance]) -> str:
    items = " ".join(_item(ask, live, i) for i in group if i.item)
    return f"{ask.w.told(group[0].what(live.state.scope.flags))} ({items})" if items else ask.w.told(group[0].what(live.state.scope.flags))


def _item(ask: Ask, live: Live, one: Instance) -> str:
    """An item by its name; a joint whose passes have begun with how far they are."""
    name = one.item.id if one.item else ""
    joint = live.state.joint(name)
    return f"{name}: {ask.w.told(joint.word)}" if joint and joint.rounds and one.code not in live.state.done else name
