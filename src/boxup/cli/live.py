"""The job of an exchanger file as it runs: its record, where one is kept, and the exchanger as the record says it now is."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from boxup.cli.open import opened
from boxup.cli.refusal import Refusal

if TYPE_CHECKING:
    from boxup.exchanger.model import Exchanger
    from boxup.job.state import JobState
    from boxup.record.event import Event

USUAL = "boxup-record.db"
DB = click.option(
    "--db", default=None, metavar="URL", help=f"The record; if left out BOXUP_DB, or {USUAL} in this folder where there is one."
)
AT = click.option(
    "--at", "at", default="", metavar="TIME", help="The moment that is meant: 06:20, or a date, time and zone; now if left out."
)


DAY = click.option("--date", "day", default="", metavar="2027-04-12", help="The day the tags on the gear are looked at; today if left out.")


def day_of(text: str) -> str:
    """That day, or today, as year-month-day."""
    if not text:
        return datetime.now(UTC).date().isoformat()
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError:
        raise Refusal([f"--date {text!r} is not a date; accepted: year-month-day, as 2027-04-12"]) from None


def record_at(db: str | None) -> str:
    """Where the record is kept."""
    return db or os.environ.get("BOXUP_DB") or USUAL


def kept(db: str | None) -> bool:
    """Whether there is a record to read; one that was asked for by name must be there."""
    from boxup.store.open import exists

    where = record_at(db)
    if exists(where):
        return True
    if db:
        raise Refusal([f"there is no record at {where}; boxup log makes one with its first entry"])
    return False


@contextmanager
def refused() -> Iterator[None]:
    """What the store cannot do is a sentence and exit 2."""
    from boxup.store.base import StoreError

    try:
        yield
    except StoreError as bad:
        raise Refusal([str(bad)]) from bad


def job_of(exchanger: Exchanger) -> str:
    """The name of the job: its number in the file, or the tag where it has none."""
    return exchanger.identity.job or exchanger.identity.tag


def entries(file: str, db: str | None) -> tuple[Event, ...]:
    """The entries of the job of a file; none where no record is kept."""
    from boxup.store.open import open_store

    if not kept(db):
        return ()
    with refused(), open_store(record_at(db), read_only=True) as store:
        found = tuple(store.events(job_of(opened(file))))
    from boxup.record.chain import first_broken

    if broken := first_broken(found):
        raise Refusal([f"the record at {record_at(db)} is damaged: entry {broken} is not as it was entered. Look with boxup record verify"])
    return found


def live_state(file: str, db: str | None) -> JobState | None:
    """Where the job of a file stands; None where it has no entries."""
    found = entries(file, db)
    return folded(found, file) if found else None


def folded(found: tuple[Event, ...], file: str) -> JobState:
    """The state of these entries; a file that is not the recorded one any more is told."""
    from boxup.job.fold import fold

    state = fold(found)
    here = opened(file).identity.tag
    if state.exchanger is not None and here != state.exchanger.identity.tag:
        there, job = state.exchanger.identity.tag, found[0].job
        raise Refusal([f"job {job} on record is {there}, and {Path(file).name} is {here}: two exchangers cannot share a job number"])
    if state.file_text and Path(file).exists() and Path(file).read_text(encoding="utf-8-sig") != state.file_text:
        text = f"{Path(file).name} is not the file that the record was begun with; the record's copy counts. Enter it as job.file_revised."
        click.echo(f"  WARN: {text}", err=True)
    return state


def as_it_is(file: str, db: str | None) -> Exchanger:
    """The exchanger of a file as the record says it now is; the file alone where no job is on record."""
    exchanger = opened(file)
    state = live_state(file, db)
    if state is None or state.exchanger is None:
        return exchanger
    from boxup.job.asfound import changes

    for change in changes(state.found):
        click.echo(f"  on record: {change}", err=True)
    return state.exchanger


def moment(text: str, state: JobState | None = None) -> datetime:
    """As `moment_meant`; what is no moment is a refusal."""
    from boxup.job.moment import BadMoment, moment_meant

    try:
        return moment_meant(text, state)
    except BadMoment as bad:
        raise Refusal([f"--at {bad}"]) from bad
