"""Gaskets with ribs, covers, heads and channel put on turned by half, or a gasket turned over: does it lie right, and what tells."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from boxup.bundle.way_up import TOLERANCE, falls_on, nozzles_meet
from boxup.core.finding import Missing
from boxup.exchanger.joints import CHANNEL_COVER, CHANNEL_TUBESHEET, FLOATING_HEAD, REAR_HEAD
from boxup.exchanger.model import Exchanger, Joint
from boxup.exchanger.passes import End
from boxup.exchanger.ribs import mirrored, rib_lines, ribs_of

PLAIN = "plain ring: it has no way up"
SAME = "lies right: its ribs fall on themselves"
ACROSS = "does not lie right: its ribs lie across the plates, which is seen before it is closed"
UNKNOWN = "not known: the file has no pass layout; lay it on the plates and look"


@dataclass(frozen=True, slots=True)
class TurnedPart:
    """One part: `half` what half a turn does, `over` what turning it over does ("" for what has one face only)."""

    what: str
    joint: str
    half: str
    over: str = ""


def turned_parts(exchanger: Exchanger) -> tuple[TurnedPart, ...]:
    """Front to rear: the gasket of each joint that carries pass ribs, and the part that is bolted on there."""
    found: list[TurnedPart] = []
    for joint in exchanger.joints:
        if joint.ribs_end in ("front", "rear"):
            found += _of_joint(exchanger, joint, "front" if joint.ribs_end == "front" else "rear")
    return tuple(found)


def _of_joint(x: Exchanger, joint: Joint, end: End) -> Iterator[TurnedPart]:
    half = falls_on(x, 180, end)
    name = f"gasket {joint.gasket.id}" if joint.gasket else "gasket"
    if ribs_of(x, end) == ():
        yield TurnedPart(name, joint.id, PLAIN, PLAIN)
    else:
        yield TurnedPart(name, joint.id, _lies(half), _lies(falls_over(x, end)))
    yield TurnedPart(*_bolted_on(x, joint), _part(x, joint, half))


def _lies(falls: bool | None) -> str:
    return UNKNOWN if falls is None else SAME if falls else ACROSS


def falls_over(x: Exchanger, end: End) -> bool | None:
    """Whether the ribs fall on themselves when the gasket is turned over, left for right, 12 o'clock kept; None where that is not known."""
    lines = rib_lines(x, end)
    if isinstance(lines, Missing):
        return None
    own = [sorted(((r.x1, r.y1), (r.x2, r.y2))) for r in lines]
    other = [sorted(((r.x1, r.y1), (r.x2, r.y2))) for r in mirrored(lines)]
    return all(any(all(abs(a[i][k] - b[i][k]) <= TOLERANCE for i in (0, 1) for k in (0, 1)) for b in own) for a in other)


def _bolted_on(x: Exchanger, joint: Joint) -> tuple[str, str]:
    names = {CHANNEL_COVER: "channel cover", CHANNEL_TUBESHEET: "bonnet" if x.letters.front == "B" else "channel",
             FLOATING_HEAD: "floating head cover"}  # fmt: skip
    return names.get(joint.kind, joint.kind), joint.id


def _part(x: Exchanger, joint: Joint, half: bool | None) -> str:
    if joint.kind == CHANNEL_TUBESHEET or (joint.kind == REAR_HEAD and _nozzles(x, "rear")):
        return _channel(x, half, "front" if joint.kind == CHANNEL_TUBESHEET else "rear")
    if half is None:
        return UNKNOWN
    if ribs_of(x, "front" if joint.ribs_end == "front" else "rear") == ():
        return "goes on either way: no plate meets it; its lifting lug and its small bore tell"
    if not half:
        return "does not go on: its plates or grooves do not meet the others"
    return "goes on either way and parts the passes alike; its lifting lug, its small bore and the match mark tell"


def _nozzles(x: Exchanger, end: End) -> int:
    """Tube-side nozzles at that end: those of the front stand before the tubesheet."""
    return sum(n.side == "tube" and (n.position is None or n.position.si < 0) == (end == "front") for n in x.nozzles)


def _channel(x: Exchanger, half: bool | None, end: End) -> str:
    if not _nozzles(x, end):
        return "no nozzles of it in the file: look at what stands on it"
    meets = nozzles_meet(x, 180, end)
    if meets and half and _nozzles(x, end) == 1:
        return "goes on, and its nozzle meets the spool"
    if meets and half:
        return "goes on, and its nozzles meet the spools: inlet and outlet change places, and the passes run the other way"
    if meets:
        return "its nozzles would meet the spools, its plates do not meet the grooves of the tubesheet"
    return "its nozzles do not meet the spools"
