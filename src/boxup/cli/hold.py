"""`boxup hydro FILE --hold LOG --test T`: a log of a hold, judged with the rise and the volume of that very side."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from boxup.cli.refusal import Refusal

if TYPE_CHECKING:
    from boxup.core.finding import Finding
    from boxup.exchanger.model import Exchanger
    from boxup.job.held import Held

BELOW = "trade practice, a hold is at test pressure (common practice)"
OVER = 1.1  # times the test pressure: where the relief of the pump stands at the latest; over it the log is in another unit, or worse
# Key in JSON -> symbol of the working, unit.
KEYS = {
    "raw_drop": ("dp_r", "MPa"), "corrected_drop": ("dp_c", "MPa"), "leak": ("Q", "mL/min"), "leak_uncertainty": ("U", "mL/min"),
    "lower_bound": ("Q_1", "mL/min"), "upper_bound": ("Q_2", "mL/min"), "smallest_detectable": ("Q_d", "mL/min"),
    "rise_per_degree": ("g", "MPa/K"), "volume_per_pressure": ("C", "mL/MPa"), "length": ("H", "min"),
}  # fmt: skip


def judged(x: Exchanger, log: str, test: str, gauge_step: str) -> Held:
    """The hold of a log. Refusal for a test the exchanger has not, a log that cannot be read, a step that is no pressure."""
    from boxup.hydro.plan import plan_of
    from boxup.job.held import held_whole

    codes = [t.code for t in plan_of(x)]
    if test not in codes:
        said = f"{test!r} is no test of {x.identity.tag}" if test else "which test the log is of is not said"
        raise Refusal([f"--test: {said}; accepted: {', '.join(codes) or 'none: the plan has no test'}"])
    found = held_whole(x, test, tuple(_readings(log)), step_of(gauge_step))
    if "warm" in found.lacks:
        raise Refusal([f"file: {log}: {found.why}"])
    if "file" in found.lacks:
        raise Refusal([f"the hold of {test} cannot be judged: {found.why} (boxup hydro says what)"])
    return found


def _readings(log: str) -> Iterator[Any]:
    """The log as readings, its minutes from a day of no meaning."""
    from datetime import UTC, datetime, timedelta
    from math import isnan, nan

    from boxup.core.calculation import BadInput
    from boxup.core.unit import UNITS
    from boxup.hydro.hold import COLUMNS
    from boxup.hydro.log_file import read_log
    from boxup.job.reading import Reading

    try:
        table = read_log(log, COLUMNS, ("gauge_b",))
    except BadInput as bad:
        raise Refusal(list(bad.problems)) from bad
    start = datetime(2000, 1, 1, tzinfo=UTC)
    nothing = [nan] * len(table)
    rows = zip(*(table.columns.get(name, nothing) for name in (*COLUMNS, "gauge_b")), strict=True)
    mpa = UNITS["MPa"]
    for seconds, kelvin, pascal, second in rows:
        if abs(seconds) > 7 * 86400:
            raise Refusal([f"file: {table.name}: {seconds / 60:g} min is no hold; accepted: up to a week"])
        yield Reading(start + timedelta(seconds=seconds), mpa.from_si(pascal), UNITS["degC"].from_si(kelvin),
                      second=None if isnan(second) else mpa.from_si(second))  # fmt: skip


def step_of(text: str) -> float | None:
    """A graduation in MPa, None where none is said. Refusal for what is none."""
    from boxup.core.quantity import BadValue, quantity
    from boxup.core.unit import UNITS

    if not text:
        return None
    try:
        found = UNITS["MPa"].from_si(quantity(text, "MPa").si)
    except BadValue as bad:
        raise Refusal([f"--gauge-step {text!r}: {bad}"]) from bad
    if not 0 < found <= 10:
        raise Refusal([f'--gauge-step {text!r} is no graduation of a gauge; accepted: more than 0, such as "0.5 bar"'])
    return found


def asked_of(x: Exchanger, test: str) -> float | None:
    """Test pressure at the gauge, Pa; None where the file does not give it."""
    from boxup.job.full import USUAL_WATER, full

    side = full(x, test, USUAL_WATER)
    return side.gauge if side else None


def as_json(found: Held, test: str, asked: float | None = None, step: float | None = None) -> dict[str, Any]:
    """What it shows, for machines. `asked` and `step` as in `as_text`."""
    off = list(_off(found, asked, step))
    values = {
        key: {"value": value, "unit": unit} for key, (symbol, unit) in KEYS.items() if (value := found.value(symbol, unit)) is not None
    }
    return {
        "test": test,
        "verdict": _verdict(found, off),
        "doubts": list(found.doubts or filter(None, [found.why])),
        "readings": len(found.readings),
        "values": values,
        "findings": [
            *({"level": "stop", "text": text, "source": BELOW} for text in off),
            *(f.as_json() for f in _said(found, off)),
        ],
    }


def _off(found: Held, asked: float | None, step: float | None) -> Iterator[str]:
    """Said of a log that never stood at the pressure of the test, or stood far over it: a leak may open above what it saw.

    `asked`: Pa at the gauge; `step`: MPa, of the gauge.
    """
    from boxup.core.rounding import both
    from boxup.core.unit import UNITS
    from boxup.job.held import below

    if why := below(found.readings, asked, step):
        yield f"No hold of this test: {why.replace('the hold', 'the log', 1)}."
    highest = UNITS["MPa"].to_si(max((r.pressure for r in found.readings), default=0.0))
    if asked is not None and highest > OVER * asked:
        said = f"the log stands at {both('pressure', highest)}, the test at {both('pressure', asked, 'up')} at the gauge"
        yield f"No hold of this test: {said}. Look at the unit of its column; if it was so, the engineer looks first."


def _verdict(found: Held, off: list[str]) -> str:
    """A log at another pressure than that of the test rules nothing out; a leak it shows is one all the same."""
    return found.verdict if found.leaks or not off else "cannot judge"


def _said(found: Held, off: list[str]) -> list[Finding]:
    """The findings of the estimator, less the one that no leak larger than something is shown, where the pressure was another."""
    return [f for f in found.working.all_findings() if not (off and f.text.startswith("No leak larger"))]


def as_text(found: Held, test: str, asked: float | None = None, step: float | None = None) -> Iterator[str]:
    """The verdict, the figures, and that looking decides. `asked`: test pressure at the gauge, Pa, where it can be worked; `step`: MPa."""
    from boxup.hydro.hold import LOOK
    from boxup.hydro.two_gauges import BEGINS

    off = list(_off(found, asked, step))
    yield f"{test}  hold, {len(found.readings)} readings: {_verdict(found, off)}"
    yield from (f"  {text}" for text in found.doubts or filter(None, [found.why]) if not text.startswith(BEGINS))  # that is a stop below
    for key, (symbol, _) in KEYS.items():
        if symbol in found.working.steps and not (key == "upper_bound" and _verdict(found, off) == "cannot judge"):
            figure = _for_people(found, key, symbol)
            yield f"  {key.replace('_', ' '):<22} {figure}"
    yield from (f"  STOP: {text}" for text in off)
    said = [f for f in _said(found, off) if f.text != LOOK]
    yield from (f"  {'STOP' if f.level == 'stop' else 'Look' if f.level == 'warn' else 'Note'}: {f.text}" for f in said)
    yield f"  {LOOK}"


def _for_people(found: Held, key: str, symbol: str) -> str:
    """A figure in what the gauge is read in: bar, psi beside it; machines have MPa."""
    from boxup.core.working import plain

    if key == "rise_per_degree":
        return found.rise_said
    if key == "volume_per_pressure":
        return f"{(found.value(symbol, 'mL/MPa') or 0.0) / 10:.1f} mL/bar"
    if KEYS[key][1] == "MPa":
        bar, psi = (found.value(symbol, unit) or 0.0 for unit in ("bar", "psi"))
        return f"{bar:.2f} bar ({psi:.1f} psi)".replace("-", "−")
    return plain(found.working.steps[symbol], 3)
