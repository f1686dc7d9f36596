"""One event: a thing that happened on a job, said by a person. Events are added, never changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

Payload = Mapping[str, Any]
MOST_TEXT = 200  # letters of a name, an id, a kind


class BadEvent(ValueError):
    """An event that cannot be recorded. `problems` holds every sentence."""

    def __init__(self, problems: list[str]) -> None:
        super().__init__("\n".join(problems))
        self.problems = tuple(problems)


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """What a writer has to say, before the store has taken it.

    `id`: made by the writer, so that a form sent twice is recognised. `by`: whose hands; `entered_by`: who typed it, often another.
    `corrects`: the id of the event that this one takes the place of, or takes back; empty for none.
    """

    id: str
    job: str
    kind: str
    version: int
    happened_at: datetime
    by: str
    entered_by: str
    payload: Payload
    corrects: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Event(Draft):
    """A draft as the store took it: its number in the job, when it was taken, and its link in the chain of hashes."""

    number: int
    recorded_at: datetime
    previous: str
    hash: str


def written(moment: datetime) -> str:
    """A moment as it is written in the record: to the second, with its zone."""
    return moment.isoformat(timespec="seconds")


def taken(moment: datetime) -> str:
    """The store's own clock: in UTC, to the thousandth."""
    return moment.astimezone(UTC).isoformat(timespec="milliseconds")


def moment_of(text: str) -> datetime:
    """The moment a text says. ValueError where it is no moment, or has no zone."""
    found = datetime.fromisoformat(text)
    if found.tzinfo is None:
        raise ValueError(f"{text!r} has no zone; accepted: date, time and zone, for example '2027-04-12T06:20:00+02:00'")
    return found
