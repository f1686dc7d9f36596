"""One event as a store keeps it: its texts letter for letter as they were hashed, so that nothing is written anew to prove them."""

from __future__ import annotations

import json
from typing import NamedTuple

from boxup.record.canonical import FIRST, linked_hash, said_text
from boxup.record.event import Draft, Event, moment_of, written
from boxup.store.verdict import Head


class Entry(NamedTuple):
    """The columns of one event, in the order in which every store holds them."""

    id: str
    job: str
    number: int
    kind: str
    version: int
    happened_at: str
    recorded_at: str
    by: str
    entered_by: str
    corrects: str
    payload: str
    previous: str
    hash: str

    @property
    def said(self) -> str:
        """What its writer said, as `canonical.said` gives it for the draft."""
        return said_text(
            self.id, self.job, self.kind, self.version, self.happened_at, self.by, self.entered_by, self.corrects, self.payload
        )  # fmt: skip

    @property
    def head(self) -> Head:
        """The head of its job when this is the last entry."""
        return Head(self.job, self.number, self.hash)


_read = json.JSONDecoder().raw_decode
TYPES = (str, str, int, str, int, str, str, str, str, str, str, str, str)
COLUMNS = ", ".join('"by"' if name == "by" else name for name in Entry._fields)


def no_head(job: str) -> Head:
    """The head of a job that has no entry yet."""
    return Head(job, 0, FIRST)


def next_entry(draft: Draft, said: str, payload: str, head: Head, recorded_at: str) -> Entry:
    """The entry of a draft behind that head. `said` and `payload` as `canonical` writes them."""
    number = head.entries + 1
    return Entry(
        draft.id, draft.job, number, draft.kind, draft.version, written(draft.happened_at), recorded_at, draft.by, draft.entered_by,
        draft.corrects, payload, head.hash, linked_hash(said, number, recorded_at, head.hash),
    )  # fmt: skip


def event_of(entry: Entry) -> Event:
    """The event that those texts say. ValueError where they say none."""
    payload, end = _read(entry.payload)
    if type(payload) is not dict or end != len(entry.payload):
        raise ValueError("the payload is not a set of fields")
    return Event(
        id=entry.id, job=entry.job, kind=entry.kind, version=entry.version, happened_at=moment_of(entry.happened_at), by=entry.by,
        entered_by=entry.entered_by, payload=payload, corrects=entry.corrects, number=entry.number,
        recorded_at=moment_of(entry.recorded_at), previous=entry.previous, hash=entry.hash,
    )  # fmt: skip


def wrong_with(entry: Entry, head: Head) -> str:
    """What is wrong with an entry that should follow that head, "" for nothing."""
    for name, value, kind in zip(Entry._fields, entry, TYPES, strict=True):
        if type(value) is not kind:
            return f"{name} holds no {'text' if kind is str else 'whole number'}"
    if entry.number != head.entries + 1:
        return f"its number should be {head.entries + 1}: an entry is missing, doubled or moved"
    if entry.previous != head.hash:
        return "it does not carry the hash of the entry before it: one of the two was changed"
    return _changed(entry) or _unreadable(entry)


def _changed(entry: Entry) -> str:
    try:
        fits = linked_hash(entry.said, entry.number, entry.recorded_at, entry.previous) == entry.hash
    except UnicodeEncodeError:
        return "it holds bytes that are no text"
    return "" if fits else "its hash does not fit what it says: it was changed after it was recorded"


def _unreadable(entry: Entry) -> str:
    try:
        event_of(entry)
    except (ValueError, TypeError, RecursionError) as bad:
        return f"its hash fits, but it cannot be read: {bad}"
    return ""
