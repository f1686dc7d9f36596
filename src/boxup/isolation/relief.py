"""The relief path: one row a side. While its blinds are in, a side is shut off from its relief valve."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.finding import Finding
from boxup.exchanger.model import SIDES, Exchanger
from boxup.reference.load import source

SIGNED = ("valves open: by", "seal or lock number", "checked")


@dataclass(frozen=True, slots=True)
class ReliefRow:
    """One side: the blinds that shut it off, and the columns to sign once they are out."""

    side: str
    what: str
    shut_by: tuple[str, ...]
    signed: tuple[str, ...]


def relief_path(exchanger: Exchanger) -> tuple[ReliefRow, ...]:
    """Shell and tube: looked at after the last blind near it is out and before anything presses the side."""
    sides = {n.id: n.side for n in exchanger.nozzles}
    shut = {s: tuple(b.id for b in exchanger.blinds if sides.get(b.nozzle) == s) for s in SIDES}
    what = "relief valve path open from the {} side to the valve and beyond it, sealed or locked open"
    return tuple(ReliefRow(s, what.format(s), shut[s], SIGNED) for s in SIDES)


def shut_off(row: ReliefRow, in_: set[str]) -> tuple[Finding, ...]:
    """A stop while a blind of that side is in: nothing may press or warm the side from the process."""
    still = [b for b in row.shut_by if b in in_]
    if not still:
        return ()
    blinds = ", ".join(still)
    text = f"The {row.side} side is shut off from its relief by blind {blinds}: no pressure source on it, no heat on the other side."
    return (Finding("stop", text, f"{source('trade').title}, relief path (common practice)"),)
