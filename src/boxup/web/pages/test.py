"""The pressure tests: all of them in their order, and one of them: its number, what it waits for, its readings, how it came out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from boxup.core.rounding import both
from boxup.hydro.sheet import TestAnswer
from boxup.job.fold.start import DRAIN_OF
from boxup.job.held import held
from boxup.job.live import may_now
from boxup.job.may import Answer
from boxup.job.numbers import Numbers
from boxup.job.pumped import pumped
from boxup.job.stale import stale_since
from boxup.job.state import TestState
from boxup.paper.html.element import Markup, el, joined
from boxup.paper.html.parts import dashes, facts, section, table
from boxup.paper.html.parts import drawing as figure
from boxup.paper.sheet import Drawing, Sheet
from boxup.paper.tests import sheet_of_test
from boxup.record.event import Event
from boxup.web import log_in
from boxup.web.ask import Ask, View
from boxup.web.bits import entered, folded, just_entered, step_link, stop, waits
from boxup.web.form import entry_form
from boxup.web.live import NotThere
from boxup.web.pages import hold, litres
from boxup.web.pages.readings import CHLORIDE, READING, entries_of, form, last_reading, listed
from boxup.web.pages.verdict import attempts, seen, step_of, verdict, word_of

PUSH = "THRUST_OK"
MOST_DRAWN = 32  # drawings of tests that are kept
WHILE_ON = ("no_tool", "no_line", "no_leave", "no_raise")


def page_of_all(ask: Ask) -> View:
    """Every test of this job in its order."""
    w = ask.w
    rows = [_row(ask, test, answer) for test, answer in _in_order(ask)]
    heads = [w(f"test.{k}") for k in ("test", "at_gauge", "proves", "attempts", "stands")]
    body = table(heads, rows) if rows else el("p", w("test.none"))
    return View(w("test.title_all"), joined(entered(ask), el("p", w("test.text_all")), body, el("p", w("test.looking"), cls="look")))


def _in_order(ask: Ask) -> Iterator[tuple[TestState, TestAnswer | None]]:
    """By the plan; a test of the record that the plan has not stands last."""
    tests, planned = ask.live.state.tests, {a.test.code: a for a in ask.live.material.numbers.tests}
    codes = [*(code for code in planned if code in tests), *(code for code in tests if code not in planned)]
    return ((tests[code], planned.get(code)) for code in codes)


def _row(ask: Ask, test: TestState, a: TestAnswer | None) -> tuple[str, ...]:
    w = ask.w
    name = w.told(a.test.name) if a else w(f"frame.{test.side}")
    link = el("a", f"{test.code}: {name}", href=ask.link("test", test.code))
    gauge = both("pressure", a.si("gauge_pressure"), "up") if a and "gauge_pressure" in a.values else ""
    proves = "; ".join([", ".join(a.test.proves), *map(w.told, a.test.also)]).strip("; ") if a else ""
    return link, gauge, proves, attempts(ask, test), el("b", w(f"test.{word_of(ask.live.state, test)}"))


def page(ask: Ask) -> View:
    """One test. Once it is filled, what is read and what was seen stand first."""
    test = named(ask)
    answer = next((a for a in ask.live.material.numbers.tests if a.test.code == test.code), None)
    sheet, drawn = _sheet(ask, test.code)
    entries = entries_of(ask.live.events, test)
    readings = [e for e in entries if e.kind == READING]
    on = test.pressure_mpa > 0
    read = el("section", el("h2", ask.w("test.readings"), id="readings"), form(ask, test, readings), log_in.form(ask, test.code),
              _while_on(ask) if on else "",
              listed(ask, test, readings, answer))  # fmt: skip
    work = [read, verdict(ask, test, answer), seen(ask, test), _leaks(ask, sheet) if sheet else ""]
    plan = [drawn, _numbers(ask, test, sheet, entries)] if sheet else []
    head = [
        entered(ask),
        _stops(ask, test, readings),
        _stands(ask, test),
        *((last_reading(ask, readings), _shown_now(ask, test)) if on else ()),
    ]
    rest = _rest(ask, sheet) if sheet else Markup("")
    if _filled(ask, test):  # what was read for preparing it is folded: at the gauge the page is short
        later = [_folded(ask, key, part) for key, part in (("sheet", joined(plan)), ("may", _may(ask, test)), ("stand", rest)) if part]
        parts = [*head, _pressure(ask, sheet) if sheet else "", _jumps(ask), *work, *later]
    else:
        parts = [*head, _jumps(ask), *plan, _water(ask, test, entries), _may(ask, test), *work, rest]
    return View(ask.w("test.title", code=test.code), joined(parts))


def _stops(ask: Ask, test: TestState, readings: Sequence[Event]) -> Markup:
    """What the last reading says stop for, as long as it is the last; told already where it was entered just now."""
    told = not readings or just_entered(ask, readings[-1].number)
    said = [] if told else [ask.w.told(text) for text in test.stops]
    return joined(stop(text) for text in (*said, *_air(ask, test)))


def _air(ask: Ask, test: TestState) -> Sequence[str]:
    """Too much air, as long as there is pressure on it."""
    if test.pressure_mpa <= 0 or not test.attempts:
        return ()
    found = pumped(ask.live.exchanger, test.code, sorted(test.attempts[-1].log, key=lambda r: r.at))
    return tuple(filter(None, (litres.stop_for(ask, found),)))


def _folded(ask: Ask, key: str, part: Markup) -> Markup:
    return el("details", el("summary", ask.w(f"test.fold_{key}")), part, cls="fold")


def _shown_now(ask: Ask, test: TestState) -> Markup:
    """What the hold shows so far, beside the last reading; empty before two readings of a hold."""
    attempt = test.attempts[-1] if test.attempts else None
    found = held(ask.live.exchanger, test.code, sorted(attempt.log, key=lambda r: r.at)) if attempt else None
    return hold.brief(ask, found) if found else Markup("")


_drawn: dict[tuple[str, str, str], tuple[Numbers, Markup]] = {}  # by job, test and language; as long as its numbers are the same ones


def _sheet(ask: Ask, code: str) -> tuple[Sheet | None, Markup]:
    """The sheet of a test, and its drawing in both widths: that is drawn once, not with every reading."""
    m, key = ask.live.material, (ask.live.job, code, ask.w.language)
    kept = _drawn.get(key)
    if kept and kept[0] is m.numbers:
        return sheet_of_test(m, code, Drawing("")), kept[1]
    sheet = sheet_of_test(m, code)
    drawn = ask.w.markup(figure(sheet["drawing"])) if sheet else Markup("")
    while len(_drawn) >= MOST_DRAWN:
        _drawn.pop(next(iter(_drawn)), None)
    _drawn[key] = m.numbers, drawn
    return sheet, drawn


def _water(ask: Ask, test: TestState, entries: Sequence[Event]) -> Markup:
    """The chloride of the water, asked before it is in."""
    read = any(e.kind == CHLORIDE for e in entries) and _done(ask, f"CHLOR_{test.code}")
    if read or step_of(ask.live.state, test) in ask.live.state.done:
        return Markup("")
    settled, fields = {"test": test.code}, ("chloride_mg_l", "source")
    head = el("h3", ask.w("test.water_chloride_read"))
    return entry_form(ask, CHLORIDE, head, button=ask.w("test.read_button"), settled=settled, fields=fields)


def _filled(ask: Ask, test: TestState) -> bool:
    """Water is in for this test: from here on it is read, not prepared."""
    state = ask.live.state
    return test.pressure_mpa > 0 or (step_of(state, test) not in state.done and f"FILL_{test.code}:{test.item}" in state.done)


def _jumps(ask: Ask) -> Markup:
    places = (("readings", "readings"), ("verdict", "verdict"), ("saw", "what_we_saw"), ("leaks", "leak_means"), ("stand", "how_it_stands"))
    return el("p", [el("a", ask.w(f"test.{name}"), href=f"#{place}") for place, name in places], cls="to")


def named(ask: Ask) -> TestState:
    """The test in the address, by its code or its name in the lists. NotThere for another."""
    name, tests = ask.path["test"], ask.live.state.tests
    found = tests.get(name) or next((t for t in tests.values() if t.item == name), None)
    if found is None:
        raise NotThere(f"there is no test {name!r} in this job; there are {', '.join(tests) or 'none'}")
    return found


def _stands(ask: Ask, test: TestState) -> Markup:
    w = ask.w
    name = next((a.test.name for a in ask.live.material.numbers.tests if a.test.code == test.code), "")
    return el(
        "p", f"{test.code}: {w.told(name) or w(f'frame.{test.side}')}. ", el("b", w(f"test.{word_of(ask.live.state, test)}")), cls="stands"
    )


def _while_on(ask: Ask) -> Markup:
    """What may not be done while the gauge stands above 0."""
    said = [el("li", ask.w(f"test.{key}")) for key in WHILE_ON]
    return el("div", el("p", el("b", ask.w("test.while_on"))), el("ul", said), cls="decides")


def _pressure(ask: Ask, sheet: Sheet) -> Markup:
    """The number of the moment."""
    p, first = ask.sheet, sheet["numbers"][0]
    return joined(
        el("p", ask.w.told(first["label"]), cls="who"), el("p", p.figure(first["value"]), " ", p.mark(first["mark"]), cls="moment")
    )


def _numbers(ask: Ask, test: TestState, sheet: Sheet, entries: Sequence[Event]) -> Markup:
    """The pressure as large as it goes, then the others, each leading to its working; what is missing, unless it is on record since."""
    p, w = ask.sheet, ask.w
    rows: list[tuple[str, Markup]] = []
    for n in sheet["numbers"][1:]:
        rows.append((w.told(n["label"]), joined(p.figure(n["value"]), " ", p.mark(n["mark"]))))
    chloride = [e for e in entries if e.kind == CHLORIDE]
    if chloride:
        rows.append((w("test.chloride"), _chloride(ask, chloride[-1])))
    settled = [words for words, on in (("end push", _done(ask, PUSH)), ("chloride", chloride and _done(ask, f"CHLOR_{test.code}"))) if on]
    missing = [m for m in sheet["missing"] if not any(words in m["number"] for words in settled)]
    inside = (_push(ask, sheet), facts(rows), p.missing(missing), p.findings(sheet["findings"]))
    return el("section", _pressure(ask, sheet) if not _filled(ask, test) else "", *inside, cls="next")


def _chloride(ask: Ask, e: Event) -> Markup:
    """What was read of the water the last time."""
    return joined(ask.w("test.chloride_read", value=f"{e.payload['chloride_mg_l']:g}", at=ask.w.at(e.happened_at), by=e.by))


def _done(ask: Ask, step: str) -> bool:
    """Every item of a step is done; so it is where the order of work has no such step."""
    return all(i.code in ask.live.state.done for i in ask.live.state.scope.by_step.get(step, ()))


def _push(ask: Ask, sheet: Sheet) -> Markup:
    """No water before the engineer has accepted the push on tubes and rear tubesheet; then who did."""
    if not sheet["gates"]:
        return Markup("")
    tick, state = ask.live.state.step(PUSH), ask.live.state
    if PUSH in state.done and tick.at:
        return el("p", step_link(ask, PUSH), " ", ask.w("test.push_accepted", by=tick.by, at=ask.w.at(tick.at)))
    return stop(ask.w("test.push_first"), step_link(ask, PUSH))


def _may(ask: Ask, test: TestState) -> Markup:
    """May it begin, what it waits for, and how its own steps stand."""
    w, state, code = ask.w, ask.live.state, step_of(ask.live.state, test)
    head = el("h2", w("test.may_begin"))
    own = _chain(ask, test)
    if code in state.done:
        return el("section", head, el("p", w("test.done")), own)
    if code not in state.scope.instances:
        return el("section", head, el("p", w("test.no_step")), own)
    answer = may_now(state, code, ask.at)
    if test.pressure_mpa > 0:
        return el("section", head, _pressed(ask, answer), own)
    if not answer.may:
        no = el("p", el("b", w("test.may_not", code=code)))
        return el("section", head, no, waits(ask, answer), _fill(ask, test), own)
    begin = entry_form(ask, "step.started", button=w("test.begin_button"), settled={"step": code}, cls="begin")
    return el("section", head, el("p", w("step.may")), begin if state.step(code).stand != "begun" else "", own)


def _pressed(ask: Ask, answer: Answer) -> Markup:
    """With pressure on nothing begins: what ran out or is undone is done before it is raised again, and said to whoever is in charge."""
    if answer.may:
        return el("p", ask.w("test.is_pressed"))
    return joined(el("p", el("b", ask.w("test.since_pressed"))), waits(ask, answer, pressed=True))


def _fill(ask: Ask, test: TestState) -> Markup:
    """What the filling waits for, where it has not been filled: blinds, small bore, relief come before water."""
    state, w = ask.live.state, ask.w
    code = next((c for c in (f"FILL_{test.code}:{test.item}", f"FILL_{test.code}") if c in state.scope.instances), "")
    if not code or code in state.done:
        return Markup("")
    answer = may_now(state, code, ask.at)
    inside = el("p", w("step.may")) if answer.may else waits(ask, answer)
    return el("details", el("summary", el("h3", w("test.before_water", code=code))), inside)


def _chain(ask: Ask, test: TestState) -> Markup:
    """The steps of this test, each with how it stands and its link."""
    state, w = ask.live.state, ask.w
    mine = [f"{name}_{test.code}" for name in ("CHLOR", "RV", "FILL", "MDT", "TESTZONE")] + [test.step, DRAIN_OF[test.code][0]]
    drained = DRAIN_OF[test.code][1]
    found = [
        i for step in mine for i in state.scope.by_step.get(step, ()) if step != mine[-1] or not i.item or i.item.id in (drained, test.item)
    ]
    rows = [el("li", step_link(ask, i.code), el("b", _how(ask, test, i.code, [one.code for one in found]))) for i in found]
    return joined(el("h3", w("test.its_steps")), el("ul", rows, cls="chain"))


def _how(ask: Ask, test: TestState, code: str, chain: Sequence[str]) -> str:
    """How a step stands. A check that has run out is not done while a step of this test that it guards is: with pressure on, what counts
    is whether it was good when pressure went on."""
    w, state = ask.w, ask.live.state
    at = test.attempts[-1].raised if test.pressure_mpa > 0 and test.attempts else None
    guarded = [one for one in chain if one not in state.done]
    old = [since for one in guarded if code in state.done and (since := stale_since(state, code, one, at or ask.at))]
    if old:
        return w("test.ran_out" if at else "test.ran_out_again", at=f"{old[0]:%H:%M}")
    return w(f"step.{state.step(code).stand.replace(' ', '_')}")


def _rest(ask: Ask, s: Sheet) -> Markup:
    """What is on, off and open, the stages, the cautions: as on the sheet of paper."""
    w = ask.w
    left, right = ([section(w.told(part["title"]), dashes(map(w.told, part["lines"]))) for part in s[side]] for side in ("left", "right"))
    lists = el("div", el("div", left), el("div", right), cls="halves")
    before = section(w("test.before_pump"), dashes(map(w.told, s["before"])))
    stages = section(w("test.stages"), el("ol", [el("li", w.told(text)) for text in s["stages"]]))
    cautions = section(w("test.cautions"), dashes(map(w.told, s["cautions"])))
    head = el("h2", w("test.how_it_stands"), id="stand")
    return el("section", head, lists, el("div", before, stages, cls="halves"), cautions)


def _leaks(ask: Ask, s: Sheet) -> Markup:
    """Where water shows and what it means, beside what was seen; folded, for it is long and most of it is not this leak."""
    w = ask.w
    rows = [(el("b", w.told(x["seen"])), w.told(x["means"])) for x in s["leaks"]]
    inside = table([w("test.water_here"), w("test.means")], rows, cls="talk")
    return el("section", folded(w("test.leak_means"), inside), id="leaks")
