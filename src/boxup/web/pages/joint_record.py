"""What is on record of one set of studs: times round, gaps, loads, the gasket, the faces, the last entries."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from statistics import median

from boxup.core.finding import Finding
from boxup.core.quantity import Quantity
from boxup.core.rounding import both
from boxup.drawing.joint_now import SHOWN_TILT
from boxup.exchanger.model import Joint
from boxup.job.bolting import LOADED, LOW_SHARE, SNUG, low_studs, studs_said
from boxup.job.fold.faces import flat_of
from boxup.job.fold.gaps import stage_of
from boxup.job.state import JointState, Round
from boxup.job.turn import CORRECTIVE, VERIFY, Turn
from boxup.joint.gaps import CLOCK, Gaps, clock, gap, tilt_of, typed
from boxup.joint.typed_torque import as_typed
from boxup.paper.html.element import Inside, Markup, el, joined
from boxup.paper.html.parts import table
from boxup.record.event import Event
from boxup.record.kinds import kind_of, kinds
from boxup.repair.faces import FaceVerdict, face_verdict
from boxup.web.bits import entry_said, finding
from boxup.web.form import choice, entry_form, field, hidden, labelled, text_box
from boxup.web.pages.stud_set import StudSet

SHOWN_ENTRIES, SHOWN_MARKS = 12, 8
PULLED = ("joint.pass_done", "joint.stud_done", "joint.opened")
GAP, LOADS, MEASURED, JUDGED = "joint.gap_read", "joint.loads_read", "face.measured", "face.judged"
FLAT = "face.flatness_read"


# times round


def rounds_part(s: StudSet) -> Markup:
    """Every time round: what is set, who pulled how many studs with what, from when to when, and what is wrong with it."""
    w = s.ask.w
    if s.by_maker and not s.joint.rounds:
        return Markup("")
    names = [*SNUG, *LOADED, *([CORRECTIVE] if CORRECTIVE in s.joint.rounds else []), VERIFY]
    heads = [w(f"joint.{k}") for k in ("turn", "set_to", "studs", "by", "tool", "when", "turned", "wrong")]
    pulls = pulls_of(s)
    rows = [_row(s, name, s.joint.rounds.get(name), [e for e in pulls if e.payload.get("pass") == name]) for name in names]
    return el("section", el("h2", w("joint.rounds")), _short(s), table(heads, rows, cls="rounds"))


def pulls_of(s: StudSet) -> list[Event]:
    """The passes of this make-up: what stands on record since the joint was last opened."""
    live = s.ask.live
    mine = [e for e in live.events if e.kind in PULLED and e.payload.get("joint") in s.joint.joints and e.id not in live.struck]
    since = max((n for n, e in enumerate(mine) if e.kind == "joint.opened"), default=-1)
    return mine[since + 1 :]


def _row(s: StudSet, name: str, r: Round | None, pulls: list[Event]) -> list[Inside]:
    w = s.ask.w
    first: list[Inside] = [el("b", w.told(name)), _set_to(s, name, pulls)]
    if r is None:
        return [*first, w("joint.not_on_record"), "", "", "", "", ""]
    count = len(r.studs)
    studs = w("joint.all_studs", count=count) if s.count and count >= s.count else w("joint.of_studs", done=count, all=s.count or "?")
    wrong = [w.told(f) for f in r.faults] + ([w("joint.dry_said", studs=studs_said(sorted(r.dry)))] if r.dry else [])
    tools = ", ".join(sorted(r.tools)) or r.tool
    moved = "" if r.moved is None else str(r.moved)
    return [*first, studs, ", ".join(sorted(r.hands)) or r.by, tools, _when(s, r), moved, el("b", "; ".join(wrong)) if wrong else ""]


def _set_to(s: StudSet, name: str, pulls: list[Event]) -> Inside:
    """What the wrench was set to by the record, and the card beside it where that says something else."""
    fraction = 0.0 if name in SNUG else Turn(name).fraction
    card = both("torque", s.torque * fraction) if s.torque and fraction else s.ask.w("joint.by_hand") if name in SNUG else "–"
    set_ = list(dict.fromkeys(float(e.payload["torque_n_m"]) for e in pulls if "torque_n_m" in e.payload))
    if not set_:
        return card
    off = {both("torque", torque) for torque in set_} != {card}
    return joined(el("b", ", ".join(map(as_typed, set_))), "" if not off else f" ({s.ask.w('joint.card_says', torque=card)})")


def _when(s: StudSet, r: Round) -> str:
    if not r.ended:
        return ""
    began = f"{s.ask.w.at(r.began)}–" if r.began and r.began != r.ended else f"{s.ask.w.day(r.ended)} "
    return f"{began}{r.ended:%H:%M}"


def _short(s: StudSet) -> Markup:
    """Why it is not pulled up, in so many words."""
    if not s.joint.not_pulled_up:
        return Markup("")
    rows = [el("li", s.ask.w.told(why)) for why in s.joint.not_pulled_up]
    return joined(el("h3", s.ask.w("joint.not_pulled_up")), el("ul", rows, cls="short"))


# gaps and loads


def gap_part(s: StudSet) -> Markup:
    """What was read last, in words, and a box for each place."""
    w, gaps = s.ask.w, s.joint.gaps
    parts: list[Inside] = [el("h2", w("joint.gap"), id="gap")]
    if gaps:
        after = f" ({s.ask.w.told(s.joint.gap_after)})" if s.joint.gap_after else ""
        parts.append(el("p", el("b", f"{w('joint.last_read')}{after}:"), " ", _gaps_in_words(s, gaps)))
        parts.append(_tilt(s, gaps))
        parts.append(_gap_table(s, gaps))
    else:
        parts.append(el("p", w("joint.no_gap")))
    if s.card:
        parts.append(el("p", el("small", w.told(str(s.card["gap_rule"])))))
    if not s.pressed:
        last = s.joint.gaps if len(s.joint.gaps) in CLOCK else ()
        parts.append(_gap_form(s, 4, last if len(last) == 4 else ()))
        parts.append(el("details", el("summary", w("joint.eight")), _gap_form(s, 8, last if len(last) == 8 else ())))
    return el("section", *parts)


def _gaps_in_words(s: StudSet, gaps: Sequence[float]) -> str:
    """Most, least and the spread, as read; nothing is made of them."""
    w, places = s.ask.w, CLOCK.get(len(gaps))
    if places is None:
        return w("joint.gap_count", count=len(gaps))
    most, least = max(gaps), min(gaps)
    if most == least:
        return w("joint.gap_same", gap=_mm(most))
    at = {value: ", ".join(p for p, gap in zip(places, gaps, strict=True) if gap == value) for value in (most, least)}
    spread = both("small length", (most - least) / 1000)
    return w("joint.gap_words", most=_mm(most), at_most=at[most], least=_mm(least), at_least=at[least], spread=spread)


def _tilt(s: StudSet, gaps: tuple[float, ...]) -> Markup:
    """How far the flange leans and which way, how it leaned before, and what the calculation finds."""
    w, here, before = s.ask.w, tilt_of(gaps), tilt_of(s.joint.gaps_before)
    if here is None:
        return Markup("")
    told = w("joint.gap_tilt", tilt=_mm(here.tilt), low=clock(here.low)) if here.tilt >= SHOWN_TILT else w("joint.gap_level")
    was = w("joint.gap_was", tilt=_mm(before.tilt), low=clock(before.low)) if before and before.tilt >= SHOWN_TILT else ""
    last = "" if s.joint.gap_last or not s.joint.pulled_up else el("p", el("b", w("joint.gap_not_last")), cls="look")
    return joined(el("p", told, " " if was else "", was), last, [finding(s.ask, f) for f in gap_findings(s.joint, gaps)])


def gap_findings(joint: JointState, gaps: tuple[float, ...]) -> tuple[Finding, ...]:
    """What is found in the last readings alone; what else is known of the joint is told at the entry."""
    studs = Quantity(float(joint.studs), "count", str(joint.studs)) if joint.studs and joint.studs >= 4 else None
    return tuple(gap.run(Gaps(readings=typed(gaps), studs=studs, stage=stage_of(joint, joint.gap_after))).findings)


def _mm(gap: float) -> str:
    return both("small length", gap / 1000)


def _gap_table(s: StudSet, gaps: Sequence[float]) -> Markup:
    places = CLOCK.get(len(gaps)) or tuple(str(n) for n in range(1, len(gaps) + 1))
    return table([s.ask.w("joint.at_clock", clock=p) for p in places], [[_mm(gap) for gap in gaps]], cls="gaps")


def _gap_form(s: StudSet, count: int, last: Sequence[float]) -> Markup:
    w, kind = s.ask.w, kind_of(GAP)
    name = s.turn.name if s.turn else ""
    after = next((n for n in reversed([*SNUG, *LOADED]) if n in s.joint.rounds), "") or name
    pale = [f"{gap:g}" for gap in last] or [""] * count
    boxes = [
        labelled(w("joint.at_clock", clock=p), text_box("gaps", must=True, inputmode="decimal", data_pad="yes", placeholder=old))
        for p, old in zip(CLOCK[count], pale, strict=True)
    ]
    units = [el("option", sign, value=unit) for unit, sign in (("mm", "mm"), ("in", "in"))]
    unit = el("select", units, name="gaps.unit", aria_label=w("form.unit"))
    fields = {f.typed_name: f for f in kind.fields.values()}
    inside = (
        el("div", boxes, unit, cls="quantity clock"),
        el("details", el("summary", w("joint.gap_after", turn=w.told(after))), field(s.ask, kind, fields["pass"], after)),
    )
    return entry_form(s.ask, GAP, *inside, button=w("joint.gap_button", count=count), settled={"joint": s.id}, cls="gap reading")


def loads_part(s: StudSet) -> Markup:
    """The loads measured last, where they were."""
    w, loads = s.ask.w, s.joint.loads
    if not loads:
        return Markup("")
    middle = median(loads)
    low, least = low_studs(s.joint), loads.index(min(loads)) + 1
    said_ = w(
        "joint.loads_words",
        middle=both("stud load", middle),
        least=both("stud load", min(loads)),
        stud=least,
        share=f"{min(loads) / middle:.0%}",
    )
    told = (
        w("joint.loads_low", studs=studs_said(low), share=f"{LOW_SHARE:.0%}")
        if low
        else w("joint.loads_none_low", share=f"{LOW_SHARE:.0%}")
    )
    rows = [el("li", f"{n}: ", el("b" if n in low else "span", both("stud load", load))) for n, load in enumerate(loads, 1)]
    listed = el("details", el("summary", w("joint.loads_all", count=len(loads))), el("ul", rows, cls="loads"))
    return el(
        "section", el("h2", w("joint.loads")), el("p", said_), el("p", el("b", told), " ", el("small", w("joint.from_memory"))), listed
    )


def loads_form(s: StudSet) -> Markup:
    """The load of every stud, as measured."""
    return entry_form(s.ask, LOADS, button=s.ask.w("joint.put"), settled={"joint": s.id}, fields=("loads", "method"))


# gasket and faces


def gasket_part(s: StudSet) -> Markup:
    """What lies in it by its number, or what goes in."""
    w, state = s.ask.w, s.ask.live.state
    rows: list[list[Inside]] = []
    for j in s.listed:
        if j.gasket is None:
            continue
        item = state.gaskets.get(s.joint.gaskets.get(j.id, ""))
        stands = el("b", item.item, ", ", w("gaskets.loaded" if item.loaded else "gaskets.new")) if item else w("joint.none_in")
        wrong = el("b", w.told(state.refused[j.id])) if j.id in state.refused else ""
        kind = ", ".join(t for t in (j.gasket.kind, j.gasket.metal, j.gasket.facing) if t)
        rows.append([el("b", j.id), f"{j.gasket.id}: {kind}", stands, wrong])
    if s.nozzle:
        return el("section", el("h2", w("joint.gasket")), el("p", s.nozzle.gasket or w("joint.gasket_not_given")))
    if not rows:
        return Markup("")
    heads = [w(f"joint.{k}") for k in ("joint", "listed", "in_it", "wrong")]
    link = el("p", el("a", w("joint.to_gaskets"), href=s.ask.link("gaskets"), cls="button second"))
    return el("section", el("h2", w("joint.gasket")), table(heads, rows), link)


def faces_part(s: StudSet, mine: Sequence[Event]) -> Markup:
    """Marks measured and what the table says of each; who judged; the forms for both."""
    w = s.ask.w
    rows = [r for e in mine if e.kind in (MEASURED, FLAT, JUDGED, "face.skimmed") for r in _face_row(s, e)][-SHOWN_MARKS:]
    heads = [w(f"joint.{k}") for k in ("when", "by", "face", "what_seen", "verdict")]
    listed = table(heads, rows) if rows else el("p", w("joint.no_marks"))
    forms = el("details", el("summary", w("joint.face_forms")), _measure_form(s), _flat_form(s), _judge_form(s)) if s.listed else Markup("")
    return el("section", el("h2", w("joint.faces")), listed, forms)


def _face_row(s: StudSet, e: Event) -> Iterator[list[Inside]]:
    p, w = e.payload, s.ask.w
    first: list[Inside] = [w.at(e.happened_at), e.by, f"{p['joint']} {p['face']}"]
    if e.kind == MEASURED:
        size = w("joint.mark_size", mark=w.told(p["mark"]), depth=f"{p['depth_mm']:g}", span=f"{p['span_mm']:g}", land=f"{p['land_mm']:g}")
        clock = f", {p['clock']} h" if p.get("clock") else ""
        photo = [" ", el("a", w("joint.photo"), href=f"/photo/{p['photo']}")] if p.get("photo") else []
        yield [*first, joined(size, clock, photo), _table_says(s, e)]
    elif e.kind == FLAT:
        yield [*first, _flatness(s, e), _flat_by_table(s, e)]
    elif e.kind == JUDGED:
        yield [*first, p.get("words", ""), el("b", w.told(p["verdict"]))]
    else:
        left = w("joint.left_mm", left=f"{p['left_mm']:g}") if "left_mm" in p else ""
        yield [*first, w("joint.skimmed", off=f"{p['off_mm']:g}", left=left), ""]


def _table_says(s: StudSet, e: Event) -> Markup:
    """The mark held against the limits: the table, never a person."""
    size = {k: Quantity(e.payload[f"{k}_mm"] / 1000, "mm", f"{e.payload[f'{k}_mm']:g} mm") for k in ("depth", "span", "land")}
    gasket = next((j.gasket for j in s.listed if j.id == e.payload["joint"]), None)
    verdict = face_verdict(size["depth"], size["span"], size["land"], gasket.kind if gasket else "", gasket.thickness if gasket else None)
    return _verdict(s, verdict)


def _verdict(s: StudSet, verdict: FaceVerdict) -> Markup:
    word = {True: "joint.within", False: "joint.over", None: "joint.ask_gasket"}[verdict.within]
    return joined(el("b", s.ask.w(word)), " ", el("small", s.ask.w.told(verdict.text)))


def _flatness(s: StudSet, e: Event) -> str:
    """What was read, in words: how many places, how far they differ, and the rest where it was measured."""
    p, w = e.payload, s.ask.w
    told = [w("joint.flat_round", count=len(p["readings_mm"]), mm=f"{max(p['readings_mm']) - min(p['readings_mm']):.3g}")]
    if "radial_mm" in p:
        told.append(w("joint.flat_radial", mm=f"{p['radial_mm']:g}"))
    if "rib_mm" in p:
        told.append(w("joint.flat_rib", mm=f"{p['rib_mm']:g}", how=w.told(p.get("rib_stands", "below"))))
    return ", ".join(told)


def _flat_by_table(s: StudSet, e: Event) -> Markup:
    verdict = flat_of(e.payload, next((j.gasket for j in s.listed if j.id == e.payload["joint"]), None))
    return _verdict(s, verdict) if verdict else Markup("")


def faces_of(j: Joint) -> list[str]:
    """The two parts between which the joint is: `channel cover to channel`."""
    return [part.strip() for part in j.between.partition(",")[0].split(" to ")]


def which_joint(s: StudSet) -> Markup:
    """Which of the joints on these studs."""
    if len(s.listed) == 1:
        return hidden("joint", s.listed[0].id)
    return choice(s.ask.w("joint.joint"), "joint", [(j.id, f"{j.id}: {j.between}") for j in s.listed])


def _which_face(s: StudSet) -> Markup:
    words = list(dict.fromkeys(face for j in s.listed for face in faces_of(j)))
    return choice(s.ask.w("joint.face"), "face", [(word, s.ask.w.told(word)) for word in words])


def _measure_form(s: StudSet) -> Markup:
    inside = (el("h3", s.ask.w("joint.measure")), which_joint(s), _which_face(s))
    return entry_form(
        s.ask, MEASURED, *inside, button=s.ask.w("joint.measure_button"), fields=("mark", "depth", "span", "land", "clock"), photo=True
    )


def _flat_form(s: StudSet) -> Markup:
    inside = (el("h3", s.ask.w("joint.flat")), which_joint(s), _which_face(s))
    return entry_form(s.ask, FLAT, *inside, button=s.ask.w("joint.flat_button"), fields=("readings", "radial", "rib", "rib_stands"))


def _judge_form(s: StudSet) -> Markup:
    inside = (el("h3", s.ask.w("joint.judge")), which_joint(s), _which_face(s))
    return entry_form(s.ask, JUDGED, *inside, button=s.ask.w("joint.judge_button"), fields=("verdict", "words"))


# entries


def entries_of(s: StudSet) -> tuple[Event, ...]:
    """Every entry that names one of these joints, or a step of one."""
    ids, steps = set(s.joint.joints), {one.code for one in s.steps}
    return tuple(e for e in s.ask.live.events if e.payload.get("joint") in ids or e.payload.get("step") in steps)


def history_part(s: StudSet, mine: Sequence[Event]) -> Markup:
    """The last entries, the newest first, and what was noticed at each."""
    w = s.ask.w
    shown = list(reversed(mine[-SHOWN_ENTRIES:]))
    numbers = {e.number for e in shown}
    noticed: dict[int, list[Markup]] = {}
    for n in s.ask.live.state.story:
        if n.entry in numbers and n.finding.level != "note":
            noticed.setdefault(n.entry, []).append(finding(s.ask, n.finding))
    rows = [el("li", *_entry(s, e), *noticed.get(e.number, [])) for e in shown]
    listed = el("ul", rows, cls="last") if rows else el("p", w("joint.no_entries"))
    more = el("p", w("joint.more_entries", count=len(mine) - len(shown))) if len(mine) > len(shown) else ""
    return el("section", el("h2", w("joint.entries")), listed, more)


def _entry(s: StudSet, e: Event) -> Iterator[Inside]:
    kind = kinds().get(e.kind)
    what = s.ask.w.told(kind.says) if kind else e.kind
    again = f" {s.ask.w('joint.corrects')}" if e.corrects else ""
    yield el("p", el("b", f"{e.number} · {s.ask.w.at(e.happened_at)} · {e.by}"), f" {what}{again}")
    yield el("p", entry_said(s.ask, e), cls="why")
