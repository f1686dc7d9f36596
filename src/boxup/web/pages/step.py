"""One step: what, who, what to look at, its number, why it waits; and the form that puts it on record."""

from __future__ import annotations

from collections.abc import Iterator

from boxup.job.card import explain
from boxup.job.live import may_now
from boxup.job.roles import SIGNED_AS
from boxup.job.scope import Instance
from boxup.job.stale import run_out
from boxup.job.steps import StepError
from boxup.lift.gear import BUNDLE, PULLER, gear_for
from boxup.paper.html.element import Markup, el, joined
from boxup.paper.html.parts import facts
from boxup.paper.steps import ON_A_HOOK
from boxup.paper.value import told
from boxup.record.kinds import kinds
from boxup.web.ask import Ask, View
from boxup.web.bits import entered, place_of, waits, what, who
from boxup.web.form import entry_form
from boxup.web.live import NotThere
from boxup.web.pages.way_up import STEP as WAY_UP
from boxup.web.pages.way_up import way_up_part

ALSO = {  # where a step is closed by a fact of its own
    "GKT_RCV": "gasket.received", "TOOLCAL": "tool.checked", "PULL": "bundle.pulled", "PIERCE": "tube.pierced", "PLUG": "tube.plugged",
}  # fmt: skip


GASKET = "GKT_"
PLANNED = ("LIFTPLAN", "SUPPORT_OFF")  # where the gear of a head is looked at
# Steps that are about a figure: a tick without it says nothing.
READ = (
    "MDT_S1", "MDT_T", "MDT_S2", "RV_S1", "RV_T", "RV_S2", "FILL_S1", "FILL_T", "FILL_S2", "TOOLTAB", "ZERO", "ZERO_OUT", "GAS_BREAK",
    "ENTRY_GAS",
)  # fmt: skip


def page(ask: Ask) -> View:
    """The step, may it begin, and its forms. Several items of one step are ticked on one page."""
    code, scope = ask.path["step"], ask.live.state.scope
    try:
        mine = scope.named(code)
    except StepError as bad:
        raise NotThere(str(bad)) from bad
    one = mine[0]
    items = [i for i in scope.instances.values() if i.step.code == one.step.code]
    parts = [entered(ask), el("p", what(ask, one), cls="now"), el("p", who(ask, one), cls="who"), _stands(ask, one), _may(ask, one)]
    parts += [
        _tags(ask, one),
        _elsewhere(ask, one),
        _card(ask, code),
        way_up_part(ask, turns=False) if one.step.code == WAY_UP else Markup(""),
        *_forms(ask, one, items),
    ]
    return View(ask.w("step.title", code=one.code), joined(parts))


def _stands(ask: Ask, one: Instance) -> Markup:
    tick, w = ask.live.state.step(one.code), ask.w
    if since := run_out(ask.live.state, ask.at).get(one.code):
        return el("p", el("b", w("step.ran_out", at=w.at(since))), cls="stands look")
    said = w(f"step.{tick.stand.replace(' ', '_')}")
    if tick.at and tick.stand not in ("not done", "begun"):
        said += f", {ask.w.at(tick.at)}, {tick.by}" + (f" + {tick.second}" if tick.second else "")
    if tick.stand == "begun" and tick.begun_at:
        said += f", {ask.w.at(tick.begun_at)}"
    why = f": {w.told(tick.why)}" if tick.why else ""
    return el("p", el("b", said), why, cls="stands")


def _may(ask: Ask, one: Instance) -> Markup:
    answer = may_now(ask.live.state, one.code, ask.at)
    if answer.may:
        return el("p", ask.w("step.may"))
    return joined(el("h2", ask.w("step.may_not")), waits(ask, answer))


def _tags(ask: Ask, one: Instance) -> Markup:
    """Gear whose tag is old, or read on a day still to come: of the bundle where it moves, all of it for a lift plan or a head."""
    m, code = ask.live.material, one.step.code
    if code not in (*ON_A_HOOK, *PLANNED):
        return Markup("")
    mine = gear_for(m.exchanger.gear, *BUNDLE, *PULLER) if code in ON_A_HOOK else m.exchanger.gear
    return ask.sheet.findings(told(m.numbers.tags(m.issued.isoformat(), mine)))


def _elsewhere(ask: Ask, one: Instance) -> Markup:
    place = place_of(ask, one)
    if place == ask.link("step", one.code):
        return Markup("")
    return el("p", el("a", ask.w("step.its_page"), href=place, cls="button"))


def _card(ask: Ask, code: str) -> Markup:
    step, w = explain(code, ask.live.state.scope).step, ask.w
    rows = [(w(f"step.{name}"), w.told(text)) for name, text in (
        ("look", step.looks_at), ("number", step.number_needed), ("paper", step.paper), ("time", step.time), ("stops", step.stops),
    ) if text]  # fmt: skip
    return joined(facts(rows), el("p", el("small", f"{w.told(step.source)} ({w.told(step.label)})")))


def _forms(ask: Ask, one: Instance, items: list[Instance]) -> Iterator[Markup]:
    w, settled = ask.w, {"step": one.code}
    if (also := ALSO.get(one.step.code)) and one.item:
        yield _fact(ask, one, also)
    if one.step.code.startswith(GASKET) and one.item and one.step.code not in ALSO:
        yield _gasket_in(ask, one)
    elif one.step.code not in ALSO:
        yield joined(el("h2", w("step.record")), _begin(ask, one))
        pick = _items(ask, one, items) if len(items) > 1 else Markup("")
        fields: tuple[str, ...] = ("second", "reading", "paper", "note")
        must: tuple[str, ...] = ("reading",) if one.step.code in READ else ()
        if one.step.code in SIGNED_AS:
            fields, must = ("role", *fields), ("role",)
        done = {} if pick else settled
        yield entry_form(ask, "step.done", pick, button=w("step.done_button"), fields=fields, settled=done, must=must)
    if ask.live.state.step(one.code).stand == "one name":
        yield entry_form(ask, "step.seconded", button=w("step.second_button"), settled=settled)
    hold = entry_form(ask, "hold.signed", button=w("step.hold_button"), fields=("role", "verdict", "words"), settled=settled)
    again = entry_form(ask, "step.reopened", button=w("step.again_button"), fields=("why",), settled=settled)
    yield el("details", el("summary", w("step.more")), hold, again, cls="more")


def _fact(ask: Ask, one: Instance, kind: str) -> Markup:
    """The entry that closes this step of itself."""
    given = {"gasket.received": "gasket", "tool.checked": "tool", "tube.pierced": "tube", "tube.plugged": "tube"}.get(kind, "")
    item = one.item.id if one.item else ""
    fields = [f.typed_name for f in kinds()[kind].fields.values() if f.typed_name != given]
    return entry_form(ask, kind, button=ask.w("step.fact_button"), fields=fields, settled={given: item} if given else {})


def _gasket_in(ask: Ask, one: Instance) -> Markup:
    """A gasket is in when an item is: a tick alone would leave the joint with nothing in it."""
    item = one.item.id if one.item else ""
    return entry_form(ask, "gasket.fitted", button=ask.w("step.fact_button"), fields=("item",), settled={"joint": item})


def _begin(ask: Ask, one: Instance) -> Markup:
    if ask.live.state.step(one.code).stand in ("begun", "done"):
        return Markup("")
    return entry_form(ask, "step.started", button=ask.w("step.begin_button"), settled={"step": one.code}, cls="begin")


def _items(ask: Ask, one: Instance, items: list[Instance]) -> Markup:
    """The items of the step, those still open to be ticked; the one of this page is."""
    boxes = [
        el(
            "label",
            el("input", type="checkbox", name="step", value=i.code, checked="checked" if i.code == one.code else ""),
            el("span", f"{i.code.partition(':')[2]}{' ✓' if i.code in ask.live.state.done else ''}"),
        )
        for i in items
    ]
    return el("fieldset", el("legend", ask.w("step.items")), el("div", boxes, cls="words"))
