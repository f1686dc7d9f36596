"""Every job on this record: where it stands, in a line; and a new one from its exchanger file."""

from __future__ import annotations

from boxup.core.rounding import both
from boxup.paper.html.element import Inside, el, joined
from boxup.paper.html.parts import table
from boxup.web.ask import Ask, View, address
from boxup.web.form import labelled, text_box
from boxup.web.live import Damaged


def page(ask: Ask) -> View:
    """A row an exchanger."""
    w = ask.w
    heads = [w(f"fleet.{k}") for k in ("tag", "type", "stands", "pressure", "open", "lead")]
    rows = [_row(ask, job) for job in ask.jobs.names()]
    listed = table(heads, rows) if rows else el("p", w("fleet.none"))
    return View(w("frame.fleet"), joined(listed, _new(ask)))


def _row(ask: Ask, job: str) -> list[Inside]:
    w = ask.w
    try:
        live = ask.jobs[job]
        x = live.exchanger
    except Damaged as bad:
        return [el("b", job), str(bad), "", "", "", ""]
    state = live.state
    pressed = [f"{w(f'frame.{t.side}')} {both('pressure', t.pressure_mpa * 1e6)}" for t in state.tests.values() if t.pressure_mpa > 0]
    open_ = sum(1 for one in state.to_put_right.values() if not one.closed)
    stands = w("fleet.steps", done=len(state.done), all=len(state.scope.instances))
    tag = el("a", x.identity.tag, href=address(job), cls="tag")
    return [tag, w.told(x.letters.short), stands, el("b", ", ".join(pressed)), str(open_) if open_ else "", x.identity.crew_lead or "–"]


def _new(ask: Ask) -> Inside:
    w = ask.w
    file = labelled(w("fleet.file"), el("input", name="file", type="file", accept=".toml", required="required"))
    by = labelled(w("form.by"), text_box("by", ask.person.name, must=True))
    send = el("button", w("fleet.open_button"), type="submit")
    form = el("form", file, by, send, action="/open", method="post", enctype="multipart/form-data", cls="entry")
    return el("section", el("h2", w("fleet.new")), el("p", w("fleet.new_text")), form)
