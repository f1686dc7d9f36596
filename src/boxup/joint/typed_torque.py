"""A torque somebody typed for a pass, judged for the very studs it is meant for: what it puts into them, and whether the joint takes it.

The range of each pass is wide, for a wrench has its least setting and a site its own steps; what is found is a slip of the hand, of the
unit or of the card, not a fine judgement of the load.
"""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.finding import Finding, Level
from boxup.core.quantity import Quantity
from boxup.core.rounding import between, both
from boxup.core.unit import UNITS
from boxup.core.working import Working
from boxup.joint.grade import material, yield_line
from boxup.joint.studs import PCC_1, StudSet
from boxup.joint.thread import area_line, thread, thread_lines
from boxup.joint.torque_cause import OtherSet, likely_cause
from boxup.reference.load import source

TRADE = source("trade")
PRACTICE = "common practice"
# Shares of the final torque, common practice: snug at most 20 to 30 %, first 20 to 40, second 50 to 80, then all of it.
SNUG, FULL = (0.0, 0.30), (0.95, 1.05)
RANGES = {"four snug": SNUG, "all snug": SNUG, "pass 1": (0.15, 0.40), "pass 2": (0.45, 0.80)}
ROUNDING = 0.01  # of the stress: a torque is set to the nearest 5 N.m, and a limit is not broken by that


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """What a typed torque is held against.

    `final`: torque of the card, N.m, None where it has none. `lower`, `upper`: least and most stud stress the joint takes, Pa, on the area
    of the target; None where nobody knows. `others`: the other stud sets of the same file. `by_maker`: a packing or a special closure,
    whose figure is its maker's.
    """

    joint: str
    studs: StudSet
    final: float | None = None
    lower: float | None = None
    upper: float | None = None
    others: tuple[OtherSet, ...] = ()
    by_maker: bool = False

    @property
    def unknown(self) -> bool:
        """Whether a full torque can be held against nothing: no torque, and no window that size and nut factor lead to."""
        no_window = self.lower is None and self.upper is None
        return self.final is None and (no_window or bool(self.studs.size_refused) or self.studs.nut_factor is None)


def typed_torque(name: str, studs: StudSet, torque: Quantity) -> Working | None:
    """What the torque puts into the studs; None where size or nut factor is not given.

    Symbols: F (stud load), S_b (stud stress, on the area of the target), f_y (of yield, where the grade is known).
    """
    if studs.size_refused or studs.nut_factor is None:
        return None
    w = Working(f"torque typed for {name}", PCC_1)
    w.given("T", "torque as typed", torque, "N.m")
    w.given("K", f"nut factor, {studs.lubricant or 'lubricant not given'}", studs.nut_factor, "-")
    t = thread(studs.size)
    thread_lines(w, t)
    area_line(w, studs.area)
    w.step("F = T/(K*D)", "kN", "load of one stud", "T = K D F")
    w.step("S_b = F/A", "MPa", "stud stress", "stress on the area used")
    if not studs.strength_refused:
        yield_line(w, material(studs.grade, t))
        w.step("f_y = S_b/S_y", "-", "stud stress as a fraction of yield", "stud stress over yield strength", source=TRADE)
    return w


def judged(card: Card, name: str, torque: float) -> Finding | None:
    """What speaks against a torque, N.m, typed for a pass of that name; None where nothing does, or where the card says nothing.

    A stop where the joint does not take it: off the card and outside its window of stud stress, or off the card and plainly the torque of
    something else. A warning where the window takes it though the card does not say it, or the other way round.
    """
    if card.by_maker:
        what = f"{card.joint}, {name}: {as_typed(torque)} is held against nothing"
        whose = "this joint is made up to its maker's or the engineer's figure. Write in the note who gave it and where it stands."
        return Finding("warn", f"{what}: {whose}", PRACTICE)
    w = typed_torque(card.joint, card.studs, Quantity(torque, "N.m", as_typed(torque)))
    full = name not in RANGES
    in_window = _in_window(card, w["S_b"]) if full and w else None
    on_card = _on_card(card, name, torque)
    if on_card is None and in_window is None:
        return None
    if on_card is not False and in_window is not False:
        return None
    if on_card and w and card.final and not _in_window(card, w["S_b"] * card.final / torque):
        return None  # the card itself is past the window, and says so
    cause = likely_cause(card.studs, card.final, card.others, name, torque) if on_card is False else None
    level: Level = "warn" if on_card or (in_window and not (cause and cause.plain)) else "stop"
    why = cause.text if cause else ""
    said = (_against_card(card, name, torque, on_card), _in_studs(card, w, in_window), why, "Look at the wrench and at the card.")
    return Finding(level, " ".join(s for s in said if s), PRACTICE)


def _on_card(card: Card, name: str, torque: float) -> bool | None:
    """Whether the card says it for this pass; None without a torque on the card."""
    if card.final is None:
        return None
    low, high = RANGES.get(name, FULL)
    return low * card.final <= torque <= high * card.final


def _in_window(card: Card, stress: float) -> bool | None:
    """Whether a stud stress, Pa, lies between least and most; None where neither is known."""
    if card.lower is None and card.upper is None:
        return None
    least, most = (card.lower or 0.0) * (1 - ROUNDING), card.upper
    return stress >= least and (most is None or stress <= most * (1 + ROUNDING))


def _against_card(card: Card, name: str, torque: float, on_card: bool | None) -> str:
    said = f"{card.joint}, {name}: {as_typed(torque)}"
    if card.final is None:
        return f"{said}."
    of = f"{said} is {torque / card.final:.0%} of the {both('torque', card.final)} on the card"
    low, high = (share * card.final for share in RANGES.get(name, FULL))
    want = f"{both('torque', low)} to {both('torque', high)}" if low else f"at most {both('torque', high)}"
    return f"{of}." if on_card else f"{of}; for this pass {want}."


def _in_studs(card: Card, w: Working | None, in_window: bool | None) -> str:
    """`In these 1-8 studs it gives 230 MPa (33.4 ksi), 32 % of yield`, and what they take where that is known."""
    if w is None:
        return ""
    of_yield = f", {w['f_y'] * 100:.0f} % of yield" if "f_y" in w.steps else ""
    said = f"In these {card.studs.size} studs it gives {both('stress', w['S_b'])}{of_yield}"
    return f"{said}." if in_window is None else f"{said}; the joint takes {_window(card)}."


def _window(card: Card) -> str:
    if card.lower is None:
        return f"at most {both('stress', card.upper or 0.0)}"
    if card.upper is None:
        return f"at least {both('stress', card.lower)}"
    if card.lower > card.upper:
        return "no stud load at all: no load satisfies every limit of it"
    return between("stress", card.lower, card.upper)  # as the card prints it


def as_typed(torque: float) -> str:
    """A torque, N.m, as it was typed, not as it would be set: 411, not 410."""
    return f"{torque:.4g} N·m ({UNITS['lbf.ft'].from_si(torque):.0f} lbf·ft)"
