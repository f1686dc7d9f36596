"""Gauge and thermometers of a test: the form they are entered in, every reading that stands, and the chart of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from boxup.core.rounding import both, customary, metric
from boxup.core.unit import UNITS
from boxup.drawing.chart import Level, Line, Panel, Scale, Span, time_chart
from boxup.hydro.reached import reached_from
from boxup.hydro.sheet import TestAnswer
from boxup.job.fold.start import KIND_OF
from boxup.job.held import held
from boxup.job.pumped import pumped
from boxup.job.reading import readings_from
from boxup.job.state import Attempt, TestState
from boxup.paper.html.element import Markup, el, joined
from boxup.paper.html.parts import drawing as figure
from boxup.paper.html.parts import table
from boxup.paper.sheet import PHONE, WIDE, Drawing
from boxup.record.effective import standing
from boxup.record.event import Event
from boxup.web.ask import Ask
from boxup.web.form import entry_form
from boxup.web.pages import hold, litres
from boxup.web.pages.verdict import came_out

READING, CHLORIDE = "test.reading", "water.chloride_read"
READ = {"pressure": ("pressure_mpa", "MPa"), "gauge_b": ("gauge_b_mpa", "MPa"), "water": ("water_degc", "degC"),
        "metal": ("metal_degc", "degC"), "air": ("air_degc", "degC"), "pumped": ("pumped_l", "L")}  # fmt: skip
TYPED = (*(name for name in READ if name != "gauge_b"), "gauge_b")  # what every reading has first
KINDS = {
    "pressure": "pressure",
    "gauge_b": "pressure",
    "water": "temperature read",
    "metal": "temperature read",
    "air": "temperature read",
    "pumped": "volume",
}
WARM = ("water", "metal", "air")
MOST_LISTED = 80  # rows of one page; the rest is on the page before


@dataclass(frozen=True, slots=True)
class Try:
    """One attempt and its readings; no attempt: the gauge never left 0 after them."""

    attempt: Attempt | None
    readings: tuple[Event, ...]


def entries_of(events: Iterable[Event], test: TestState) -> tuple[Event, ...]:
    """Every reading of a test that stands, of its gauge and of its water, in the order of time."""
    names = (test.code, test.item, KIND_OF[test.code])
    kept = standing([e for e in events if e.kind in (READING, CHLORIDE) or e.corrects]).events
    return tuple(e for e in kept if e.kind in (READING, CHLORIDE) and e.payload["test"] in names)


def tries(test: TestState, readings: Sequence[Event]) -> tuple[Try, ...]:
    """The readings by attempt. At 0 behind a result they let down; a second 0 behind that is the filling for the next attempt."""
    found: list[list[Event]] = [[] for _ in range(len(test.attempts) + 1)]
    n, last = 0, 0.0
    for e in readings:
        pressure = e.payload["pressure_mpa"]
        ended = n < len(test.attempts) and _over(test.attempts[n], e)
        n += ended and (pressure > 0 or last <= 0)
        found[n].append(e)
        last = pressure
    whole = [Try(a, tuple(found[i])) for i, a in enumerate(test.attempts)]
    return (*whole, *([Try(None, tuple(found[-1]))] if found[-1] else []))


def _over(attempt: Attempt, e: Event) -> bool:
    return attempt.verdict != "running" and attempt.ended is not None and e.happened_at > attempt.ended


def form(ask: Ask, test: TestState, readings: Sequence[Event]) -> Markup:
    """What is read off, with what was read the last time shown pale."""
    last = dict(readings[-1].payload.get("typed", {})) if readings else {}
    shown = {name: last[key] for name, (key, _) in READ.items() if key in last}
    return entry_form(
        ask, READING, el("h3", ask.w("test.read_now")), button=ask.w("test.read_button"), settled={"test": test.code},
        fields=(*TYPED, "note"), last=shown, cls="reading",
    )  # fmt: skip


def last_reading(ask: Ask, readings: Sequence[Event]) -> Markup:
    """The gauge as it was read the last time."""
    if not readings:
        return Markup("")
    e = readings[-1]
    return el("p", ask.w("test.last", pressure=said(e.payload, "pressure"), at=ask.w.at(e.happened_at), by=e.by), cls="now")


def said(payload: Any, name: str) -> str:
    """A reading as it was typed, the other system beside it; empty where it was not read."""
    key, unit = READ[name]
    if key not in payload:
        return ""
    si, kind = UNITS[unit].to_si(payload[key]), KINDS[name]
    number, _, typed = payload.get("typed", {}).get(key, "").rpartition(" ")
    if typed not in UNITS or not number:
        return _kept(*both(kind, si).split(" (", 1))
    other = next((str(r) for r in (customary(kind, si), metric(kind, si)) if r.sign != UNITS[typed].sign), "")
    return _kept(f"{number} {UNITS[typed].sign}", other)


def _kept(first: str, other: str = "") -> str:
    """A number stays with its unit where a narrow cell breaks the line."""
    parts = [first, *([f"({other.rstrip(')')})"] if other else [])]
    return " ".join(part.replace(" ", "\u00a0") for part in parts)


def listed(ask: Ask, test: TestState, readings: Sequence[Event], answer: TestAnswer | None) -> Markup:
    """The attempts, the last one first and open, each with its chart and its table."""
    if not readings:
        return el("p", ask.w("test.no_readings"))
    before = ask.query.get("before", "")
    kept = [e for e in readings if not before.isdigit() or e.number < int(before)]
    shown, earlier = {e.number for e in kept[-MOST_LISTED:]}, kept[:-MOST_LISTED]
    parts = [_try(ask, test, one, shown, answer, n) for n, one in enumerate(reversed(tries(test, readings)))]
    more = ask.link("test", test.code, before=str(kept[-MOST_LISTED].number)) if earlier else ""
    return joined(parts, el("p", el("a", ask.w("test.earlier", count=len(earlier)), href=more)) if earlier else "")


def _try(ask: Ask, test: TestState, one: Try, shown: set[int], answer: TestAnswer | None, n: int) -> Markup:
    w, a = ask.w, one.attempt
    head = w("test.attempt", number=a.number, verdict=came_out(ask, a)) if a else w("test.filling")
    names = [name for name in READ if name != "gauge_b" or any(READ[name][0] in e.payload for e in one.readings)]
    rows = [_row(ask, e, names) for e in one.readings if e.number in shown]
    heads = [w(f"test.{k}") for k in ("time", *names, "words", "who", "entry")]
    shows = _shows(ask, test, one, whole=n == 0)
    read = table(heads, rows, cls="readings") if rows else Markup("")
    if read and not n:
        read = el("details", el("summary", w("test.every_reading", count=len(rows))), read)
    inside = joined(_figure(ask, one, answer), shows, read)
    return el("details", el("summary", el("h3", head)), inside, open="" if n else "open")


def _shows(ask: Ask, test: TestState, one: Try, *, whole: bool) -> Markup:
    """What the litres show on the way up, and what the hold shows; of earlier attempts only what it came to."""
    x, read = ask.live.exchanger, readings_from((e.happened_at, e.payload) for e in one.readings)
    on = one.attempt is not None and one.attempt.verdict == "running" and test.pressure_mpa > 0
    number = one.attempt.number if one.attempt else 0
    way_up = litres.shown(ask, pumped(x, test.code, read), test.code, pumping=on) if whole else ""
    return joined(hold.shown(ask, held(x, test.code, read), test.code, number, whole=whole), way_up)


def _row(ask: Ask, e: Event, names: Sequence[str]) -> list[str]:
    correct = el("a", str(e.number), href=ask.link("log", READING, corrects=e.id, back=ask.url, **_given(e)))
    note = e.payload.get("note", "")
    return [ask.w.at(e.happened_at), *(said(e.payload, name) for name in names), note, e.by, correct]


def _given(e: Event) -> dict[str, str]:
    """A reading as its form takes it, so that a slip is put right without typing all of it again."""
    typed = e.payload.get("typed", {})
    values = {name: typed[key] for name, (key, _) in READ.items() if key in typed}
    return values | {key: e.payload[key] for key in ("test", "note") if key in e.payload}


def _figure(ask: Ask, one: Try, answer: TestAnswer | None) -> Markup:
    if len(one.readings) < 2:
        return Markup("")
    w = ask.w
    title = w("test.chart", test=answer.test.code if answer else "", number=one.attempt.number if one.attempt else "–")
    panels, spans = list(_panels(ask, one.readings, answer)), list(_held(ask, one.readings, answer))
    desc = " ".join(_told(e) for e in one.readings[:40])
    chart = time_chart(title, panels, width=WIDE, spans=spans, desc=desc)
    return figure(Drawing(chart, lambda: time_chart(title, panels, width=PHONE, spans=spans, desc=desc)))


def _told(e: Event) -> str:
    return f"{e.happened_at:%H:%M}: {said(e.payload, 'pressure')}."


def _panels(ask: Ask, readings: Sequence[Event], answer: TestAnswer | None) -> Iterator[Panel]:
    w = ask.w
    at_test, least = _asked(answer, "gauge_pressure", "bar"), _asked(answer, "least_temperature", "degC")
    gauge = Line(w("test.gauge_line"), tuple((e.happened_at, e.payload["pressure_mpa"] * 10) for e in readings))
    said_so = metric("pressure", answer.si("gauge_pressure"), "up").text if answer and at_test is not None else ""
    tops = () if at_test is None else (Level(w("test.test_line", value=said_so), at_test),)
    yield Panel("bar", (gauge,), tops, Scale("psi", UNITS["bar"].to_si(1) / UNITS["psi"].to_si(1)), zero=True)
    warm = tuple(line for name in WARM if (line := _line(ask, readings, name)).points)
    lows = () if least is None else (Level(w("test.least_line", value=f"{least:.0f}"), least),)
    yield Panel("°C", warm, lows, Scale("°F", 1.8, 32))


def _line(ask: Ask, readings: Sequence[Event], name: str) -> Line:
    key = READ[name][0]
    return Line(ask.w(f"test.{name}_line"), tuple((e.happened_at, e.payload[key]) for e in readings if key in e.payload))


def _asked(answer: TestAnswer | None, key: str, unit: str) -> float | None:
    return UNITS[unit].from_si(answer.si(key)) if answer and key in answer.values else None


def _held(ask: Ask, readings: Sequence[Event], answer: TestAnswer | None) -> Iterator[Span]:
    """The longest time at the test pressure without a break, as the record counts it."""
    at_test = _asked(answer, "gauge_pressure", "MPa")
    if at_test is None:
        return
    run = longest([(e.happened_at, e.payload["pressure_mpa"] >= reached_from(at_test)) for e in readings])
    if run and run[1] > run[0]:
        yield Span(ask.w("test.held", minutes=f"{(run[1] - run[0]).total_seconds() / 60:.0f}"), *run)


def longest(read: Sequence[tuple[datetime, bool]]) -> tuple[datetime, datetime] | None:
    """From the first to the last of the longest run of readings that are at pressure; None where none is."""
    best: tuple[datetime, datetime] | None = None
    start: datetime | None = None
    for at, on in read:
        start = (start or at) if on else None
        if start and (best is None or at - start > best[1] - best[0]):
            best = (start, at)
    return best
