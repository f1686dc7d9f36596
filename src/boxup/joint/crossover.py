"""The order of tightening: every stud once, opposite ones in turn, each next place as far as can be from those already pulled up.

The orders people know for 8 to 32 studs are read from a table; every other count is worked by the rule.
The rule gives the table's own orders too, but for one swap among the last eight of 28 studs (a test shows it).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from boxup.core.calculation import calculation, number, word
from boxup.core.quantity import Quantity
from boxup.core.working import Working
from boxup.joint.girth import whole_number
from boxup.reference.load import source, table

TRADE = source("trade")
TOOLS = ("1", "2", "4")
RULE = "farthest first: each next place as far as can be from every place used; ties: farthest from the last, then the lowest number"


def farthest_first(places: int) -> list[int]:
    """Places 0, 1, ... on a circle in the order of the rule."""
    order, free = [0], list(range(1, places))
    nearest = [_apart(0, p, places) for p in range(places)]  # of each place to the nearest one used
    while free:
        last = order[-1]
        new = max(free, key=lambda p: (nearest[p], _apart(p, last, places), -p))
        free.remove(new)
        order.append(new)
        nearest = [min(d, _apart(p, new, places)) for p, d in enumerate(nearest)]
    return order


def _apart(a: int, b: int, places: int) -> int:
    return min((a - b) % places, (b - a) % places)


def by_rule(studs: int) -> list[int]:
    """Stud numbers by the rule: four a quarter apart where the count allows, else stud by stud."""
    if studs % 4:
        return [p + 1 for p in farthest_first(studs)]
    quarter = studs // 4
    return [p + 1 + k * quarter for p in farthest_first(quarter) for k in (0, 2, 1, 3)]


def tightening_order(studs: int) -> list[int]:
    """Stud numbers, each once: as listed where the count is listed, else by the rule."""
    row = table("crossover_orders").get(str(studs))
    return [int(s) for s in row.text("order").split()] if row else by_rule(studs)


def working_groups(studs: int, tools: int) -> list[list[int]]:
    """Studs pulled at the same time, in order, none twice: one, two opposite, or four a quarter apart.

    Where the count does not divide, the group takes the studs nearest to those places; the last group may be smaller.
    """
    free = dict.fromkeys(tightening_order(studs))  # keeps the order, forgets in one step
    rank = {stud: number for number, stud in enumerate(free)}
    groups: list[list[int]] = []
    while free:
        first = next(iter(free))
        group = [first]
        del free[first]
        for k in range(1, min(tools, len(free) + 1)):
            place = first - 1 + k * studs / tools
            _, _, near = min((_off(s - 1, place, studs), rank[s], s) for s in free)
            group.append(near)
            del free[near]
        groups.append([s for _, s in sorted((_turn(s, first, studs), s) for s in group)])
    return groups


def _off(place: float, wanted: float, studs: int) -> float:
    d = (place - wanted) % studs
    return min(d, studs - d)


def _turn(stud: int, first: int, studs: int) -> int:
    """Opposite studs stand side by side in a group: first, opposite, quarter, three quarters."""
    quarter = round(((stud - first) % studs) * 4 / studs) % 4
    return (0, 2, 1, 3).index(quarter)


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossover:
    """How many studs, and how many tools pull at the same time."""

    bolts: Quantity = number("n", "studs", "count", least=2, most=1000)
    tools: str = word("tools pulling at the same time", TOOLS, default="1")

    def problems(self) -> list[str]:
        found = whole_number("bolts", self.bolts)
        if not found and self.bolts.si < int(self.tools):
            found.append(f"tools: {self.tools} tools on {self.bolts.si:g} studs; accepted: no more tools than studs")
        return found


@calculation("crossover", TRADE, Crossover)
def crossover(w: Working, given: Crossover) -> dict[str, tuple[Any, str]]:
    """The order of tightening, and the studs pulled together."""
    w.take_in(given)
    studs, tools = int(given.bolts.si), int(given.tools)
    row = table("crossover_orders").get(str(studs))
    how = "as listed" if row else f"by the rule: {RULE}"
    text = f"{studs} studs, numbered clockwise seen from the nuts, 1 at the mark. Order {how}."
    w.say("note", text, row.cite.where if row else "crossover", row.cite.source if row else TRADE)
    if studs % tools:
        say = f"{studs} studs do not divide by {tools} tools: the tools stand as evenly as the studs allow; the last group is smaller."
        w.say("warn", say, "crossover")
    if studs < 4:
        w.say("warn", "Fewer than four studs: no cross to speak of; go round them in small steps.", "crossover")
    return {"order": (tightening_order(studs), "-"), "groups": (working_groups(studs, tools), "-")}
