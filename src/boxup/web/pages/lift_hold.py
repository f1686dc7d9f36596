"""Where to hold the bundle, and the bore it goes into: as measured, and one place more."""

from __future__ import annotations

from collections.abc import Sequence

from boxup.core.finding import Finding
from boxup.core.rounding import both, metric
from boxup.core.working import Working
from boxup.lift.answer import LiftAnswer
from boxup.lift.bore import clear_said
from boxup.paper.html.element import Inside, Markup, el, joined
from boxup.paper.html.parts import table
from boxup.paper.value import lacking
from boxup.paper.way import BORE_WAYS, at_said, ends_said
from boxup.web.ask import Ask
from boxup.web.bits import finding, folded
from boxup.web.form import entry_form


def hold_part(ask: Ask, told: Sequence[Finding] = ()) -> Markup:
    """Both, each under its heading; nothing where no bundle is known. `told`: findings that stand on the page already."""
    n = ask.live.material.numbers
    return joined(_held(ask, n.holding, told) if n.holding else "", _bore(ask, n.bore) if n.bore else "")


def _held(ask: Ask, held: LiftAnswer, told: Sequence[Finding]) -> Markup:
    w, limit = ask.w, held.step("S_b")
    if not any("M_b" in p.steps for p in held.working.parts):
        return Markup("")
    said = w("lift.hold_limit", limit=both("stress", limit.si, "down")) if limit else w("lift.hold_no_limit")
    rows = [_row(ask, p) for p in held.working.parts if "M_b" in p.steps]
    heads = [w(f"lift.{k}") for k in ("held_by", "held_at", "bending", "ends")]
    mark = ask.sheet.mark(ask.live.material.mark("L-hold"))
    grave, notes = _told(ask, [f for f in held.findings if _shown(f.text) and f not in told])
    return joined(grave, folded(w("lift.hold"), el("p", said, " ", mark), table(heads, rows), notes))


def _told(ask: Ask, found: list[Finding]) -> tuple[list[Markup], list[Markup]]:
    """What stays in sight, and the notes that may be folded."""
    grave, notes = ([finding(ask, f) for f in found if (f.level == "note") is so] for so in (False, True))
    return grave, notes


def _shown(text: str) -> bool:
    """The table has said already how far one sling or one saddle bends them."""
    return not text.startswith("Held ")


def _row(ask: Ask, p: Working) -> list[Inside]:
    at = "; ".join(ask.w.told(at_said(p[s])) for s in ("x_1", "x_2") if s in p.steps)
    over = [" ", el("b", ask.w("lift.too_far"))] if "S_b" in p.steps and p["s_b"] > p["S_b"] else []
    share = f", {100 * p['f_b']:.0f} %" if "f_b" in p.steps else ""
    ends = ask.w.told(ends_said(p["v_1"], p["v_2"])) if "v_1" in p.steps else ""
    return [el("b", ask.w.told(p.name)), at, joined(both("stress", p["s_b"], "up"), share, *over), ends]


def _bore(ask: Ask, fit: LiftAnswer) -> Markup:
    w = ask.w
    by = w("lift.bore_drawn", clearance=w.told(clear_said(fit)))
    measured = fit.working.parts
    rows = [[el("b", both("position", p["y"])), *(str(metric("small length", p[s], way)) for s, way in BORE_WAYS)] for p in measured]
    heads = [w(f"lift.{k}") for k in ("bore_at", "bore_least", "bore_most", "bore_clear")]
    form = entry_form(
        ask, "bore.measured", el("p", w("lift.bore_said")), button=w("lift.bore_button"), fields=("position", "diameter", "least"),
        must=("position", "least"), back=ask.link("lift"),
    )  # fmt: skip
    mark = ask.sheet.mark(ask.live.material.mark("L-bore"))
    more = el("details", el("summary", el("b", w("lift.bore_more"))), form, cls="more")
    shown = table(heads, rows) if rows else Markup("")
    grave, notes = _told(ask, fit.findings)
    return joined(grave, folded(w("lift.bore"), el("p", by, " ", mark), shown, ask.sheet.missing(lacking(fit.missing)), notes, more))
