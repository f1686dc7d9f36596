"""Who holds the tablet, and how they like to read."""

from __future__ import annotations

from boxup.paper.html.element import el, joined
from boxup.web.ask import Ask, View
from boxup.web.form import choice, hidden, labelled, text_box
from boxup.web.person import LIGHTS
from boxup.web.words import LANGUAGES

ROLES = ("crew lead", "mechanic", "rigger", "inspector", "operations", "engineer", "planner", "tool room")


def page(ask: Ask) -> View:
    """A form of five choices; the browser keeps the answer."""
    w, p = ask.w, ask.person
    fields = [
        labelled(w("me.name"), text_box("name", p.name), w("me.name_hint")),
        choice(w("me.role"), "role", [(r, w(f"me.{r.replace(' ', '_')}")) for r in ROLES], p.role, must=False),
        choice(w("me.language"), "language", list(LANGUAGES.items()), p.language),
        el("p", el("small", w("me.translated"))),
        choice(w("me.light"), "light", [(one, w(f"me.light_{one}")) for one in LIGHTS], p.light),
        choice(w("me.glove"), "glove", [("no", w("me.glove_no")), ("yes", w("me.glove_yes"))], p.glove or "no"),
    ]
    keep = el("button", w("me.keep"), type="submit")
    form = el("form", hidden("back", ask.query.get("back", "/")), fields, keep, action="/me", method="post", cls="entry")
    return View(w("me.title"), joined(el("p", w("me.text")), form))
