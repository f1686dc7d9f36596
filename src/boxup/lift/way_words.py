"""What to do with the bundle at a place on its way, in sentences: slings, hook, tubesheet end; and what to do when it is stuck."""

from __future__ import annotations

from collections.abc import Iterator

from boxup.core.rounding import both
from boxup.lift.way import OnItsWay, Stand

STUCK_IN = (
    "Stop. Write down pull read, hook read and the metres.",
    "Back it out until the pull falls to what it was; look whether it stands level and square, and at its sealing strips.",
    "Look at the bore at these places: out of round, weld bead, nozzle edge, slide rail; and at what leads. Measure, dress, grease.",
    "Never a bigger puller, never a swing, never a jack against tubes or baffles.",
)
STUCK_OUT = (
    "Stop. Write down pull read, hook read and the metres.",
    "Soak it, wait, jack evenly from the front at opposite places against the shell flange; pull again, straight.",
    "Never pressure, steam, air or water behind a bundle.",
    "Over half again the pull expected the engineer decides; cutting comes last and is his.",
)


BY_CHANNEL = "Rear sling off; the front one, on the channel, carries until the bundle stands in its place."


def position(si: float) -> str:
    """A place in both systems."""
    return both("position", si, "down")


def do_now(way: OnItsWay, stand: Stand) -> list[str]:
    """What is done with slings and hook at that place."""
    return list(_going_in(way, stand) if way.way == "insert" else _coming_out(way, stand))


def _tips(way: OnItsWay, stand: Stand) -> bool:
    return stand.metres < way.working["s_t"]


def _going_in(way: OnItsWay, stand: Stand) -> Iterator[str]:
    w = way.working
    if stand.stage == "both":
        yield f"Both slings on, hook over the centre of gravity, level. The rear one is off before {position(w['s_2'])} are in."
        yield "A sling is never pulled into the shell."
    elif stand.stage == "front" and way.by_channel:
        yield BY_CHANNEL
    elif stand.stage == "front":
        yield f"Rear sling off; the front one carries. It is off, or moved out to the tubesheet, before {position(w['s_1'])} are in."
    else:
        yield "No sling fits in front of the flange any more: the tubesheet end is held at tubesheet or channel."
    yield from _held(way, stand)


def _held(way: OnItsWay, stand: Stand) -> Iterator[str]:
    yield _gravity(way, stand)
    if _tips(way, stand):
        yield f"The hook keeps its load until {both('position', way.working['s_t'], 'up')} are in{_little(way, stand)}."
    else:
        yield "The tubesheet end stays held until it hangs on its guide pins."
        yield "When the hook goes slack the person in charge of the lift decides."


def _gravity(way: OnItsWay, stand: Stand) -> str:
    """Where its centre of gravity is, as worked. That is no leave to let go of it."""
    inside = stand.metres - (way.working["L"] - way.working["x_c"])
    if inside < 0:
        return f"Centre of gravity outside the mouth by {both('position', -inside)}, as worked: left alone it tips out."
    less = ", less than a tenth of its length" if _tips(way, stand) else ""
    return f"Centre of gravity inside the mouth by {position(inside)}, as worked{less}."


def _little(way: OnItsWay, stand: Stand) -> str:
    """Why a hook that reads nearly nothing is not let go."""
    return ", though it may read little by now" if stand.metres > way.working["L"] - way.working["x_c"] else ""


def _coming_out(way: OnItsWay, stand: Stand) -> Iterator[str]:
    w, length = way.working, way.working["L"]
    yield _gravity(way, stand)
    if not _tips(way, stand):
        yield f"The hook takes its load before {position(length - w['s_t'])} are out."
    else:
        yield f"The hook keeps its load{_little(way, stand)}."
    if stand.stage == "held":
        yield "The tubesheet end is held at tubesheet or channel."
        if not way.by_channel:
            yield f"The front sling goes on with {both('position', length - w['s_1'], 'up')} out."
    elif stand.stage == "front":
        yield f"The front sling carries. The rear one goes on with {both('position', length - w['s_2'], 'up')} out."
    else:
        yield "Both slings on, hook over the centre of gravity, level, before its rear end leaves the shell."


def stuck(way: OnItsWay) -> tuple[str, ...]:
    """What to do when the pull reaches the stop."""
    return STUCK_IN if way.way == "insert" else STUCK_OUT
