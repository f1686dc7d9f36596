"""What several pages are put together from: what an entry came to, why a step waits, who signs, lists of steps."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import datetime

from boxup.core.finding import Finding
from boxup.core.rounding import both
from boxup.job.live import begun, next_now
from boxup.job.may import Answer, Missing
from boxup.job.said import read_out
from boxup.job.scope import Instance
from boxup.job.set_torque import of_entry
from boxup.job.stale import run_out
from boxup.paper.html.element import Inside, Markup, el, joined
from boxup.paper.html.parts import OCTAGON
from boxup.record.event import Event
from boxup.record.kinds import kinds
from boxup.web.ask import Ask, address
from boxup.web.live import Live

_SAID = re.compile(r"([0-9]{1,9})-([0-9]{1,9})")  # entries a form became, in the address it leads back to

# Steps that have a page of their own, beside those of a joint and of a test.
PLACES = {
    "BLIND_IN": "blinds", "BLIND_OUT": "blinds", "PIERCE": "tubes", "PLUG": "tubes", "PULL": "lift", "INSERT": "lift", "GKT_RCV": "gaskets",
}  # fmt: skip


def stop(*lines: Inside) -> Markup:
    """The STOP sign and what it says."""
    return el("div", OCTAGON, el("div", [el("p", line) for line in lines]), cls="stop")


def finding(ask: Ask, f: Finding) -> Markup:
    """A finding: STOP with its octagon, all else in ink, each with its source."""
    source = [" ", el("small", ask.w.told(f.source))] if f.source else []
    text = ask.w.told(f.text)
    if f.level == "stop":
        return stop(joined(text, source))
    return el("p", el("b", f"{ask.w('bits.look' if f.level == 'warn' else 'bits.note')}:"), " ", text, source, cls="look")


def entered(ask: Ask) -> Markup:
    """After a form: which entries it became, what they were noticed to mean, and what they leave open."""
    if not (meant := _SAID.fullmatch(ask.query.get("said", ""))):
        return Markup("")
    first, last = meant.groups()
    live, span = ask.live, range(int(first), int(last) + 1)
    new = [e for e in live.events if e.number in span]
    if not new:
        return Markup("")
    e = new[-1]
    if e.id in live.struck:
        return el("p", ask.w("bits.taken_back", number=str(e.number)), cls="entered", role="status")
    which = first if first == last else f"{first}–{last}"
    said = ask.w("bits.entered", number=which, by=e.by, at=ask.w.at(e.happened_at))
    noticed = [n.finding for n in live.state.story if n.entry in span]
    noticed += [off for e in new if (off := of_entry(live.material.numbers, e.kind, e.payload))]
    told = list({f.text: f for f in noticed}.values())
    undo = el("a", ask.w("bits.take_back"), href=ask.link("log", "record.withdrawn", corrects=e.id))
    first, rest = ([finding(ask, f) for f in told if (f.level == "stop") is stops] for stops in (True, False))
    return el("div", first, el("p", el("b", said), " ", undo), rest, cls="entered", role="status")  # a STOP is read before all else


def folded(title: str, *inside: Inside, open_: bool = False) -> Markup:
    """A part of a page under its heading, to be opened."""
    return el("details", el("summary", el("h2", title)), *inside, cls="part", open="open" if open_ else "")


def just_entered(ask: Ask, number: int) -> bool:
    """Whether that entry is among those the form became that leads here."""
    meant = _SAID.fullmatch(ask.query.get("said", ""))
    return meant is not None and int(meant[1]) <= number <= int(meant[2])


def upcoming(ask: Ask, live: Live) -> tuple[list[list[Instance]], list[list[Instance]]]:
    """What is under way; and what may begin or is to be done again because it ran out, in the order of the job."""
    state, at = live.state, live.now()
    again = {code: state.scope.instances[code] for code in run_out(state, at) if code in state.scope.instances}
    ready = again | {one.code: one for one in next_now(state, at)}
    ordered = [p.instance for p in live.material.ordered if p.instance.code in ready]
    return grouped(begun(state)), grouped(ordered)


def ran_out(ask: Ask, live: Live) -> list[Markup]:
    """A line for each kind of check that ran out, its items together."""
    old = run_out(live.state, live.now())
    groups = grouped(live.state.scope.instances[code] for code in old if code in live.state.scope.instances)
    return [_ran_out(ask, live, group, min(old[one.code] for one in group)) for group in groups]


def _ran_out(ask: Ask, live: Live, group: list[Instance], since: datetime) -> Markup:
    items = " ".join(one.item.id for one in group if one.item)
    said = ask.w("bits.ran_out", at=ask.w.at(since), what=ask.w.told(group[0].what(live.state.scope.flags)))
    named = f"{group[0].step.code} {items}".strip()
    return el("li", el("a", said, " ", el("span", named, cls="code"), href=address(live.job, "step", group[0].code)))


def pressures(ask: Ask, live: Live) -> list[str]:
    """A sentence for every side under pressure, in both systems."""
    return [
        ask.w("frame.pressure", side=ask.w(f"frame.{t.side}"), pressure=both("pressure", t.pressure_mpa * 1e6))
        for t in live.state.tests.values()
        if t.pressure_mpa > 0
    ]


def step_link(ask: Ask, code: str) -> Markup:
    """A step by its code, leading to its page."""
    return el("a", code, href=ask.link("step", code), cls="code")


def what(ask: Ask, one: Instance) -> str:
    """A step in words."""
    return ask.w.told(one.what(ask.live.state.scope.flags))


def who(ask: Ask, one: Instance) -> str:
    """Who does it."""
    return ask.w.told(one.step.who)


def waits(ask: Ask, answer: Answer, *, pressed: bool = False) -> Markup:
    """What is missing before a step may begin, each with its reason, each a link. `pressed`: with pressure on, where nothing begins."""
    parts: list[Markup] = []
    if answer.against:
        parts.append(stop(*(ask.w.told(text) for text in answer.against)))
    rows = [el("li", *_wait(ask, one, items, pressed=pressed)) for one, items in _together(answer.missing)]
    if rows:
        parts.append(el("ul", rows, cls="waits"))
    return joined(parts)


def _together(missing: Iterable[Missing]) -> list[tuple[Missing, list[str]]]:
    """Items of one step that wait for the same reason, in one row."""
    found: dict[tuple[str, str, str, bool], tuple[Missing, list[str]]] = {}
    for m in missing:
        key = (m.need.step.partition(":")[0], m.need.rule.because, m.stands, m.ready)
        found.setdefault(key, (m, []))[1].append(m.need.step)
    return list(found.values())


def _wait(ask: Ask, m: Missing, codes: list[str], *, pressed: bool) -> Iterator[Inside]:
    w, scope = ask.w, ask.live.state.scope
    yield el("p", el("b", what(ask, scope.instances[codes[0]])))
    yield el("p", [joined(step_link(ask, code), " ") for code in codes])
    hold = f" {w('bits.hold')}" if m.need.rule.hold else ""
    yield el("p", f"{w('bits.because')} {w.told(m.need.rule.because)}{hold}", cls="why")
    stands = f"{w.told(m.stands)}. " if m.stands else ""
    yield el("p", stands, w("bits.after_zero" if pressed else "bits.can_start" if m.ready else "bits.waits_itself"), cls="why")


def grouped(instances: Iterable[Instance]) -> list[list[Instance]]:
    """Items of one step together, in their order."""
    found: dict[str, list[Instance]] = {}
    for one in instances:
        found.setdefault(one.step.code, []).append(one)
    return list(found.values())


def place_of(ask: Ask, one: Instance) -> str:
    """The page on which this step is done: its joint, test, blinds, tubes, lift or gaskets; else its own."""
    item, code = one.item, one.step.code
    bare = one.code.partition(":")[2]
    if bare and ask.live.state.joint(bare) and (item is None or item.list in ("joints", "nozzles")):
        return ask.link("joint", bare)
    for test in ask.live.state.tests.values():
        if code == test.step:
            return ask.link("test", test.code)
    if code in PLACES:
        return ask.link(PLACES[code])
    return ask.link("step", one.code)


def entry_said(ask: Ask, e: Event) -> str:
    """What an entry says, a line. Its photo is shown, not named."""
    return ", ".join(f"{name} {value}".strip() for name, value in entry_parts(ask, e) if name != ask.w.told("photo"))


def entry_parts(ask: Ask, e: Event) -> Iterator[tuple[str, str]]:
    """The names of its fields in the reader's language, what somebody typed as it was typed, hours as people say them."""
    kind = kinds().get(e.kind)
    words = {word for f in kind.fields.values() for word in f.accepted} if kind else set()
    for name, value in read_out(e):
        yield ask.w.told(name), ask.w.told(value) if value in words else value
