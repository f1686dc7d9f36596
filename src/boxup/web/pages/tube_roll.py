"""One tube end on its page: hole and bore as measured, and the bore it is rolled to. Nothing is put on record."""

from __future__ import annotations

from boxup.bundle.plugging_figures import percent
from boxup.bundle.roll_report import aim_missing, rolled
from boxup.core.calculation import BadInput
from boxup.core.quantity import BadValue, quantity
from boxup.paper.html.element import Markup, el, joined
from boxup.paper.html.parts import facts
from boxup.paper.value import lacking
from boxup.web.ask import Ask
from boxup.web.bits import finding
from boxup.web.form import hidden, labelled
from boxup.web.pages.tube_map import end_of

BORES = ("contact_id", "rolled_id")
BOXES = ("hole_mm", "bore_mm", "od_mm", "after_mm")


def roll_part(ask: Ask, id_: str) -> Markup:
    """Folded until a hole was typed."""
    w, asked = ask.w, bool(ask.query.get("hole_mm", "").strip())
    boxes = [labelled(w(f"roll.{name}"), _box(ask, name)) for name in BOXES]
    send = el("button", w("roll.button"), type="submit")
    inside = (hidden("tube", id_), hidden("end", end_of(ask)), *boxes, send)
    form = el("form", *inside, action=ask.link("tubes"), method="get", cls="entry")
    said = _answer(ask) if asked else Markup("")
    return el("details", el("summary", el("b", w("roll.title"))), said, el("p", w("roll.text")), form, open="open" if asked else "")


def _box(ask: Ask, name: str) -> Markup:
    od = ask.live.exchanger.tubes.od
    given = ask.query.get(name, f"{od.to('mm'):.4g}" if name == "od_mm" and od else "")
    must = "required" if name != "after_mm" else ""
    return el("input", name=name, value=given, autocomplete="off", inputmode="decimal", data_pad="yes", required=must)


def _answer(ask: Ask) -> Markup:
    x, w = ask.live.exchanger, ask.w
    try:
        typed = {name: quantity(f"{text.replace(',', '.')} mm", "mm") for name in BOXES if (text := ask.query.get(name, "").strip())}
        answer = rolled(x, typed["od_mm"], typed["bore_mm"], typed["hole_mm"], typed.get("after_mm"))
    except (BadValue, BadInput, KeyError) as bad:
        return el("p", w("roll.bad", text=w.told(str(bad))), cls="look", role="alert")
    mm = {key: f"{answer.si(key) * 1e3:.2f} mm ({answer.si(key) / 0.0254:.4f} in)" for key in BORES if key in answer.values}
    told = [finding(ask, f) for f in answer.findings]
    if "rolled_id" not in answer.values:  # where it touches needs no share
        return joined(facts([(w("roll.contact"), mm["contact_id"])]), ask.sheet.missing(lacking([aim_missing(x)])), told)
    number = el("p", el("b", f"{answer.si('rolled_id') * 1e3:.2f}"), " ", el("span", "mm", cls="unit"), cls="moment")
    name = w("roll.is" if typed.get("after_mm") else "roll.to")
    share = {k: percent(answer.si(k)) for k in ("reduction", "reduction_of_one_wall")}
    rows = [(w("roll.contact"), mm["contact_id"]), (name, mm["rolled_id"]), (w("roll.two_walls"), share["reduction"])]
    rows.append((w("roll.one_wall"), share["reduction_of_one_wall"]))
    if "rolled_length" in answer.values:
        rows.append((w("roll.deep"), f"{answer.si('rolled_length') * 1e3:.1f} mm"))
    return joined(el("p", name), number, facts(rows), told)
