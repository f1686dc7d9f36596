"""A shackle pulled off its line: the share of its capacity that is left, by the worse printed row."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.calculation import calculation, number
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.lift.worse import most_at
from boxup.reference.load import source, table

MAKERS, PRACTICE, HANDBOOK = source("shackle-makers"), source("lifting-practice"), source("steelworker-manual")
WIDEST = 120.0  # degrees between two legs in one bow


@dataclass(frozen=True, slots=True, kw_only=True)
class Shackle:
    """The capacity on it, how far the pull leans from its line, the angle between two legs in its bow, its size."""

    tag: Quantity = number("C", "capacity marked on it", "kg", above=0, most=1e6)
    angle: Quantity | None = number("alpha", "pull, from the line of the shackle", "deg", optional=True, least=0, most=90)
    between: Quantity | None = number("beta", "between the legs in its bow", "deg", optional=True, least=0, most=180)
    size: Quantity | None = number("D", "diameter of the bow", "in", optional=True, above=0, most=12)


@calculation("shackle", MAKERS, Shackle, "capacity=C_u@kg field_rule=C_f@kg")
def shackle(w: Working, given: Shackle) -> None:
    """Capacity with the pull off its line; with its size, the field rule, below which the mark should not lie."""
    w.take_in(given)
    if given.angle is None:
        w.assumed("alpha", "pull, from the line of the shackle", 0, "deg", "in line: not given")
    side_load(w)
    w.step("C_u = k_a*C", "kg", "capacity with the pull at this angle", "share of the mark")
    if given.between is not None:
        w.constant("beta_max", "widest angle between legs in one bow", WIDEST, "deg", w.cite("legs in one bow"))
        w.limit("beta <= beta_max", "The legs in its bow stand too far apart: a second shackle, or longer slings", "legs in one bow")
    if given.size is not None:
        w.step(
            "C_f = 3*907.18474*kg*(D/(1*inch))**2", "kg", "field rule, three short tons for an inch squared", "field rule", source=HANDBOOK
        )
        say = "The field rule is a low bound for a shackle whose mark cannot be read; without a mark it does not lift here."
        w.say("note", say, "field rule", PRACTICE)
    w.say("note", "Pull off the line only across the bow of a screw-pin or bolt shackle, never on a round pin; pin where it cannot roll.",
          "side load")  # fmt: skip


def side_load(w: Working) -> None:
    """k_a from alpha."""
    row = most_at(table("shackle_side").values(), "angle", w["alpha"])
    if row is None:  # the field and the table end at the same angle
        raise LookupError("shackle_side: no row for this angle")
    w.table("k_a", "share at this angle", row.need("factor"), "-", row.place("factor"), row.cite)
