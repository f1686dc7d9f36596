"""`boxup hydro, lift, why`: the answers of a room for one exchanger."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from boxup.cli.fit import say
from boxup.cli.live import DAY, DB, as_it_is, day_of
from boxup.cli.refusal import Refusal

if TYPE_CHECKING:
    from boxup.core.finding import Finding, Missing
    from boxup.core.rounding import Way
    from boxup.core.working import Step
    from boxup.hydro.sheet import TestAnswer
    from boxup.job.numbers import Numbers
    from boxup.lift.answer import LiftAnswer

FILE = click.argument("file", type=click.Path())
JSON = click.option("--json", "as_json", is_flag=True, help="For machines.")


def numbers_of(file: str, db: str | None) -> Numbers:
    """Every number of the exchanger as it is on record."""
    from boxup.job.numbers import numbers

    return numbers(as_it_is(file, db))


def out(as_json: bool, data: Callable[[], Any], text: Callable[[], Iterable[str]]) -> None:
    """Print the one or the other; on a terminal long lines go on under their own beginning, in a file or a pipe they stay whole."""
    if as_json:
        click.echo(json.dumps(data(), ensure_ascii=False, indent=1))
        return
    say(text())


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
        asked, mark = hold.asked_of(exchanger, code), hold.step_of(step)
        out(as_json, lambda: hold.as_json(found, code, asked, mark), lambda: hold.as_text(found, code, asked, mark))
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
    "pump_in": "pump in to test pressure, no air",
    "pump_in_with_air": "over this, 0.2 % air: vent again",
    "water_temperature": "water worked at",
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
        if key in ("fill", "pump_in", "pump_in_with_air", "ice_growth", "zero_rise_temperature", "water_temperature")
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
    from boxup.hydro.rise import rise_at_of

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
        if key == "rise_per_degree":
            at = rise_at_of(t.values["water_temperature"], t.values["test_pressure"])
            yield f"  {'rise per degree':<40} {both('rise', step.si)} at {at}"
            continue
        number = both(_kind(key), step.si, _way(key)) if _kind(key) else figure(step)
        taken = ", taken so: not given" if isinstance(step.origin, Assumed) else ""
        yield f"  {_NAMED.get(key, key.replace('_', ' ')):<40} {number}{taken}"
    yield from said(t.missing, t.findings)
    yield ""


@click.command("lift")
@FILE
@click.option("--in", "place_in", metavar="METRES", help='The bundle going in with so much in the shell: "3.8 m".')
@click.option("--out", "place_out", metavar="METRES", help='The bundle coming out with so much out: "2.3 m".')
@DAY
@JSON
@DB
def lift_command(file: str, place_in: str | None, place_out: str | None, day: str, as_json: bool, db: str | None) -> None:
    """Bundle on its slings, where to hold it, on its way in and out; heads and covers."""
    from boxup.cli import way

    n = numbers_of(file, db)
    if place_in and place_out:
        raise Refusal(["--in and --out: one of the two; give metres in for a bundle going in, metres out for one coming out"])
    if place := place_in or place_out:
        one, stand = way.placed(n, place, "insert" if place_in else "pull")
        out(as_json, lambda: way.stand_json(one, stand), lambda: way.stand_text(one, stand))
        return
    lifts = {k: v for k, v in {"slings": n.sling, "insertion": n.insertion, "pulling": n.pulling, **n.heads}.items() if v is not None}
    tags = n.tags(day_of(day))
    out(
        as_json,
        lambda: {k: _lift_json(v) for k, v in lifts.items()} | _way_json(n) | {"tags": {"findings": [f.as_json() for f in tags]}},
        lambda: _lifts_text(n, lifts, tags),
    )


def _way_json(n: Numbers) -> dict[str, Any]:
    from boxup.cli import way

    beside = {k: v for k, v in {"holding": n.holding, "bore": n.bore}.items() if v is not None}
    found = {k: _lift_json(v) | {"parts": way.parts_json(v)} for k, v in beside.items()}
    return found | {k: way.way_json(one) for k, one in way.ways_of(n).items()}


def _lifts_text(n: Numbers, lifts: dict[str, LiftAnswer], tags: tuple[Finding, ...]) -> Iterator[str]:
    from boxup.cli import way

    once: set[str] = set()  # what was said of every lift is said with the first
    yield from _masses_text(n)
    first = next(iter(lifts.values()), None)
    for v in lifts.values():
        yield from _lift_text(v, once)
        if v is first:
            yield from said([], tags)
    yield from way.holding_text(n.holding) if n.holding else ()
    for one in n.ways:
        yield from way.way_text(one)
    yield from way.bore_text(n.bore) if n.bore else ()


def _masses_text(n: Numbers) -> Iterator[str]:
    """What is wrong with the masses that the lifts are worked with."""
    found = [f for p in n.parts if p.answer for f in p.answer.findings if f.level != "note"]
    if found:
        yield from ("masses", *said((), dict.fromkeys(found)), "")


def _lift_json(a: LiftAnswer) -> dict[str, Any]:
    values = {s.symbol: {"label": s.label, "value": s.value, "unit": s.unit} for s in a.working.steps.values()}
    crane = {s.symbol: {"label": s.label, "value": s.value, "unit": s.unit} for s in a.crane.steps.values()} if a.crane else {}
    gear = [
        {"id": g.id, "kind": g.kind, "load": {"value": g.load.si, "unit": "N"},
         "may_carry": {"value": g.may_carry.si, "unit": "kg"} if g.may_carry else None,
         "share": {"value": g.share.si, "unit": "-"} if g.share else None}
        for g in a.gear
    ]  # fmt: skip
    return {
        "what": a.name, "values": values, "gear": gear, "crane": crane, "missing": missing_json(a.missing),
        "findings": [f.as_json() for f in a.findings],
    }  # fmt: skip


# How a figure is rounded, by its unit; never towards danger. The pull to stop at and what a tag allows round down.
_BY_UNIT: dict[str, tuple[str, Way]] = {
    "kN": ("load", "up"), "kg": ("mass", "up"), "deg": ("angle", "down"), "m": ("position", "near"), "MPa": ("stress", "up"),
    "MPa/K": ("rise", "near"),
}  # fmt: skip
_THREE_FIGURES = ("m/s2", "mL/MPa", "kJ", "MJ")  # more than three of them nobody can use
_LEAST = ("F_stop", "C", "F_1")  # a stop, what a tag allows, the least that is expected


def figure(s: Step) -> str:
    """A step of a working as the trade reads it."""
    from boxup.core.rounding import both
    from boxup.core.working import plain

    if s.unit in _THREE_FIGURES:
        return plain(s, 3)
    kind, way = _BY_UNIT.get(s.unit, ("", "near"))
    return both(kind, s.si, "down" if s.symbol in _LEAST else way) if kind else plain(s)


def _lift_text(a: LiftAnswer, once: set[str]) -> Iterator[str]:
    from boxup.paper.lift_words import crane_lines, gear_lines

    yield a.name
    stop = a.step("F_stop")
    for s in a.working.steps.values():
        same = stop if stop is not None and s.symbol == "F_2" and s.si >= stop.si * (1 - 1e-9) else s  # one figure is shown as one
        yield f"  {figure(same):<24} {s.label}"
    yield from (f"  {line}" for line in gear_lines(a))
    yield from (f"  {line}" for line in crane_lines(a))
    yield from said(a.missing, [f for f in a.findings if f.level != "note" or f.text not in once])
    once.update(f.text for f in a.findings)
    yield ""


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
    found = n.working(short)
    if found is None:
        raise Refusal([f"{n.exchanger.identity.tag} has no working {short!r}; it has {', '.join(n.workings)}"])
    title, working = found
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
