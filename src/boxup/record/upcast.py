"""Lines of older versions, read as the present one: an event is never rewritten, so every version ever written must stay readable.

Each function takes the payload of version n to version n + 1. A retired version has a frozen example in `tests/record/old/`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import TypeVar

from boxup.record.event import BadEvent, Draft, Payload
from boxup.record.kinds import kinds

Upcast = Callable[[Payload], Payload]


def _weep_names_its_test(payload: Payload) -> Payload:
    """Version 1 could leave the test out; what a weep undoes hangs on it, so it is asked for since."""
    return {"test": "not said", **payload}


UPCASTS: dict[tuple[str, int], Upcast] = {("joint.weeped", 1): _weep_names_its_test}
_Written = TypeVar("_Written", bound=Draft)


def current(event: _Written, upcasts: Mapping[tuple[str, int], Upcast] | None = None) -> _Written:
    """The event in the present version of its kind. BadEvent for a kind or a version this program does not know."""
    kind = kinds().get(event.kind)
    if kind is None:
        raise BadEvent([f"The kind {event.kind!r} is not known to this program; a newer one may read it."])
    if event.version == kind.version:
        return event
    if event.version > kind.version:
        raise BadEvent([f"{event.kind} in version {event.version} is newer than this program, which knows version {kind.version}."])
    payload, known = event.payload, UPCASTS if upcasts is None else upcasts
    for version in range(event.version, kind.version):
        if (event.kind, version) not in known:
            raise BadEvent([f"{event.kind} in version {version} cannot be read any more; that is a fault of this program."])
        payload = known[event.kind, version](payload)
    return replace(event, version=kind.version, payload=payload)
