"""The whole order of work as it stands: done, under way, may begin, waits. A phase with nothing to do now is folded."""

from __future__ import annotations

from itertools import groupby

from boxup.job.live import begun, next_now
from boxup.job.order import Placed
from boxup.paper.html.element import Markup, el, joined
from boxup.web.ask import Ask, View
from boxup.web.bits import entered, place_of, what

SHORT = ("one name", "not accepted", "undone")  # how a step stands that was done, but not so that it counts


def page(ask: Ask) -> View:
    """First a way to every phase with how much of it is done; then a phase a heading, a step a row, its items with how they stand."""
    w, state = ask.w, ask.live.state
    ready = {i.code for i in next_now(state, ask.at)}
    way = {i.code for i in begun(state)}
    phases = [(name, list(placed)) for name, placed in groupby(ask.live.material.ordered, key=lambda p: p.instance.step.phase)]
    jumps = [_jump(ask, n, name, some) for n, (name, some) in enumerate(phases, 1)]
    parts = [entered(ask), el("p", w("order.text")), el("ul", jumps, cls="jumps abreast")]
    parts += [_phase(ask, f"phase-{n}", name, some, ready, way) for n, (name, some) in enumerate(phases, 1)]
    return View(w("frame.order"), joined(parts))


def _jump(ask: Ask, n: int, name: str, placed: list[Placed]) -> Markup:
    return el("li", el("a", el("b", ask.w.told(name)), el("span", _count(ask, placed)), href=f"#phase-{n}"))


def _phase(ask: Ask, id_: str, name: str, placed: list[Placed], ready: set[str], way: set[str]) -> Markup:
    works = any(_is_open(ask, p.instance.code, ready | way) for p in placed)
    rows = [list(g) for _, g in groupby(placed, key=lambda p: p.instance.step.code)]
    runs = [list(g) for _, g in groupby(rows, key=lambda row: works and _all_done(ask, row))]
    listed = [_run(ask, run, [_row(ask, row, ready, way) for row in run], folded=works) for run in runs]
    head = el("summary", el("h2", ask.w.told(name)), el("span", _count(ask, placed)))
    return el("details", head, listed, cls="phase", id=id_, open="open" if works else "")


def _run(ask: Ask, run: list[list[Placed]], rows: list[Markup], *, folded: bool) -> Markup:
    """Steps that follow on one another; several that are done, folded under how many they are."""
    listed = el("ul", rows, cls="order")
    if not folded or len(run) == 1 or not _all_done(ask, run[0]):
        return listed
    return el("details", el("summary", ask.w("order.steps_done", count=len(run))), listed)


def _all_done(ask: Ask, row: list[Placed]) -> bool:
    return all(p.instance.code in ask.live.state.done for p in row)


def _is_open(ask: Ask, code: str, now: set[str]) -> bool:
    """Whether somebody has something to do about it now."""
    state = ask.live.state
    return code in now or (code not in state.done and state.step(code).stand in SHORT)


def _count(ask: Ask, placed: list[Placed]) -> str:
    done = sum(p.instance.code in ask.live.state.done for p in placed)
    return ask.w("order.all_done" if done == len(placed) else "order.some_done", done=done, all=len(placed))


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
    if stand in SHORT:
        return ask.w(f"step.{stand.replace(' ', '_')}")
    return ask.w("order.may" if code in ready else "order.waits")
