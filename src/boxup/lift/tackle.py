"""A tackle: how much its parts of line gain, what the lead line pulls, and what every anchor of the run sees."""

from __future__ import annotations

import re
from dataclasses import dataclass

from boxup.core.calculation import calculation, number, word
from boxup.core.quantity import BadValue, Quantity, quantity
from boxup.core.working import Working
from boxup.reference.load import source, table

PARTS, STATICS, PRACTICE = source("line-parts"), source("statics"), source("lifting-practice")
SHEAVES = ("bronze", "roller")
MOST_PARTS, MOST_LEADS = 20, 8
_ANGLES = 'for example "90 deg, 120 deg"'


@dataclass(frozen=True, slots=True, kw_only=True)
class Tackle:
    """What hangs on the moving block, how many parts of line hold it, and the sheaves the lead line runs over after it."""

    load: Quantity = number("W", "load on the moving block", "N", above=0, most=1e8, mass_too=True)
    parts: Quantity = number("n", "parts of line at the moving block", "count", least=1, most=MOST_PARTS)
    sheave: str = word("sheaves: bronze or roller", ("", *SHEAVES), default="")
    lead_blocks: Quantity | None = number("n_l", "lead blocks after the tackle", "count", optional=True, least=0, most=MOST_LEADS)

    def problems(self) -> list[str]:
        return [said for q, key in ((self.parts, "parts"), (self.lead_blocks, "lead_blocks")) if (said := _not_whole(q, key))]


def _not_whole(q: Quantity | None, key: str) -> str:
    return f"{key}: {q.typed!r} is not a whole number" if q is not None and q.si != round(q.si) else ""


@calculation("tackle", PARTS, Tackle, "advantage=A lead_line=P@N")
def tackle(w: Working, given: Tackle) -> None:
    """The line comes off the standing block, then over the lead blocks."""
    w.take_in(given)
    _sheaves(w, given.sheave)
    if given.lead_blocks is None:
        w.assumed("n_l", "lead blocks after the tackle", 0, "count", "none given")
    _advantage(w)
    w.step("P = W/A*K**n_l", "kN", "pull in the lead line, at the winch", "each lead block asks for one factor more")


def _sheaves(w: Working, sheave: str) -> None:
    if not sheave:
        w.say("note", "Kind of sheave not given: bronze bushes, which ask for more, are taken.", "sheaves")
    row = table("sheave")[sheave or "bronze"]
    w.table("K", "pull out over pull in at a sheave", row.need("factor"), "-", row.place("factor"), row.cite)


def _advantage(w: Working) -> None:
    w.step("A = (1 - 1/K**n)/(K - 1)", "-", "load over the pull in the line as it leaves the tackle", "sum of the pulls in the parts")


def angles(text: str) -> tuple[Quantity, ...]:
    """`90 deg, 120 deg`: the angle at each lead block in its turn. Raises BadValue."""
    found = tuple(quantity(one.strip(), "deg") for one in re.split(r"[;,]", text) if one.strip())
    if len(found) > MOST_LEADS or any(not 0 <= a.to("deg") <= 180 for a in found):
        raise BadValue(f"{text!r} is not a list of up to {MOST_LEADS} angles from 0 to 180 deg; {_ANGLES}")
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A tackle from load to winch. `off`: between the line as it leaves the standing block and the pull of the load; 0 runs back to it."""

    load: Quantity = number("W", "load on the moving block", "N", above=0, most=1e8, mass_too=True)
    parts: Quantity = number("n", "parts of line at the moving block", "count", least=1, most=MOST_PARTS)
    sheave: str = word("sheaves: bronze or roller", ("", *SHEAVES), default="")
    off: Quantity = number("phi", "line leaving the standing block, from the pull of the load", "deg", least=0, most=180)
    leads: str = word(f"angle between the two parts of the line at each lead block in turn; {_ANGLES}", default="", check=angles)

    def problems(self) -> list[str]:
        return [said] if (said := _not_whole(self.parts, "parts")) else []


@calculation("tackle-run", PARTS, Run, "anchor=F_0@N lead_line=P@N largest_lead_anchor=F_m@N")
def tackle_run(w: Working, given: Run) -> dict[str, tuple[list[float], str]]:
    """What the anchor of the standing block sees, then that of each lead block, friction in the sheaves counted."""
    w.take_in(given)
    _sheaves(w, given.sheave)
    _advantage(w)
    w.step("P_0 = W/A", "kN", "pull in the line as it leaves the tackle", "load over its gain")
    w.step("F_0 = sqrt(W**2 + P_0**2 + 2*W*P_0*cos(phi))", "kN", "on the anchor of the standing block", "two forces added", source=STATICS)
    leads = angles(given.leads)
    for i, angle in enumerate(leads, start=1):
        w.given(f"phi_{i}", f"between the two parts of the line at lead block {i}", angle, "deg")
        w.step(f"P_{i} = K*P_{i - 1}", "kN", f"pull in the line after lead block {i}", "one factor more")
        line = f"F_{i} = sqrt(P_{i - 1}**2 + P_{i}**2 + 2*P_{i - 1}*P_{i}*cos(phi_{i}))"
        w.step(line, "kN", f"on the anchor of lead block {i}", "two forces added", source=STATICS)
    if leads:
        each = ", ".join(f"F_{i}" for i in range(1, len(leads) + 1))
        w.step(
            f"F_m = max({each})" if len(leads) > 1 else "F_m = F_1", "kN", "the largest of the lead blocks' anchors", "the largest of them"
        )
    w.step(f"P = P_{len(leads)}", "kN", "pull in the line at the winch", "the last of them")
    say = "The anchors are sized for these, and the winch holds its own pull; nobody stands in the angle of a line or within its recoil."
    w.say("note", say, "line under load", PRACTICE)
    return {"lead_anchors": ([w[f"F_{i}"] for i in range(1, len(leads) + 1)], "N")}
