"""Entries on pressure tests: readings, results, water."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from boxup.hydro.reached import reached_from, reached_said
from boxup.hydro.two_gauges import BEGINS
from boxup.job.fold.engine import TESTING, About, Folding, exchanger_of, tells
from boxup.job.fold.gauge import cold_at_0, cold_before, cold_on, near_frost, over, over_limit, told_apart, too_cold
from boxup.job.fold.planned import wanted
from boxup.job.fold.start import DRAIN_OF, KIND_OF, SIDE_OF, STEP_OF, test_of
from boxup.job.held import held, said_of
from boxup.job.person import among
from boxup.job.reading import reading_of
from boxup.job.state import NO_RESULT, Attempt, TestState
from boxup.record.event import Event


@tells("test.reading")
def reading(f: Folding, e: Event) -> None:
    """The first reading above zero begins an attempt; one at zero lets the side down and ends it, with a result or without."""
    p = e.payload
    test = _test(f, p["test"])
    pressure = float(p["pressure_mpa"])
    if pressure < 0:
        f.notice("warn", f"test {test.code}: a gauge below 0 is no reading of a test; it was not used")
        return
    test.stops = ()
    if pressure > 0 and test.pressure_mpa <= 0:
        _begin(f, test, e)
    near_frost(f, test, p, full=pressure > 0 or _wet(f))
    if pressure > 0:
        _press(f, test, pressure)
        _read_on(f, test, test.attempts[-1], e)
        return
    parted = told_apart(f, test, p)
    cold_at_0(f, test, p)
    if parted and test.pressure_mpa > 0:
        _press(f, test, float(p["gauge_b_mpa"]))  # what one gauge still shows is on, whatever the other says
    else:
        _let_down(f, test, e)


def _press(f: Folding, test: TestState, pressure: float) -> None:
    test.pressure_mpa = pressure
    (f.pressing.add if pressure > 0 else f.pressing.discard)(test.code)


def _read_on(f: Folding, test: TestState, attempt: Attempt, e: Event) -> None:
    """A reading with pressure on."""
    attempt.readings += 1
    attempt.log.append(reading_of(e.happened_at, e.payload))
    if attempt.stamp != f.stamp:
        attempt.stamp = f.stamp
        _snapshot(f, attempt)
    _held(f, test, attempt, e)
    attempt.highest_mpa = max(attempt.highest_mpa, test.pressure_mpa)
    over_limit(f, test, attempt, e.payload)  # the worst is told first
    told_apart(f, test, e.payload)
    cold_on(f, test, attempt, e.payload)


def _let_down(f: Folding, test: TestState, e: Event) -> None:
    """The gauge at 0, vent open: an attempt that ran is over, what was found in it stays; its result may still be signed."""
    was = test.pressure_mpa
    _press(f, test, 0.0)
    drain, of = DRAIN_OF[test.code]
    f.settle(f.code(drain, of if of == "shell" else test.item))
    test.at_0 = reading_of(e.happened_at, e.payload)
    if not test.attempts or was <= 0:
        return
    attempt = test.attempts[-1]
    attempt.held_from = None
    attempt.log.append(test.at_0)
    if attempt.verdict == "running":
        attempt.verdict, attempt.ended = "let down", e.happened_at


def _begin(f: Folding, test: TestState, e: Event) -> None:
    """Pressure goes on. Raised again after a drop to zero it is a new attempt.

    What it waits for is looked at each time, also where the step was begun before: a check may have run out since.
    """
    code = f.code(test.step, test.item)
    stood = f.state.step(code).stand
    test.attempts.append(Attempt(len(test.attempts) + 1, e.happened_at, entry=e.number))
    test.attempts[-1].log += [test.at_0] if test.at_0 else []
    test.attempts[-1].raised = e.happened_at
    if code and stood not in ("begun", "done"):
        f.begin(code, e.happened_at)
    elif code:
        f.look(code, e.happened_at, pressed=True)
    cold_before(f, test, e.payload)


def _unsigned(test: TestState) -> bool:
    """Whether the last attempt has no result yet, with pressure on or let down."""
    return bool(test.attempts) and test.attempts[-1].verdict in NO_RESULT


def _held(f: Folding, test: TestState, attempt: Attempt, e: Event) -> None:
    """How long it was held is what the readings say."""
    gauge = wanted(f, test.code).gauge_mpa
    if gauge is None:
        return
    if test.pressure_mpa >= reached_from(gauge):
        attempt.held_from = attempt.held_from or e.happened_at
        attempt.held_min = max(attempt.held_min, (e.happened_at - attempt.held_from).total_seconds() / 60)
    else:
        attempt.held_from = None


def _lacks(f: Folding, test: TestState, attempt: Attempt, said: Mapping[str, Any]) -> Iterator[str]:
    """Why a pass is not accepted. `said`: the entry of the result."""
    held_min = said.get("held_min")
    if not attempt.readings:
        yield "no reading is on record; enter them, or tick the step with the number of its sheet"
        return
    if attempt.stamp != f.stamp:
        yield "a joint was opened or pulled, or a tube worked on, after the last reading"
    if attempt.over:
        yield "the gauge went above what the side may see"
    yield from _after_over(f, test)
    want = wanted(f, test.code)
    if want.gauge_mpa is not None:
        if attempt.highest_mpa < reached_from(want.gauge_mpa):
            yield f"highest reading {attempt.highest_mpa * 10:.1f} bar, the test is at {reached_said(want.gauge_mpa * 1e6)}"
        held = max(attempt.held_min, held_min or 0.0)
        if said.get("pressure_mpa", want.gauge_mpa) < reached_from(want.gauge_mpa):
            yield f"held at {said['pressure_mpa'] * 10:.1f} bar, the test is at {reached_said(want.gauge_mpa * 1e6)}"
        if want.hold_min is not None and held < want.hold_min - 0.5:
            yield f"held {held:.0f} min by the readings, {want.hold_min:.0f} min are asked for"
    yield from _leaks(f, test, attempt)
    if cold := too_cold(f, test, attempt.coldest):
        yield cold
    yield from _inspector(f, attempt)


def _after_over(f: Folding, test: TestState) -> Iterator[str]:
    """An attempt before this one went over the limit, and what the engineer has looked at then was not done again."""
    for before in test.attempts[:-1]:
        left = [code for code in before.over_undid if code not in f.state.done and _before_testing(f, code)]
        if left:
            yield f"in attempt {before.number} the gauge went above what the side may see; since then not done again: {', '.join(left)}"


def _before_testing(f: Folding, code: str) -> bool:
    """Whether a step belongs to the phases before the tests."""
    here = f.state.scope.instances.get(code)
    return here is not None and here.step.phase < TESTING


def _leaks(f: Folding, test: TestState, attempt: Attempt) -> Iterator[str]:
    """A leak the readings themselves show, whatever the needle did: warming hides one."""
    x = exchanger_of(f.state.file_text) if f.state.file_text else None
    if x is None:
        return
    found = held(x, test.code, sorted(attempt.log, key=lambda r: r.at))
    if found.leaks:
        yield f"{said_of(found)}. Find it, or hold again with the temperature standing"
    yield from (text for text in found.doubts if text.startswith(BEGINS))


def _inspector(f: Folding, attempt: Attempt) -> Iterator[str]:
    """The inspector whom the file names is one of the two."""
    named = f.state.exchanger.identity.inspector if f.state.exchanger else ""
    if named and not among(named, (attempt.by, attempt.second)):
        yield f"{named}, the inspector the file names, has not signed"


@tells("test.over_pressure")
def over_pressure(f: Folding, e: Event) -> None:
    """Somebody saw the gauge above what is allowed."""
    over(
        f,
        e.payload["side"],
        f"gauge at {e.payload['pressure_mpa'] * 10:.1f} bar on the {e.payload['side']} side, over the test pressure allowed",
    )


@tells("test.result")
def result(f: Folding, e: Event) -> None:
    """Passed closes the test with two names; failed means cure, and again from the fill."""
    p = e.payload
    test = _test(f, p["test"])
    code = f.code(test.step, test.item)
    if not _unsigned(test):
        test.attempts.append(Attempt(len(test.attempts) + 1, e.happened_at, entry=e.number))
    attempt = test.attempts[-1]
    attempt.verdict, attempt.ended, attempt.by, attempt.second = p["verdict"], e.happened_at, e.by, p.get("second", "")
    attempt.words, attempt.entry = p.get("words", attempt.words), e.number
    attempt.lacks = tuple(_lacks(f, test, attempt, p)) if p["verdict"] == "passed" else ()
    if p["verdict"] == "passed":
        if code:
            f.tick(code, second=p.get("second", ""))
        return
    if code:
        f.fall(code, f"attempt {attempt.number} failed")
    f.undo("test.result failed", about_test(test), f"test {test.code}, attempt {attempt.number} failed")


def about_test(test: TestState) -> About:
    """A test, for the table of undoing."""
    return About(frozenset({test.item}), frozenset({KIND_OF[test.code]}), test.code, test.side, test.side)


def _snapshot(f: Folding, attempt: Attempt) -> None:
    """What stood under pressure: make-up and gasket item of every joint, work done on every tube."""
    for joint in f.state.joints.values():
        attempt.make_ups[joint.id] = joint.make_up
        attempt.items.update(joint.gaskets)
    attempt.tubes = {tube.id: tube.worked for tube in f.state.tubes.values()}


def _test(f: Folding, name: str) -> TestState:
    """A test by its code or its name in the lists. ValueError where the job has none."""
    found = test_of(f, name)
    if found is None:
        raise ValueError(f"there is no test {name!r} in this job; there are {', '.join(f.state.tests) or 'none'}")
    return found


def _ticked(f: Folding, code: str) -> None:
    """A test ticked without a result: it counts on paper, as an attempt that says so."""
    step = code.partition(":")[0]
    test = next((t for t in f.state.tests.values() if t.step == step), None)
    if test is None or f.event.kind == "test.result":
        return
    if f.event.kind == "step.seconded":
        if test.attempts:
            last = test.attempts[-1]
            last.second = f.tick_of(code).second
            last.lacks = tuple(text for text in last.lacks if "has not signed" not in text) + tuple(
                _inspector(f, last) if last.lacks else ()
            )
            f.settle(code)
        return
    if not _unsigned(test):
        test.attempts.append(Attempt(len(test.attempts) + 1, f.event.happened_at, entry=f.event.number))
    attempt = test.attempts[-1]
    attempt.verdict, attempt.ended, attempt.by, attempt.words = "passed", f.event.happened_at, f.event.by, "ticked; readings on paper"
    attempt.second = f.tick_of(code).second
    _snapshot(f, attempt)


def _seconded(f: Folding, code: str) -> None:
    """The second name of a test is the inspector's, as a rule."""
    test = next((t for t in f.state.tests.values() if t.step == code.partition(":")[0]), None)
    if test and test.attempts:
        last = test.attempts[-1]
        last.second = f.tick_of(code).second
        if last.lacks:
            last.lacks = (*(text for text in last.lacks if "has not signed" not in text), *_inspector(f, last))
        f.settle(code)


def _against_drain(f: Folding, code: str) -> Iterable[str]:
    """Drained is not said of a side whose gauge stands above zero."""
    step, _, item = code.partition(":")
    for test_code, (drain, of) in DRAIN_OF.items():
        test = f.state.tests.get(test_code)
        if test and step == drain and item in ("", of, test.item) and test.pressure_mpa > 0:
            yield f"gauge at {test.pressure_mpa * 10:.1f} bar by the last reading of test {test.code}; enter the reading at 0"


def _filled(f: Folding, code: str) -> None:
    """Water is in again: what was drained after the attempt before is not drained any more."""
    test = code.partition(":")[0].removeprefix("FILL_")
    if test in f.state.tests:
        f.state.tests[test].coldest_at_0_degc = None
        f.state.tests[test].last_degc.clear()
    for drain in _drains(f, test, code.partition(":")[2]):
        f.fall(drain, "filled again")


def _against_test(f: Folding, code: str) -> Iterable[str]:
    """A test whose last attempt failed is not done, whoever ticks it."""
    step = code.partition(":")[0]
    for test in f.state.tests.values():
        if test.step == step and test.attempts:
            last = test.attempts[-1]
            yield from (f"attempt {last.number}: {text}" for text in (("failed",) if last.verdict == "failed" else last.lacks))


# water


@tells("water.chloride_read")
def chloride(f: Folding, e: Event) -> None:
    """Held against the limit of the side, where the file gives one; over it the water goes out again."""
    p = e.payload
    test = _test(f, p["test"])
    limit = f.state.exchanger.side(test.side).chloride_limit_mg_per_l if f.state.exchanger else None
    read = test.chloride_mg_l = float(p["chloride_mg_l"])
    code = f.code(f"CHLOR_{test.code}", test.item)
    if limit is not None and read > limit.si:
        why = f"chloride {read:g} mg/L, limit {limit.si:g} mg/L ({test.side} side)"
        f.notice("stop", f"{why}. Not filled with this water; what is filled is drained, rinsed with good water and dried")
        f.undo("water.chloride_read high", about_test(test), why)
    elif code:
        if limit is None:
            f.notice("warn", f"chloride {read:g} mg/L read, but the file gives no limit for the {test.side} side: ask the inspector")
        f.tick(code)


@tells("water.changed")
def water_changed(f: Folding, e: Event) -> None:
    """The chloride figure belongs to the old water."""
    f.undo("water.changed", About(), f"test water from {e.payload['source']}")


@tells("water.froze")
def froze(f: Folding, e: Event) -> None:
    """No test stands until tube ends and low points are looked at."""
    if not _wet(f):
        f.notice("note", "frost, but by the record no side is full: low points are looked at all the same")
        return
    f.notice("stop", "metal or air near freezing with water in: tube ends and low points are looked at before any test stands")
    f.undo("water.froze", About(), "frost with water in")


def _wet(f: Folding) -> bool:
    """Whether some side was filled for a test and not drained since."""
    done = f.state.done
    full = [test for test in f.state.tests.values() if f.code(f"FILL_{test.code}", test.item) in done]
    return any(done.isdisjoint(_drains(f, test.code, test.item)) for test in full)


def _drains(f: Folding, test: str, item: str) -> tuple[str, ...]:
    """The steps that say a side is empty again: the drain of the test itself, and the last one of the side."""
    drain, of = DRAIN_OF[test]
    last = f.code("DRAINDRY", SIDE_OF[test]) if test in ("S1", "T") else ""
    return tuple(code for code in (f.code(drain, of if of == "shell" else item), last) if code)


def register(f: Folding) -> None:
    """A test step ticked, and a side drained."""
    f.after_tick |= dict.fromkeys(STEP_OF.values(), _ticked)
    f.after_second |= dict.fromkeys(STEP_OF.values(), _seconded)
    f.after_tick |= dict.fromkeys((f"FILL_{code}" for code in STEP_OF), _filled)
    for drain, _ in DRAIN_OF.values():
        f.objections.setdefault(drain, []).append(_against_drain)
    for step in STEP_OF.values():
        f.objections.setdefault(step, []).append(_against_test)
