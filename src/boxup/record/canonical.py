"""The one way an event is written down, and its hash: the same event gives the same bytes on every machine."""

from __future__ import annotations

import json
from hashlib import sha256

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
    return _write(
        [draft.id, draft.job, draft.kind, draft.version, written(draft.happened_at), draft.by, draft.entered_by, draft.corrects,
         payload_text(draft.payload)]
    )  # fmt: skip


def event_hash(draft: Draft, number: int, recorded_at: str, previous: str) -> str:
    """SHA-256 (FIPS 180-4) over everything the event says, its number, when it was taken and the hash of the event before it.

    `recorded_at` as `event.taken` writes it.
    """
    return sha256(_write([said(draft), number, recorded_at, previous]).encode("utf-8")).hexdigest()
