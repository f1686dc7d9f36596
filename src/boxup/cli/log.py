"""`boxup log`: add an entry to the record of a job, or read it."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any
from uuid import uuid4

import click

from boxup.cli.live import AT, DB, entries, folded, job_of, moment, record_at, refused
from boxup.cli.open import opened
from boxup.cli.refusal import Refusal

if TYPE_CHECKING:
    from boxup.core.finding import Finding
    from boxup.job.state import JobState
    from boxup.record.event import Draft, Event
    from boxup.record.kinds import Kind

FILE_KINDS = ("job.opened", "job.file_revised")


@click.command("log")
@click.argument("file", required=False, type=click.Path())
@click.argument("kind", required=False, metavar="KIND")
@click.argument("words", nargs=-1, metavar="key=value ...")
@click.option("--by", default="", metavar="NAME", help="Whose hands it was.")
@click.option("--entered-by", default="", metavar="NAME", help="Who types it, if another.")
@click.option("--corrects", default="", metavar="ENTRY", help="Number of the entry that this one takes the place of, or takes back.")
@click.option("--happened", is_flag=True,
              help="It was so although it should not be (a step too early, a torque off the card, an odd reading): record it.")  # fmt: skip
@AT
@DB
@click.option("--json", "as_json", is_flag=True, help="For machines.")
def log_command(
    file: str | None, kind: str | None, words: tuple[str, ...], by: str, entered_by: str, corrects: str, happened: bool, at: str,
    db: str | None, as_json: bool,
) -> None:  # fmt: skip
    """Add an entry to the record of a job; with FILE alone, read the record; with nothing, list the kinds of entries.

    A value of several words stands in quotes, a quantity with its unit: boxup log FILE joint.pass_done joint=J4 pass="pass 1"
    torque="123 N.m" tool=W2 --by "I. Belmarsh". KIND alone with ? says what it takes.
    """
    from boxup.record.event import BadEvent

    try:
        if file is None or kind == "?":
            click.echo("\n".join(_all_kinds()))
        elif kind is None:
            _read(file, db, as_json)
        elif words == ("?",):
            click.echo("\n".join(_kind_lines(_kind(kind))))
        else:
            _add(file, _kind(kind), _pairs(words), by, entered_by, corrects, happened, at, db, as_json)
    except BadEvent as bad:
        raise Refusal(list(bad.problems)) from bad


def _kind(name: str) -> Kind:
    from boxup.record.kinds import kind_of

    return kind_of(name)


def _pairs(words: Iterable[str]) -> dict[str, str]:
    wrong = [w for w in words if "=" not in w]
    if wrong:
        raise Refusal([f'{w!r} is not key=value; a value of several words stands in quotes, as in pass="pass 1"' for w in wrong])
    return dict(w.split("=", 1) for w in words)


def _add(
    file: str, kind: Kind, words: dict[str, str], by: str, entered_by: str, corrects: str, happened: bool, at: str, db: str | None,
    as_json: bool,
) -> None:  # fmt: skip
    from boxup.record.effective import WITHDRAWN
    from boxup.record.typed import payload_of
    from boxup.store.open import open_store

    if not by:
        raise Refusal(["--by is missing: the name of the person whose hands it was"])
    job = job_of(opened(file))
    before = _before(file, db)
    state = folded(before, file) if before else None
    target = next((e for e in before if corrects and corrects in (str(e.number), e.id)), None)
    when = target.happened_at if target and not at and kind.name != WITHDRAWN else moment(at, state)
    if kind.name in FILE_KINDS:
        words = words | {"file": Path(file).read_text(encoding="utf-8-sig")}
    payload = payload_of(kind, _with_moments(kind, words, state))
    _known(kind.name, payload, state, file)
    _may_begin(kind.name, payload, state, when, happened)
    _sure(kind.name, payload, state, file, happened)
    off = _off_the_card(kind.name, payload, state, file, happened)
    drafts = [] if before or kind.name == "job.opened" else [_opening(file, job, by, entered_by, when)]
    drafts.append(_draft(job, kind, payload, by, entered_by, when, _id_of(corrects, before)))
    _no_test_has(drafts, state, happened)
    with refused(), open_store(record_at(db), create=True) as store:
        added = tuple(store.append(drafts, after=before[-1].number if before else 0))
    _said(added, before, folded((*before, *added), file), as_json, off)


def _with_moments(kind: Kind, words: dict[str, str], state: JobState | None) -> dict[str, str]:
    """Hours typed into fields for a moment, as whole moments."""
    times = {f.name for f in kind.fields.values() if f.type == "moment"}
    return {key: moment(text, state).isoformat(timespec="seconds") if key in times else text for key, text in words.items()}


def _known(kind: str, payload: dict[str, Any], state: JobState | None, file: str) -> None:
    """Names that this job does not have are refused before they are on record for ever."""
    from boxup.job.lists import scope_of
    from boxup.job.names import unknown

    scope = state.scope if state else scope_of(opened(file))
    exchanger = state.exchanger if state and state.exchanger else opened(file)
    if problems := list(unknown(kind, payload, scope, exchanger)):
        raise Refusal(problems)


def _before(file: str, db: str | None) -> tuple[Event, ...]:
    """The entries so far; a record that is not there yet has none."""
    from boxup.store.open import exists

    return entries(file, db) if exists(record_at(db)) else ()


def _opening(file: str, job: str, by: str, entered_by: str, when: Any) -> Draft:
    """The first entry of a job is the file itself."""
    text = Path(file).read_text(encoding="utf-8-sig")
    return _draft(job, _kind("job.opened"), {"file": text}, by, entered_by, when, "")


def _draft(job: str, kind: Kind, payload: dict[str, Any], by: str, entered_by: str, when: Any, corrects: str) -> Draft:
    from boxup.record.event import Draft

    return Draft(
        id=str(uuid4()), job=job, kind=kind.name, version=kind.version, happened_at=when, by=by, entered_by=entered_by or by,
        payload=payload, corrects=corrects,
    )  # fmt: skip


def _id_of(corrects: str, before: tuple[Event, ...]) -> str:
    """The id behind an entry's number; an id is taken as it is."""
    if not corrects:
        return ""
    found = next((e.id for e in before if corrects in (str(e.number), e.id)), "")
    if not found:
        raise Refusal([f"--corrects {corrects}: this job has no such entry; it has {len(before)}. boxup log FILE lists them"])
    return found


def _may_begin(kind: str, payload: dict[str, Any], state: JobState | None, when: Any, happened: bool) -> None:
    """A step that may not begin is refused before it is begun; what has happened all the same is recorded, and said."""
    from boxup.cli.order import may_text
    from boxup.job.entering import too_soon
    from boxup.job.steps import StepError

    if state is None or happened:
        return
    try:
        answer = too_soon(kind, payload, state, when)
    except StepError as bad:
        raise Refusal([str(bad)]) from bad
    if answer is not None:
        click.echo("\n".join(may_text(payload["step"], answer)))
        click.echo("Not entered. If it was begun all the same, say so with --happened.")
        sys.exit(1)


def _sure(kind: str, payload: dict[str, Any], state: JobState | None, file: str, happened: bool) -> None:
    """A tool whose number is not the one of the list is asked about before it is on record."""
    from boxup.job.serials import other_serial

    exchanger = state.exchanger if state and state.exchanger else opened(file)
    if kind == "tool.checked" and not happened and (other := other_serial(payload, exchanger)):
        click.echo(f"{other}.")
        click.echo("Not entered. If that is the number on it all the same, say so with --happened.")
        sys.exit(1)


def _off_the_card(kind: str, payload: dict[str, Any], state: JobState | None, file: str, happened: bool) -> list[Finding]:
    """What speaks against a torque: a stop is refused, unless it was set all the same; what is left is said after the entry."""
    from boxup.job.set_torque import PULLED, of_entry

    if kind not in PULLED or "torque_n_m" not in payload:
        return []
    from boxup.job.numbers import numbers

    found = of_entry(numbers(state.exchanger if state and state.exchanger else opened(file)), kind, payload)
    if found and found.level == "stop" and not happened:
        click.echo(f"STOP: {found.text}  [{found.source}]")
        click.echo("Not entered. If it was set to that all the same, say so with --happened.")
        sys.exit(1)
    return [found] if found else []


def _no_test_has(drafts: list[Draft], state: JobState | None, happened: bool) -> None:
    """A reading that no test has, or that its gauge cannot show, is asked about before it is on record."""
    from boxup.job.odd import odd

    if not happened and (asked := odd(drafts, state)):
        click.echo("\n".join(asked))
        click.echo("Not entered. If it was read so all the same, say so with --happened.")
        sys.exit(1)


def _said(added: tuple[Event, ...], before: tuple[Event, ...], state: JobState, as_json: bool, off: list[Finding]) -> None:
    from boxup.record.lines import as_json as line

    new = {e.number for e in added}
    noticed = [(n.entry, n.finding) for n in state.story if n.entry in new] + [(added[-1].number, f) for f in off]
    from boxup.job.entering import left_open
    from boxup.job.fold import fold
    from boxup.job.said import said

    open_ = list(left_open(added[-1], fold(before) if before else None, state))
    if as_json:
        told = {
            "entries": [line(e) for e in added],
            "findings": [{"entry": number, **f.as_json()} for number, f in noticed],
            "open": open_,
        }
        click.echo(json.dumps(told, ensure_ascii=False, indent=1))
        return
    for e in added:
        click.echo(f"Entry {e.number}: {', '.join(filter(None, (e.kind, said(e), e.by)))}, {e.happened_at:%Y-%m-%d %H:%M}")
    for _, f in noticed:
        click.echo(f"  {f.level.upper()}: {f.text}")
    for text in open_:
        click.echo(f"  {text}")


def _read(file: str, db: str | None, as_json: bool) -> None:
    from boxup.job.said import said
    from boxup.record.effective import standing
    from boxup.record.lines import as_json as line

    found = entries(file, db)
    if as_json:
        click.echo(json.dumps([line(e) for e in found], ensure_ascii=False, indent=1))
        return
    if not found:
        click.echo("No entry is on record for this job.")
        return
    struck = standing(found).struck
    state = folded(found, file)
    told: dict[int, list[str]] = {}
    for n in state.story:
        told.setdefault(n.entry, []).append(f"{n.finding.level.upper()}: {n.finding.text}")
    by_id = {e.id: e.number for e in found}
    for e in found:
        mark = f"  (struck out by entry {by_id.get(struck[e.id], '?')})" if e.id in struck else ""
        mark += f"  (corrects entry {by_id.get(e.corrects, '?')})" if e.corrects else ""
        click.echo(f"{e.number:>4}  {e.happened_at:%Y-%m-%d %H:%M}  {e.by:<18} {e.kind:<22} {said(e)}{mark}")
        for text in told.get(e.number, ()):
            click.echo(f"      {text}")


def _all_kinds() -> Iterator[str]:
    from boxup.record.kinds import kinds

    about = ""
    for kind in kinds().values():
        if kind.about != about:
            about = kind.about
            yield f"{about}"
        yield f"  {kind.name:<24} {kind.says}"
    yield "boxup log FILE KIND ? says what one of them takes."


def _kind_lines(kind: Kind) -> Iterator[str]:
    yield f"{kind.name}: {kind.says}"
    for f in kind.fields.values():
        if f.name == "file":
            continue
        what = " | ".join(f.accepted) or (f"in {f.unit}" if f.unit not in ("", "-") else f.type)
        yield f"  {f.typed_name:<14} {'must' if f.must else 'may '}  {f.says} ({what})"
