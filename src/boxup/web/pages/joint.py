"""The joints: every set of studs in a line; and one of them as it stands, with the time round that comes next."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from boxup.drawing.balloon import balloon
from boxup.drawing.joint_now import JointNow, joint_now
from boxup.drawing.stand import look_of
from boxup.job.live import how_it_stands
from boxup.job.turn import next_turn
from boxup.joint.gaps import clock
from boxup.paper.html.element import Inside, Markup, el, joined
from boxup.paper.html.element import svg as drawn
from boxup.paper.html.parts import drawing as figure
from boxup.paper.html.parts import facts, table, ticks
from boxup.paper.sheet import PHONE, Drawing
from boxup.paper.value import lacking, told
from boxup.record.kinds import kind_of
from boxup.web.ask import Ask, View
from boxup.web.bits import entered, step_link, what
from boxup.web.form import entry_form
from boxup.web.pages import joint_record as record
from boxup.web.pages.joint_studs import studs_part
from boxup.web.pages.passes import next_part, still_waiting
from boxup.web.pages.stud_set import FEWEST, StudSet, stud_set, stud_sets
from boxup.web.pages.window import gasket_table, window_lines, window_part

WIDE, LISTED = 560, 60.0  # px: large enough in the list for a ray a stud, so that a pass that broke off is seen there
# Entries that are made of a joint now and then: the typed names asked, the joint being settled.
ELSE = {
    "joint.opened": ("why",),
    "joint.studs_changed": ("size", "grade", "length", "why"),
    "joint.lubricant_changed": ("lubricant", "nut_factor", "why"),
    "joint.marks_wrong": ("why",),
    "joint.squared": ("why",),
    "gasket.wrong": ("why",),
    "gasket.lost_load": ("why",),
    "face.skimmed": ("face", "part", "off", "left"),
}
BOLTS_ONLY = ("joint.opened", "joint.studs_changed", "joint.lubricant_changed")  # of these a nozzle has something to say


def page_of_all(ask: Ask) -> View:
    """A row a set of studs: its balloon, its word, what lies in it, what is still short."""
    w = ask.w
    heads = [w(f"joint.{k}") for k in ("joint", "what", "stands", "next", "gasket", "short")]
    rows = [_row(s) for s in stud_sets(ask)]
    return View(w("frame.joints"), joined(entered(ask), el("p", w("joint.text_all")), table(heads, rows, cls="joints")))


def _row(s: StudSet) -> list[Inside]:
    w, joint = s.ask.w, s.joint
    look = look_of(joint)
    picture = w.markup(drawn(Drawing(balloon(s.id, look, s.count or 12, LISTED))))
    link = el("a", picture, s.name, href=s.ask.link("joint", joint.joints[0]))
    turn = next_turn(joint) if joint.rounds else None
    items = ", ".join(joint.gaskets[of] for of in joint.joints if of in joint.gaskets)
    kind = f"{s.nozzle.side} side, {s.nozzle.duty}" if s.nozzle else joint.kind
    word = el("b", w.told(joint.word), f", {look.low_words}" if look.low_words else "")
    short = w.told("; ".join(joint.not_pulled_up)) if joint.rounds or joint.weeping else ""
    return [link, w.told(kind), word, w.told(turn.name) if turn else "", items, short]


def page(ask: Ask) -> View:
    """One set of studs: drawn, the number of the moment, its forms; then tables, card, faces, entries."""
    s = stud_set(ask, ask.path["joint"])
    mine = record.entries_of(s)
    parts = [
        entered(ask), _top(s), record.rounds_part(s), record.gap_part(s), ask.w.markup(_card(s)), record.loads_part(s),
        studs_part(s), record.gasket_part(s), record.faces_part(s, mine), _steps(s), _something_else(s), window_part(s),
        record.history_part(s, mine),
    ]  # fmt: skip
    return View(s.title, joined(parts))


def _top(s: StudSet) -> Markup:
    """The drawing and what is next, side by side where there is room."""
    word = el("p", s.ask.w("joint.stands_at"), " ", el("b", s.ask.w.told(s.joint.word)), cls="stands")
    lines = [el("li", line) for line in _legend(s)]
    key = el("details", el("summary", s.ask.w("joint.key")), el("ul", lines, cls="key")) if lines else ""
    shown = el("div", drawing(s), word, key)
    return el("div", shown, next_part(s), cls="halves top-joint")


def drawing(s: StudSet) -> Markup:
    """The bolt circle as the record inks it in. Nothing with fewer than four studs counted."""
    if s.count < FEWEST:
        return el("p", s.ask.w("joint.not_counted"))
    now = _now(s)
    return s.ask.w.markup(figure(Drawing(joint_now(now), lambda: joint_now(replace(now, width=PHONE))), "circle"))


def _now(s: StudSet) -> JointNow:
    joint, turn = s.joint, s.turn
    look = replace(look_of(joint), findings=s.findings)
    open_ = look.state not in ("off", "tested dry") and joint.word != "as found" and not s.pressed
    nexts = () if turn is None or not open_ or still_waiting(s, turn) else turn.left if turn.name == "four snug" else turn.left[:1]
    last = joint.rounds[turn.name].last_stud if turn and turn.broken_off else 0
    dry = tuple(sorted({stud for r in joint.rounds.values() for stud in r.dry}))
    seen = s.ask.live.material.words["from_rear" if s.from_rear else "from_channel"]
    return JointNow(s.name, look, s.count, nexts, last or None, dry, joint.gaps, seen, WIDE)


def _legend(s: StudSet) -> Iterator[str]:
    """How the drawing is read; only what is on it."""
    if s.count < FEWEST:
        return
    now, w = _now(s), s.ask.w
    if now.look.state != "off":
        yield w("joint.numbered", seen=w.told(now.seen_from))
    if now.look.state in ("pass", "undone") and now.look.passes:
        yield w("joint.key_strokes")
    if now.next:
        yield w("joint.key_next", studs=", ".join(map(str, now.next)))
    if now.stopped:
        yield w("joint.key_stopped", stud=now.stopped)
    if now.tilt:
        yield w("joint.key_closed", clock=clock(now.tilt.low))
    if now.look.low:
        yield w("joint.key_low", studs=now.look.low_words)
    if now.dry:
        yield w("joint.key_dry", studs=", ".join(map(str, now.dry)))
    if now.look.findings:
        yield w("joint.key_finding", entries=", ".join(now.look.findings))


def _card(s: StudSet) -> Markup:
    """What the number means: stress in the stud, on the gasket, before the first nut, the order of the studs."""
    w, sheet, answer = s.ask.w, s.ask.sheet, s.answer
    head = el("h2", w("joint.card"))
    if answer is None:
        return Markup("")
    if s.card is None:
        return el("section", head, _nozzle_card(s))
    card, words = s.card, sheet.words
    noted = [(f["label"], joined(sheet.figure(f["value"]), f" {f['note']}" if f["note"] else "")) for f in card["facts"]]
    final = el("p", el("b", words["final_torque"]), " ", sheet.figure(card["torque"]), " ", sheet.mark(card["mark"]))
    orders = [el("p", el("b", f"{o['tools']}:"), " ", o["order"]) for o in card["orders"]]
    before = (el("h3", words["before_first_nut"]), ticks(card["before"]))
    torque = [final, el("p", card["torque_text"])] if card["torque"] else []
    return el(
        "section", head, torque, window_lines(s), facts(noted), sheet.missing(card["missing"]), sheet.findings(card["findings"]),
        gasket_table(s), *before,
        el("h3", words["stud_order"], " ", el("small", card["seen"])) if orders else "", orders,
    )  # fmt: skip


def _nozzle_card(s: StudSet) -> Markup:
    sheet, n, answer = s.ask.sheet, s.nozzle, s.answer
    if n is None or answer is None:
        return Markup("")
    words = s.ask.live.material.words["joint_sheet"]
    given = [
        (words["studs"], f"{s.count or '?'} × {n.stud_size or '?'}, {n.stud_grade or '?'}"), (words["lubricant"], n.lubricant or "?"),
        (sheet.words["gasket"], n.gasket or "?"),
    ]  # fmt: skip
    return joined(
        facts(given), ticks(words["nozzle_before"]), sheet.missing(lacking(answer.missing)), sheet.findings(told(answer.findings))
    )


def _steps(s: StudSet) -> Markup:
    """The steps of the order that are of this joint, and how each stands."""
    rows = [
        el("li", el("p", step_link(s.ask, one.code), " ", what(s.ask, one)), el("p", _stand(s, one.code), cls="why")) for one in s.steps
    ]
    done = sum(one.code in s.ask.live.state.done for one in s.steps)
    head = el("summary", el("b", s.ask.w("joint.steps", done=done, all=len(s.steps))))
    return el("details", head, el("ul", rows, cls="waits")) if rows else Markup("")


def _stand(s: StudSet, code: str) -> str:
    state, w = s.ask.live.state, s.ask.w
    tick = state.step(code)
    if code in state.done and tick.at:
        return f"{w('step.done')}, {w.at(tick.at)}, {tick.by}{f' + {tick.second}' if tick.second else ''}"
    return w.told(how_it_stands(state, code)) or w(f"step.{tick.stand.replace(' ', '_')}")


def _something_else(s: StudSet) -> Markup:
    """A weep, the joint opened, other studs: each its own form, folded."""
    w = s.ask.w
    weep = _fold(
        s,
        "joint.weeped",
        entry_form(s.ask, "joint.weeped", button=w("joint.put"), settled={"joint": s.id}, fields=("test", "pressure", "clock")),
    )
    if s.pressed:
        return el("section", el("h2", w("joint.else")), weep, cls="forms-only")
    some = [weep, _fold(s, "joint.loads_read", record.loads_form(s))] if not s.nozzle else []
    for kind, fields in ELSE.items():
        if s.nozzle and kind not in BOLTS_ONLY:
            continue
        form = entry_form(s.ask, kind, *_of_which(s, kind), button=w("joint.put"), settled=_settled(s, kind), fields=fields)
        some.append(_fold(s, kind, form))
    return el("section", el("h2", w("joint.else")), some, cls="forms-only")


def _fold(s: StudSet, kind: str, form: Markup) -> Markup:
    return el("details", el("summary", s.ask.w.told(kind_of(kind).says)), form)


def _by_one_joint(kind: str) -> bool:
    """Of one gasket or one face, not of the studs."""
    return kind.startswith(("gasket.", "face.")) or kind == "joint.opened"


def _settled(s: StudSet, kind: str) -> dict[str, str]:
    return {} if _by_one_joint(kind) and len(s.listed) > 1 else {"joint": s.id}


def _of_which(s: StudSet, kind: str) -> list[Markup]:
    return [record.which_joint(s)] if _by_one_joint(kind) and len(s.listed) > 1 else []
