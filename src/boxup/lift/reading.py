"""A reading taken on the way, held against the place where it was taken: pull at the stop there, pull that rises, hook out of its range."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from boxup.core.finding import Finding
from boxup.core.rounding import both, shown_si
from boxup.lift.answer import LiftAnswer
from boxup.lift.rise import rises, running
from boxup.lift.slope import Way
from boxup.lift.way import OnItsWay, Stand

RULE = "common practice"
CELL = 0.05  # of the weight: by so much a cell, a mass by the drawing and a hook's height may be off before it is said
_CURE = {
    "insert": "Nobody pulls on. Look: level, square, bars, bore at that place; back it out before it is forced.",
    "pull": "Nobody pulls on. Look: level, square, bars, what holds it; soak it, wait, jack evenly. The engineer decides what is more.",
}


@dataclass(frozen=True, slots=True)
class Pulls:
    """One way of one bundle: place by place as far as its slings are known (`one`), and the stop that is never passed (`whole`)."""

    way: Way
    one: OnItsWay | None
    whole: LiftAnswer | None

    @property
    def never(self) -> float | None:
        """The stop that is never passed, at any place, N."""
        step = self.whole.step("F_stop") if self.whole else None
        return step.si if step else None

    def stand(self, metres: float) -> Stand | None:
        """The bundle with so much in; at home where more is said than there is. None where no place can be worked, or nothing is in."""
        one = self.one
        if one is None or not one.known or metres <= 0:
            return None
        return one.stand(min(metres, one.home))

    def worked(self, metres: float) -> float | None:
        """The stop with so much in, N: that of the place, never more than the one for the whole way. To be printed, rounded down."""
        stand = self.stand(metres)
        there = stand.working["F_stop"] if stand and "F_stop" in stand.working.steps else None
        return min((f for f in (there, self.never) if f is not None), default=None)

    def stop(self, metres: float) -> float | None:
        """The same as its metric figure stands for, N: what a reading is held against."""
        limit = self.worked(metres)
        return None if limit is None else shown_si("load", limit, "down")

    @property
    def weight(self) -> float | None:
        """What it weighs, N."""
        return self.one.beam.weight if self.one and self.one.beam else None

    def over(self, metres: float, force: float) -> bool:
        """Whether a pull read with so much in is at the stop of that place, or over it."""
        limit = self.stop(metres)
        return limit is not None and force >= limit * (1 - 1e-9)


def judged(pulls: Pulls, metres: float, force: float, before: Sequence[float] = (), hook: float | None = None) -> Iterator[Finding]:
    """What a reading means: `metres` in, `force` the pull read, `hook` the hook read, N; `before`: pulls read before it, this way."""
    limit = pulls.worked(metres)
    read = f"Pull read {both('load', force)} with {both('position', metres)} in:"
    if limit is not None and pulls.over(metres, force):
        yield Finding("stop", f"{read} the stop at that place is {both('load', limit, 'down')}. {_CURE[pulls.way]}", RULE)
    elif pulls.weight is not None and rises([*before, force], pulls.weight):
        ran = both("load", running([*before, force]) or 0.0)
        yield Finding("stop", f"{read} more than a quarter over the three before it, {ran} in the mean. {_CURE[pulls.way]}", RULE)
    if hook is not None:
        yield from _hook(pulls, metres, hook)


def _hook(pulls: Pulls, metres: float, hook: float) -> Iterator[Finding]:
    """Over all that can hang there it is caught, or heavier than thought; under the least the shell carries it, and the pull will rise."""
    stand = pulls.stand(metres)
    if stand is None or pulls.weight is None or pulls.one is None:
        return
    hung, slack = pulls.one.hung_below, CELL * pulls.weight
    least, most = stand.hook[0], stand.hook[1] + hung
    read = f"Hook read {both('load', hook)} with {both('position', metres)} in;"
    if hook > most + slack:
        range_ = f"expected is {both('load', most, 'up')} at the most, with what hangs under the cell."
        yield Finding("stop", f"{read} {range_} It is caught, or heavier than worked out: slack off, look, weigh it anew.", RULE)
    elif hook < least - slack:
        range_ = f"expected is {both('load', least, 'down')} at the least."
        yield Finding("warn", f"{read} {range_} More of it rests in the shell than worked out: look where, before it is pulled on.", RULE)
