"""How near an arrangement of shell and tube passes comes to pure counterflow."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from boxup.bundle.arrangement import SHELLS, Arrangement, NoSuchWay, tube_effectiveness
from boxup.bundle.zones import Past
from boxup.core.calculation import calculation, number, word
from boxup.core.quantity import BadValue, Quantity
from boxup.core.source import Cite
from boxup.core.working import CannotWork, Working
from boxup.reference.load import source

ZONES = source("shell-zones")
WAYS = ("against", "with")
HALVES = ("upper", "lower")
NEAR_ALL = 1 - 1e-6  # of what there is to take: nearer to it, what counterflow would need is all rounding


def halves_of(text: str) -> tuple[str, ...]:
    """`upper lower`: a half for each pass. Raises BadValue."""
    found = tuple(text.replace(",", " ").split())
    if bad := [half for half in found if half not in HALVES]:
        raise BadValue(f"{bad[0]!r} is no half; accepted: upper or lower for each pass, for example 'upper lower'")
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Meeting:
    """A shell by its letter, its passes, and how large it is for its flows."""

    shell: str = word("shell: E, F, G, H, J12 (one inlet in the middle), J21 (two inlets at the ends)", SHELLS, default="E")
    passes: Quantity = number("n_p", "tube passes", "count", least=1, most=16)
    ntu: Quantity = number("N_t", "U A over the C of the tube fluid", "-", least=0, most=1e4)
    ratio: Quantity = number("R", "C of the tube fluid over C of the shell fluid; 0 where the shell stays at one temperature", "-", least=0,
                             most=1e4)  # fmt: skip
    first: str = word("shell E: the first pass runs against the shell fluid, or with it", WAYS, default="against")
    halves: str = word("shells F, G, H: where each pass lies, upper or lower", check=halves_of, default="")

    def problems(self) -> list[str]:
        """Passes that are no whole number."""
        n = self.passes.si
        return [] if n == round(n) else [f"passes: {self.passes.typed!r} is not a whole number; accepted: 1 to 16"]

    @property
    def way(self) -> Arrangement:
        """The arrangement that is meant."""
        return Arrangement(self.shell, self.first == "with", halves_of(self.halves))


@calculation("effectiveness", ZONES, Meeting, "effectiveness=P counterflow=P_c correction=F_t")
def effectiveness(w: Working, given: Meeting) -> dict[str, tuple[Any, str]]:
    """P of the tube side, beside that of counterflow; and the correction of the mean temperature difference."""
    w.take_in(given)
    n = round(given.passes.si)
    p = worked(given.way, [given.ntu.si / n] * n, given.ratio.si)
    w.kernel("P", "rise of the tube fluid over the difference of the inlets", p, "-", "equal passes, each zone solved, then joined",
             Cite(ZONES, f"shell {given.shell}"), ("n_p", "N_t", "R"))  # fmt: skip
    counterflow_line(w)
    if p > 0 and max(p, p * given.ratio.si) < NEAR_ALL:
        w.step("N_c = P/(1 - P) if abs(1 - R) <= 1e-8 else log((1 - P*R)/(1 - P))/(1 - R)", "-", "counterflow would need", "counterflow")
        w.step("F_t = N_c/N_t", "-", "correction of the mean temperature difference", "definition")
    return {}


def counterflow_line(w: Working) -> None:
    """P_c, the most there can be, from N_t and R."""
    less, more = (
        "(1 - exp(-N_t*(1 - R)))/(1 - R*exp(-N_t*(1 - R)))",
        "(1 - exp(-N_t*(R - 1)))/(R - exp(-N_t*(R - 1)))",
    )  # as one, unoverflown
    line = f"P_c = N_t/(1 + N_t) if abs(1 - R) <= 1e-8 else {less} if R < 1 else {more}"
    w.step(line, "-", "pure counterflow would reach", "counterflow")


def worked(way: Arrangement, ntu: list[float], r: float, past: Past | None = None, flows: list[float] | None = None) -> float:
    """P of the tube side, as `tube_effectiveness`. Raises CannotWork with the reason where that arrangement is not worked."""
    try:
        return tube_effectiveness(way, ntu, r, past, flows)
    except NoSuchWay as bad:
        raise CannotWork(str(bad)) from bad
