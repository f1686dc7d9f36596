"""What stands where in the shell with so much of the bundle in: which baffle is at which nozzle, at which measured place, at the end."""

from __future__ import annotations

import re
from collections.abc import Iterator

from boxup.core.rounding import both
from boxup.exchanger.model import Exchanger, Nozzle
from boxup.lift.bore import Body, passing

REACH = 0.06  # m beside the edge of a nozzle, or beside a measured place, that still counts as at it
INCH = 0.0254


def found_at(exchanger: Exchanger, metres: float) -> Iterator[str]:
    """Sentences: what is at a nozzle or at a place with a measured bore; then where the leading end is."""
    length = exchanger.tubes.length
    if length is None:
        return
    mouth = length.si - metres
    bodies = [(b, b.at - mouth) for b in passing(exchanger) if b.at > mouth + 1e-9]
    for n in exchanger.nozzles:
        if n.side == "shell" and n.position is not None:
            yield from _at_nozzle(n, n.position.si, bodies)
    for r in exchanger.shell.measured_bore:
        near = [b for b, y in bodies if abs(y - r.at.si) <= REACH]
        if near:
            yield f"{_names(near)} at {both('position', r.at.si)}, where the bore measures {r.least.to('mm'):.1f} mm at the least"
    yield from _leads(exchanger, metres, bodies)


def _leads(x: Exchanger, metres: float, bodies: list[tuple[Body, float]]) -> Iterator[str]:
    """Bends go in before any baffle; how far they stand out behind the straight tube nobody has to know to look at them."""
    if x.letters.rear == "U":
        yield f"the U-bends lead, from {both('position', metres)} behind the front flange on"
    elif bodies:
        lead, y = bodies[0]
        yield f"the {lead.name} leads, {both('position', y)} behind the front flange"


def _at_nozzle(n: Nozzle, at: float, bodies: list[tuple[Body, float]]) -> Iterator[str]:
    half = _half(n.size) + REACH
    near = [b for b, y in bodies if abs(y - at) <= half]
    if near:
        yield f"{_names(near)} at nozzle {n.id}, {both('position', at)} behind the front flange: its edge, its weld"


def _half(size: str) -> float:
    """Half of a nominal size such as `10 in`, m; 0 where it cannot be read."""
    got = re.match(r"\s*(\d+(?:\.\d+)?)(?:-(\d+)/(\d+))?\s*in", size)
    if not got:
        return 0.0
    whole, over, under = float(got[1]), float(got[2] or 0), float(got[3] or 1)
    return (whole + over / under) * INCH / 2


def _names(bodies: list[Body]) -> str:
    numbers = sorted(int(b.name.split()[1]) for b in bodies if b.name.startswith("baffle"))
    words = [b.name for b in bodies if not b.name.startswith("baffle")]
    if numbers:
        words.append(f"baffle {numbers[0]}" if len(numbers) == 1 else "baffles " + ", ".join(map(str, numbers)))
    return " and ".join(words)
