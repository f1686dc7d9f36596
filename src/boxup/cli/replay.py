"""`boxup replay`: the invented job of the demo, day by day, as its record tells it."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from boxup.cli.live import refused

if TYPE_CHECKING:
    from boxup.job.state import JobState
    from boxup.record.event import Draft
    from boxup.store.base import Store


@click.command("replay")
@click.option("--day", type=int, default=None, metavar="N", help="Only up to this day of the job; all of it if left out.")
@click.option("--db", default=None, metavar="URL", help="Keep the record there, so that next, proof, log and pack can be asked about it.")
@click.option("--all-findings", "whole", is_flag=True, help="Everything that was noticed, notes too; else stops and warnings.")
def replay_command(day: int | None, db: str | None, whole: bool) -> None:
    """Replay the invented job of 14-E-103 and say, day by day, where it stands and what was noticed."""
    from boxup.demo.fleet import FOCUS, files_of_the_demo
    from boxup.demo.story import drafts, story_text
    from boxup.exchanger.file import load
    from boxup.store.open import open_store

    file = files_of_the_demo()[FOCUS]
    job = load(file).identity.job
    told = drafts(story_text(), file.read_text(encoding="utf-8"), job, until_day=day)
    with refused(), tempfile.TemporaryDirectory() as folder, open_store(db or str(Path(folder) / "replay.db"), create=True) as store:
        for line in _days(store, told, job, whole):
            click.echo(line)
    if db:
        click.echo(f"The record is at {db}. Ask it: boxup next {file} --db {db}")


def _days(store: Store, told: tuple[Draft, ...], job: str, whole: bool) -> Iterator[str]:
    from boxup.job.fold import fold

    first = told[0].happened_at.date()
    seen = 0
    yield "Everything here is invented: plant, people, values."
    for date in dict.fromkeys(draft.happened_at.date() for draft in told if not draft.corrects):
        store.append([draft for draft in told if draft.happened_at.date() == date])
        state = fold(store.events(job))
        yield ""
        steps = f"{len(state.done)} of {len(state.scope.instances)} steps done"
        yield f"Day {(date - first).days + 1}, {date}: {state.entries} entries, {steps}"
        yield from _stand(state)
        for n in state.story[seen:]:
            if whole or n.finding.level != "note":
                yield f"  {n.at:%H:%M}  {n.finding.level.upper()}: {n.finding.text}"
        seen = len(state.story)


def _stand(state: JobState) -> Iterator[str]:
    yield "  joints: " + "; ".join(f"{joint.id} {joint.word}" for joint in state.joints.values())
    tests = [f"{t.code} {', '.join(a.verdict for a in t.attempts)}" for t in state.tests.values() if t.attempts]
    if tests:
        yield "  tests: " + "; ".join(tests)
    yield "  blinds: " + "; ".join(f"{b.id} {b.word}" for b in state.blinds.values() if b.use == "process")
