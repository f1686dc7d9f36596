"""Where a torque that is off the card may have come from: another card, another stud, the other unit, another pass, area or tin."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from boxup.core.unit import UNITS
from boxup.core.working import Working
from boxup.joint.passes import ACROSS
from boxup.joint.passes import SNUG as SNUG_MOST
from boxup.joint.studs import PCC_1, StudSet
from boxup.joint.thread import thread, thread_lines
from boxup.reference.load import table

NEAR = 0.025  # of the torque: two roundings to what a wrench is set to
SAME = 0.05  # of the torque of this card: no other torque at all
PASS_SHARES = {"pass 1": ACROSS[0], "pass 2": ACROSS[1]}
SNUG = ("four snug", "all snug")
SNUG_SHARES = (SNUG_MOST,)
TINS = 3  # the rank of a guess at the nut factor
AREA_NAMES = {"A_r": "root", "A_s": "tensile"}


@dataclass(frozen=True, slots=True)
class OtherSet:
    """Another set of studs of the same file, by the names of its joints, with the torque of its card, N.m."""

    name: str
    size: str
    torque: float


@dataclass(frozen=True, slots=True)
class Guess:
    """What may have been meant. `torque`: what would have been typed, N.m; `rank`: the lower, the sooner believed."""

    torque: float
    text: str
    rank: int

    @property
    def plain(self) -> bool:
        """Whether it is told from chance: nut factors lie so close together that one of them fits nearly any torque."""
        return self.rank < TINS


def likely_cause(studs: StudSet, final: float | None, others: tuple[OtherSet, ...], name: str, torque: float) -> Guess | None:
    """The likeliest, or None where nothing known gives such a torque. `torque`, `final` in N.m; `name`: the pass it was typed for."""
    if final is None:
        return None
    near = [g for g in _guesses(studs, final, others, name) if abs(torque / g.torque - 1) <= NEAR]
    return min(near, key=lambda g: (g.rank, abs(torque / g.torque - 1)), default=None)


def _guesses(studs: StudSet, final: float, others: tuple[OtherSet, ...], name: str) -> Iterator[Guess]:
    share = PASS_SHARES.get(name, 1.0)
    of_pass = "" if share == 1.0 else f", {share * 100:.0f} % of it"
    yield from _of_units(final, SNUG_SHARES if name in SNUG else (share,))
    yield from _of_passes(final, share, name)
    if name in SNUG or studs.size_refused:
        return
    for other in others:
        if abs(other.torque / final - 1) > SAME:
            text = f"It is the torque of {other.name}, {other.size} studs{of_pass}, perhaps copied from that card."
            yield Guess(other.torque * share, text, 0)
    for size, times in sizes_apart(studs):
        yield Guess(final * times * share, f"It is the torque for {size} studs at this target and nut factor{of_pass}.", 1)
    yield from _of_area(studs, final, share)
    yield from _of_tins(studs, final, share)


def _of_units(final: float, shares: tuple[float, ...]) -> Iterator[Guess]:
    """The figure of one unit with the sign of the other."""
    pound_feet = UNITS["lbf.ft"].scale
    for share in shares:
        yield Guess(final * share * pound_feet, "Perhaps it was read in N·m and typed as lbf·ft.", 1)
        yield Guess(final * share / pound_feet, "Perhaps it was read in lbf·ft and typed as N·m.", 1)


def _of_passes(final: float, share: float, name: str) -> Iterator[Guess]:
    """Another time round across of the same card."""
    for number, other in enumerate(ACROSS, start=1):
        if other != share or name in SNUG:
            yield Guess(final * other, f"It is the torque of pass {number}, {other * 100:.0f} % of the final one.", 1)


def sizes_apart(studs: StudSet) -> Iterator[tuple[str, float]]:
    """Every other common stud thread, and the torque it takes at the same stress and nut factor as a multiple of this one's."""
    own = _moment(studs.size, studs.area)
    for size in table("stud_threads"):
        if abs(thread(size).diameter - thread(studs.size).diameter) > 1e-4:
            yield size, _moment(size, studs.area) / own


def _moment(size: str, area: str) -> float:
    """Area times diameter: at one stress and nut factor the torque goes with it."""
    w = Working(size, PCC_1)
    thread_lines(w, thread(size))
    return w["A_s" if area == "tensile" else "A_r"] * w["D"]


def _of_area(studs: StudSet, final: float, share: float) -> Iterator[Guess]:
    """The target stress taken on the other stud area."""
    w = Working(studs.size, PCC_1)
    thread_lines(w, thread(studs.size))
    own, other = ("A_s", "A_r") if studs.area == "tensile" else ("A_r", "A_s")
    text = f"It is the torque for the target on {AREA_NAMES[other]} area; on this card it is on {AREA_NAMES[own]} area."
    yield Guess(final * share * w[other] / w[own], text, 2)


def _of_tins(studs: StudSet, final: float, share: float) -> Iterator[Guess]:
    """The nut factor of another lubricant, or of dry threads."""
    if studs.nut_factor is None:
        return
    for row in table("nut_factors").values():
        factor = row.need("nut_factor")
        of_chart = f"It is the torque for a nut factor of {factor:g}, as charts have it for {row.key}"
        text = f"{of_chart}; on this card it is {studs.nut_factor.si:g}."
        yield Guess(final * share * factor / studs.nut_factor.si, text, TINS)
