"""The record to be read: where the job stands, then every entry in words, with what corrects it and what was noticed at it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date

from boxup.paper.html.element import Inside, Markup, el, joined
from boxup.record.event import Event
from boxup.web.ask import Ask, View
from boxup.web.bits import entered, entry_said
from boxup.web.form import labelled
from boxup.web.pages import entry
from boxup.web.pages.summary import summary

A_PAGE = 200
FILTERS = ("day", "about")


def page(ask: Ask) -> View:
    """The summary and the newest entries; or those of a day, about something; or one entry."""
    if ask.query.get("entry"):
        return entry.page(ask)
    wanted = {name: value for name in FILTERS if (value := " ".join(ask.query.get(name, "").split()))}
    first = [] if wanted or ask.query.get("page", "1") != "1" else [summary(ask)]
    return View(ask.w("record.title"), joined(entered(ask), *first, _entries(ask, wanted, "screen" if first else "")))


def _entries(ask: Ask, wanted: dict[str, str], cls: str) -> Markup:
    w = ask.w
    found = _found(ask.live.events, wanted)
    pages = max(1, -(-len(found) // A_PAGE))
    here = min(max(_whole(ask.query.get("page", "1")), 1), pages)
    shown = found[(here - 1) * A_PAGE : here * A_PAGE]
    turn = _turn(ask, wanted, here, pages)
    last = (here - 1) * A_PAGE + len(shown)
    count = w("record.shown", first=last - len(shown) + 1, last=last, count=len(found)) if shown else w("record.none")
    other = el("p", el("a", w("record.else"), href=ask.link("log"), cls="button second"))
    head = (el("h2", w("record.entries")), el("p", w("record.newest")), other, _asked(ask, wanted), el("p", el("b", count)))
    listed = el("ol", [_row(ask, e) for e in shown], cls="entries")
    return el("section", *head, turn, listed, turn, cls=cls)


def _whole(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 9 else 1


def _found(events: Sequence[Event], wanted: dict[str, str]) -> list[Event]:
    """Newest first."""
    day, about = wanted.get("day", ""), wanted.get("about", "").casefold()
    try:
        of_day = _of_day(events, date.fromisoformat(day)) if day else events
    except ValueError:
        return []  # no day at all: nothing happened on it
    return [e for e in reversed(of_day) if not about or _is_about(e, about)]


def _of_day(events: Sequence[Event], day: date) -> list[Event]:
    return [e for e in events if e.happened_at.date() == day]


def _is_about(e: Event, about: str) -> bool:
    """Whether one of its short values is that word, or a step with that item."""
    values = (v.casefold() for v in e.payload.values() if isinstance(v, str) and len(v) < 80)
    return any(v == about or v.partition(":")[0] == about or v.partition(":")[2] == about for v in values)


def _asked(ask: Ask, wanted: dict[str, str]) -> Markup:
    """Which day, about what: a form that only asks."""
    w = ask.w
    days = Counter(e.happened_at.date() for e in ask.live.events)
    options = [_option("", w("record.every_day"), wanted)]
    options += [_option(day.isoformat(), _day(ask, day, n), wanted) for day, n in sorted(days.items(), reverse=True)]
    about = el("input", name="about", value=wanted.get("about", ""), autocomplete="off")
    fields = (labelled(w("record.day"), el("select", options, name="day")), labelled(w("record.about"), about))
    return el("form", *fields, el("button", w("record.show"), type="submit"), action=ask.link("record"), method="get", cls="entry")


def _option(value: str, text: str, wanted: dict[str, str]) -> Markup:
    chosen = wanted.get("day", "") == value
    if not value:
        return joined(Markup('<option value="">'), text, Markup("</option>"))
    return el("option", text, value=value, selected="selected" if chosen else "")


def _day(ask: Ask, day: date, count: int) -> str:
    return ask.w("record.of_day", day=f"{ask.w.day(day)} {day:%Y}", count=count)


def _turn(ask: Ask, wanted: dict[str, str], here: int, pages: int) -> Markup:
    if pages == 1:
        return Markup("")
    links = [
        el("a", ask.w(f"record.{name}"), href=ask.link("record", **wanted, page=str(n)), cls="button second")
        for name, n in (("newer", here - 1), ("older", here + 1))
        if 1 <= n <= pages
    ]
    return el("p", links, f" {here} / {pages}", cls="turn")


def _row(ask: Ask, e: Event) -> Markup:
    """One entry: number, time, hands, what; struck out where it does not stand, with what was noticed at it under it."""
    number = el("a", str(e.number), href=ask.link("record", entry=str(e.number)), cls="number")
    text, kind = entry_said(ask, e), entry.kind_said(ask, e)
    told = el("del", text or kind) if e.id in ask.live.struck else text
    who = joined(ask.w.at(e.happened_at), " ", el("b", e.by), *_typed_by(ask, e), ": ", kind)
    body = (el("p", who, cls="why"), el("p", told), entry.ties(ask, e), [entry.noticed(ask, f) for f in ask.live.noticed.get(e.number, ())])
    return el("li", number, el("div", *body), id=f"e{e.number}")


def _typed_by(ask: Ask, e: Event) -> Iterator[Inside]:
    if e.entered_by != e.by:
        yield f", {ask.w('record.typed_by', name=e.entered_by)}"
