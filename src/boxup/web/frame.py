"""The frame of every page: tag and where the job stands above, the other sheets and the title block below."""

from __future__ import annotations

from collections.abc import Iterator

from boxup.paper.html.element import Markup, el, joined
from boxup.paper.html.parts import OCTAGON
from boxup.web.ask import Ask, View, address
from boxup.web.bits import pressures
from boxup.web.live import Live

SHEETS = ("", "order", "joints", "gaskets", "tests", "lift", "tubes", "blinds", "findings", "record")


def page(view: View, ask: Ask) -> str:
    """The whole page."""
    p = ask.person
    main = el("main", view.body, id="main", tabindex="-1")
    body = el("body", el("a", ask.w("frame.skip"), href="#main", cls="skip"), _top(view, ask), main, _below(ask))
    whole = el("html", _head(view, ask), body, lang=p.language, data_light=p.light, data_glove=p.glove, data_foot=_foot(view, ask))
    return f"<!doctype html>\n{whole}\n"


def _head(view: View, ask: Ask) -> Markup:
    tag = f"{ask.live.exchanger.identity.tag}: " if ask.job else ""
    return el(
        "head",
        el("meta", charset="utf-8"),
        el("meta", name="viewport", content="width=device-width, initial-scale=1"),
        el("meta", name="color-scheme", content="light dark"),
        el("title", f"{tag}{view.title} · Boxup"),
        Markup('<link rel="stylesheet" href="/static/boxup.css"><link rel="icon" href="/static/mark.svg" type="image/svg+xml">'),
        Markup('<script type="module" src="/static/boxup.js"></script>'),
    )


def _top(view: View, ask: Ask) -> Markup:
    w = ask.w
    who = el("a", ask.person.name or w("frame.nobody"), href=f"/me?back={_back(ask)}", cls="who")
    home = el("a", w("frame.today"), href="/", cls="home")
    jump = el("a", w("frame.to_sheets"), href="#sheets", cls="jump")
    if ask.job is None:
        return el("header", el("div", el("b", "Boxup", cls="tag"), el("h1", view.title), home, jump, who, cls="line"), cls="top")
    x = ask.live.exchanger
    tag = el("a", x.identity.tag, cls="tag", href=ask.link())
    line = el("div", tag, el("h1", view.title), home, jump, who, cls="line")
    stands = w("frame.stands", done=len(ask.live.state.done), all=len(ask.live.state.scope.instances), at=ask.w.at(ask.at))
    under = el("p", el("span", w.told(x.letters.short)), " · ", el("span", stands), cls="under")
    return el("header", line, under, _pressed(ask, ask.live), cls="top")


def _back(ask: Ask) -> str:
    from urllib.parse import quote

    return quote(ask.url, safe="")


def _pressed(ask: Ask, live: Live) -> Markup:
    """Before everything else on every page of the job: a side is under pressure."""
    said = pressures(ask, live)
    return el("div", OCTAGON, el("div", [el("p", text) for text in said]), cls="stop", role="alert") if said else Markup("")


def _below(ask: Ask) -> Markup:
    w = ask.w
    links = list(_links(ask))
    nav = el(
        "nav", el("h2", w("frame.sheets"), id="sheets"), el("ul", [el("li", one) for one in links], cls="jumps"), aria_labelledby="sheets"
    )
    return joined(nav, _block(ask))


def _links(ask: Ask) -> Iterator[Markup]:
    w = ask.w
    yield _link(w("frame.today"), "/", ask)
    yield _link(w("frame.fleet"), "/fleet", ask)
    if ask.job is None:
        return
    for name in SHEETS:
        yield _link(w(f"frame.{name or 'drawing'}"), address(ask.live.job, *([name] if name else [])), ask)


def _link(text: str, href: str, ask: Ask) -> Markup:
    here = ask.url.partition("?")[0] == href
    return el("a", text, href=href, aria_current="page" if here else "")


def _block(ask: Ask) -> Markup:
    """The title block, as on a drawing."""
    w = ask.w
    cells = [(w("frame.who"), ask.person.name or "–"), (w("frame.date"), f"{ask.at:%Y-%m-%d %H:%M}")]
    made_up = False
    if ask.job is not None:
        live, i = ask.live, ask.live.exchanger.identity
        made_up = i.made_up == "yes"
        drawing = ", ".join(t for t in (i.drawing, f"rev {i.revision}" if i.revision else "") if t)
        of = [("plant", i.plant or "–"), ("tag", i.tag), ("job", live.job), ("drawing_number", drawing or "–")]
        last = [(w("frame.entry"), str(live.head)), (w("frame.hash"), live.state.head[:12])]
        cells = [*((w(f"frame.{key}"), value) for key, value in of), *cells, *last]
    rows = [el("div", el("dt", label), el("dd", value)) for label, value in cells]
    said = [el("p", w("frame.made_up"))] if made_up else []
    return el("footer", el("dl", rows, cls="block"), said, el("p", w("frame.who_decides")), cls="title-block")


def _foot(view: View, ask: Ask) -> str:
    """At the foot of every sheet that is printed, beside its number: what it belongs to and what it was printed from."""
    w, at = ask.w, f"{ask.at:%Y-%m-%d %H:%M}"
    if ask.job is None:
        return f"Boxup · {view.title} · {at}"
    live = ask.live
    last = f"{w('frame.entry')} {live.head} · {w('frame.hash')} {live.state.head[:12]}"
    return f"{live.exchanger.identity.tag} · {w('frame.job')} {live.job} · {view.title} · {at} · {last}"
