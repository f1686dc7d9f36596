"""Invented things to put on record. Nothing but the writer's room is imported: programs that are killed start with this."""

from __future__ import annotations

import random
from datetime import UTC, datetime, timedelta
from uuid import UUID, uuid4

from boxup.record.event import Draft

MORNING = datetime(2027, 4, 12, 6, 20, tzinfo=UTC)


def note(text: str = "gasket came", *, job: str = "14-E-103/1", id: str = "", at: datetime = MORNING, by: str = "I. Belmarsh") -> Draft:
    """A note for the file; with an id of its own unless one is given."""
    return Draft(
        id=id or str(uuid4()), job=job, kind="note.written", version=1, happened_at=at, by=by, entered_by="K. Ode", payload={"text": text}
    )  # fmt: skip


def torqued(stud: int, *, job: str = "14-E-103/1") -> Draft:
    """A stud done, with a number and what was typed."""
    payload = {"joint": "J4", "pass": "pass 1", "stud": stud, "torque_n_m": 455.0 + stud / 8, "typed": {"torque_n_m": "335 lbf.ft"}}
    return Draft(
        id=str(uuid4()), job=job, kind="joint.stud_done", version=1, happened_at=MORNING, by="I. Belmarsh", entered_by="K. Ode",
        payload=payload,
    )  # fmt: skip


def opened(letters: int, *, job: str = "14-E-103/1") -> Draft:
    """A job opened with a file of so many letters: what fills overflow pages."""
    return Draft(
        id=str(uuid4()), job=job, kind="job.opened", version=1, happened_at=MORNING, by="I. Belmarsh", entered_by="K. Ode",
        payload={"file": "€" * letters},
    )  # fmt: skip


def mixed(seed: int, count: int, jobs: int = 5) -> list[Draft]:
    """Drafts of several jobs, small and large, the same for the same seed."""
    chance = random.Random(seed)
    made = []
    for n in range(count):
        text = "Ø—é"[n % 3] * chance.choice((3, 40, 200, 600, 1900))
        id = str(UUID(int=chance.getrandbits(128), version=4))
        made.append(note(text, job=f"job {chance.randrange(jobs)}", id=id, at=MORNING + timedelta(minutes=n)))
    return made
