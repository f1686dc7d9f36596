"""`boxup record`: prove the record, and carry it: verify, export, backup, restore."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from boxup.cli.live import DB, record_at, refused
from boxup.cli.refusal import Refusal

if TYPE_CHECKING:
    from boxup.store.verdict import Head, Verdict

_MOST_FAULTS = 10  # told one by one; a file that is torn apart has thousands


@click.group("record")
def record_command() -> None:
    """The record of what was done: prove that nobody changed it, and carry it elsewhere.

    The record is one file. --db names it, else BOXUP_DB, else it is boxup-record.db in this folder. Its entries are added and never
    changed; each carries the hash of the one before it in its job.
    """


@record_command.command("verify")
@DB
def verify_command(db: str | None) -> None:
    """Look at every entry and every byte of the record. Exit 1 with the first bad entry where it is not as it was recorded.

    The heads say where each job ends. Written down on a signed paper, a head shows later that nothing up to there was changed or cut off.
    """
    from boxup.store.open import verify_store

    where = record_at(db)
    with refused():
        verdict = verify_store(where)
    click.echo("\n".join(_told(where, verdict)))
    sys.exit(0 if verdict.ok else 1)


@record_command.command("export")
@click.option("--job", default=None, metavar="JOB", help="Only this job.")
@click.option("-o", "out", default=None, type=click.Path(dir_okay=False), help="Where to write it; the screen if left out.")
@DB
def export_command(job: str | None, out: str | None, db: str | None) -> None:
    """Write the record as text that any program can read: one entry a line, as JSON, behind a first line with the heads."""
    from boxup.store.export import lines
    from boxup.store.open import open_store

    with refused(), open_store(record_at(db), read_only=True) as store:
        heads = [head for head in store.heads() if job in (None, head.job)]
        if job is not None and not heads:
            raise Refusal([f"{record_at(db)} has no job {job!r}; it has {', '.join(store.jobs()) or 'none'}"])
        _write_lines(lines(heads, store.entries(job)), out)
    if out:
        click.echo(f"{out} is written: {_counted(heads)}.")


@record_command.command("backup")
@click.argument("to", type=click.Path(dir_okay=False))
@DB
def backup_command(to: str, db: str | None) -> None:
    """Copy the whole record as at one moment into a new file TO, while others may be writing; then prove the copy."""
    from boxup.store.open import open_store, verify_store

    with refused():
        with open_store(record_at(db), read_only=True) as store:
            store.backup(Path(to))
        verdict = verify_store(to)
    if not verdict.ok:
        click.echo("\n".join(_told(to, verdict)))
        sys.exit(1)
    click.echo(f"{to} is written and was proved: {_counted(verdict.heads)}.")


@record_command.command("restore")
@click.argument("source", metavar="FROM", type=click.Path(dir_okay=False))
@DB
def restore_command(source: str, db: str | None) -> None:
    """Bring back an export or a backup, as it was. All of it is proved first; a job that has another history here is refused.

    Where the record has the beginning of a job already, the rest is added.
    """
    from boxup.store.open import open_store
    from boxup.store.restore import check_source, restore

    where = record_at(db)
    with refused():
        check_source(Path(source))
        with open_store(where, create=True) as store:
            taken = restore(Path(source), store)
    click.echo(f"{where}: {taken.written} entries written, {taken.known} were there already.")


def _told(where: str, verdict: Verdict) -> Iterator[str]:
    """The verdict in sentences: the first bad entry first, then whatever else is wrong, then the heads."""
    from boxup.store.verdict import shown

    if verdict.ok:
        yield f"{where} is sound: {_counted(verdict.heads)}."
    else:
        yield f"{where} IS NOT SOUND. {verdict.faults[0]}"
        yield from (f"  {fault}" for fault in verdict.faults[1:_MOST_FAULTS])
        if (more := len(verdict.faults) - _MOST_FAULTS) > 0:
            yield f"  and {more} more"
        yield f"  {verdict.sound} entries are as they were recorded. Change nothing, keep a copy of the file, take the last good backup."
    yield from (f"  Note: {remark}" for remark in verdict.remarks)
    if verdict.heads:
        yield (
            "Last entry of each job, to hold against the signed papers:"
            if verdict.ok
            else "Last entry of each job as the file has it; not to be signed:"
        )
        yield from (shown(f"  {head.job}  {head.entries} entries  {head.hash}") for head in verdict.heads)


def _counted(heads: tuple[Head, ...] | list[Head]) -> str:
    return f"{sum(head.entries for head in heads)} entries in {len(heads)} job{'' if len(heads) == 1 else 's'}"


def _write_lines(found: Iterator[str], out: str | None) -> None:
    """As UTF-8 with plain line ends on every system; a file that is there is not written over."""
    if out is None:
        for line in found:
            sys.stdout.buffer.write(line.encode("utf-8"))
        return
    try:
        with Path(out).open("xb") as file:
            for line in found:
                file.write(line.encode("utf-8"))
    except FileExistsError:
        raise Refusal([f"{out} is there already; it is not written over. Give another name."]) from None
    except OSError as bad:
        raise Refusal([f"{out} cannot be written: {bad.strerror}. Give a folder that is there and open to you."]) from bad
