"""Nozzles bolted to a stacked neighbour without a spool: one joint of two exchangers, with one gasket and one set of studs."""

from __future__ import annotations

from collections.abc import Iterable

from boxup.exchanger.model import Exchanger, Nozzle

Place = tuple[str, str]  # tag, nozzle
Mates = dict[Place, tuple[Place, Nozzle]]


def mates_of(exchangers: Iterable[Exchanger]) -> Mates:
    """Each shared nozzle and the neighbour's that it is bolted to, both ways; one whose neighbour is not here or has none is not there.

    A file names the neighbour, not its nozzle: nozzles of the same side and size belong together, in the order of the two files.
    """
    by_tag = {x.identity.tag: x for x in exchangers}
    found: Mates = {}
    for tag, x in by_tag.items():
        for n in x.nozzles:
            neighbour = by_tag.get(n.shared_with)
            if neighbour is None or (tag, n.id) in found:
                continue
            free = (m for m in neighbour.nozzles if m.shared_with == tag and _alike(n, m) and (n.shared_with, m.id) not in found)
            if (mate := next(free, None)) is not None:
                here, there = (tag, n.id), (n.shared_with, mate.id)
                found |= {here: (there, mate), there: (here, n)}
    return found


def _alike(one: Nozzle, other: Nozzle) -> bool:
    return (one.side, one.size, one.flange_class) == (other.side, other.size, other.flange_class)
