"""The bundle at a place on its way: what the hook should read, what it should take to move it, when to stop, what to do with the slings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from boxup.job.numbers import WAYS
from boxup.lift.figures import hook_said, pull_said, rests_said, stop_said
from boxup.lift.places import found_at
from boxup.lift.rise import rises
from boxup.lift.slope import Way
from boxup.lift.way import OnItsWay
from boxup.lift.way_words import do_now, stuck
from boxup.paper.html.element import Inside, Markup, el, joined
from boxup.paper.html.parts import dashes
from boxup.record.event import Event
from boxup.web.ask import Ask
from boxup.web.bits import finding

Rows = Iterator[tuple[Inside, Inside]]


def way_of_place(ask: Ask, way: str) -> OnItsWay | None:
    """The way that is asked about, where places on it can be worked."""
    one = ask.live.material.numbers.on_its_way("insert" if way == "insert" else "pull")
    return one if one and one.known else None


def place_rows(ask: Ask, one: OnItsWay, metres: float) -> Rows:
    """What is to be expected there, in the order in which it is looked for."""
    w, stand = ask.w, one.stand(min(max(metres, 0.0), one.home))
    p = stand.working
    if "F_stop" in p.steps:
        yield w("lift.stop_here"), el("b", stop_said(stand), cls="figure")
        yield w("lift.pull_here"), pull_said(stand.working)
    yield w("lift.hook"), hook_said(stand)
    yield w("lift.rests"), rests_said(stand)
    yield w("lift.now"), dashes(w.told(line) for line in do_now(one, stand))
    if here := [w.told(line) for line in found_at(one.exchanger, stand.metres)]:
        yield w("lift.stands"), dashes(here)


def below(ask: Ask, one: OnItsWay, metres: float) -> Markup:
    """Under the rows: what stops it, what to do when it sticks, where the working is."""
    w, stand = ask.w, one.stand(min(max(metres, 0.0), one.home))
    if not stand.metres:
        return Markup("")
    folded = el("details", el("summary", el("b", w("lift.stuck"))), dashes(w.told(line) for line in stuck(one)), cls="more")
    code = f"{WAYS[one.way]}-{stand.metres:.2f}"
    link = el("p", el("a", w("lift.worked"), href=ask.link("why", code)), " ", w("lift.range"))
    return joined((finding(ask, f) for f in stand.working.all_findings()), folded, link)


def risen(ask: Ask, way: Way, events: Sequence[Event]) -> set[str]:
    """Ids of the readings that rose by more than a quarter over the three before them."""
    weight = ask.live.material.numbers.pulls(way).weight
    if weight is None:
        return set()
    forces = [float(e.payload["force_n"]) for e in events]
    return {e.id for n, e in enumerate(events, start=1) if rises(forces[:n], weight)}


def along(ask: Ask, way: Way) -> tuple[tuple[float, float, float, float], ...]:
    """For the chart: metres, pull expected with clean and with dirty bars, stop (kN); each half metre and where a sling comes off."""
    one = way_of_place(ask, way)
    if one is None or "alpha" not in one.working.steps:
        return ()
    marks = [m + d for m in (one.working["s_2"], one.working["s_1"]) for d in (-1e-3, 1e-3)]
    stands = [one.stand(m).working for m in sorted({*one.places(), *(m for m in marks if 0 < m < one.home)}) if m > 0]
    return tuple((w["s"], w["F_1"] / 1000, w["F_2"] / 1000, w["F_stop"] / 1000) for w in stands)
