"""One entry of the record: every field as it was typed, its photo, what was noticed at it; and the ways to correct it or take it back."""

from __future__ import annotations

from collections.abc import Iterator

from boxup.core.finding import Finding
from boxup.job.said import typed_again
from boxup.paper.html.element import Inside, Markup, el, joined
from boxup.paper.html.parts import facts
from boxup.record.effective import WITHDRAWN
from boxup.record.event import Event
from boxup.record.kinds import kinds
from boxup.web.ask import Ask, View
from boxup.web.bits import entered, entry_parts
from boxup.web.form import PHOTO
from boxup.web.live import NotThere
from boxup.web.pages.findings import photo

OF_FILES = ("job.opened", "job.file_revised")  # a whole file is corrected by revising it


def page(ask: Ask) -> View:
    """The entry of `?entry=N`. NotThere for a number the record does not have."""
    text = ask.query.get("entry", "")
    e = ask.live.entry(int(text)) if text.isascii() and text.isdigit() and len(text) < 9 else None
    if e is None:
        raise NotThere(ask.w("record.no_entry", entry=text, count=ask.live.head))
    title = el("p", kind_said(ask, e), cls="now")
    said = el("del", facts(_fields(ask, e))) if e.id in ask.live.struck else facts(_fields(ask, e))
    found = [noticed(ask, f) for f in ask.live.noticed.get(e.number, ())]
    body = (entered(ask), title, ties(ask, e), said, photo(ask, e), found, _ways(ask, e), facts(_kept(ask, e)), _beside(ask, e))
    return View(ask.w("record.entry", entry=e.number), joined(*body))


def _fields(ask: Ask, e: Event) -> Iterator[tuple[Inside, Inside]]:
    for name, value in entry_parts(ask, e):
        if name != ask.w.told(PHOTO):
            yield name or e.kind.partition(".")[0], el("b", value)


def _kept(ask: Ask, e: Event) -> Iterator[tuple[Inside, Inside]]:
    w = ask.w
    hands = e.by if e.entered_by == e.by else f"{e.by}, {w('record.typed_by', name=e.entered_by)}"
    yield w("record.hands"), el("b", hands)
    yield w("record.happened"), f"{e.happened_at:%Y-%m-%d %H:%M}"
    yield w("record.taken"), f"{e.recorded_at.astimezone(e.happened_at.tzinfo):%Y-%m-%d %H:%M}"
    yield w("record.hash"), e.hash


def _ways(ask: Ask, e: Event) -> Markup:
    """Corrected and taken back by a further entry; one that is struck out already offers neither."""
    if e.id in ask.live.struck or e.kind in OF_FILES:
        return Markup("")
    back = ask.link("record", entry=str(e.number))
    take = el("a", ask.w("record.take_back"), href=ask.link("log", WITHDRAWN, corrects=e.id, back=back), cls="button second")
    if e.kind == WITHDRAWN:
        return el("p", take, cls="turn")
    again = typed_again(e) | {"by": e.by, "at": e.happened_at.isoformat(timespec="seconds"), "corrects": e.id, "back": back}
    return el("p", el("a", ask.w("record.correct"), href=_log(ask, e, again), cls="button second"), " ", take, cls="turn")


def _log(ask: Ask, e: Event, values: dict[str, str]) -> str:
    """The form of that kind, filled with what was typed."""
    query = {name: value for name, value in values.items() if name != PHOTO}
    return ask.link("log", e.kind, **query)


def _beside(ask: Ask, e: Event) -> Markup:
    links = [(n, key) for n, key in ((e.number - 1, "before"), (e.number + 1, "after")) if ask.live.entry(n)]
    rows = [el("li", el("a", ask.w(f"record.{key}"), href=ask.link("record", entry=str(n)))) for n, key in links]
    return el("ul", rows, el("li", el("a", ask.w("record.all"), href=ask.link("record"))), cls="jumps")


def kind_said(ask: Ask, e: Event) -> str:
    """What kind of entry it is, in words."""
    kind = kinds().get(e.kind)
    return ask.w.told(kind.says) if kind else e.kind


def ties(ask: Ask, e: Event) -> Markup:
    """Which entry it corrects, and which corrects it."""
    live, parts = ask.live, []
    if e.corrects:
        key = "takes_back" if e.kind == WITHDRAWN else "takes_place"
        parts.append(_tie(ask, f"record.{key}", live.numbers.get(e.corrects)))
    if by := live.struck.get(e.id):
        parts.append(_tie(ask, "record.struck_by", live.numbers.get(by)))
    return el("p", parts, cls="ties") if parts else Markup("")


def _tie(ask: Ask, key: str, number: int | None) -> Markup:
    if number is None:
        return el("b", ask.w(key, entry="?"))
    return el("a", ask.w(key, entry=number), href=ask.link("record", entry=str(number)))


def noticed(ask: Ask, f: Finding) -> Markup:
    """A finding as it was noticed then: told, not raised again."""
    word = "STOP" if f.level == "stop" else ask.w("bits.look" if f.level == "warn" else "bits.note")
    return el("p", el("b", f"{word}:"), " ", ask.w.told(f.text), cls="look")
