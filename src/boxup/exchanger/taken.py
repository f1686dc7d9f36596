"""What a plain layout loses to the rest of the bundle: places of tie rods, and the rows under a nozzle with an impingement plate.

Sliding bars, seal strips and dummy tubes are not taken out: where they stand is not in a file.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, hypot, pi, sin

from boxup.exchanger.bends import partners
from boxup.exchanger.lattice import Placed

USUAL_PLATE = 6.0  # mm thick


@dataclass(frozen=True, slots=True)
class Inlet:
    """A shell nozzle with an impingement plate under it: its clock position seen from the front, its bore in mm."""

    id: str
    clock: float
    bore: float


@dataclass(frozen=True, slots=True)
class Obstacles:
    """What stands in the way of a plain layout: the shell bore in mm, how many tie rods, nozzles with a plate under them."""

    shell: float = 0.0
    rods: int = 0
    inlets: tuple[Inlet, ...] = ()


@dataclass(frozen=True, slots=True)
class Left:
    """What is left of a layout: the holes, where the tie rods stand, how many holes each nozzle cost (of U-tubes both legs)."""

    holes: tuple[Placed, ...]
    rods: tuple[Placed, ...] = ()
    under: tuple[tuple[str, int], ...] = ()


def take_away(holes: Sequence[Placed], od: float, obstacles: Obstacles, u_tubes: bool) -> Left:
    """The layout without what the obstacles need. A U-tube goes with both its legs."""
    other = partners(holes) if u_tubes else {}
    left, under = list(holes), []
    for inlet in obstacles.inlets:
        gone = _with_legs([h for h in left if _under(h, od, inlet, obstacles.shell)], other)
        left = [h for h in left if h not in gone]
        under.append((inlet.id, len(gone)))
    rods = _rods(left, obstacles.rods)
    gone = _with_legs(rods, other)
    return Left(tuple(h for h in left if h not in gone), tuple(rods), tuple(under))


def escape(bore: float) -> float:
    """Height between shell and plate whose cylinder has the area of the nozzle, mm."""
    return bore / 4


def _under(hole: Placed, od: float, inlet: Inlet, shell: float) -> bool:
    """The tube would stand in the room of the plate: it reaches nearer to the shell on that side than escape height and plate."""
    angle = inlet.clock * pi / 6
    return hole.x * sin(angle) + hole.y * cos(angle) + od / 2 > shell / 2 - escape(inlet.bore) - USUAL_PLATE


def _rods(holes: Sequence[Placed], count: int) -> list[Placed]:
    """The places nearest to points evenly round the outside, half a step off 12 o'clock."""
    reach = max((hypot(h.x, h.y) for h in holes), default=0.0)
    found: list[Placed] = []
    for i in range(min(count, len(holes))):
        angle = (i + 0.5) * 2 * pi / count
        found.append(_nearest([h for h in holes if h not in found], reach * sin(angle), reach * cos(angle)))
    return found


def _nearest(holes: Sequence[Placed], x: float, y: float) -> Placed:
    return min(holes, key=lambda h: (round(hypot(h.x - x, h.y - y), 6), h))


def _with_legs(gone: Sequence[Placed], other: dict[Placed, Placed]) -> set[Placed]:
    return set(gone) | {other[h] for h in gone if h in other}
