"""Which readings of an attempt are the hold: from the first at test pressure until it is let down; pumping in between begins it anew."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from boxup.hydro.reached import READ_TO
from boxup.job.reading import LOWERED, SKIN, Reading

START = 1 - READ_TO  # of the test pressure, or of the highest reading: from here on it is held
AGAIN = 0.01  # of the pressure, from one reading to the next, that warming does not explain: pumped again
LEAST_GAUGE = 0.01  # MPa: what a person reads off is seldom finer

Between = Callable[[Reading, Reading], bool]  # of two readings in a row: was it pumped between them?


def litres_grew(before: Reading, now: Reading) -> bool:
    """As the litres on record say."""
    return now.pumped is not None and before.pumped is not None and now.pumped > before.pumped


def pumped_by(rise: float, skin: bool, gauge_step: float) -> Between:
    """Litres that grew, or a gauge that rose more than the warming gives: nobody wrote down that it was pumped. `rise`: MPa/K."""

    def pumped(before: Reading, now: Reading) -> bool:
        warming = (now.warm(skin) or 0.0) - (before.warm(skin) or 0.0)
        unexplained = now.pressure - before.pressure - rise * warming
        off = max(AGAIN * now.pressure, 1.5 * max(gauge_step, LEAST_GAUGE), abs(rise) * max(SKIN, 0.5 * abs(warming)))
        return litres_grew(before, now) or unexplained > off

    return pumped


def hold_of(readings: Sequence[Reading], gauge: float | None = None, pumped: Between = litres_grew) -> tuple[Reading, ...]:
    """The readings that are the hold; of several the longest is taken, the later of equals.

    `gauge`: the test pressure at the gauge, MPa, where it is known: a hold that warms ends higher than it began.
    """
    top = max((r.pressure for r in readings), default=0.0)
    if top <= 0:
        return ()
    level = START * min(top, gauge or top)
    stretches: list[list[Reading]] = [[]]
    for now in readings:
        before = stretches[-1][-1] if stretches[-1] else None
        if before and pumped(before, now):
            stretches.append([now])
        elif before and before.pressure - now.pressure > LOWERED * top:
            stretches.append([])
        elif before or now.pressure >= level:
            stretches[-1].append(now)
    longest: list[Reading] = max(stretches[::-1], key=_minutes)
    return tuple(longest)


def _minutes(stretch: Sequence[Reading]) -> float:
    return (stretch[-1].at - stretch[0].at).total_seconds() / 60 if stretch else -1.0
