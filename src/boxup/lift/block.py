"""What a block's anchor sees when a line runs round it."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.reference.load import source

STATICS = source("statics")


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """The pull in the line, and the angle between its two parts: 0 is there and straight back, 180 is straight through."""

    line: Quantity = number("P", "pull in the line", "N", above=0, most=1e8)
    angle: Quantity = number("theta", "angle between the two parts of the line", "deg", least=0, most=180)


@calculation("block-load", STATICS, Block, "load=F@N")
def block_load(w: Working, given: Block) -> None:
    """The load on the block and its anchor; sheave friction left out."""
    w.take_in(given)
    w.step("F = 2*P*cos(theta/2)", "kN", "load on the block and its anchor", "two equal pulls added")
