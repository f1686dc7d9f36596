"""What plugs cost, on the page of the tubes: the line, each pass, what if these too, and what no pressure test tells."""

from __future__ import annotations

import re
from collections.abc import Iterator

from boxup.bundle.after_plugging import AfterPlugging, after_plugging
from boxup.bundle.plugging_figures import Figures, figures, less, pass_rows, percent
from boxup.bundle.wrong_way import LooseRib, WrongWay
from boxup.paper.html.element import Inside, Markup, el, joined
from boxup.paper.html.parts import table
from boxup.web.ask import Ask
from boxup.web.bits import finding
from boxup.web.form import labelled

HOLE = re.compile(r"([0-9]{1,3})-([0-9]{1,3})")
MOST_TYPED = 400  # holes; more is no question anybody asks


def plugging_part(ask: Ask) -> Markup:
    """The section; with the holes typed after `also`, worked with them."""
    w, (also, wrong) = ask.w, _typed(ask.query.get("also", ""))
    n = ask.live.material.numbers
    a = after_plugging(ask.live.exchanger, also) if also else n.plugging
    head = [el("h2", w("plugging.title"), id="plugging")]
    if wrong:
        head.append(el("p", w("plugging.not_read", text=", ".join(wrong)[:80]), cls="look", role="alert"))
    if also:
        back = el("a", w("plugging.back"), href=f"{ask.link('tubes')}#plugging", cls="mark")
        head.append(el("p", el("b", w("plugging.with", tubes=", ".join(also))), " ", back))
    found = [finding(ask, f) for f in a.findings if f.level != "note"]
    said = [_lines(ask, a), found, _passes(ask, a), _lacking(ask, a), _form(ask)]
    return el("section", head, *said, _no_test(ask, n.wrong_way) if n.wrong_way and not also else "")


def _typed(text: str) -> tuple[tuple[str, ...], list[str]]:
    """Holes, and what is none."""
    parts = text.replace(",", " ").replace(";", " ").split()[:MOST_TYPED]
    read = [(part, HOLE.fullmatch(part)) for part in parts]
    holes = dict.fromkeys(f"{int(m[1])}-{int(m[2])}" for _, m in read if m)
    return tuple(holes), [part for part, m in read if not m]


def _lines(ask: Ask, a: AfterPlugging) -> Markup:
    """The mechanic's line, a figure a line."""
    w, f = ask.w, figures(a)
    if f is None:
        bare = [i for i, left in enumerate(a.tubes.open, start=1) if left < 1] if a.tubes else []
        return joined(el("p", w("plugging.shut", number=str(i)), cls="look") for i in bare)
    counted = w("plugging.none", holes=f.holes) if f.shut == "0" else w(
        "plugging.line", shut=f.shut, holes=f.holes, share=f.share, worst=f.worst, worst_share=f.worst_share
    )  # fmt: skip
    return joined(el("p", el("b", counted)), [el("p", text) for text in _costs(ask, f)], el("p", _rests(ask)) if f.duty else "")


def _costs(ask: Ask, f: Figures) -> Iterator[str]:
    w = ask.w
    if not f.duty:
        yield w("plugging.times", times=f.times, area=f.area)
        return
    yield w("plugging.duty", duty=f.duty, now=f.duty_kw, before=f.duty_before)
    yield w("plugging.drop", times=f.drop, now=f.drop_kpa)
    yield w("plugging.velocity", now=f.velocity, before=f.velocity_before)


def _rests(ask: Ask) -> Markup:
    """What the figures stand on, and where their working is."""
    code = ask.live.material.mark("D")
    return joined(ask.w("plugging.rests"), " ", ask.w("plugging.working"), ": ", ask.sheet.mark(code))


def _passes(ask: Ask, a: AfterPlugging) -> Markup:
    w = ask.w
    if not a.after:
        return Markup("")
    rows: list[list[Inside]] = [[el("b", str(r.number)), f"{r.open} / {r.holes}", r.velocity, r.drop] for r in pass_rows(a)]
    return table([w(f"plugging.{k}") for k in ("pass", "open", "velocity_now", "drop_now")], rows, cls="flow")


def _lacking(ask: Ask, a: AfterPlugging) -> Markup:
    head = f"{ask.w('plugging.missing')}:"
    return joined(el("p", el("b", head), " ", ask.w.told(m.do), cls="missing") for m in a.missing)


def _form(ask: Ask) -> Markup:
    typed = el("input", name="also", autocomplete="off", inputmode="text", value=ask.query.get("also", "")[:400])
    inside = (labelled(ask.w("plugging.also"), typed), el("button", ask.w("plugging.also_button"), type="submit"))
    return el("form", *inside, action=f"{ask.link('tubes')}#plugging", method="get", cls="entry find")


def _no_test(ask: Ask, found: WrongWay) -> Markup:
    w = ask.w
    lines = [_rib(ask, r) for r in found.ribs]
    if abs(found.reversed - 1) >= 0.0005:
        lines.append(w("plugging.reversed", duty=less(found.reversed)))
    if found.end_space is not None:
        lines.append(w("plugging.end_space", duty=less(found.end_space)))
    if not lines:
        return Markup("")
    return joined(el("h3", w("plugging.no_test")), el("p", w("plugging.no_test_why")), el("ul", [el("li", text) for text in lines]))


def _glued(figure: str) -> str:
    """A sign that does not begin a line."""
    return figure.replace(" ", "\u00a0")


def _rib(ask: Ask, r: LooseRib) -> str:
    given = {"a": str(r.between[0]), "b": str(r.between[1]), "first": str(r.first), "last": str(r.last)}
    return ask.w(f"plugging.rib_{r.end}", **given, share=_glued(percent(r.share)), duty=_glued(less(r.duty_ratio)))
