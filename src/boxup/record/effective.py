"""Which events stand: an event may be taken back or replaced, and the taking back may be taken back in turn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from boxup.core.finding import Finding
from boxup.record.event import Event

WITHDRAWN = "record.withdrawn"


@dataclass(frozen=True, slots=True)
class Standing:
    """The events that stand, in the order in which they happened, and what is wrong with the corrections.

    `struck`: id of every event that does not stand, with the id of the event that took it back or took its place.
    """

    events: tuple[Event, ...]
    struck: dict[str, str]
    findings: tuple[Finding, ...]


def standing(events: Sequence[Event]) -> Standing:
    """Last correction first: a correction that does not stand itself corrects nothing. Events of one job."""
    struck: dict[str, str] = {}
    findings: list[Finding] = []
    number = {event.id: event.number for event in events}
    kind = {event.id: event.kind for event in events}
    for event in sorted((e for e in events if e.corrects), key=lambda e: e.number, reverse=True):
        if event.id in struck:
            continue
        if number.get(event.corrects, event.number) >= event.number:
            findings.append(_aimless(event))
        elif event.corrects in struck:
            struck[event.id] = struck[event.corrects]
            findings.append(_twice(event, number[event.corrects]))
        else:
            struck[event.corrects] = event.id
            if (was := kind[event.corrects]) != event.kind and event.kind != WITHDRAWN:
                findings.append(_other_kind(event, number[event.corrects], was))
    kept = [event for event in events if event.id not in struck and event.kind != WITHDRAWN]
    kept.sort(key=lambda e: (e.happened_at, e.number))
    return Standing(tuple(kept), struck, tuple(findings))


def _aimless(event: Event) -> Finding:
    text = "corrects {!r}, which is no earlier entry of this job; it changes nothing. Enter the correction again with the right entry."
    return Finding("warn", f"Entry {event.number} {text.format(event.corrects)}")


def _other_kind(event: Event, number: int, was: str) -> Finding:
    text = f"Entry {event.number} ({event.kind}) took the place of entry {number} ({was}), which says another thing: is that meant?"
    return Finding("stop", text)


def _twice(event: Event, number: int) -> Finding:
    text = f"Entry {number} was corrected more than once; the last correction counts, entry {event.number} does not."
    return Finding("warn", text)
