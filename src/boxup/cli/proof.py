"""`boxup proof`: what the tests have proved in this assembly, and what nothing has proved yet."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import TYPE_CHECKING

import click

from boxup.cli.live import DB, live_state
from boxup.cli.refusal import Refusal

if TYPE_CHECKING:
    from boxup.job.proof import Proof
    from boxup.job.state import Attempt, JobState


@click.command("proof")
@click.argument("file", type=click.Path())
@DB
@click.option("--json", "as_json", is_flag=True, help="For machines.")
def proof_command(file: str, db: str | None, as_json: bool) -> None:
    """Gasket by gasket and tube by tube: which test proved it as it is now, and what is still unproved."""
    from boxup.job.proof import proofs

    state = live_state(file, db)
    if state is None:
        raise Refusal([f"no job of {file} is on record; boxup log {file} KIND ... makes its first entry"])
    found = proofs(state)
    if as_json:
        rows = [{"what": p.what, "id": p.id, "item": p.item, "by": list(p.by), "unproved": p.open} for p in found]
        click.echo(json.dumps(rows, ensure_ascii=False, indent=1))
        return
    click.echo("\n".join(_lines(state, found)))


def _lines(state: JobState, found: tuple[Proof, ...]) -> Iterator[str]:
    open_ = [p for p in found if p.open]
    yield f"Job {state.job}: {len(found) - len(open_)} of {len(found)} proved in this assembly"
    for p in found:
        said = f"proved by test {'; '.join(p.by)}" if not p.open else f"UNPROVED: {p.open}"
        yield f"  {p.what:<14} {p.id:<8} {p.item:<8} {said}"
    for test in state.tests.values():
        yield from (f"  test {test.code}, {_attempt(a)}" for a in test.attempts)
    yield "A test passes by looking, and by the inspector's name; this list says only what stood under pressure when it did."


def _attempt(a: Attempt) -> str:
    held = f", up to {a.highest_mpa * 10:.1f} bar" if a.highest_mpa else ""
    words = f" ({a.words})" if a.words else ""
    fell = f"; fell: {a.fell}" if a.fell else ""
    return f"attempt {a.number}, {a.began:%d %b %H:%M}{held}: {a.verdict}{words}{fell}"
