"""How far the studs of a joint may be pulled: the window in a sentence, its chart, gaskets and flanges in every state, what is lacking."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from boxup.core.rounding import between, both
from boxup.drawing.window import ChartWords, chart_of, window_chart
from boxup.joint.assembly import JointAnswer
from boxup.joint.joint_window import JointWindow
from boxup.paper.html.element import Inside, Markup, el, joined
from boxup.paper.html.parts import drawing as figure
from boxup.paper.html.parts import table
from boxup.paper.joints import stress_on
from boxup.paper.sheet import PHONE, Drawing
from boxup.paper.value import lacking
from boxup.paper.window import basis, flange_row
from boxup.web.pages.stud_set import StudSet

WIDE = 560  # px, as the bolt circle
STATES = {
    "at_bolt_up": "assembly", "in_service": "operating", "tube_test": "tube test", "shell_test": "shell test",
    "shell_down": "shell side down", "tube_down": "tube side down",
}  # fmt: skip


def window_lines(s: StudSet) -> Markup:
    """Under the torque: the window, and who governs it."""
    found = s.window
    if found is None:
        return Markup("")
    ends = (s.ask.w("joint.window_low", who=told(s, found.governing_low)), s.ask.w("joint.window_high", who=told(s, found.governing_high)))
    governs = [el("p", line) for line in ends] if found.whole else []
    below = el("p", el("a", s.ask.w("joint.limits_below"), href="#limits"))
    torque = s.answer.window_torque if isinstance(s.answer, JointAnswer) else ""
    return joined(el("p", el("b", _line(s, found), f" = {torque}" if torque else "")), governs, below)


def window_part(s: StudSet) -> Markup:
    """The chart, then a table for the gaskets and one for the flanges, then what is not known and what all this rests on."""
    w, a, found = s.ask.w, s.answer, s.window
    if found is None or not isinstance(a, JointAnswer):
        return Markup("")
    missing = s.ask.sheet.missing(lacking(found.missing))
    rests = [el("p", line, cls="why") for line in _rests(s, a)]
    return el("section", el("h2", w("joint.limits")), _chart(s, a), _flanges(s, a), missing, rests, id="limits")


def told(s: StudSet, who: str) -> str:
    """The name of a limit in the language of the page."""
    return s.ask.w.told(who)


def _area(s: StudSet, a: JointAnswer) -> str:
    return s.ask.w.told(stress_on(s.ask.live.material, a))


def _line(s: StudSet, found: JointWindow) -> str:
    w, a = s.ask.w, s.answer
    area = _area(s, a) if isinstance(a, JointAnswer) else ""
    if found.lower and found.upper and found.feasible:
        return w("joint.window", window=between("stress", found.lower.si, found.upper.si, w("joint.to")), area=area)
    low, high = (both("stress", end.si) if end else "" for end in (found.lower, found.upper))
    if low and high:
        return w("joint.window_shut", low=low, high=high, area=area)
    return w("joint.window_from", low=low, area=area) if low else w("joint.window_up_to", high=high, area=area) if high else ""


def _chart(s: StudSet, a: JointAnswer) -> Markup:
    w = s.ask.w
    words = ChartWords(
        window=w("joint.chart_window", window="{window}"), to=w("joint.to"), overlap=w("joint.chart_overlap", low="{low}", high="{high}"),
        no_load=w("joint.chart_no_load"), from_low=w("joint.chart_from", low="{low}"), to_high=w("joint.chart_up_to", high="{high}"),
        target=w("joint.chart_target", target="{target}"), of_yield=w("joint.chart_of_yield", share="{share}"),
        yield_=w("joint.chart_yield", stress="{yield_}"), governs=w("joint.chart_governs"), off_scale=w("joint.chart_off"),
        axis=w("joint.chart_axis", area=_area(s, a)),
    )  # fmt: skip
    chart = replace(chart_of(a, f"{s.name}: {w('joint.limits')}", words, lambda who: told(s, who)), width=WIDE)
    return figure(Drawing(window_chart(chart), lambda: window_chart(replace(chart, width=PHONE))), "limits")


def gasket_table(s: StudSet) -> Markup:
    """The stress on each gasket in each state, and what it must stay within."""
    w, card, a = s.ask.w, s.card, s.answer
    if not card or not card["stresses"] or not isinstance(a, JointAnswer):
        return Markup("")
    gaskets = [g for g in a.gaskets if g.states]
    found = [(w(f"joint.{key}"), [g.stress(name) for g in gaskets]) for key, name in STATES.items()]
    rows: list[list[Inside]] = [
        [el("b", head), *(both("stress", x.si) if x else "–" for x in stresses)] for head, stresses in found if any(stresses)
    ]
    rows.append([el("b", w("joint.must_be")), *(w.told(r["window"]) for r in card["stresses"])])
    heads = [w("joint.state"), *(w("joint.gasket_of", joint=g.joint) for g in gaskets)]
    return joined(el("h3", w("joint.gasket_stress")), table(heads, rows, cls="states"))


def _flanges(s: StudSet, a: JointAnswer) -> Markup:
    """Share of what each takes, and its rotation, in each state."""
    w = s.ask.w
    found = [flange_row(f, w("joint.pressed_outside", share="{share}")) for f in a.flanges if f.states]
    if not found:
        return Markup("")
    heads = [w(f"joint.{k}") for k in ("flange", "at_bolt_up", "in_service", "on_test")]
    rows = [[el("b", told(s, r["flange"])), *(r[k] for k in ("assembly", "operating", "test"))] for r in found]
    return joined(el("h3", w("joint.flange_share")), el("p", w("joint.flange_text")), table(heads, rows, cls="states"))


def _rests(s: StudSet, a: JointAnswer) -> Iterator[str]:
    """What is from memory, and what is usual and not given for this joint."""
    w = s.ask.w
    for key, what in basis(a):
        if what:
            yield w(f"joint.{key}", what="; ".join(map(w.told, what)))
