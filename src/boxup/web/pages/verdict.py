"""How a test came out: by the people who looked, and what the record says to it; and what was seen on the way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from boxup.core.rounding import both
from boxup.core.unit import UNITS
from boxup.hydro.reached import reached_from, reading_counts
from boxup.hydro.sheet import TestAnswer
from boxup.job.state import NO_RESULT, Attempt, JobState, TestState
from boxup.paper.html.element import Markup, el, joined
from boxup.paper.html.parts import table
from boxup.web.ask import Ask
from boxup.web.form import entry_form

# What may be seen on a test: the kind of entry and the fields that are asked; what the test itself settles is not.
SEEN: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("joint.weeped", ("joint", "pressure", "clock")),
    ("tube.leaks", ("tube", "ends")),
    ("plug.leaks", ("tube",)),
    ("test.over_pressure", ("pressure",)),
    ("water.chloride_read", ("chloride_mg_l", "source")),
    ("water.changed", ("source",)),
    ("water.froze", ("metal", "note")),
)  # fmt: skip
OVER = 1.05  # times the test pressure at the gauge: a mark of the gauge and topping up are less
OF_TEST = ("joint.weeped", "tube.leaks", "plug.leaks", "water.chloride_read")


def step_of(state: JobState, test: TestState) -> str:
    """The step of a test as the order of work names it."""
    return next((c for c in (f"{test.step}:{test.item}", test.step) if c in state.scope.instances), test.step)


def word_of(state: JobState, test: TestState) -> str:
    """The word of a test, as a key of the catalogue: how it stands by the record."""
    if test.pressure_mpa > 0:
        return "pressure_on"
    if not test.attempts:
        return "not_begun"
    last = test.attempts[-1]
    if last.verdict != "passed":
        return last.verdict.replace(" ", "_")
    if last.lacks:
        return "not_accepted"
    if last.fell:
        return "fell"
    return "passed" if step_of(state, test) in state.done else "one_name" if _one_name(state, test) else "fell"


def _one_name(state: JobState, test: TestState) -> bool:
    return state.step(step_of(state, test)).stand == "one name"


def verdict(ask: Ask, test: TestState, answer: TestAnswer | None) -> Markup:
    """What the record says to the last attempt, what it was held against, and the form."""
    w, state = ask.w, ask.live.state
    parts = [el("p", w("test.looking"), cls="look")]
    if test.attempts:
        parts += [_says(ask, test, test.attempts[-1]), _against(ask, test, answer)]
    if _one_name(state, test):
        parts.append(entry_form(ask, "step.seconded", button=w("step.second_button"), settled={"step": step_of(state, test)}))
    parts.append(_form(ask, test))
    return el("section", el("h2", w("test.verdict")), parts, id="verdict")


def _form(ask: Ask, test: TestState) -> Markup:
    fields = ("verdict", "second", "pressure", "held", "words")
    return entry_form(ask, "test.result", button=ask.w("test.result_button"), settled={"test": test.code}, fields=fields)


def _says(ask: Ask, test: TestState, a: Attempt) -> Markup:
    w = ask.w
    names = " + ".join(name for name in (a.by, a.second) if name)
    at = a.ended or a.began
    head = w("test.attempt_said", number=a.number, verdict=came_out(ask, a), at=w.at(at), names=names).rstrip(", ")
    words = [el("p", w("test.quoted", words=a.words))] if a.words else []
    return el("div", el("p", el("b", head)), words, *_judged(ask, test, a), cls="entered")


def _judged(ask: Ask, test: TestState, a: Attempt) -> Iterator[Markup]:
    """Accepted by the record, or what is lacking, or why it counts no more."""
    w, state = ask.w, ask.live.state
    if a.verdict in NO_RESULT:
        yield el("p", w("test.still_running" if a.verdict == "running" else "test.still_let_down"))
    if a.over:
        yield el("p", el("b", w("test.was_over")), " ", w.told(a.over))
    if a.verdict == "failed":
        yield el("p", w("test.after_failed"))
    if a.lacks:
        yield el("p", el("b", w("test.lacks")))
        yield el("ul", [el("li", w.told(text)) for text in a.lacks])
    if a.fell:
        yield el("p", el("b", w("test.fell_said")), " ", w.told(a.fell))
    if a.verdict != "passed" or a.lacks or a.fell:
        return
    tick = state.step(step_of(state, test))
    if step_of(state, test) in state.done:
        yield el("p", el("b", w("test.accepted")), " ", w("test.accepted_text"))
    else:
        yield el("p", el("b", w("test.open")), " ", w.told(tick.why) or w("test.open_text"))


def _against(ask: Ask, test: TestState, answer: TestAnswer | None) -> Markup:
    """What was asked for and what the readings say, side by side. What only an eye can judge has no row."""
    if answer is None:
        return Markup("")
    w = ask.w
    rows = [(w(f"test.row_{key}"), w.told(asked), read) for key, asked, read in _compared(test, answer) if asked or read]
    return joined(_over(ask, test, answer), table([w("test.row"), w("test.asked"), w("test.on_record")], rows)) if rows else Markup("")


def _over(ask: Ask, test: TestState, answer: TestAnswer) -> Markup:
    """A highest reading well past the test pressure: a slip of the pencil or a vessel that was pressed too far."""
    highest = test.attempts[-1].highest_mpa * 1e6
    if "gauge_pressure" not in answer.values or highest <= OVER * answer.si("gauge_pressure"):
        return Markup("")
    return el("p", el("b", f"{ask.w('bits.look')}:"), " ", ask.w("test.over", highest=both("pressure", highest)), cls="look")


def _compared(test: TestState, answer: TestAnswer) -> Iterator[tuple[str, str, str]]:
    """The metal counts under pressure only; what was read at 0 since the last fill has its own row."""
    v, a = answer.values, test.attempts[-1]
    gauge = v["gauge_pressure"].si if "gauge_pressure" in v else None
    asked = "; ".join([both("pressure", gauge, "up"), reading_counts(reached_from(gauge))]) if gauge is not None else ""
    yield "pressure", asked, both("pressure", a.highest_mpa * 1e6) if a.readings else "–"
    yield "hold", f"{v['hold'].si / 60:.0f} min" if "hold" in v else "", f"{a.held_min:.0f} min" if a.readings else "–"
    least = both("temperature", v["least_temperature"].si, "up") if "least_temperature" in v else ""
    yield "metal", least, _degrees(a.coldest.get("metal"))
    if "water" in a.coldest:
        yield "water", least, _degrees(a.coldest["water"])
    if test.coldest_at_0_degc is not None:
        yield "metal_at_0", "", _degrees(test.coldest_at_0_degc)


def _degrees(degc: float | None) -> str:
    return "–" if degc is None else both("temperature read", UNITS["degC"].to_si(degc))


def seen(ask: Ask, test: TestState) -> Markup:
    """Forms for what was seen, folded."""
    w = ask.w
    settled = {kind: {"test": test.code} for kind in OF_TEST} | {"test.over_pressure": {"side": test.side}}
    forms = [_seen(ask, kind, fields, settled.get(kind, {})) for kind, fields in SEEN]
    return el("section", el("h2", w("test.what_we_saw"), id="saw"), el("p", w("test.seen_text")), forms)


def _seen(ask: Ask, kind: str, fields: Sequence[str], settled: dict[str, str]) -> Markup:
    name = ask.w(f"test.{kind.replace('.', '_')}")
    form = entry_form(ask, kind, button=ask.w("test.seen_button"), settled=settled, fields=fields)
    return el("details", el("summary", name), form)


def came_out(ask: Ask, a: Attempt) -> str:
    """The word of an attempt: under way, let down, passed, failed."""
    return ask.w(f"test.{a.verdict.replace(' ', '_')}")


def attempts(ask: Ask, test: TestState) -> Markup:
    """Every attempt in one line each; failed ones stay."""
    w = ask.w
    rows = [el("li", f"{a.number}: {came_out(ask, a)}, {w.at(a.ended or a.began)}") for a in test.attempts]
    return el("ul", rows) if rows else Markup(joined("–"))
