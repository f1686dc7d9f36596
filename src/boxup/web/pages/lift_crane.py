"""The crane that stands there today: what it carries of its chart, and the form that says which one it is."""

from __future__ import annotations

from collections.abc import Iterator

from boxup.exchanger.lifting import Crane
from boxup.lift.answer import LiftAnswer
from boxup.paper.html.element import Markup, el, joined
from boxup.paper.html.parts import dashes
from boxup.paper.lift_words import crane_lines, critical_words, wind_words, zone_words
from boxup.web.ask import Ask
from boxup.web.bits import finding, folded
from boxup.web.form import entry_form

FIELDS = ("crane", "radius", "chart_radii", "chart", "hook_block", "slings", "spreader", "rope", "configuration")
MASSES = ("hook_block", "slings", "spreader", "rope")


def crane_part(ask: Ask, said_before: tuple[str, ...] = ()) -> Markup:
    """What is wrong with its figures, unless it was said before; the figures; the form, folded where the crane is known."""
    w, crane = ask.w, ask.live.exchanger.crane
    lifts = _lifts(ask)
    lines = [f"{w.told(a.name)}: {w.told(line)}" for a in lifts for line in crane_lines(a)]
    lines += [w.told(text) for a in lifts[:1] for text in critical_words(a)]
    zone = ask.live.material.numbers.zone
    lines += [w.told(text) for text in (zone_words(zone), wind_words(zone)) if text]
    # what stands with the slings already is not said twice
    stops = [finding(ask, f) for a in lifts if a.crane for f in a.crane.findings if f.level != "note" and f.text not in said_before]
    said = dashes(lines) if any(a.crane for a in lifts) else joined(el("p", w("lift.crane_not"), cls="missing"), dashes(lines))
    return el("section", stops, folded(w("lift.crane"), said, _form(ask, crane), open_=not any(a.crane for a in lifts)), id="crane")


def _lifts(ask: Ask) -> list[LiftAnswer]:
    n = ask.live.material.numbers
    return [a for a in (n.sling, *n.heads.values()) if a is not None]


def _form(ask: Ask, crane: Crane) -> Markup:
    w = ask.w
    form = entry_form(
        ask, "crane.stood", el("p", w("lift.crane_said")), button=w("lift.crane_button"), fields=FIELDS, given=dict(_given(crane)),
        back=ask.link("lift"),
    )  # fmt: skip
    summary = el("summary", el("b", w("lift.crane_other" if crane.chart else "lift.crane_which")))
    return el("details", summary, form, cls="more", open="" if crane.chart else "open")


def _given(crane: Crane) -> Iterator[tuple[str, str]]:
    """What is known already: only what differs needs typing."""
    yield "crane", crane.name
    yield "configuration", crane.configuration
    if crane.radius:
        yield "radius", f"{crane.radius.si:g} m"
    if crane.chart:
        yield "chart_radii", " ".join(f"{row.radius.si:g}" for row in crane.chart) + " m"
        yield "chart", " ".join(f"{row.capacity.si / 1000:g}" for row in crane.chart) + " t"
    for key in MASSES:
        if (mass := getattr(crane, key)) is not None:
            yield key, f"{mass.si:g} kg"
