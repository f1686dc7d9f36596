"""How shell fluid and tube passes meet: the zones of a shell by its letter, and the way the tube fluid takes through them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from boxup.bundle.zones import Crossing, Past, Zone, counterflow, tube_outlet

Laid = tuple[tuple[Zone, ...], tuple[tuple[int, int], ...]]
SHELLS = ("E", "F", "G", "H", "J12", "J21")
Half = str  # "upper" or "lower": of a shell with a long baffle


class NoSuchWay(ValueError):
    """No arrangement that can be worked, one sentence why."""


@dataclass(frozen=True, slots=True)
class Arrangement:
    """`shell`: one of SHELLS. `first_along`: E: pass 1 runs with the shell fluid. `halves`: the side of the long baffle each pass is on.

    In F the shell fluid goes through the lower half first, from the front to the rear, in G and H the upper half, from each inlet to
    both sides. Pass 1 always starts at the front. J12: in at the middle, out at both ends; J21 the other way.
    """

    shell: str
    first_along: bool = False
    halves: tuple[Half, ...] = ()


def tube_effectiveness(
    way: Arrangement, ntu: Sequence[float], r: float, past: Past | None = None, flows: Sequence[float] | None = None
) -> float:
    """P of the tube side: rise of the tube fluid over the difference of the inlets.

    ntu: U A of each pass over C of the whole tube flow; r: C of the tube flow over C of the shell flow, 0 where the shell stays at one
    temperature; flows: the share of the tube flow in each pass, where some goes past. Raises NoSuchWay; ArithmeticError where the
    answer is no answer, which would be a fault of ours.
    """
    shares = tuple(flows or (1.0,) * len(ntu))
    zones, path = _laid(way, tuple(ntu), r, shares)
    p = tube_outlet(zones, path, past)
    most = counterflow(sum(ntu), r)
    if not -1e-9 <= p <= most + 1e-9:
        raise ArithmeticError(f"P {p} lies outside 0 to {most}, that of counterflow")
    return p


def _laid(way: Arrangement, ntu: tuple[float, ...], r: float, shares: tuple[float, ...]) -> Laid:
    """The zones, and (pass, zone) in the order of the tube fluid."""
    stretches = _stretches(way, len(ntu))
    whole = 1 / r if r else None
    zones = []
    for s in stretches:
        crossings = tuple(
            Crossing(p, ntu[p - 1] * s.length, shares[p - 1], (p % 2 == 1) == s.rearward) for p in range(1, len(ntu) + 1) if p in s.passes
        )
        zones.append(Zone(whole * s.share if whole else None, crossings, s.after))
    path = []
    for p in range(1, len(ntu) + 1):
        mine = sorted((s.place, z) for z, s in enumerate(stretches) if p in s.passes)
        path += [(p, z) for _, z in (mine if p % 2 else mine[::-1])]
    return tuple(z for z in zones if z.crossings), tuple(path)


@dataclass(frozen=True, slots=True)
class _Stretch:
    """A zone before it has numbers: where it lies from the front, which way its shell fluid runs, which passes lie in it."""

    place: int
    rearward: bool
    passes: frozenset[int]
    length: float = 1.0
    share: float = 1.0
    after: int | None = None


def _stretches(way: Arrangement, passes: int) -> list[_Stretch]:
    everywhere = frozenset(range(1, passes + 1))
    match way.shell:
        case "E":
            return [_Stretch(0, way.first_along, everywhere)]
        case "J12" | "J21":
            meet = way.shell == "J21"
            return [_Stretch(0, meet, everywhere, 0.5, 0.5), _Stretch(1, not meet, everywhere, 0.5, 0.5)]
        case "F":
            lower, upper = _parted(way, passes)
            return [_Stretch(0, True, lower), _Stretch(0, False, upper, after=0)]
        case "G" | "H":
            return _split(way, passes, 1 if way.shell == "G" else 2)
        case _:
            raise NoSuchWay(f"a shell {way.shell} is not worked here; accepted: {', '.join(SHELLS)}")


def _split(way: Arrangement, passes: int, inlets: int) -> list[_Stretch]:
    """From each inlet to both sides over the long baffle, round its ends, and back under it."""
    lower, upper = _parted(way, passes)
    length = share = 0.5 / inlets
    found: list[_Stretch] = []
    for inlet in range(inlets):
        for place, rearward in ((2 * inlet, False), (2 * inlet + 1, True)):
            found.append(_Stretch(place, rearward, upper, length, share))
            found.append(_Stretch(place, not rearward, lower, length, share, after=len(found) - 1))
    return found


def _parted(way: Arrangement, passes: int) -> tuple[frozenset[int], frozenset[int]]:
    """The passes under and over the long baffle."""
    if len(way.halves) != passes or not {"upper", "lower"} == set(way.halves):
        raise NoSuchWay(f"shell {way.shell}: each pass must lie wholly over or under the long baffle, and some on either side")
    under = frozenset(p for p, half in enumerate(way.halves, start=1) if half == "lower")
    return under, frozenset(range(1, passes + 1)) - under
