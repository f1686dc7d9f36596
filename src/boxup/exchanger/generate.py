"""A plain tube layout: the most holes on a lattice inside the outer tube limit, each pass in its zone, a lane beside each pass plate.

No tie rods, no rows left out under a nozzle (`taken.py`), no dummy tubes: a built bundle has some per cent fewer.
"""

from __future__ import annotations

from collections.abc import Sequence

from boxup.exchanger.lattice import ANGLES, Lattice, NoLayout, Placed
from boxup.exchanger.passes import legs_why_not, why_not
from boxup.exchanger.stack import Stack


def generate(lattice: Lattice, od: float, outer_limit: float, passes: int, layout: str, lane: float, u_tubes: bool = False) -> list[Placed]:
    """Holes in mm; `od` the tube, `outer_limit` the circle round all tubes, `lane` between tube centres across a pass plate.

    Raises NoLayout with the reason when tubes cannot lie so.
    """
    if wrong := _why_not(lattice, od, outer_limit, passes, layout, lane) or (legs_why_not(passes, layout) if u_tubes else ""):
        raise NoLayout(wrong)
    radius = (outer_limit - od) / 2
    if passes == 1:
        return _one_pass(lattice, radius)
    return _whole(Stack(lattice, od, radius, passes, layout, lane, u_tubes).holes(), passes, outer_limit)


def _why_not(lattice: Lattice, od: float, outer_limit: float, passes: int, layout: str, lane: float) -> str:
    if lattice.angle not in ANGLES:
        return f"pattern angle {lattice.angle}; accepted: {', '.join(map(str, ANGLES))}"
    if lattice.pitch < od:
        return f"a pitch of {lattice.pitch:g} mm is less than the tube outside diameter {od:g} mm: the tubes would overlap"
    if wrong := why_not(passes, layout):
        return wrong
    if passes > 1 and lane < lattice.pitch:
        return f"a lane of {lane:g} mm between tube centres is less than the pitch {lattice.pitch:g} mm: no room for the pass plate"
    return f"no tube of {od:g} mm lies inside an outer tube limit of {outer_limit:g} mm" if outer_limit < od else ""


def _whole(holes: Sequence[Placed], passes: int, outer_limit: float) -> list[Placed]:
    """The holes, when every pass has some."""
    empty = sorted(set(range(1, passes + 1)) - {h.tube_pass for h in holes})
    if empty:
        left = ", ".join(map(str, empty))
        raise NoLayout(f"{passes} passes do not fit inside an outer tube limit of {outer_limit:g} mm: no room for a tube of pass {left}")
    return list(holes)


def _one_pass(lattice: Lattice, radius: float) -> list[Placed]:
    """The best of the usual centrings: on a tube, on a gap, on a third of the way between."""
    parts = (0.0, 1 / 2, 1 / 3, 1 / 6, 2 / 3)
    tries = [(x * lattice.across, y * lattice.down) for y in parts for x in parts]
    best = max(tries, key=lambda t: sum(last - first + 1 for _, _, first, last in lattice.rows(radius, *t)))
    rows = lattice.rows(radius, *best)
    return [Placed(start + i * lattice.across, y, 1) for y, start, first, last in rows for i in range(first, last + 1)]
