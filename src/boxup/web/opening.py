"""A job is opened with its exchanger file."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from uuid import uuid4

from boxup.exchanger.check import check_text
from boxup.exchanger.model import Exchanger
from boxup.job.options import ASKED
from boxup.record.event import BadEvent, Draft
from boxup.record.kinds import MOST_LONG_TEXT, kind_of
from boxup.store.base import MovedOn
from boxup.web.live import Jobs


class BadFile(ValueError):
    """A file that no job can be opened with. `problems`: every sentence."""

    def __init__(self, problems: Sequence[str]) -> None:
        super().__init__("\n".join(problems))
        self.problems = tuple(problems)


def open_job(jobs: Jobs, data: bytes, by: str, at: datetime | None = None) -> str:
    """Put a new job on record, now unless another time is given, and return its name.

    BadFile with everything wrong with the file, or where the job is there already; StoreError.
    """
    text, exchanger = _read(data)
    if not by.strip():
        raise BadFile(["who opens the job is missing: give a name"])
    job = exchanger.identity.job or exchanger.identity.tag
    if job in jobs.names():
        raise BadFile([_there_already(job)])
    kind = kind_of("job.opened")
    now, name = at or datetime.now(UTC).astimezone(), " ".join(by.split())
    opened = Draft(
        id=str(uuid4()), job=job, kind=kind.name, version=kind.version, happened_at=now, by=name, entered_by=name, payload={"file": text}
    )
    try:
        jobs.append([opened], 0)
    except MovedOn:  # somebody else opened it a moment ago
        raise BadFile([_there_already(job)]) from None
    except BadEvent as bad:
        raise BadFile(bad.problems) from bad
    return job


def _read(data: bytes) -> tuple[str, Exchanger]:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise BadFile(["the file is no text; accepted: an exchanger file as boxup new writes it"]) from None
    if len(text) > MOST_LONG_TEXT:
        raise BadFile([f"the file is longer than {MOST_LONG_TEXT:,} letters; accepted: an exchanger file as boxup new writes it"])
    report = check_text(text, "the file", also=ASKED)
    if report.exchanger is None:
        raise BadFile([str(p) for p in report.errors])
    return text, report.exchanger


def _there_already(job: str) -> str:
    return f"job {job} is on record already. A changed file of a job that runs is entered there, as job.file_revised, with the reason"
