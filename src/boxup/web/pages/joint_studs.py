"""The studs of a joint: what was seen when somebody looked at them, what is never used again, and the form for a look."""

from __future__ import annotations

from boxup.joint.stud_check import reuse_rules
from boxup.paper.html.element import Markup, el
from boxup.paper.html.parts import table
from boxup.record.event import Event
from boxup.web.form import entry_form
from boxup.web.pages.stud_set import StudSet

CHECKED = "joint.studs_checked"
FIELDS = ("condition", "count", "stamps", "lengths", "rejected", "why", "pmi", "pmi_method")


def studs_part(s: StudSet) -> Markup:
    """The last look at them, what of it keeps the joint open, and the two folds: rules of reuse, another look."""
    w = s.ask.w
    seen = [e for e in s.ask.live.events if e.kind == CHECKED and e.payload["joint"] in s.joint.joints and e.id not in s.ask.live.struck]
    last = _last(s, seen[-1]) if seen and s.joint.studs_seen else el("p", w("joint.studs_not_looked"))
    wrong = [el("p", el("b", w.told(text)), cls="look") for text in s.joint.studs_wrong]
    rows = [[w.told(row.text("seen")), w.told(row.text("say"))] for row in reuse_rules().values()]
    rules = el("details", el("summary", w("joint.studs_rules")), table([w("joint.studs_seen"), w("joint.studs_say")], rows))
    given = {"count": str(s.count)} if s.count else {}
    form = entry_form(s.ask, CHECKED, button=w("joint.studs_button"), settled={"joint": s.id}, fields=FIELDS, given=given)
    return el(
        "section",
        el("h2", w("joint.studs_head"), id="studs"),
        last,
        wrong,
        rules,
        el("details", el("summary", w("joint.studs_look")), form),
    )


def _last(s: StudSet, e: Event) -> Markup:
    p, w = e.payload, s.ask.w
    stamps = ", ".join(p["stamps"])
    told = w(
        "joint.studs_told", count=p["count"], all=s.count or "?", was=w.told(p["condition"]), stamps=stamps, at=w.at(e.happened_at), by=e.by
    )
    pmi = w("joint.studs_pmi", said=w.told(p["pmi"])) if p.get("pmi") else ""
    return el("p", told, " " if pmi else "", pmi)
