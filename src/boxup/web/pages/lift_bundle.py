"""The bundle on its way out and in: the force to stop at, what was read, whether it may begin, slings and gear."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from boxup.core.finding import Finding
from boxup.core.rounding import both, metric
from boxup.drawing.pull import Pull, pull
from boxup.job.live import may_now
from boxup.lift.answer import LiftAnswer
from boxup.lift.hold import bends_too_far
from boxup.lift.slope import Way
from boxup.paper.html.element import Inside, Markup, el, joined
from boxup.paper.html.parts import drawing, table
from boxup.paper.html.work import lift as sheet_of
from boxup.paper.lift import lift_sheets
from boxup.paper.sheet import PHONE, Drawing
from boxup.record.event import Event
from boxup.web.ask import Ask
from boxup.web.bits import finding, folded, step_link, stop, waits
from boxup.web.form import entry_form
from boxup.web.pages.lift_hold import hold_part
from boxup.web.pages.lift_moment import moment_part
from boxup.web.pages.lift_place import place_part, typed_place
from boxup.web.pages.lift_way import along, risen

STEPS: dict[Way, str] = {"pull": "PULL", "insert": "INSERT"}
MOST_SHOWN = 60  # readings on the page; the record has them all
ONCE = {
    "bundle.pulled": ("pulled", ("force",)),
    "bundle.weighed": ("weigh", ("mass", "state")),
    "bundle.forced": ("forced", ("what", "note")),
}
WIDE = 720


def bundle_part(ask: Ask) -> Markup:
    """The moment first: when to stop, what is expected, the form; all else folded. Nothing to lift where it stays in."""
    if ask.live.material.numbers.sling is None:
        return Markup("")
    way, readings = way_of(ask), readings_of(ask)
    stands = el("p", _stands(ask), cls="now")
    moment = joined(moment_part(ask, way, readings), _bends(ask), _read(ask, way), place_part(ask, readings, way))
    if _done(ask, "insert"):  # nothing moves any more: asked for when somebody looks back
        moment = folded(ask.w("lift.on_its_way"), moment, open_=typed_place(ask) is not None)
    against = stops_of_bundle(ask)
    now = (el("h2", ask.w("lift.bundle")), stands, stop(*map(ask.w.told, against)) if against else "", moment)
    read = [_readings(ask, one, readings) for one in (way, _other(way))]
    way_up = el("p", el("a", ask.w("lift.way_up"), href=ask.link("way-up"), cls="button second"))
    return el(
        "section",
        *now,
        _may(ask, way),
        read,
        way_up,
        _weighed(ask),
        _more(ask),
        hold_part(ask, told=[] if _done(ask, "insert") else bends_too_far(ask.live.material.numbers.holding)),
        _sheet(ask),
    )


def stops_of_bundle(ask: Ask) -> tuple[str, ...]:
    """What stands against moving the bundle by its own numbers and by the record, before any number is read; none once it is in."""
    step = STEPS[way_of(ask)]
    if step not in ask.live.state.scope.instances or _done(ask, way_of(ask)):
        return ()
    return may_now(ask.live.state, step, ask.at).against


def _other(way: Way) -> Way:
    return "pull" if way == "insert" else "insert"


def _done(ask: Ask, way: Way) -> bool:
    return STEPS[way] in ask.live.state.done


def way_of(ask: Ask) -> Way:
    """Which way it goes next; an exchanger whose bundle is not pulled this time goes in."""
    pulls = STEPS["pull"] in ask.live.state.scope.instances
    return "pull" if pulls and not _done(ask, "pull") and not _done(ask, "insert") else "insert"


def _stands(ask: Ask) -> str:
    if _done(ask, "insert"):
        return ask.w("lift.is_home")
    return ask.w("lift.is_in_place" if way_of(ask) == "pull" else "lift.is_pulled")


def lift_of(ask: Ask, way: Way) -> LiftAnswer | None:
    """The answer of the lifting room for that way."""
    n = ask.live.material.numbers
    return n.insertion if way == "insert" else n.pulling


def _bends(ask: Ask) -> Markup:
    """Tubes that bend too far as it is slung, before anybody takes the load."""
    return joined(finding(ask, f) for f in bends_too_far(ask.live.material.numbers.holding))


def _may(ask: Ask, way: Way) -> Markup:
    """May it begin, in the order of work; why not."""
    step = STEPS[way]
    if step not in ask.live.state.scope.instances:
        return Markup("")
    head = el("h2", ask.w(f"lift.may_{way}"))
    if _done(ask, way):
        return joined(head, el("p", step_link(ask, step), " ", ask.w("lift.done")))
    answer = may_now(ask.live.state, step, ask.at)
    if answer.may:
        return joined(head, el("p", step_link(ask, step), " ", ask.w("lift.may")))
    against = el("p", el("b", ask.w("lift.may_stopped"))) if answer.against else Markup("")
    summary = el("summary", el("b", ask.w("lift.may_not", count=len(answer.missing))))
    folded = el("details", summary, waits(ask, replace(answer, against=())), cls="more") if answer.missing else Markup("")
    return joined(head, against, folded, el("p", step_link(ask, step)))


def readings_of(ask: Ask) -> list[Event]:
    """What the load cell read, as it stands."""
    return [e for e in ask.live.events if e.kind == "bundle.force_read" and e.id not in ask.live.struck]


def _read(ask: Ask, way: Way) -> Markup:
    w = ask.w
    said = el("p", w("lift.position_said"))
    head = el("h3", f"{w('lift.read')}: {w(f'lift.way_{way}')}")
    return entry_form(
        ask, "bundle.force_read", head, said, button=w("lift.read_button"), fields=("position", "force", "hook"), settled={"way": way},
        back=ask.link("lift"),
    )  # fmt: skip


def _readings(ask: Ask, way: Way, readings: list[Event]) -> Markup:
    """Drawn against the place, and as a table."""
    w, mine = ask.w, [e for e in readings if e.payload["way"] == way]
    head = w("lift.readings", way=w(f"lift.way_{way}").lower())
    if not mine:
        return folded(head, el("p", w("lift.no_readings")))
    heads = [w(f"lift.{k}") for k in ("where", "force", "hook_head", "when")]
    shown = _shown(ask, way, mine)
    link = el("a", w("lift.earlier", count=len(mine) - len(shown)), href=ask.link("record"))
    more = el("p", link) if len(shown) < len(mine) else Markup("")
    up = risen(ask, way, mine)
    return folded(head, ask.w.markup(drawing(_chart(ask, way, shown))), table(heads, [_row(ask, way, e, up) for e in shown]), more)


def _shown(ask: Ask, way: Way, mine: list[Event]) -> list[Event]:
    """The latest readings, and every one at which it should have stopped."""
    return [e for n, e in enumerate(mine, start=1) if n > len(mine) - MOST_SHOWN or _over(ask, way, e)][-2 * MOST_SHOWN :]


def _over(ask: Ask, way: Way, e: Event) -> bool:
    """Whether it was at the stop of its own place."""
    return ask.live.material.numbers.pulls(way).over(float(e.payload["position_m"]), float(e.payload["force_n"]))


def _row(ask: Ask, way: Way, e: Event, up: set[str]) -> list[Inside]:
    force = e.payload["force_n"]
    over = [x for key, so in (("over", _over(ask, way, e)), ("risen", e.id in up)) if so for x in (" ", el("b", ask.w(f"lift.{key}")))]
    number = el("a", ask.w.at(e.happened_at), href=ask.link("record", entry=str(e.number)))
    hook = both("load", e.payload["hook_n"]) if "hook_n" in e.payload else ""
    return [
        el("b", both("position", e.payload["position_m"])),
        joined(both("load", force), *over),
        hook,
        joined(number, " ", el("span", e.by, cls="by")),
    ]


def _chart(ask: Ask, way: Way, mine: list[Event]) -> Drawing:
    x, lift = ask.live.exchanger, lift_of(ask, way)
    low, high, most = (lift.working[s] / 1000 if lift and lift.step(s) else None for s in ("F_1", "F_2", "F_stop"))
    points = tuple((float(e.payload["position_m"]), e.payload["force_n"] / 1000) for e in mine)
    said = f"STOP {metric('load', most * 1000, 'down')}" if most else ""
    length = x.tubes.length.to("m") if x.tubes.length else max(m for m, _ in points)

    def drawn(width: int) -> str:
        return pull(Pull(x.identity.tag, ask.w(f"lift.way_{way}"), length, points, low, high, most, said, width, along(ask, way)))

    return Drawing(drawn(WIDE), lambda: drawn(PHONE))


def _weighed(ask: Ask) -> Markup:
    return joined(el("p", text) for text in _weights(ask))


def _weights(ask: Ask) -> Iterator[str]:
    for e in ask.live.events:
        if e.kind == "bundle.weighed" and e.id not in ask.live.struck:
            mass = both("mass", e.payload["mass_kg"])
            yield ask.w("lift.weighed", mass=mass, state=ask.w.told(e.payload["state"]), by=e.by, at=ask.w.at(e.happened_at))


def _more(ask: Ask) -> Markup:
    """What is said once in a job."""
    w, back = ask.w, ask.link("lift")
    forms = [
        entry_form(ask, kind, el("h3", w(f"lift.{name}")), button=w(f"lift.{name}_button"), fields=fields, back=back)
        for kind, (name, fields) in ONCE.items()
    ]
    return el("details", el("summary", el("b", w("lift.other"))), forms, cls="more")


def _sheet(ask: Ask) -> Markup:
    """The sheet of paper: slings, masses, gear, what to look at and when to stop; what is not given."""
    sheet = next(lift_sheets(ask.live.material)) | {"log": False, "roles": [], "findings": [], "crane": []}
    *parts, _ = sheet_of(sheet, ask.sheet)  # the last is for signing the printed one
    return joined((finding(ask, f) for f in _found(ask)), folded(ask.w("lift.drawing"), ask.w.markup(*parts)))


def _found(ask: Ask) -> list[Finding]:
    """What the slings ask for: that of the pull stands beside its number, that of the crane with the crane."""
    sling = ask.live.material.numbers.sling
    elsewhere = sling.crane.findings if sling and sling.crane else []
    said = stops_of_bundle(ask)
    return [f for f in sling.findings if f.level != "note" and f not in elsewhere and f.text not in said] if sling else []
