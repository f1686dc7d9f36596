"""A plug beside the bore of one tube end, on its page: the bore as measured, the sizes of the plug. Nothing is put on record."""

from __future__ import annotations

from boxup.bundle.plug_fit import Plug, plug_fit
from boxup.core.calculation import BadInput
from boxup.core.quantity import BadValue, quantity
from boxup.paper.html.element import Markup, el, joined
from boxup.web.ask import Ask
from boxup.web.bits import finding
from boxup.web.form import choice, hidden, labelled
from boxup.web.pages.tube_map import end_of

BOXES = ("clean_mm", "small_mm", "large_mm")
KINDS = ("tapered", "mechanical")


def fit_part(ask: Ask, id_: str) -> Markup:
    """Folded until a bore was typed."""
    w, asked = ask.w, bool(ask.query.get("clean_mm", "").strip())
    boxes = [labelled(w(f"fit.{name}"), _box(ask, name)) for name in BOXES]
    kind = choice(w("fit.kind"), "plug_kind", [(one, w(f"fit.{one}")) for one in KINDS], ask.query.get("plug_kind", ""))
    send = el("button", w("fit.button"), type="submit")
    inside = (hidden("tube", id_), hidden("end", end_of(ask)), kind, *boxes, send)
    form = el("form", *inside, action=ask.link("tubes"), method="get", cls="entry")
    said = _answer(ask) if asked else Markup("")
    return el("details", el("summary", el("b", w("fit.title"))), said, el("p", w("fit.text")), form, open="open" if asked else "")


def _box(ask: Ask, name: str) -> Markup:
    given = ask.query.get(name, "")
    return el("input", name=name, value=given, autocomplete="off", inputmode="decimal", data_pad="yes", required="required")


def _answer(ask: Ask) -> Markup:
    w = ask.w
    try:
        bore, small, large = (quantity(f"{ask.query.get(name, '').strip().replace(',', '.')} mm", "mm") for name in BOXES)
        kind = ask.query.get("plug_kind", "")
        if kind not in KINDS:
            raise BadValue(w("fit.no_kind"))
        answer = plug_fit.run(Plug(kind=kind, bore=bore, small=small, large=large))
    except (BadValue, BadInput) as bad:
        return el("p", w("roll.bad", text=w.told(str(bad))), cls="look", role="alert")
    stopped = any(f.level == "stop" for f in answer.findings)
    where = "" if stopped else el("p", w("fit.where", share=f"{100 * answer.si('share'):.0f} %"))
    return joined(where, [finding(ask, f) for f in answer.findings])
