"""How the exchanger looks before and after a step: what is off, which blinds and rings are in, which side is under pressure.

What a step does to the picture is data (`effects.csv`); the drawing room makes a drawing of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cache
from typing import Literal

from boxup.exchanger.model import Exchanger
from boxup.job.condition import Condition, parse
from boxup.job.flags import Flags
from boxup.job.scope import Instance
from boxup.job.table import read_table

Pressed = Literal["", "shell", "tube"]


@dataclass(frozen=True, slots=True)
class Picture:
    """off: part names; gaskets: joints whose gasket is on while open; blinds: ids; pressed: the side under test."""

    off: frozenset[str] = frozenset()
    rings: frozenset[str] = frozenset()
    gaskets: frozenset[str] = frozenset()
    blinds: frozenset[str] = frozenset()
    pressed: Pressed = ""


@dataclass(frozen=True, slots=True)
class Effect:
    """One row: the step, what it does, to what, and for which exchangers."""

    step: str
    does: str
    what: str
    when: Condition


@cache
def effects() -> tuple[Effect, ...]:
    """Every row of `effects.csv`."""
    rows = read_table("effects.csv", ("step", "effect", "what", "when", "source", "label"))
    return tuple(Effect(r["step"], r["effect"], r["what"], parse(r["when"])) for r in rows)


@dataclass(frozen=True, slots=True)
class Change:
    """A step that changes the picture. `mover`: the one part that moves, if it is one."""

    step: str
    before: Picture
    after: Picture
    mover: str
    moving: Literal["in", "off"]


def changes(exchanger: Exchanger, flags: Flags, ordered: Iterable[Instance]) -> Iterator[Change]:
    """The steps that change the picture, in the order given, from the exchanger as it stands in service."""
    picture, last = Picture(), ""
    for instance in ordered:
        code = instance.step.code
        if code == last:
            continue
        last = code
        mine = [e for e in effects() if e.step == code and e.when.holds(flags)]
        after = picture
        for e in mine:
            after = _apply(after, e, exchanger, instance)
        if after != picture:
            moved = [e for e in mine if e.does in ("on", "off")]
            mover = moved[0].what if len(moved) == 1 else ""
            yield Change(code, picture, after, mover, "off" if moved and moved[0].does == "off" else "in")
            picture = after


def _apply(p: Picture, e: Effect, exchanger: Exchanger, instance: Instance) -> Picture:
    match e.does:
        case "off":
            return replace(p, off=p.off | {e.what}, gaskets=p.gaskets - _joints(exchanger, "tubesheet/shell"))
        case "on":
            return replace(p, off=p.off - {e.what})
        case "gasket":
            return replace(p, gaskets=p.gaskets | _joints(exchanger, e.what))
        case "ring":
            return replace(p, rings=p.rings | {e.what})
        case "ring off":
            return replace(p, rings=p.rings - {e.what})
        case "press":
            return replace(p, pressed="shell" if e.what == "shell" else "tube")
        case "release":
            return replace(p, pressed="")
        case "blinds in":
            return replace(p, blinds=p.blinds | _blinds(exchanger, e.what, instance.side))
        case "blinds out":
            return replace(p, blinds=p.blinds - _blinds(exchanger, e.what, ""))
    raise ValueError(f"effects.csv: {e.does!r} is not known")


def _joints(exchanger: Exchanger, kind: str) -> frozenset[str]:
    return frozenset(j.id for j in exchanger.joints if j.kind == kind)


def _blinds(exchanger: Exchanger, use: str, side: str) -> frozenset[str]:
    """Ids of blinds of that use; test blinds only of the side of the step."""
    here = {n.id for n in exchanger.nozzles if use != "test" or side in ("", n.side)}
    return frozenset(b.id for b in exchanger.blinds if b.use == use and b.nozzle in here)
