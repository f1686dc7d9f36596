"""An event as one JSON object, as `--json` prints it. (An export carries the kept texts themselves: see the store.)"""

from __future__ import annotations

from typing import Any

from boxup.record.event import Event, taken, written


def as_json(event: Event) -> dict[str, Any]:
    """Everything an event says, with its place in the chain."""
    return {
        "job": event.job, "number": event.number, "id": event.id, "kind": event.kind, "version": event.version,
        "happened_at": written(event.happened_at), "recorded_at": taken(event.recorded_at), "by": event.by, "entered_by": event.entered_by,
        "corrects": event.corrects, "payload": dict(event.payload), "previous": event.previous, "hash": event.hash,
    }  # fmt: skip
