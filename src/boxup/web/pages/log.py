"""Any kind of entry: the list of kinds, and a form for each of them. What no other page has a place for is entered here."""

from __future__ import annotations

from itertools import groupby

from boxup.paper.html.element import Markup, el, joined
from boxup.record.kinds import kinds
from boxup.web.ask import Ask, View
from boxup.web.bits import entered
from boxup.web.form import PHOTO, entry_form
from boxup.web.live import NotThere

NOT_HERE = ("job.opened",)


def page_of_all(ask: Ask) -> View:
    """Every kind of entry, by what it is about."""
    parts: list[Markup] = [entered(ask), el("p", ask.w("log.text"))]
    for about, some in groupby((k for k in kinds().values() if k.name not in NOT_HERE), key=lambda k: k.about):
        rows = [el("li", el("a", ask.w.told(k.says), href=ask.link("log", k.name))) for k in some]
        parts.append(joined(el("h2", ask.w(f"log.{about}")), el("ul", rows, cls="jumps")))
    return View(ask.w("log.title"), joined(parts))


def page(ask: Ask) -> View:
    """The form of one kind; values in the address are filled in."""
    kind = kinds().get(ask.path["kind"])
    if kind is None or kind.name in NOT_HERE:
        raise NotThere(f"there is no kind of entry {ask.path['kind']!r} that is entered here")
    names = [f.typed_name for f in kind.fields.values() if f.name != PHOTO]
    corrects = ask.query.get("corrects", "")
    form = entry_form(
        ask, kind.name, button=ask.w("log.enter"), fields=names, given=ask.query, photo=PHOTO in kind.fields,
        settled={"corrects": corrects} if corrects else {},
        back=ask.query.get("back", ask.link("record") if corrects else ask.link("log", kind.name)),
    )  # fmt: skip
    about = el("p", ask.w("log.corrects", entry=_number(ask, corrects))) if corrects else Markup("")
    return View(ask.w.told(kind.says), joined(entered(ask), about, form))


def _number(ask: Ask, id_: str) -> str:
    return next((str(e.number) for e in ask.live.events if e.id == id_), "?")
