"""The working behind what a hold shows, and behind the air: formula, numbers, result, as it was worked."""

from __future__ import annotations

from collections.abc import Iterator

from boxup.core.source import Cite
from boxup.core.working import Working
from boxup.job.held import held
from boxup.job.pumped import pumped
from boxup.job.reading import readings_from
from boxup.paper.html.element import Markup, el, joined
from boxup.paper.html.told import formulas
from boxup.paper.workings import step_shown
from boxup.web.ask import Ask, View
from boxup.web.bits import finding
from boxup.web.pages import hold, litres
from boxup.web.pages.readings import READING, entries_of, tries
from boxup.web.pages.test import named


def page(ask: Ask) -> View:
    """Of one attempt of a test, the last one where none is named."""
    test = named(ask)
    found = [t for t in tries(test, [e for e in entries_of(ask.live.events, test) if e.kind == READING]) if t.attempt]
    asked = ask.query.get("attempt", "")
    one = next((t for t in found if t.attempt and str(t.attempt.number) == asked), found[-1] if found else None)
    number = one.attempt.number if one and one.attempt else 0
    read = readings_from((e.happened_at, e.payload) for e in one.readings) if one else ()
    x = ask.live.exchanger
    way_up, of_hold = pumped(x, test.code, read), held(x, test.code, read)
    parts = [litres.shown(ask, way_up, test.code, pumping=False), *_worked(ask, way_up.working),
             hold.shown(ask, of_hold, test.code, number, whole=True, link=False), *_worked(ask, of_hold.working)]  # fmt: skip
    back = el("p", el("a", ask.w("test.title", code=test.code), href=ask.link("test", test.code)))
    body = joined(parts) or el("p", ask.w("hold.none"))
    return View(ask.w("hold.title_page", code=test.code, number=number), joined(back, body))


def _worked(ask: Ask, w: Working) -> Iterator[Markup]:
    if w.steps:
        yield el("h4", ask.w("hold.working"))
        yield el("p", el("small", str(Cite(w.source))))
        yield from formulas([step_shown(s, w.source) for s in w.steps.values()], ask.sheet)
        yield from (finding(ask, f) for f in w.all_findings())
