"""Whether the entries of a job are the ones that were recorded, each on the one before it."""

from __future__ import annotations

from collections.abc import Sequence

from boxup.record.canonical import FIRST, event_hash
from boxup.record.event import Event, taken


def first_broken(found: Sequence[Event], number: int = 1, previous: str = FIRST) -> int:
    """The number of the first entry that is not as it was recorded; 0 where the chain holds.

    `number`, `previous`: of the first one given, and the hash of the one before it, where the beginning has been looked at before.
    """
    for e in found:
        if e.number != number or e.previous != previous or event_hash(e, e.number, taken(e.recorded_at), e.previous) != e.hash:
            return number
        number, previous = number + 1, e.hash
    return 0
