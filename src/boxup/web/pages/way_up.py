"""Which way up the bundle goes in: the right pose beside the wrong ones, what to look at, and the step that two names sign."""

from __future__ import annotations

from collections.abc import Iterator

from boxup.bundle.turned_part import turned_parts
from boxup.bundle.way_up import Turn, WayUp
from boxup.paper.html.element import Inside, Markup, el, joined
from boxup.paper.html.parts import drawing, table
from boxup.paper.value import lacking
from boxup.paper.way_up import drawing_of
from boxup.web.ask import Ask, View
from boxup.web.bits import entered, finding, folded, step_link

STEP = "ORIENT"


def page(ask: Ask) -> View:
    """All of it."""
    found, w = ask.live.material.numbers.way_up, ask.w
    step = [el("p", w("way_up.signed"), " ", step_link(ask, STEP))] if STEP in ask.live.state.scope.instances else []
    parts = [entered(ask), way_up_part(ask), step, _parts(ask)]
    if found.fixed:
        parts = [entered(ask), el("p", w.told(found.fixed), cls="now"), _parts(ask)]
    return View(w("way_up.title"), joined(*parts))


def way_up_part(ask: Ask, *, turns: bool = True) -> Markup:
    """The pose, its findings, what to look at, the turns, or the way to them; nothing where the bundle stays in."""
    found, w = ask.live.material.numbers.way_up, ask.w
    if found.fixed:
        return Markup("")
    now = el("p", w.told(found.short) if found.short else w("way_up.no_pose"), cls="now")
    told = [finding(ask, f) for f in found.findings]
    lacks = ask.sheet.missing(lacking(found.missing))
    right = joined(el("h2", w("way_up.right")), el("ul", [el("li", w.told(line)) for line in found.right]))
    look = right if found.right else Markup("")
    ask_for = joined(el("h2", w("way_up.ask")), el("ul", [el("li", w.told(line)) for line in found.ask])) if found.ask else Markup("")
    picture = w.markup(drawing(drawing_of(ask.live.exchanger, found)))
    rest = _turns(ask, found) if turns else [el("p", el("a", w("way_up.all"), href=ask.link("way-up")))]
    return el("section", now, told, lacks, picture, look, ask_for, *rest, el("p", w("way_up.decides"), cls="look"))


def _turns(ask: Ask, found: WayUp) -> Iterator[Markup]:
    w = ask.w
    if found.against:
        yield el("p", w.told(found.end_for_end))
        return
    rows: list[list[Inside]] = [[el("b", w.told(t.name)), _stops(ask, t), w.told("; ".join(t.harms)) if t.harms else "–"]
                                for t in found.turns]  # fmt: skip
    count = el("p", w.told(found.count)) if found.count else ""
    yield folded(w("way_up.turns"), count, table([w("way_up.turn"), w("way_up.stops"), w("way_up.does")], rows, cls="talk"))
    yield el("p", w.told(found.end_for_end))


def _stops(ask: Ask, t: Turn) -> Inside:
    if t.stops:
        return ask.w.told("; ".join(t.stops))
    return el("b", ask.w("way_up.count_studs" if t.studs is None else "way_up.nothing"))


def _parts(ask: Ask) -> Markup:
    w = ask.w
    rows: list[list[Inside]] = [[el("b", f"{w.told(p.what)}, {p.joint}"), w.told(p.half), w.told(p.over) if p.over else "–"]
                                for p in turned_parts(ask.live.exchanger)]  # fmt: skip
    if not rows:
        return Markup("")
    return folded(w("way_up.parts"), table([w("way_up.part"), w("way_up.half"), w("way_up.over")], rows, cls="talk"))
