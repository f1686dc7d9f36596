"""Measured walls on the page of the tubesheet: what is over the limit, the thinnest, and where a report is put in."""

from __future__ import annotations

from boxup.bundle.walls import judged, wall_text
from boxup.exchanger.wall import Wall
from boxup.paper.html.element import Inside, Markup, el
from boxup.paper.html.parts import table
from boxup.web.ask import Ask
from boxup.web.bits import finding
from boxup.web.pages.tube_map import end_of
from boxup.web.wall_in import form_of

MOST = 12


def walls_part(ask: Ask) -> Markup:
    """Findings, the thinnest walls, the form."""
    w, v = ask.w, judged(ask.live.exchanger)
    head = el("h2", w("walls.title"))
    if not v.read and not v.unread:
        return el("section", head, el("p", w("walls.none")), form_of(ask))
    said = el("p", w("walls.count", read=len(v.read), unread=len(v.unread)))
    heads = [w(f"walls.{k}") for k in ("tube", "loss", "left", "how")]
    rows = [_row(ask, one) for one in v.read[:MOST]]
    more = el("p", w("walls.more", count=len(v.read) - MOST)) if len(v.read) > MOST else Markup("")
    return el("section", head, said, [finding(ask, f) for f in v.findings], table(heads, rows) if rows else "", more, form_of(ask))


def wall_said(ask: Ask, id_: str) -> str:
    """The wall of one tube in a line; nothing where nobody measured it."""
    one = next((x for x in ask.live.exchanger.walls if x.hole == id_), None)
    if one is None:
        return ""
    if one.unread:
        return ask.w("walls.unread", said=one.said or "?")
    return ask.w("walls.one", loss=_loss(one), left=_left(one))


def _row(ask: Ask, one: Wall) -> list[Inside]:
    link = el("a", el("b", one.hole), href=ask.link("tubes", tube=one.hole, end=end_of(ask)))
    return [link, _loss(one), _left(one), " ".join(t for t in (one.method, one.said, ask.w.told(one.where)) if t)]


def _loss(one: Wall) -> str:
    return "?" if one.loss is None else f"{100 * one.loss:.0f} %"


def _left(one: Wall) -> str:
    return "?" if one.left is None else wall_text(one.left)
