"""The time round that comes next: its number as large as it goes, its order, and the forms that put it on record."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from boxup.core.rounding import both, customary, metric
from boxup.job.bolting import LOADED, SNUG, WAIT
from boxup.job.live import may_now
from boxup.job.person import among
from boxup.job.turn import AFTER, AROUND, CORRECTIVE, VERIFY, Turn, pullers, wait_ends
from boxup.joint.passes import SNUG as SNUG_SHARE
from boxup.joint.tool_setting import named
from boxup.joint.tools import Span, span
from boxup.joint.typed_torque import as_typed
from boxup.paper.html.element import Inside, Markup, el, joined
from boxup.record.kinds import kind_of
from boxup.web.bits import stop, waits
from boxup.web.form import choice, entry_form, field, hidden, labelled, text_box
from boxup.web.pages.joint_record import pulls_of
from boxup.web.pages.stud_set import StudSet
from boxup.web.studs import ALL_BUT, STOPPED_AT

PASS, STUD = "joint.pass_done", "joint.stud_done"


def next_part(s: StudSet) -> Markup:
    """The number of the moment, and its forms; the wrench is not offered with pressure on, nor before the joint may be pulled."""
    w, turn = s.ask.w, s.turn
    head = el("h2", w("joint.next"))
    if s.pressed:
        return el("section", head, stop(w("joint.no_wrench")), _late_entry(s, w("joint.done_under_pressure")), cls="next")
    if s.by_maker:
        return el("section", head, el("p", w("joint.by_maker"), cls="now"), _its_step(s), *_refusals(s), cls="next")
    if turn is None and s.joint.weeping:
        said = w("joint.open_it" if s.joint.weeps > 1 else "joint.weeped_short")
        return el("section", head, stop(said), *_refusals(s), _late_entry(s, w("joint.done_already")), cls="next")
    if turn is None:
        return el("section", head, el("p", w("joint.all_pulled"), cls="now"), *_refusals(s), cls="next")
    if s.shut:
        return el("section", head, stop(w("joint.no_load")), *_refusals(s), _late_entry(s, w("joint.done_already")), cls="next")
    if not s.joint.rounds and s.joint.word in ("pulled up", "tested dry"):  # ticked from paper
        return el("section", head, el("p", w("joint.ticked"), cls="now"), _late_entry(s, w("joint.done_already")), cls="next")
    return el("section", head, *_moment(s, turn), cls="next")


def _late_entry(s: StudSet, why: str) -> Markup:
    """What was done all the same belongs on record; the way there is not a button of the wrench."""
    link = el("a", s.ask.w("joint.enter_it"), href=s.ask.link("log", PASS, joint=s.id, back=s.ask.link("joint", s.id)))
    return el("p", why, " ", link, cls="late")


def _its_step(s: StudSet) -> Markup:
    """What is pulled up by a paper of its own is ticked with that paper."""
    one = s.bolting
    return el("p", el("a", s.ask.w("joint.tick_it", step=one.code), href=s.ask.link("step", one.code), cls="button")) if one else Markup("")


def _moment(s: StudSet, turn: Turn) -> Iterator[Inside]:
    w = s.ask.w
    waiting = still_waiting(s, turn)
    yield el("p", _what(s, turn), cls="now")
    if turn.because:
        yield el("p", el("b", w("joint.again")), " ", w.told(turn.because), cls="look")
    if waiting:
        yield _clock(s, waiting)
    yield _number(s, turn, large=not waiting)
    yield el("p", _how(s, turn))
    yield from _cautions(s, turn)
    if turn.broken_off:
        yield _resume(s, turn)
    elif turn.left and turn.name not in ("four snug", *AROUND):
        yield el("p", el("b", s.ask.w("joint.order")), " ", ", ".join(map(str, turn.left)), cls="stud-order")
    may = _may(s)
    if may:
        yield may
    if may or waiting:
        yield el("details", el("summary", w("joint.done_already")), _forms(s, turn), cls="more")
    else:
        yield _forms(s, turn)


def _what(s: StudSet, turn: Turn) -> str:
    w = s.ask.w
    name = w.told(turn.name)
    share = f"{turn.fraction * 100:.0f} %" if 0 < turn.fraction < 1 else ""
    text = w("joint.rest_of", turn=name) if turn.broken_off else name[:1].upper() + name[1:]
    return f"{s.name}: {text}{f', {share}' if share else ''}"


def _number(s: StudSet, turn: Turn, *, large: bool) -> Markup:
    """The torque of this time round with its mark; hand-tight, the most that may be."""
    w, sheet, m = s.ask.w, s.ask.sheet, s.ask.live.material
    mark = sheet.mark(m.mark(s.code))
    if turn.name in SNUG:
        most = w("joint.at_most", torque=both("torque", s.torque * SNUG_SHARE, "down")) if s.torque else ""
        return joined(el("p", el("b", w("joint.hand_tight")), cls="moment in-words"), el("p", most, " ", mark) if most else "")
    if s.torque is None:
        return el("p", el("i", w("joint.no_torque")), " ", mark, cls="moment words-only")
    number = sheet.figure(_shown("torque", s.torque * turn.fraction))
    return joined(el("p", number, cls="moment" if large else "now"), el("p", mark, cls="mark-line"), _pump(s, turn))


def _pump(s: StudSet, turn: Turn) -> Markup:
    """What the hydraulic tool named for it is set to at this time round; nothing for a hand wrench, and a tool not to be used has none."""
    w, setting = s.ask.w, s.setting
    if setting is None or s.why_not(setting.tool):
        return Markup("")
    if setting.pressure is None:
        return el("p", w("joint.no_pump", tool=setting.tool.id), cls="look")
    at = setting.pascals_at(turn.fraction)
    if at is None:
        return Markup("")  # that it cannot be set to this is told among the cautions
    mark = s.ask.sheet.mark(s.ask.live.material.mark(f"{s.code}-{setting.tool.id}"))
    return el("p", w("joint.pump", tool=named(setting.tool)), " ", s.ask.sheet.figure(_shown("pump pressure", at)), " ", mark, cls="now")


def _shown(kind: str, si: float) -> dict[str, str]:
    return {"text": metric(kind, si).text, "sign": metric(kind, si).sign, "other": str(customary(kind, si))}


def _how(s: StudSet, turn: Turn) -> str:
    """What the schedule says of it."""
    w = s.ask.w
    if turn.name == VERIFY:
        return w("joint.verify_how", hands=", ".join(pullers(s.joint)) or "–")
    if turn.name == CORRECTIVE:
        return w("joint.corrective_how")
    found = next((p.what for p in s.schedule.passes if p.name == turn.name), "") if s.schedule else ""
    return w.told(found)


def _resume(s: StudSet, turn: Turn) -> Markup:
    """Where a time round that broke off is taken up."""
    w = s.ask.w
    first, *rest = turn.left
    then = el("p", w("joint.then", studs=", ".join(map(str, rest)))) if rest else ""
    said = joined(el("p", el("b", w("joint.go_on_at", stud=first)), cls="now"), then)
    settled = {"joint": s.id, "pass": turn.name, "stud": str(first), **_given(s, turn)}
    one = entry_form(s.ask, STUD, button=w("joint.stud_done", stud=first), settled=settled, cls="one-stud")
    return joined(said, one)


def still_waiting(s: StudSet, turn: Turn) -> datetime | None:
    """Until when, while it is not over."""
    until = wait_ends(s.joint) if turn.name == AFTER else None
    return until if until and s.ask.at < until else None


def _clock(s: StudSet, until: datetime) -> Markup:
    """The earliest time, and what is left; the page counts down where it can."""
    w, at = s.ask.w, s.ask.at
    left = int((until - at).total_seconds() // 60)
    here = until.astimezone(at.tzinfo)
    day = "" if here.date() == at.date() else f" {s.ask.w.day(here)}"
    said = w("joint.left", h=left // 60, min=left % 60)
    counted = el(
        "p", said, cls="now", data_until=until.isoformat(timespec="seconds"), data_now=at.isoformat(timespec="seconds"),
        data_left=w("joint.left", h="{h}", min="{min}"), data_over=w("joint.wait_over"),
    )  # fmt: skip
    because = w("joint.wait_because", hours=f"{WAIT.total_seconds() / 3600:g}")
    return joined(
        el("p", w("joint.not_before")),
        el("p", el("b", f"{here:%H:%M}"), el("span", day, cls="unit"), cls="moment"),
        counted,
        el("p", because),
    )


def _cautions(s: StudSet, turn: Turn) -> Iterator[Markup]:
    """A hold refused; the tool named for it, not to be used or not able to be set to this; a second man who pulled it himself."""
    w = s.ask.w
    yield from _refusals(s)
    if s.tool and (why := s.why_not(s.tool)):
        yield stop(why)
    if s.tool and (range_ := _cannot(s, turn)):
        ends = {"low": both("torque", range_.low, "up"), "high": both("torque", range_.high, "down")}
        yield el("p", w("joint.out_of_range", tool=s.tool.id, **ends), cls="look")
    if turn.broken_off and (off := _begun_with(s, turn)):
        yield el("p", w("joint.begun_with", **off), cls="look")
    later = LOADED[LOADED.index(turn.name) + 1 :] if turn.name in LOADED else ()
    if turn.because and any(name in s.joint.rounds for name in later):
        yield el("p", w("joint.loaded_already"), cls="look")
    if turn.name == VERIFY and among(s.ask.person.name, pullers(s.joint)):
        yield el("p", w("joint.you_pulled", name=s.ask.person.name), cls="look")
    if turn.name in ("all snug", "pass 1") and not s.joint.gaps:
        yield el("p", el("a", w("joint.gap_first"), href="#gap"), cls="look")


def _begun_with(s: StudSet, turn: Turn) -> dict[str, str]:
    """What the first studs of a time round that broke off were set to, and the card, where they differ; nothing where they agree."""
    if not (s.torque and turn.fraction):
        return {}
    card = both("torque", s.torque * turn.fraction)
    said = (e.payload.get("torque_n_m") for e in pulls_of(s) if e.payload.get("pass") == turn.name)
    off = dict.fromkeys(float(t) for t in said if t is not None and both("torque", t) != card)
    return {"torque": ", ".join(map(as_typed, off)), "card": card} if off else {}


def _refusals(s: StudSet) -> Iterator[Markup]:
    """A hold point on its bolting that somebody refused."""
    for hold in s.ask.live.state.step(s.bolting.code).refusals if s.bolting else ():
        yield el("p", el("b", s.ask.w("joint.hold_refused")), f" {s.ask.w.told(str(hold))}", cls="look")


def _cannot(s: StudSet, turn: Turn) -> Span | None:
    """What the tool named for it can be set to, where that is not the torque of this time round."""
    torque = (s.torque or 0) * turn.fraction
    range_ = span(s.tool.range) if s.tool and torque else None
    return range_ if range_ and not range_.reaches(torque) else None


def _may(s: StudSet) -> Markup:
    """What the bolting step waits for, while nothing of it is begun."""
    one, state = s.first_step, s.ask.live.state
    if one is None or s.joint.rounds or state.step(one.code).stand == "begun":
        return Markup("")
    answer = may_now(state, one.code, s.ask.at)
    return Markup("") if answer.may else joined(el("h3", s.ask.w("joint.waits", step=one.code)), waits(s.ask, answer))


def _given(s: StudSet, turn: Turn) -> dict[str, str]:
    """What is on the card: torque as set in N.m, the tool named where it is good, the tin listed."""
    found = {}
    if s.torque and turn.fraction and not _cannot(s, turn):
        found["torque"] = f"{metric('torque', s.torque * turn.fraction).text.replace(chr(0x202F), '')} N.m"
    if s.tool and turn.fraction and not s.why_not(s.tool) and not _cannot(s, turn):
        found["tool"] = s.tool.id
    if s.lubricant:
        found["lubricant"] = s.lubricant
    return found


def _forms(s: StudSet, turn: Turn) -> Markup:
    """One button; what is other than listed, and studs with an exception, folded under it."""
    settled = {"joint": s.id, "pass": turn.name}
    if turn.broken_off:
        settled["studs"] = ",".join(map(str, turn.left))
    inside = [*_asked(s, turn), *_exceptions(s, turn)]
    return entry_form(s.ask, PASS, *inside, button=_button(s, turn), settled=settled, cls="pass")


def _button(s: StudSet, turn: Turn) -> str:
    w, name = s.ask.w, s.ask.w.told(turn.name)
    if turn.broken_off:
        return w("joint.rest_button", turn=name, count=len(turn.left))
    if turn.name == "four snug":
        return w("joint.four_button")
    return w("joint.pass_button", turn=name[:1].upper() + name[1:], count=s.count) if s.count else w("joint.done_button", turn=name)


def _asked(s: StudSet, turn: Turn) -> Iterator[Markup]:
    """What must be said of this time round and cannot be known."""
    w = s.ask.w
    if turn.name == AFTER:
        yield labelled(w("joint.began"), text_box("started_at", must=True), w("joint.clock_hint"))
    if turn.name in ("round", AFTER, VERIFY):
        must = turn.name == VERIFY
        yield labelled(w("joint.moved"), text_box("moved", must=must, inputmode="numeric", data_pad="yes"))
    if turn.name == "four snug":
        yield hidden("studs", ",".join(map(str, turn.order)))


def _exceptions(s: StudSet, turn: Turn) -> Iterator[Markup]:
    w, kind, given = s.ask.w, kind_of(PASS), _given(s, turn)
    fields = {f.typed_name: f for f in kind.fields.values()}
    plain = str(metric("torque", s.torque * turn.fraction)) if s.torque and "torque" in given else ""
    said = ", ".join(t for t in (plain, given.get("tool", ""), given.get("lubricant", "")) if t)
    rows: list[Markup] = []
    if turn.fraction:
        rows.append(field(s.ask, kind, fields["torque"], given.get("torque", "")))
        words = [(t.id, _tool_word(s, t.id, t.serial, s.why_not(t))) for t in s.tools]
        rows.append(choice(w("joint.tool"), "tool", words, given.get("tool", ""), must=False))
    rows.append(field(s.ask, kind, fields["lubricant"], given.get("lubricant", "")))
    head = el("summary", w("joint.as_listed", what=said) if said else w("joint.nothing_listed"))
    yield el("details", head, rows, cls="by-at", open="open" if turn.fraction and not {"torque", "tool"} <= given.keys() else "")
    if turn.name == "four snug":
        return
    some = [
        labelled(w("joint.stopped_at"), text_box(STOPPED_AT, inputmode="numeric", data_pad="yes"), w("joint.stopped_hint")),
        labelled(w("joint.not_reached"), text_box(ALL_BUT), w("joint.studs_hint")),
        labelled(w("joint.dry"), text_box("dry"), w("joint.dry_hint")),
    ]
    if turn.name != AFTER:
        some.append(labelled(w("joint.began"), text_box("started_at"), w("joint.clock_hint")))
    some.append(labelled(w("joint.note"), text_box("note")))
    yield el("details", el("summary", w("joint.not_all")), some, cls="by-at")


def _tool_word(s: StudSet, id_: str, serial: str, why: str) -> str:
    return ", ".join(t for t in (id_, serial, s.ask.w("joint.not_to_be_used") if why else "") if t)
