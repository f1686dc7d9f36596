"""What is asked about and never refused: readings that no test has, a slip or another unit; a tool with another number than its own."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from boxup.core.rounding import both
from boxup.core.unit import UNITS
from boxup.exchanger.model import Exchanger
from boxup.hydro.circuit import full_scale
from boxup.job.full import USUAL_WATER, full
from boxup.job.serials import other_serial
from boxup.job.state import JobState, TestState
from boxup.record.event import Draft

# Lowest and highest that stands beside a pressure test, degC: nobody looks at joints over 48 °C, and metal may lie in the sun.
BOUNDS = {"water_degc": ("water", -3.0, 60.0), "metal_degc": ("metal", -45.0, 80.0), "air_degc": ("air", -45.0, 60.0)}
TIMES = 20.0  # the test pressure: under that it may be so, goes on record at once and is told as over-pressure
SHARE = 0.05  # of the water that fills the side, from one reading to the next: a test takes a hundredth of it at most
MOST = 100_000.0  # L, where the file does not say how much the side holds
MOST_SAID = 6


def odd(drafts: Sequence[Draft], before: JobState | None) -> tuple[str, ...]:
    """A sentence for each reading among these drafts that no test has, and for each tool whose number is not the one of the list."""
    if before is None:
        return ()
    x = before.exchanger
    tools = tuple(text for d in drafts if x and d.kind == "tool.checked" and (text := other_serial(d.payload, x)))
    found = list(_odd([d for d in drafts if d.kind == "test.reading"], before))
    more = [f"and {len(found) - MOST_SAID} more such readings"] if len(found) > MOST_SAID else []
    return (*tools, *found[:MOST_SAID], *more)


def _odd(readings: Sequence[Draft], before: JobState) -> Iterator[str]:
    litres: dict[str, float | None] = {}
    for d in readings:
        p = d.payload
        test = next((t for t in before.tests.values() if p.get("test") in (t.code, t.item)), None)
        at = f"{d.happened_at:%H:%M}"
        yield from _warm(p, at)
        if test is None or before.exchanger is None:
            continue
        last = litres.get(test.code, _read_last(test))
        yield from _side(p, at, before.exchanger, test, last)
        litres[test.code] = p.get("pumped_l", last)


def _warm(p: Mapping[str, Any], at: str) -> Iterator[str]:
    for key, (what, low, high) in BOUNDS.items():
        if key in p and not low <= p[key] <= high:
            yield f"{at}: {what} at {p[key]:g} °C is beyond what a test has, {low:g} to {high:g} °C. A slip, or °F? Look again"


def _side(p: Mapping[str, Any], at: str, x: Exchanger, test: TestState, last: float | None) -> Iterator[str]:
    side = full(x, test.code, USUAL_WATER)
    gauge = UNITS["MPa"].from_si(side.gauge) if side and side.gauge else None
    if gauge is not None and p["pressure_mpa"] > TIMES * gauge:
        yield f"{at}: gauge at {p['pressure_mpa'] * 10:.1f} bar, the test is at {gauge * 10:.1f} bar. A slip, or another unit? Look again"
    else:
        yield from _off_the_dial(p, at, x)
    pumped = p.get("pumped_l")
    if pumped is None:
        return
    room = UNITS["L"].from_si(side.volume) if side else MOST
    most = room if last is None else SHARE * room
    if abs(pumped - (last or 0.0)) > most:
        since = "" if last is None else f" after {last:g} L"
        yield f"{at}: {pumped:g} L pumped{since}; the whole side holds {room:.0f} L. A slip, or another unit? Look again"


def _off_the_dial(p: Mapping[str, Any], at: str, x: Exchanger) -> Iterator[str]:
    """More than the gauge with the longest range can show, where the file lists gauges and their ranges can be read."""
    ranges = [full_scale(t.range) for t in x.tools if t.kind == "test gauge"]
    tops = [top for top in ranges if top is not None]
    if not tops or len(tops) < len(ranges):
        return
    for what, key in (("gauge", "pressure_mpa"), ("gauge B", "gauge_b_mpa")):
        if UNITS["MPa"].to_si(p.get(key, 0.0)) > max(tops) * (1 + 1e-9):
            read = f"{at}: {what} at {p[key] * 10:.1f} bar; the gauges of the file read to {both('pressure', max(tops))}"
            yield f"{read}. A slip, or psi? Look again"


def _read_last(test: TestState) -> float | None:
    """Litres as read last in this test; None where none were: a meter need not begin at nought."""
    log = [*([test.at_0] if test.at_0 else []), *(test.attempts[-1].log if test.attempts else ())]
    return next((r.pumped for r in reversed(log) if r.pumped is not None), None)
