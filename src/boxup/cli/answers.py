"""`boxup hydro, lift, bundle, why`: the answers of a room for one exchanger."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from boxup.cli.live import DB, as_it_is
from boxup.cli.refusal import Refusal

if TYPE_CHECKING:
    from boxup.core.finding import Finding, Missing
    from boxup.core.rounding import Way
    from boxup.core.working import Step
    from boxup.hydro.sheet import TestAnswer
    from boxup.job.numbers import Numbers
    from boxup.lift.bundle_lift import LiftAnswer

FILE = click.argument("file", type=click.Path())
JSON = click.option("--json", "as_json", is_flag=True, help="For machines.")


def numbers_of(file: str, db: str | None) -> Numbers:
    """Every number of the exchanger as it is on record."""
    from boxup.job.numbers import numbers

    return numbers(as_it_is(file, db))


def out(as_json: bool, data: Callable[[], Any], text: Callable[[], Iterable[str]]) -> None:
    """Print the one or the other."""
    click.echo(json.dumps(data(), ensure_ascii=False, indent=1) if as_json else "\n".join(text()))


@click.command("hydro")
@FILE
@click.option("--gauge-below-top", "gauges", multiple=True, metavar="HEIGHT",
              help='How far the test gauge hangs below the top: "3.5 m" for both sides, "tube=3.5 m" for one.')  # fmt: skip
@click.option("--hold", "log", metavar="LOG.csv", help="Judge a log of a hold (t_min, T_water_C, P_MPa_gauge), the whole of it.")
@click.option("--test", "code", default="", metavar="CODE", help="The test the log is of: S1, T, S2.")
@click.option("--gauge-step", "step", default="", metavar="PRESSURE",
              help='Smallest mark of the gauge of that log, "0.5 bar"; if left out the smallest step seen, not under 0.1 bar.')  # fmt: skip
@JSON
@DB
def hydro_command(
    file: str, gauges: tuple[str, ...], log: str | None, code: str, step: str, as_json: bool, db: str | None
) -> None:  # fmt: skip
    """The pressure tests in order, with what is on, off and open, and every figure of each; or what the log of a hold shows."""
    from boxup.cli import hold
    from boxup.cli.gauge import hung
    from boxup.job.numbers import numbers

    if log is None and (code or step):
        raise Refusal(["--test and --gauge-step say something about a log: give it with --hold LOG.csv"])
    exchanger = hung(as_it_is(file, db), gauges)
    if log is not None:
        found = hold.judged(exchanger, log, code, step)
        asked = hold.asked_of(exchanger, code)
        out(as_json, lambda: hold.as_json(found, code, asked), lambda: hold.as_text(found, code, asked))
        return
    n = numbers(exchanger)
    out(as_json, lambda: [_test_json(t) for t in n.tests], lambda: _tests_text(n.tests))


def _tests_text(tests: Iterable[TestAnswer]) -> Iterator[str]:
    """Every test, then the cautions, each once."""
    for t in tests:
        yield from _test_text(t)
    yield "Cautions"
    yield from dict.fromkeys(f"  {c.sentence}" for t in tests for c in t.cautions)


_KINDS = {
    "volume_per_pressure": "",
    "pressure": "pressure",
    "relief": "pressure",
    "gauge_low": "pressure",
    "gauge_high": "pressure",
    "ten_degrees_warmer": "pressure",
    "temperature": "temperature",
    "fill": "volume",
    "pump_in": "volume",
    "pump_in_with_air": "volume",
    "end_push": "load",
    "height": "length",
    "gauge_below_top": "position",
    "tube_collapse": "pressure",
    "tube_outside_allowable": "pressure",
    "ice_growth": "volume",
    "air_stand_off": "position",
}


def _kind(key: str) -> str:
    """The way this value is rounded; nothing for one that is shown as it is."""
    return _KINDS.get(key, _KINDS.get(key.rpartition("_")[2], ""))


# Said so that nobody sets the pump by the wrong one.
_NAMED = {
    "standing_relief": "relief when left full (NOT the pump's)",
    "test_pressure": "test pressure, at the top",
    "examination_pressure": "examination pressure, at the top",
    "gauge_pressure": "gauge reads at test pressure",
    "examination_gauge_pressure": "gauge reads at the examination",
    "gauge_below_top": "gauge hangs below the top",
    "height": "water under test, top to low end",
    "low_end_pressure": "low end sees at test pressure",
    "pump_relief": "relief of the pump, at the top, at most",
    "low_end_pump_relief": "the same relief at the low end, at most",
    "half_gauge_pressure": "gauge at half: stop and look",
    "step_pressure": "then steps at the gauge of at most",
    "gauge_low": "gauge, full scale at least",
    "gauge_high": "gauge, full scale at most",
    "least_temperature": "metal and water at least",
    "highest_temperature": "metal and water at most, to look",
    "tube_collapse": "folds the tubes from outside, worked",
    "tube_outside_allowable": "a third of that, for the engineer",
    "zero_rise_temperature": "a degree does nothing at",
    "stored_energy": "water holds ready",
    "stored_energy_air": "0.2 % of air in it, as well",
    "air_energy": "full of air instead",
    "air_stand_off": "and everybody that far back",
    "ice_growth": "frozen it wants more room",
    "end_push": "end push, for the engineer",
    "tube_pull": "pull in the tubes, for the engineer",
}


_DOWN = (
    "standing_relief", "pump_relief", "low_end_pump_relief", "gauge_high", "step_pressure", "highest_temperature", "tube_collapse",
    "tube_outside_allowable",
)  # fmt: skip


def _way(key: str) -> Way:
    """Never towards danger: what must be reached rounds up, what must not be passed rounds down."""
    return (
        "down"
        if key in _DOWN
        else "near"
        if key in ("fill", "pump_in", "pump_in_with_air", "ice_growth", "zero_rise_temperature")
        else "up"
    )


def _test_json(t: TestAnswer) -> dict[str, Any]:
    p = t.test
    return {
        "test": p.code,
        "step": p.step,
        "name": p.name,
        "side": p.side,
        "on": p.on,
        "off": p.off,
        "open": p.open,
        "vent": p.vent,
        "gear": p.gear,
        "proves": p.proves,
        "also": p.also,
        "cannot_prove": p.cannot_prove,
        "shows": p.shows,
        "other_side": p.other_side,
        "values": {k: {"value": s.value, "unit": s.unit} for k, s in t.values.items()},
        "missing": missing_json(t.missing),
        "findings": [f.as_json() for f in t.findings],
        "cautions": [c.sentence for c in t.cautions],
    }


def _test_text(t: TestAnswer) -> Iterator[str]:
    from boxup.core.rounding import both
    from boxup.core.working import Assumed

    p = t.test
    yield f"{p.code}  {p.name} ({p.side} side)"
    for label, words in (
        ("on", p.on),
        ("off", p.off),
        ("open", (p.open,)),
        ("vented", p.vent),
        ("gear", p.gear),
        ("proves joints", p.proves),
        ("proves also", p.also),
        ("look at", p.shows),
        ("other side", p.other_side),
        ("cannot prove", p.cannot_prove),
    ):
        if any(words):
            yield f"  {label + ':':<15}{'; '.join(words)}"
    for key, step in t.values.items():
        figure = both(_kind(key), step.si, _way(key)) if _kind(key) else _figure(step)
        taken = ", taken so: not given" if isinstance(step.origin, Assumed) else ""
        yield f"  {_NAMED.get(key, key.replace('_', ' ')):<40} {figure}{taken}"
    yield from said(t.missing, t.findings)
    yield ""


@click.command("lift")
@FILE
@JSON
@DB
def lift_command(file: str, as_json: bool, db: str | None) -> None:
    """Bundle on its slings, pull going in and coming out, heads and covers."""
    n = numbers_of(file, db)
    lifts = {k: v for k, v in {"slings": n.sling, "insertion": n.insertion, "pulling": n.pulling, **n.heads}.items() if v is not None}
    out(as_json, lambda: {k: _lift_json(v) for k, v in lifts.items()}, lambda: (line for v in lifts.values() for line in _lift_text(v)))


def _lift_json(a: LiftAnswer) -> dict[str, Any]:
    values = {s.symbol: {"label": s.label, "value": s.value, "unit": s.unit} for s in a.working.steps.values()}
    return {"what": a.name, "values": values, "missing": missing_json(a.missing), "findings": [f.as_json() for f in a.findings]}


# How a figure is rounded, by its unit; never towards danger. The pull to stop at and what a tag allows round down.
_BY_UNIT: dict[str, tuple[str, Way]] = {
    "kN": ("load", "up"), "kg": ("mass", "up"), "deg": ("angle", "down"), "m": ("position", "near"), "MPa": ("stress", "up"),
    "MPa/K": ("rise", "up"),
}  # fmt: skip
_THREE_FIGURES = ("m/s2", "mL/MPa", "kJ", "MJ")  # more than three of them nobody can use
_STOPS_AT = ("F_stop", "C")


def _figure(s: Step) -> str:
    """A step as the trade reads it."""
    from boxup.core.rounding import both
    from boxup.core.working import plain

    if s.unit in _THREE_FIGURES:
        return plain(s, 3)
    kind, way = _BY_UNIT.get(s.unit, ("", "near"))
    return both(kind, s.si, "down" if s.symbol in _STOPS_AT else way) if kind else plain(s)


def _lift_text(a: LiftAnswer) -> Iterator[str]:
    yield a.name
    stop = a.step("F_stop")
    for s in a.working.steps.values():
        same = stop if stop is not None and s.symbol == "F_2" and s.si >= stop.si * (1 - 1e-9) else s  # one figure is shown as one
        yield f"  {_figure(same):<24} {s.label}"
    yield from said(a.missing, a.findings)
    yield ""


@click.command("bundle")
@FILE
@JSON
@DB
def bundle_command(file: str, as_json: bool, db: str | None) -> None:
    """Tubes by pass, what plugs cost, and the masses of the bundle and every part that is lifted."""
    n = numbers_of(file, db)
    out(as_json, lambda: _bundle_json(n), lambda: _bundle_text(n))


def _bundle_json(n: Numbers) -> dict[str, Any]:
    from boxup.cli import plugging
    from boxup.core.calculation import Answer

    by_pass, told = _by_pass(n)
    mass = n.bundle.as_json()["answers"] if isinstance(n.bundle, Answer) else None
    lifted = [{"id": p.id, "what": p.what, "mass": _plain_value(p.mass), "lift_mass": _plain_value(p.lift_mass)} for p in n.parts]
    return {"holes_by_pass": by_pass, "told": told, "bundle": mass, "parts": lifted, "missing": missing_json(n.missing()),
            "after_plugging": plugging.as_json(n)}  # fmt: skip


def _plain_value(q: Any) -> dict[str, Any] | None:
    return {"value": q.to("kg"), "unit": "kg", "grade": q.grade} if q else None


def _by_pass(n: Numbers) -> tuple[dict[int, int], list[str]]:
    from collections import Counter

    from boxup.core.finding import Missing
    from boxup.exchanger.layout import layout_of

    layout = layout_of(n.exchanger)
    if isinstance(layout, Missing):
        return {}, [layout.text]
    return dict(sorted(Counter(t.tube_pass for t in layout.tubes).items())), [f.text for f in (*layout.findings, *layout.beside)]


def _bundle_text(n: Numbers) -> Iterator[str]:
    from boxup.cli import plugging
    from boxup.core.calculation import Answer
    from boxup.core.rounding import both

    by_pass, told = _by_pass(n)
    yield "holes by pass: " + ", ".join(f"{p}: {c}" for p, c in by_pass.items())
    yield from (f"  {t}" for t in told)
    if isinstance(n.bundle, Answer):
        for key, s in n.bundle.values.items():
            yield f"  {key.replace('_', ' '):<12} {_figure(s):<22} {s.label}"
    for p in n.parts:
        planned = both("mass", p.lift_mass.si, "up") if p.lift_mass else "not given"
        yield f"  {p.what:<46} {both('mass', p.mass.si, 'up') if p.mass else '?':<22} plan for {planned}"
    yield from said([m for m in n.missing() if "mass" in m.number], [])
    yield from plugging.as_text(n)


@click.command("why")
@click.argument("code")
@click.argument("file", required=False, type=click.Path())
@DB
def why_command(code: str, file: str | None, db: str | None) -> None:
    """The working behind a printed number: boxup why 14-E-103/J4, or boxup why J4 FILE.

    The code stands in small print beside the number. A tag is looked for in the files of this folder, then among the demo's.
    """
    from boxup.core.printing import working_text

    tag, _, short = code.rpartition("/")
    n = numbers_of(file or _file_of(tag, code), db)
    short = next((a.joint for a in n.joints if short == a.with_joint), short)  # J3 stands in the working of J2
    if short not in n.workings:
        raise Refusal([f"{n.exchanger.identity.tag} has no working {short!r}; it has {', '.join(n.workings)}"])
    title, working = n.workings[short]
    click.echo(f"{n.exchanger.identity.tag}/{short}  {title}  ({working.source.title})")
    click.echo("\n".join(working_text(working)))
    click.echo("\n".join(said([], working.all_findings())))


def _file_of(tag: str, code: str) -> str:
    from boxup.demo.fleet import files_of_the_demo

    if not tag:
        raise Refusal([f"{code!r}: say which exchanger, as TAG/{code} or with its file after it"])
    here = Path(f"{tag}.toml")
    found = here if here.exists() else files_of_the_demo().get(tag)
    if found is None:
        raise Refusal([f"no file {here} in this folder, and no demo exchanger of that tag; give the file after the code"])
    return str(found)


def value(s: Step | None, unit: str) -> dict[str, Any] | None:
    """A step of a working, in that unit."""
    return si_value(s.si if s else None, unit)


def si_value(si: float | None, unit: str) -> dict[str, Any] | None:
    """A value in SI, shown in that unit."""
    from boxup.core.unit import UNITS

    return {"value": UNITS[unit].from_si(si), "unit": unit} if si is not None else None


def missing_json(missing: Iterable[Missing]) -> list[dict[str, str]]:
    """What is not given, for machines."""
    return [{"number": m.number, "do": m.do} for m in missing]


def said(missing: Iterable[Missing], findings: Iterable[Finding]) -> Iterator[str]:
    """What is not given, and what was found, a line each."""
    yield from (f"  {m.text}" for m in missing)
    yield from (f"  {f.level.upper()}: {f.text}  [{f.source}]" for f in findings)
