"""A lift in lines of words: each piece of gear against its tag, and the crane against its chart. The same on paper, page and terminal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import ceil

from boxup.core.calculation import STANDARD_GRAVITY
from boxup.core.rounding import both
from boxup.core.working import Assumed, plain
from boxup.exchanger.lifting import Gear
from boxup.lift.answer import LiftAnswer, OnGear

NONE_SO, UNHUNG = "no capacity in this use", "not said how it is hung: no lift"


def percent(share: float) -> str:
    """A share as a whole %, never towards danger."""
    return f"{ceil(share * 100 - 1e-9)} %"


def of_tag(g: OnGear) -> str:
    """`SL1 wide web sling, 12 m: 2 310 kg on it, may carry 4 000 kg, 58 %`."""
    on = both("mass", g.load.si / STANDARD_GRAVITY, "up")
    may = f"may carry {_may(g)}, {percent(g.share.si)}" if g.share else _may(g)
    return f"{g.id} {g.kind}: {on} on it, {may}"


def _may(g: OnGear) -> str:
    return both("mass", g.may_carry.si, "down") if g.may_carry else NONE_SO


def gear_rows(lifts: Iterable[LiftAnswer], listed: tuple[Gear, ...]) -> list[dict[str, str]]:
    """A row for each piece of gear in these lifts: what is on it, what it may carry in this use, the share, when it was looked over.

    `listed`: the gear of the file that is for them; a piece without a tag, or that nobody said the hitch of, has its row too.
    """
    seen, use = {g.id: g.inspected for g in listed}, {g.id: g.use for g in listed}
    rows = [
        {
            "gear": f"{g.id} {g.kind}".strip(), "lift": _where(a.name, use.get(g.id, "")),
            "on": both("mass", g.load.si / STANDARD_GRAVITY, "up"),
            "may": _may(g), "share": percent(g.share.si) if g.share else "", "seen": seen.get(g.id, ""),
        }
        for a in lifts
        for g in a.gear
    ]  # fmt: skip
    untold = [(g, "no tag read: no lift" if g.capacity is None else UNHUNG) for g in listed if g.capacity is None or g.unhung]
    return rows + [
        {"gear": f"{g.id} {g.kind}".strip(), "lift": g.use, "on": "", "may": may, "share": "", "seen": g.inspected} for g, may in untold
    ]


def _where(lift: str, use: str) -> str:
    """Where on the bundle a piece hangs, `front pick`, by its use; else the lift it is in."""
    on, _, where = use.partition(",")
    return where.strip() or lift if lift.startswith("bundle") and on.strip().lower() == "bundle" else lift


def gear_lines(a: LiftAnswer) -> Iterator[str]:
    """Each piece of gear that was held against its tag."""
    yield from (of_tag(g) for g in a.gear)


def zone_words(zone: LiftAnswer | None) -> str:
    """How far off everybody stays; in words alone where nobody gave the height of the hook."""
    if zone is None or (step := zone.step("z")) is None:
        return "Nobody under it, nor where it could land or swing to, nor in line with the pull"
    metres = ceil(step.si * 2 - 1e-9) / 2  # a judgement has no centimetres
    return f"Nobody within {metres:g} m ({ceil(metres / 0.3048)} ft) of its middle, nor in line with the pull"


def wind_words(zone: LiftAnswer | None) -> str:
    """The wind at which nothing is lifted."""
    step = zone.step("v") if zone else None
    if step is None:
        return ""
    whose = "judgement: the crane's maker has a figure" if isinstance(step.origin, Assumed) else "by the crane's maker or the site"
    return f"No lift in more wind than {plain(step, 3)} ({whose})"


def critical_words(a: LiftAnswer) -> Iterator[str]:
    """Why it is a critical lift, where it is one."""
    if a.crane:
        yield from (f.text for f in a.crane.findings if f.level == "note" and f.text.startswith("A critical lift"))


def crane_lines(a: LiftAnswer) -> Iterator[str]:
    """What the crane carries, and of what chart row."""
    crane = a.crane
    if crane is None:
        return
    w, name = crane.steps, crane.name
    gross = both("mass", w["m_g"].si, "up")
    if "u" not in w:
        yield f"{name} carries {gross}, hook block and gear included"
        return
    chart = f"{both('mass', w['C_r'].si, 'down')} at {both('position', w['r_c'].si)}"
    radius = both("position", w["r"].si)
    yield f"{name} carries {gross}, hook block and gear included: {percent(w['u'].si)} of its chart, {chart}; radius of the move {radius}"
