"""The one way an event is written down, and its hash: the same event gives the same bytes on every machine."""

from __future__ import annotations

import json
from hashlib import sha256
from json.encoder import encode_basestring as _quoted

from boxup.record.event import Draft, Payload, written

FIRST = ""  # the `previous` of the first event of a job
_write = json.JSONEncoder(ensure_ascii=False, allow_nan=False, sort_keys=True, separators=(",", ":")).encode


def payload_text(payload: Payload) -> str:
    """A payload as text: keys in order, no blanks. The store keeps this text as it is, so that reading it back cannot change it.

    ValueError where a value has no such text (a number that is not finite, a thing that is not JSON).
    """
    try:
        return _write(dict(payload))
    except TypeError as bad:
        raise ValueError(f"the payload cannot be written: {bad}") from bad


def said(draft: Draft) -> str:
    """What a writer said, whole: two drafts of one id that differ here are not the same form sent twice."""
    return said_text(
        draft.id, draft.job, draft.kind, draft.version, written(draft.happened_at), draft.by, draft.entered_by, draft.corrects,
        payload_text(draft.payload),
    )  # fmt: skip


def said_text(
    id: str, job: str, kind: str, version: int, happened_at: str, by: str, entered_by: str, corrects: str, payload: str
) -> str:  # fmt: skip
    """The same from the texts as they are kept: nothing is written anew on the way to the hash."""
    one, two, three, four = _quoted(by), _quoted(entered_by), _quoted(corrects), _quoted(payload)
    return f"[{_quoted(id)},{_quoted(job)},{_quoted(kind)},{version},{_quoted(happened_at)},{one},{two},{three},{four}]"


def event_hash(draft: Draft, number: int, recorded_at: str, previous: str) -> str:
    """SHA-256 (FIPS 180-4) over everything the event says, its number, when it was taken and the hash of the event before it.

    `recorded_at` as `event.taken` writes it.
    """
    return linked_hash(said(draft), number, recorded_at, previous)


def linked_hash(what: str, number: int, recorded_at: str, previous: str) -> str:
    """The same, for what `said` or `said_text` gave."""
    return sha256(f"[{_quoted(what)},{number},{_quoted(recorded_at)},{_quoted(previous)}]".encode()).hexdigest()
