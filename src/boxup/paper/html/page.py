"""The pack as one HTML file: contents at the top, a section a sheet, nothing fetched, no script, nothing that pretends to keep."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Callable, Iterator
from functools import cache
from importlib.resources import files
from typing import Any

from boxup.paper.html import lists, told, way, work
from boxup.paper.html.element import Markup, el, joined
from boxup.paper.html.parts import Page
from boxup.paper.sheet import Sheet

KINDS: dict[str, Callable[[Sheet, Page], Iterator[Markup]]] = {
    "cover": told.cover,
    "contents": told.contents,
    "stand": told.stand,
    "gaskets": lists.gaskets,
    "gasket-drawings": lists.gasket_drawings,
    "studs": lists.studs,
    "blinds": lists.blinds,
    "small-bore": lists.small_bore,
    "tools": lists.tools,
    "tubesheet": lists.tubesheet,
    "way-up": lists.way_up,
    "lift": work.lift,
    "way": way.way,
    "steps": work.steps,
    "joint": work.joint,
    "nozzles": work.nozzles,
    "test": work.test,
    "certificate": told.certificate,
    "handover": told.handover,
    "workings": told.workings,
}


def page(data: dict[str, Any]) -> str:
    """The whole file, from the same data as the PDF."""
    p = _page(data)
    body = el("body", _top(p), el("main", [_sheet(n, s, p) for n, s in enumerate(data["sheets"], 1)]))
    return f"<!doctype html>\n{el('html', _head(p), body, lang=p.meta['lang'])}\n"


def _page(data: dict[str, Any]) -> Page:
    codes = [w["code"] for s in data["sheets"] if s["kind"] == "workings" for w in s["workings"]]
    anchors = {code: f"w{n}" for n, code in enumerate(codes, 1)}
    return Page(data["words"], data["meta"], anchors, tuple(s["title"] for s in data["sheets"]))


def _head(p: Page) -> Markup:
    style = f"{_style()}{_running(p)}"
    return el(
        "head",
        el("meta", charset="utf-8"),
        el("meta", http_equiv="Content-Security-Policy", content=_policy(style)),
        el("meta", name="viewport", content="width=device-width, initial-scale=1"),
        el("meta", name="color-scheme", content="light dark"),
        el("meta", name="robots", content="noindex"),
        el("title", p.meta["title"]),
        Markup(f"<style>{style}</style>"),
    )


def _policy(style: str) -> str:
    """Nothing but this very style sheet: no script, no picture, no letter, no form, no request."""
    mark = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    return f"default-src 'none'; style-src 'sha256-{mark}'; base-uri 'none'; form-action 'none'"


@cache
def _style() -> str:
    return (files("boxup.paper.html") / "pack.css").read_text("utf-8")


def _running(p: Page) -> str:
    """At the foot of every printed page, where the browser can: whose it is, which sheet, which page."""
    rules = [f'@page{{@bottom-right{{content:"{_quoted(p.words["page"])} " counter(page) " {_quoted(p.words["of"])} " counter(pages)}}}}']
    for n, title in enumerate(p.titles, 1):
        sheet = f"{p.words['sheet']} {n} {p.words['of']} {len(p.titles)}"
        said = _quoted(" · ".join((p.meta["tag"], p.meta["job"], title, sheet, p.meta["date"], p.meta["hash"])))
        rules.append(f'@page s{n}{{@bottom-left{{content:"{said}"}}}}#s{n}{{page:s{n}}}')
    return "".join(rules)


def _quoted(text: str) -> str:
    """Text inside a CSS string: everything but plain letters and figures by its number, so that nothing can end the string."""
    return "".join(c if c.isascii() and c.isalnum() else f"\\{ord(c):06x}" for c in text)


def _top(p: Page) -> Markup:
    w, m = p.words, p.meta
    jumps = [el("li", el("a", title, href=f"#s{n}")) for n, title in enumerate(p.titles, 1)]
    said = [el("p", m["type_words"]), el("p", f"{w['issued']}: {m['date']} {m['hash']}")]
    if m["made_up"]:
        said.append(el("p", el("b", w["made_up"])))
    text = el("p", w["page_text"], cls="kept")
    nav = el("nav", el("h2", w["sheets"], id="sheets"), el("ol", jumps, cls="jumps"), aria_labelledby="sheets")
    return joined(el("header", el("h1", m["title"]), said, text, nav, id="top", cls="screen"), _code(m["qr"]))


def _code(qr: str) -> Markup:
    """The code that a camera reads, once; every title block shows it."""
    inner = qr[qr.index("<path") : qr.index("</svg>")]
    size = qr.split('width="')[1].split('"')[0]
    return Markup(f'<svg class="store" aria-hidden="true"><symbol id="qr" viewBox="0 0 {size} {size}">{inner}</symbol></svg>')


def _sheet(n: int, s: Sheet, p: Page) -> Markup:
    head = el(
        "div",
        el("b", p.meta["tag"], cls="tag"),
        el("h2", s["title"], id=f"h{n}"),
        el("a", p.words["to_sheets"], href="#sheets"),
        cls="head",
    )
    sub = s.get("sub", "") if s["kind"] != "test" else ""  # a test says its own where it belongs, under its numbers
    under = el("p", el("span", p.meta["type_words"]), " ", el("span", sub), cls="under")
    return el(
        "section", head, under, KINDS[s["kind"]](s, p), _block(n, s, p), id=f"s{n}", cls=f"sheet {s['kind']}", aria_labelledby=f"h{n}"
    )


def _block(n: int, s: Sheet, p: Page) -> Markup:
    """The title block."""
    w, m = p.words, p.meta
    cells = [
        (w["plant"], m["plant"]),
        (w["tag"], m["tag"]),
        (w["job"], m["job"]),
        (w["sheet_title"], s["title"]),
        (w["sheet"], f"{n} {w['of']} {len(p.titles)}"),
        (w["drawing_revision"], m["drawing"]),
        (w["issued"], f"{m['date']} {m['hash']}"),
        (w["issued_by"], ""),
    ]
    rows = [el("div", el("dt", label), el("dd", value), cls="" if value else "paper") for label, value in cells]
    code = Markup('<svg class="paper code" role="img" viewBox="0 0 1 1"><title>QR</title><use href="#qr"/></svg>')
    short = w["made_up"] if m["made_up"] else w["who_decides_short"]
    return el("footer", el("dl", rows, cls="block"), code, el("p", short))
