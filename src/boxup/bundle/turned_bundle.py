"""A bundle the wrong way round: tube passes run the other way, or one end space of the shell side slipped past."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from boxup.bundle.arrangement import Arrangement
from boxup.bundle.effectiveness import ZONES, Meeting, worked
from boxup.core.calculation import calculation, number
from boxup.core.quantity import Quantity
from boxup.core.source import Cite
from boxup.core.working import Working
from boxup.reference.load import source

NOTHING_STOPS_IT = (
    "Ribs of even passes still fit with the bundle half a turn round, and the duty hardly tells: look before it goes in. "
    "Impingement plate to the inlet nozzle, notches down, sliding bars down, witness marks at 12 o'clock on tubesheet, flange and gasket."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Turned(Meeting):
    """As for `effectiveness`, and how many spaces the baffles make."""

    spaces: Quantity | None = number("n_s", "spaces between baffles and ends", "count", optional=True, least=2, most=1000)

    def problems(self) -> list[str]:
        """As for `effectiveness`, and no surface at all."""
        found = Meeting.problems(self)
        return (
            [*found, f"ntu: {self.ntu.typed!r} takes no heat, so there is nothing to lose; accepted: over 0"] if self.ntu.si == 0 else found
        )


def reversed_way(way: Arrangement, passes: int) -> Arrangement:
    """The same shell with the tube fluid going the other way: in where it went out."""
    first = way.first_along if passes % 2 == 0 else not way.first_along
    return replace(way, first_along=first, halves=way.halves[::-1])


@calculation(
    "turned-bundle",
    ZONES,
    Turned,
    "effectiveness=P reversed=P_r reversed_ratio=y_r end_space_lost=P_l end_space_ratio=y_l end_space_ntu=N_l",
)
def turned_bundle(w: Working, given: Turned) -> dict[str, tuple[Any, str]]:
    """P as it should be, with the tube flow reversed, and with one end space lost; their ratios are those of the duty."""
    w.take_in(given)
    n = round(given.passes.si)
    each = [given.ntu.si / n] * n
    p = worked(given.way, each, given.ratio.si)
    w.kernel("P", "rise of the tube fluid over the difference of the inlets", p, "-", "equal passes, each zone solved, then joined",
             Cite(ZONES, "as it should be"), ("n_p", "N_t", "R"))  # fmt: skip
    turned_lines(w, given.way, each)
    if given.spaces is not None:
        lost_lines(w, given.way, each)
    w.say("note", NOTHING_STOPS_IT, source=source("trade"))
    return {}


def turned_lines(w: Working, way: Arrangement, each: list[float]) -> None:
    """P_r and y_r beside the P and R of the working; `each`: U A over C by pass."""
    p = worked(reversed_way(way, len(each)), each[::-1], w["R"])
    w.kernel("P_r", "the same with the tube flow reversed", p, "-", "each zone solved, then joined", Cite(ZONES, "reversed"), ("N_t", "R"))
    w.step("y_r = P_r/P", "-", "duty left with the tube flow reversed", "ratio")


def lost_lines(w: Working, way: Arrangement, each: list[float]) -> None:
    """P_l and y_l with one of n_s spaces taken out of the surface."""
    w.step("x_l = 1 - 1/n_s", "-", "surface left without one end space", "equal spaces")
    w.step("N_l = x_l*N_t", "-", "U A over C without it", "surface")
    p = worked(way, [n * w["x_l"] for n in each], w["R"])
    w.kernel("P_l", "the same without it", p, "-", "each zone solved, then joined", Cite(ZONES, "end space lost"), ("N_l", "R"))
    w.step("y_l = P_l/P", "-", "duty left without one end space", "ratio")
