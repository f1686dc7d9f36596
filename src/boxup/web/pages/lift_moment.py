"""The number of the moment: when to stop at the place where the bundle stands, what is expected and done there."""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast

from boxup.core.rounding import both
from boxup.job.numbers import WAYS
from boxup.lift.figures import hook_said, hung_said, pull_said
from boxup.lift.reading import Pulls
from boxup.lift.slope import Way
from boxup.lift.way_words import do_now
from boxup.paper.html.element import Markup, el, joined
from boxup.paper.html.parts import dashes
from boxup.paper.value import shown
from boxup.record.event import Event
from boxup.web.ask import Ask
from boxup.web.bits import finding, just_entered
from boxup.web.pages.lift_place import typed_place

PART = "moment"
CODES: dict[Way, str] = {"pull": "L-out", "insert": "L-in"}


def moment_part(ask: Ask, way: Way, readings: Sequence[Event]) -> Markup:
    """What the last reading means where it is a STOP; the stop at the place where it stands, else the one for the whole way."""
    mine = [e for e in readings if e.payload["way"] == way]
    metres = where(ask, way, mine)
    return el("section", _last(ask, mine), _stop(ask, way, metres), id=PART, aria_live="polite")


def where(ask: Ask, way: Way, mine: Sequence[Event]) -> float | None:
    """Metres in: the place that was typed, else the one last read, else home for one that is to come out; None before it goes in."""
    typed = typed_place(ask)
    if typed is not None:
        return typed
    if mine:
        return float(mine[-1].payload["position_m"])
    one = ask.live.material.numbers.on_its_way(way)
    return one.home if one and one.known and way == "pull" else None


def _last(ask: Ask, mine: Sequence[Event]) -> Markup:
    """STOP by the last reading, until another is on record; not twice on the page that the form leads to."""
    if not mine or just_entered(ask, mine[-1].number):
        return Markup("")
    return joined(finding(ask, f) for f in ask.live.noticed.get(mine[-1].number, ()) if f.level == "stop")


def _stop(ask: Ask, way: Way, metres: float | None) -> Markup:
    """The number, which is that of the place, and what goes with it."""
    w, n = ask.w, ask.live.material.numbers
    pulls, lift = n.pulls(way), n.insertion if way == "insert" else n.pulling
    stand = pulls.stand(metres) if metres else None
    there = pulls.worked(metres) if metres and stand else None
    limit = there if there is not None else pulls.never
    if lift is None or limit is None:
        do = " ".join(w.told(m.do) for m in lift.missing) if lift else ""
        return el("p", w("lift.no_stop", do=do), cls="missing")
    code = f"{WAYS[way]}-{stand.metres:.2f}" if there is not None and stand else CODES[way]
    head = w(f"lift.stop_at_{way}", **_place(pulls, metres)) if there is not None and metres else w(f"lift.stop_{way}")
    figure = ask.sheet.figure(cast("dict[str, str]", shown("load", limit, "down")))
    number = el("p", figure, " ", ask.sheet.mark(ask.live.material.mark(code)), cls="moment")
    never = el("p", w("lift.never", never=both("load", pulls.never, "down"))) if there is not None and pulls.never else ""
    said = [finding(ask, f) for f in lift.findings if f.level != "note"]
    return joined(el("p", el("b", head)), number, never, _expected(ask, way, pulls, metres), said)


def _place(pulls: Pulls, metres: float) -> dict[str, str]:
    length = pulls.one.working["L"] if pulls.one else metres
    return {"place": both("position", metres), "out": both("position", max(length - metres, 0.0))}


def _expected(ask: Ask, way: Way, pulls: Pulls, metres: float | None) -> Markup:
    """Pull and hook at the place, then what is done there; for the whole way the pull alone."""
    w, stand = ask.w, pulls.stand(metres) if metres else None
    if stand is None or pulls.one is None:
        working = pulls.whole.working if pulls.whole else None
        if working is None or "F_1" not in working.steps:
            return Markup("")
        return el("p", w("lift.expected", pull=pull_said(working)))
    pull = [el("p", w("lift.expected_here"), " ", el("b", pull_said(stand.working)))] if "F_stop" in stand.working.steps else []
    hook = el("p", w("lift.hook_read"), " ", el("b", hook_said(stand)), " ", w.told(hung_said(pulls.one)))
    return joined(pull, hook, dashes(w.told(line) for line in do_now(pulls.one, stand)))
