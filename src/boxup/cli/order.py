"""`boxup order` and `boxup next`."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from boxup.cli.fit import say
from boxup.cli.live import AT, DB, kept, live_state, moment
from boxup.cli.open import opened, scope_named
from boxup.cli.refusal import Refusal

if TYPE_CHECKING:
    from datetime import datetime

    from boxup.job.may import Answer
    from boxup.job.order import Placed
    from boxup.job.scope import Instance, Scope
    from boxup.job.state import JobState

NAME = click.argument("name", metavar="FILE-or-LETTERS")
WITH = click.option("--with", "with_options", default="", metavar="plugs,hot,no-st1", help="Options, for bare letters.")
DONE = click.option("--done", default="", metavar="A,B:J4", help="Steps done; a bare code means all of its items.")
JSON = click.option("--json", "as_json", is_flag=True, help="For machines.")


@click.command("order")
@NAME
@WITH
@DONE
@click.option("--may", "asked", metavar="STEP", help="May this step be done now?")
@click.option("--card", metavar="STEP", help="Everything about one step.")
@AT
@DB
@JSON
def order_command(
    name: str, with_options: str, done: str, asked: str | None, card: str | None, at: str, db: str | None, as_json: bool
) -> None:
    """The steps in a legal order, with what each waits for; or whether one may be done.

    Where a record of the job is kept and --done is left out, the record says what is done.
    """
    from boxup.job.card import explain
    from boxup.job.live import may_now
    from boxup.job.may import may
    from boxup.job.order import order
    from boxup.job.steps import StepError

    state = _state(name, done, db)
    scope = state.scope if state else scope_named(name, with_options)
    try:
        if card:
            told = explain(card, scope)
            _tell(told.as_json() if as_json else None, told.lines)
        elif asked:
            answer = may_now(state, asked, moment(at, state)) if state else _with_lift(may(scope, _codes(done), asked), name)
            _tell(answer.as_json() if as_json else None, lambda: may_text(asked, answer))
        else:
            placed = order(scope)
            _tell([p.as_json() for p in placed] if as_json else None, lambda: [*_order_text(placed), *_said(scope)])
    except StepError as bad:
        raise Refusal([str(bad)]) from bad


@click.command("next")
@NAME
@WITH
@DONE
@AT
@DB
@JSON
def next_command(name: str, with_options: str, done: str, at: str, db: str | None, as_json: bool) -> None:
    """What may be done now: by the record of the job where one is kept, else by --done."""
    from boxup.job.may import next_steps, standing_on_nothing
    from boxup.job.rules import needs
    from boxup.job.steps import StepError

    state = _state(name, done, db)
    if state is not None:
        _next_live(state, moment(at, state), as_json)
        return
    scope = scope_named(name, with_options)
    try:
        ready = next_steps(scope, _codes(done))
        findings = standing_on_nothing(scope, set(scope.named_all(_codes(done))), needs(scope))
    except StepError as bad:
        raise Refusal([str(bad)]) from bad
    if as_json:
        click.echo(_json({"next": _rows(ready, scope), "findings": [f.as_json() for f in findings]}))
        return
    told: dict[str, list[Instance]] = {}
    for one in ready:
        told.setdefault(f"{one.what(scope.flags)}  ({one.here(scope.flags).who})", []).append(one)
    lines = [line for what, ones in told.items() for line in _row("", ones, what, 0)]
    said = [f"  {f.level.upper()}: {f.text}" for f in (*scope.findings, *findings)]
    say(["May be done now:", *(lines or ["  nothing: every step is done"]), *said])


def _state(name: str, done: str, db: str | None) -> JobState | None:
    """The job on record, unless the question brings its own list of what is done, or is about letters."""
    if not Path(name).is_file():
        return None
    if done:
        if db or kept(db):
            click.echo("  NOTE: the record is set aside; --done says what is done.", err=True)
        return None
    return live_state(name, db)


def _with_lift(answer: Answer, name: str) -> Answer:
    """The answer of the order of work, with what the numbers of a file say against a lift."""
    from boxup.job.lifting import against_lift, of_plan

    if not Path(name).is_file():
        return answer
    x = opened(name)
    stops = tuple(dict.fromkeys(text for code in answer.asked for text in against_lift(x, code)))
    return replace(answer, findings=(*of_plan(x, answer.asked), *answer.findings), against=(*answer.against, *stops))


def _tell(data: Any, text: Callable[[], Iterable[str]]) -> None:
    """As JSON where there is data for it, else in lines."""
    if data is None:
        say(text())
    else:
        click.echo(_json(data))


def _rows(ready: Iterable[Instance], scope: Scope) -> list[dict[str, Any]]:
    return [{"step": one.code, "phase": one.step.phase, "what": one.what(scope.flags), "who": one.here(scope.flags).who} for one in ready]


def _next_live(state: JobState, at: datetime, as_json: bool) -> None:
    """What may begin at that moment, what has run out, what stands undone, what is unproved, and what stands on nothing."""
    from boxup.job.live import begun, next_now
    from boxup.job.proof import unproved
    from boxup.job.sound import standing
    from boxup.job.stale import run_out

    ready, old = next_now(state, at), run_out(state, at)
    open_, under_way = unproved(state), begun(state)
    findings = [*state.scope.findings, *standing(state)]
    if as_json:
        told = {
            "at": at.isoformat(timespec="seconds"),
            "pressure": {t.side: {"value": t.pressure_mpa, "unit": "MPa"} for t in state.tests.values() if t.pressure_mpa > 0},
            "begun": _rows(under_way, state.scope),
            "next": [row | {"stands": state.step(row["step"]).stand} for row in _rows(ready, state.scope)],
            "run_out": [{"step": code, "since": since.isoformat(timespec="seconds")} for code, since in old.items()],
            "joints": {joint.id: joint.word for joint in state.joints.values()},
            "unproved": [{"what": p.what, "id": p.id, "because": p.open} for p in open_],
            "findings": [f.as_json() for f in findings],
        }
        click.echo(_json(told))
        return
    say([*_live_text(state, at, ready, old, under_way), *(f"  {f.level.upper()}: {f.text}" for f in findings)])


def _live_text(
    state: JobState, at: datetime, ready: Iterable[Instance], old: Mapping[str, datetime], under_way: Iterable[Instance]
) -> Iterable[str]:
    who = state.exchanger.identity.tag if state.exchanger else state.job
    yield f"{who}, job {state.job}, {at:%a %d %b %Y %H:%M}: {len(state.done)} of {len(state.scope.instances)} steps done"
    for test in state.tests.values():
        if test.pressure_mpa > 0:
            on = f"{test.side} side, {test.pressure_mpa * 10:.1f} bar by the last reading"
            yield f"PRESSURE ON: {on}. No tool on any joint; stand clear of covers."
    yield "Joints: " + "; ".join(f"{joint.id} {joint.word}" for joint in state.joints.values())
    if rows := [line for what, ones in _grouped_rows(state, under_way).items() for line in _row("", ones, what, 0)]:
        yield "Under way:"
        yield from rows
        yield from (
            f"    {joint.id}: {'; '.join(joint.not_pulled_up)}" for joint in state.joints.values() if joint.rounds and joint.not_pulled_up
        )
    yield "May begin now:"
    rows = [line for what, ones in _grouped_rows(state, ready).items() for line in _row("", ones, what, 0)]
    yield from rows or ["  nothing: " + ("every step is done" if state.complete else "see boxup order --may for what a step waits for")]
    for code, tick in state.steps.items():
        if tick.stand in ("one name", "not accepted") and code in state.scope.instances:
            yield f"  {code} is not done: {tick.why}"
    for code, since in old.items():
        yield f"  {code} ran out {since:%d %b %H:%M}: again before what it guards"
    for one in state.to_put_right.values():
        if not one.closed:
            yield f"  To put right, entry {one.entry}, {one.letter}: {one.text} ({one.by})"


def _grouped_rows(state: JobState, ready: Iterable[Instance]) -> dict[str, list[Instance]]:
    """What may begin, items of one step in one row: the sentence, and the items before it."""
    found: dict[str, list[Instance]] = {}
    for one in ready:
        found.setdefault(f"{one.what(state.scope.flags)}  ({one.here(state.scope.flags).who}){_how(state, one.code)}", []).append(one)
    return found


def _how(state: JobState, code: str) -> str:
    tick = state.step(code)
    if tick.stand == "begun" and tick.begun_at:
        return f"  begun {tick.begun_at:%H:%M}"
    return f"  undone: {tick.why}" if tick.stand == "undone" else ""


def _said(scope: Scope) -> list[str]:
    """What the lists of the file leave open, or make dangerous."""
    return [f"  {f.level.upper()}: {f.text}" for f in scope.findings]


def _codes(done: str) -> list[str]:
    return [c.strip() for c in done.split(",") if c.strip()]


def _json(what: Any) -> str:
    return json.dumps(what, ensure_ascii=False, indent=1)


def _order_text(placed: Iterable[Placed]) -> Iterable[str]:
    """Items of one step that follow each other and wait for the same stand in one row."""
    phase, number = "", 0
    for (in_phase, _, what, waits), run in groupby(placed, _of_order):
        rows = list(run)
        first, number = number + 1, number + len(rows)
        if in_phase != phase:
            phase = in_phase
            yield from ("", phase)
        yield from _row(f"{first}" if len(rows) == 1 else f"{first}–{number}", [p.instance for p in rows], what, 7)
        yield from (f"{'':>{_WHAT + 7}}{text}" for text in waits)


def _of_order(p: Placed) -> tuple[str, str, str, tuple[str, ...]]:
    """Phase, step, sentence, and what it waits for: the hold points, or the first."""
    hold = "HOLD " if any(n.rule.hold for n in p.needs) else ""
    waits = [n for n in p.needs if n.rule.hold] or list(p.needs[:1])
    said = tuple(f"after {n.step}: {n.rule.because}" for n in waits[:2])
    return p.instance.step.phase, p.instance.step.code, f"{hold}{p.what}", said


_WHAT = 26  # letters before the sentence of a step, behind the number


def _row(number: str, items: list[Instance], what: str, wide: int) -> Iterator[str]:
    """Number, codes, sentence; long codes have a line of their own."""
    codes = f"{number:>{wide}}  {_codes_of(items)}"
    if len(codes) > wide + _WHAT - 2:
        yield codes
        codes = ""
    yield f"{codes:<{wide + _WHAT}}{what}"


def _codes_of(items: Iterable[Instance]) -> str:
    """`LIFTPLAN:channel,bundle`."""
    some = list(items)
    if len(some) == 1:
        return some[0].code
    return f"{some[0].step.code}:{','.join(one.item.id for one in some if one.item)}".rstrip(":")


def may_text(asked: str, answer: Answer) -> Iterable[str]:
    """The answer to "may I?" as it is printed."""
    if answer.may:
        yield f"{asked}: nothing in the order of work stands against it. Permit, site procedure and the authorised person decide."
    else:
        yield f"{asked}: not yet. " + ("Still to do:" if answer.missing else "")
    for text in answer.against:
        yield f"  STOP: {text}"
    rows: dict[tuple[str, str, str], list[str]] = {}
    for m in answer.missing:
        can = "can start now" if m.ready else "not ready: see its own needs"
        can = f"{m.stands}; {can}" if m.stands else can
        why = f"{m.need.rule.because} ({m.need.rule.kind}{', hold point' if m.need.rule.hold else ''}; {can})"
        step, _, item = m.need.step.partition(":")
        rows.setdefault((step, why, can), []).append(item)
    for (step, why, _), items in rows.items():
        yield f"  {_with_items(step, items):<24} because {why}"
    yield from _grouped(answer)


def _with_items(step: str, items: list[str]) -> str:
    named = [i for i in items if i]
    return f"{step}: {' '.join(named)}" if named else step


def _grouped(answer: Answer) -> Iterable[str]:
    """Findings that say the same of many items, once."""
    seen: dict[str, tuple[str, int]] = {}
    for f in answer.findings:
        key = re.sub(r":[\w-]+", "", f.text)
        level, count = seen.get(key, (f.level, 0))
        seen[key] = (level, count + 1)
    for text, (level, count) in seen.items():
        yield f"  {level.upper()}: {text}" + (f" ({count} items)" if count > 1 else "")
