"""One tube: how it stands, what has been said about it, and the forms for what was seen or done."""

from __future__ import annotations

from collections.abc import Iterator

from boxup.exchanger.layout import Tube
from boxup.job.live import may_now
from boxup.job.plugs import other_end
from boxup.job.state import TubeState
from boxup.paper.html.element import Markup, el, joined
from boxup.record.event import Event
from boxup.web.ask import Ask
from boxup.web.bits import entry_parts, step_link, waits
from boxup.web.form import choice, entry_form
from boxup.web.pages.entry import kind_said
from boxup.web.pages.tube_map import end_of
from boxup.web.pages.tube_plug import fit_part
from boxup.web.pages.tube_roll import roll_part
from boxup.web.pages.tube_walls import wall_said
from boxup.web.pages.tube_words import bent, stands, tube_of

ABOUT = ("tube.", "plug.")
FORMS = {  # the fields asked for each kind of entry, and the words of its form
    "tube.leaks": ("leaks", ("ends", "test")),
    "tube.to_plug": ("to_plug", ("why",)),
    "tube.pierced": ("pierced", ()),
    "tube.plugged": ("plug", ("ends", "plug")),
    "tube.repaired": ("repaired", ("how", "ends")),
    "plug.leaks": ("plug_leaks", ("test",)),
}


def tube_part(ask: Ask, id_: str, hole: Tube | None) -> Markup:
    """Everything about one tube; `hole`: its place on the map, where there is one."""
    w, t = ask.w, tube_of(ask, id_)
    where = [el("p", " · ".join(_where(ask, hole)))] if hole else []
    where += [el("p", said)] if (said := wall_said(ask, id_)) else []
    head = (el("h2", w("tubes.one", tube=id_)), el("p", stands(ask, id_), cls="now"), *where, _entries(ask, id_))
    first = next_kinds(t)
    later = [kind for kind in FORMS if kind not in first]
    more = el("details", el("summary", el("b", w("tubes.more"))), [_form(ask, id_, kind) for kind in later], cls="more")
    read = w("tubes.both_legs", tube=id_, other=_other(ask, id_)) if bent(ask) else w("tubes.both_ends")
    both = el("p", read, cls="look") if "tube.pierced" in first or "tube.plugged" in first else Markup("")
    return el(
        "section",
        *head,
        _waits(ask, id_),
        both,
        [_form(ask, id_, kind) for kind in first],
        fit_part(ask, id_),
        roll_part(ask, id_),
        more,
        cls="tube",
    )


def next_kinds(t: TubeState) -> tuple[str, ...]:
    """What is likely to be said of it next: of a plugged one that its plug leaks, of a listed one that it is pierced, then plugged."""
    if t.plugged >= {"front", "rear"}:
        return ("plug.leaks",)
    if t.to_plug or t.plugged:
        return ("tube.plugged",) if t.pierced else ("tube.pierced", "tube.plugged")
    return ("tube.to_plug", "tube.repaired") if t.leaking else ("tube.leaks", "tube.to_plug")


def _where(ask: Ask, hole: Tube) -> Iterator[str]:
    yield ask.w("tubes.row", row=hole.row)
    yield ask.w("tubes.of_pass", number=hole.tube_pass)
    if bent(ask):
        yield ask.w("tubes.other_hole", other=_other(ask, hole.id))


def _form(ask: Ask, id_: str, kind: str) -> Markup:
    words, fields = FORMS[kind]
    head = el("h3", ask.w(f"tubes.{words}"))
    back = ask.link("tubes", tube=id_, end=end_of(ask))
    legs: tuple[Markup, ...] = ()
    if bent(ask) and "ends" in fields:  # one tubesheet: there is no rear to choose
        fields = tuple(name for name in fields if name != "ends")
        legs = (_legs(ask, id_),) if kind == "tube.plugged" else ()
    return entry_form(ask, kind, head, *legs, button=ask.w(f"tubes.{words}_button"), fields=fields, settled={"tube": id_}, back=back)


def _legs(ask: Ask, id_: str) -> Markup:
    """Which holes of a U-tube are shut: both, or this one alone, which is on record as the front."""
    w, other = ask.w, _other(ask, id_)
    words = [("both", w("tubes.leg_both", tube=id_, other=other)), ("front", w("tubes.leg_one", tube=id_))]
    return choice(w("tubes.legs"), "ends", words)


def _other(ask: Ask, id_: str) -> str:
    """The other hole of a U-tube, ? where no map says it."""
    return other_end(ask.live.exchanger, id_) or "?"


def _waits(ask: Ask, id_: str) -> Markup:
    """What its own next step waits for, where it is on the list."""
    for step in ("PIERCE", "PLUG"):
        code = f"{step}:{id_}"
        if code in ask.live.state.scope.instances and code not in ask.live.state.done:
            head = el("p", el("b", ask.w("tubes.waits", step="")), " ", step_link(ask, code))
            return joined(head, waits(ask, may_now(ask.live.state, code, ask.at)))
    return Markup("")


def _entries(ask: Ask, id_: str) -> Markup:
    rows = [entry_row(ask, e) for e in said_of_tubes(ask).get(id_, ())]
    return el("ul", rows, cls="said") if rows else Markup("")


def entry_row(ask: Ask, e: Event) -> Markup:
    """An entry in a line, leading to it; struck out where it does not stand."""
    told_of = ", ".join(f"{name} {value}".strip() for name, value in entry_parts(ask, e) if name != ask.w.told("tube"))
    text = joined(el("b", kind_said(ask, e)), f" {told_of}")
    told = el("del", text) if e.id in ask.live.struck else text
    number = el("a", ask.w("findings.raised_by", entry=e.number, by=e.by, at=ask.w.at(e.happened_at)), href=_entry(ask, e))
    return el("li", number, " ", told)


def _entry(ask: Ask, e: Event) -> str:
    return ask.link("record", entry=str(e.number))


def said_of_tubes(ask: Ask) -> dict[str, list[Event]]:
    """By tube: the entries about it, in their order."""
    found: dict[str, list[Event]] = {}
    for e in ask.live.events:
        if e.kind.startswith(ABOUT) and "tube" in e.payload:  # a report of walls is about many
            found.setdefault(str(e.payload["tube"]), []).append(e)
    return found
