"""What it costs when a share of the tube side goes past some passes: the fluid joins again behind them, unheated."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.bundle.effectiveness import ZONES
from boxup.bundle.plugged_duty import Plugged, counts_of, find_film
from boxup.bundle.rib_bypass import NO_TEST
from boxup.bundle.service import ready, stands
from boxup.bundle.zones import Past
from boxup.core.calculation import calculation, number, word
from boxup.core.quantity import BadValue, Quantity
from boxup.core.working import Working
from boxup.reference.load import source


def passes_of(text: str) -> tuple[int, int]:
    """`1-2`: the first and the last pass it goes past. Raises BadValue."""
    first, dash, last = text.replace(" ", "").partition("-")
    if not (dash and first.isdecimal() and last.isdecimal() and len(text) < 8 and 1 <= int(first) <= int(last)):
        raise BadValue(f"{text!r}; accepted: the first and the last pass it goes past, for example 1-2")
    return int(first), int(last)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bypassed(Plugged):
    """The exchanger with its plugs, and a share of the tube side that goes past some passes."""

    share: Quantity = number("b", "share of the tube side that goes past", "-", least=0, most=0.9)
    past: str = word("the passes it goes past, for example 1-2", check=passes_of)

    def problems(self) -> list[str]:
        """As for plugs, and passes that there are not."""
        found, (_, last) = Plugged.problems(self), passes_of(self.past)
        n = len(counts_of(self.holes))
        return [*found, f"past: {self.past!r} where there are {n} passes; accepted: 1-{n} or fewer"] if last > n else found


@calculation("rib-duty", ZONES, Bypassed, "duty_tight=Q_1@kW duty=Q_2@kW duty_ratio=y_Q")
def rib_duty(w: Working, given: Bypassed) -> None:
    """Duty with a share of the tube side going past some passes, beside the same exchanger with its ribs tight."""
    w.take_in(given)
    left = tuple(h - s for h, s in zip(counts_of(given.holes), counts_of(given.plugged), strict=True))
    ready(w)
    find_film(w, counts_of(given.holes), given.way)
    tight = stands(w, "ribs tight", left, given.way)
    past = stands(w, "a rib that does not touch", left, given.way, Past(*passes_of(given.past), given.share.si))
    w.take("Q_1", tight.working.steps["Q"], tight.name, "duty, ribs tight")
    w.take("Q_2", past.working.steps["Q"], past.name, "duty, with that share going past")
    w.step("y_Q = Q_2/Q_1", "-", "duty left", "ratio")
    w.say("note", NO_TEST, source=source("trade"))
