"""What is to be put right: A before pressure, B before start, C later; each with its photo, who saw it, and how it was put right."""

from __future__ import annotations

from collections.abc import Iterator

from boxup.job.state import Open
from boxup.paper.html.element import Inside, Markup, el, joined
from boxup.record.event import Event
from boxup.web.ask import Ask, View
from boxup.web.bits import entered, step_link, stop
from boxup.web.form import PHOTO, entry_form

LETTERS = ("A", "B", "C")
CLOSED = "finding.closed"


def page(ask: Ask) -> View:
    """What stands against pressure, the form, what is open by letter, and what is put right."""
    found = ask.live.state.to_put_right.values()
    open_ = [one for one in found if not one.closed]
    closed = [one for one in found if one.closed]
    nothing = [] if open_ else [el("p", ask.w("findings.none"), cls="now")]
    listed = [_letter(ask, letter, [one for one in open_ if one.letter == letter]) for letter in LETTERS]
    parts = [entered(ask), _against(ask, open_), *nothing, _raise(ask, folded=bool(open_)), *listed, _closed(ask, closed)]
    return View(ask.w("findings.title"), joined(parts))


def _against(ask: Ask, open_: list[Open]) -> Markup:
    """An A item stands against pressure: said before everything else."""
    if not any(one.letter == "A" for one in open_):
        return Markup("")
    punch = next((code for code, one in ask.live.state.scope.instances.items() if one.step.code == "PUNCH"), "")
    more = el("p", ask.w("findings.punch", step=punch), " ", step_link(ask, punch)) if punch else Markup("")
    return joined(stop(ask.w("findings.against_a")), more)


def _raise(ask: Ask, *, folded: bool) -> Markup:
    form = entry_form(
        ask,
        "finding.raised",
        button=ask.w("findings.raise_button"),
        fields=("text", "letter", "about"),
        photo=True,
        back=ask.link("findings"),
    )
    return el("details", el("summary", el("b", ask.w("findings.raise"))), form, open="" if folded else "open", cls="more")


def _letter(ask: Ask, letter: str, found: list[Open]) -> Markup:
    if not found:
        return Markup("")
    return el("section", el("h2", ask.w(f"findings.{letter}")), [_open(ask, one) for one in found])


def _open(ask: Ask, one: Open) -> Markup:
    """One item, and the form that closes it."""
    form = entry_form(
        ask,
        CLOSED,
        button=ask.w("findings.close_button"),
        fields=("how",),
        settled={"finding": one.id},
        photo=True,
        back=ask.link("findings"),
    )
    close = el("details", el("summary", el("b", ask.w("findings.close"))), form, cls="more")
    return el("article", *_said(ask, one), close, id=f"f{one.entry}", cls="finding")


def _said(ask: Ask, one: Open) -> Iterator[Inside]:
    e = ask.live.entry(one.entry)
    yield el("h3", el("span", one.letter, cls="letter"), " ", one.text)
    yield _who(ask, one, e)
    yield _photo(ask, e)


def _who(ask: Ask, one: Open, e: Event | None) -> Markup:
    at = ask.w.at(e.happened_at) if e else "?"
    number = el("a", ask.w("findings.raised_by", entry=one.entry, by=one.by, at=at), href=ask.link("record", entry=str(one.entry)))
    about = (ask.w("findings.about"), " ", _about(ask, one.about), " ") if one.about else ()
    return el("p", *about, number, cls="why")


def _about(ask: Ask, about: str) -> Markup:
    joint = ask.live.state.joint(about)
    return el("a", about, href=ask.link("joint", about)) if joint else el("b", about)


def _photo(ask: Ask, e: Event | None) -> Markup:
    return photo(ask, e) if e else Markup("")


def photo(ask: Ask, e: Event) -> Markup:
    """The photo an entry names; nothing where it names none."""
    name = e.payload.get(PHOTO, "")
    if not isinstance(name, str) or not name:
        return Markup("")
    said = ask.w("findings.photo", entry=e.number, by=e.by)
    shown = el("img", src=f"/photo/{name}", alt=said, loading="lazy")
    return el("figure", el("a", shown, href=f"/photo/{name}"), el("figcaption", el("small", said)), cls="photo")


def _closed(ask: Ask, found: list[Open]) -> Markup:
    """Struck through, and readable."""
    if not found:
        return Markup("")
    photos = _closings(ask)
    rows = [_struck(ask, one, photos.get(one.id)) for one in found]
    return el("section", el("h2", ask.w("findings.closed")), rows)


def _struck(ask: Ask, one: Open, closing: Event | None) -> Markup:
    e = ask.live.entry(one.entry)
    text = el("p", el("span", one.letter, cls="letter"), " ", el("del", one.text))
    return el("article", text, _who(ask, one, e), el("p", el("b", one.closed)), _photo(ask, e), _photo(ask, closing), cls="finding")


def _closings(ask: Ask) -> dict[str, Event]:
    """The entry that closed each item, by the item's id; an item may be named by its id or its number."""
    ids = {str(one.entry): one.id for one in ask.live.state.to_put_right.values()}
    return {ids.get(said, said): e for e in ask.live.events if e.kind == CLOSED and (said := str(e.payload["finding"]))}
