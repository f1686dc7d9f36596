"""`boxup order` and `boxup next`."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import click

from boxup.cli.open import scope_named
from boxup.cli.refusal import Refusal

if TYPE_CHECKING:
    from boxup.job.may import Answer
    from boxup.job.order import Placed
    from boxup.job.scope import Scope

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
@JSON
def order_command(name: str, with_options: str, done: str, asked: str | None, card: str | None, as_json: bool) -> None:
    """The steps in a legal order, with what each waits for; or whether one may be done."""
    from boxup.job.card import explain
    from boxup.job.may import may
    from boxup.job.order import order
    from boxup.job.steps import StepError

    scope = scope_named(name, with_options)
    try:
        if card:
            told = explain(card, scope)
            click.echo(_json(told.as_json()) if as_json else "\n".join(told.lines()))
        elif asked:
            answer = may(scope, _codes(done), asked)
            click.echo(_json(answer.as_json()) if as_json else "\n".join(_may_text(asked, answer)))
        else:
            placed = order(scope)
            click.echo(_json([p.as_json() for p in placed]) if as_json else "\n".join([*_order_text(placed), *_said(scope)]))
    except StepError as bad:
        raise Refusal([str(bad)]) from bad


@click.command("next")
@NAME
@WITH
@DONE
@JSON
def next_command(name: str, with_options: str, done: str, as_json: bool) -> None:
    """What may be done now, given what is done."""
    from boxup.job.may import next_steps, standing_on_nothing
    from boxup.job.rules import needs
    from boxup.job.steps import StepError

    scope = scope_named(name, with_options)
    try:
        ready = next_steps(scope, _codes(done))
        findings = standing_on_nothing(scope, set(scope.named_all(_codes(done))), needs(scope))
    except StepError as bad:
        raise Refusal([str(bad)]) from bad
    if as_json:
        rows = [{"step": one.code, "phase": one.step.phase, "what": one.what(scope.flags), "who": one.step.who} for one in ready]
        click.echo(_json({"next": rows, "findings": [f.as_json() for f in findings]}))
        return
    lines = [f"  {one.code:<22} {one.what(scope.flags)}  ({one.step.who})" for one in ready]
    click.echo("\n".join(["May be done now:", *(lines or ["  nothing: every step is done"])]))
    for f in (*scope.findings, *findings):
        click.echo(f"  {f.level.upper()}: {f.text}")


def _said(scope: Scope) -> list[str]:
    """What the lists of the file leave open, or make dangerous."""
    return [f"  {f.level.upper()}: {f.text}" for f in scope.findings]


def _codes(done: str) -> list[str]:
    return [c.strip() for c in done.split(",") if c.strip()]


def _json(what: Any) -> str:
    return json.dumps(what, ensure_ascii=False, indent=1)


def _order_text(placed: Iterable[Placed]) -> Iterable[str]:
    phase = ""
    for number, p in enumerate(placed, start=1):
        step = p.instance.step
        if step.phase != phase:
            phase = step.phase
            yield from ("", phase)
        hold = "HOLD " if any(n.rule.hold for n in p.needs) else ""
        yield f"{number:>4}  {p.instance.code:<22} {hold}{p.what}"
        waits = [n for n in p.needs if n.rule.hold] or list(p.needs[:1])
        for n in waits[:2]:
            yield f"{'':>28} after {n.step}: {n.rule.because}"


def _may_text(asked: str, answer: Answer) -> Iterable[str]:
    if answer.may:
        yield f"{asked}: nothing in the order of work stands against it. Permit, site procedure and the authorised person decide."
    else:
        yield f"{asked}: not yet. Still to do:"
    rows: dict[tuple[str, str, str], list[str]] = {}
    for m in answer.missing:
        can = "can start now" if m.ready else "not ready: see its own needs"
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
