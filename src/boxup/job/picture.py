"""How the exchanger looks before and after a step: what is off, what is in, what stands open, which side is pressed.

What a step does to the picture is data (`effects.csv`); the drawing room makes a drawing of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from functools import cache
from itertools import groupby
from typing import Literal

from boxup.exchanger.joints import REAR_COVER
from boxup.exchanger.model import Exchanger
from boxup.job.condition import Condition, check_names, parse
from boxup.job.flags import Flags, flag_names
from boxup.job.only import Only, check_only, parse_only
from boxup.job.scope import Instance, Item
from boxup.job.state import JobState
from boxup.job.table import TableError, read_table

Pressed = Literal["", "shell", "tube"]
DOES = ("off", "on", "gasket", "ring", "ring off", "press", "release", "blinds in", "blinds out", "open", "close")
DRAWN_OPEN = ("vent", "drain")
OWN_KINDS = (REAR_COVER,)  # joints that the order of work counts among others, but that carry a part of their own


@dataclass(frozen=True, slots=True)
class Picture:
    """off: part names; gaskets: joints whose gasket is on while open; blinds, open: ids of blinds that are in, of vents and drains that
    stand open; pressed: the side under test.

    A process blind stays in `blinds` while the part its nozzle is on is off: at the far end it hangs in the line, not on the nozzle.
    """

    off: frozenset[str] = frozenset()
    rings: frozenset[str] = frozenset()
    gaskets: frozenset[str] = frozenset()
    blinds: frozenset[str] = frozenset()
    open: frozenset[str] = frozenset()
    pressed: Pressed = ""


@dataclass(frozen=True, slots=True)
class Effect:
    """One row: the step, what it does, to what, for which exchangers and for which items."""

    step: str
    does: str
    what: str
    when: Condition
    only: Only


@cache
def effects() -> tuple[Effect, ...]:
    """Every row of `effects.csv`, checked."""
    rows = read_table("effects.csv", ("step", "effect", "what", "when", "only"))
    found = tuple(Effect(r["step"], r["effect"], r["what"], parse(r["when"]), parse_only(r["only"])) for r in rows)
    for e in found:
        check_names(e.when, flag_names())
        check_only(e.only, f"effects.csv, {e.step}", OWN_KINDS)
        if e.does not in DOES:
            raise TableError(f"effects.csv, {e.step}: {e.does!r} is not known; accepted are {', '.join(DOES)}.")
    return found


@dataclass(frozen=True, slots=True)
class Change:
    """A step that changes the picture. `mover`: the one part that moves, if it is one.

    `codes`: the instances done one after the other; a step may come more than once (each cover is broken in its turn).
    """

    step: str
    before: Picture
    after: Picture
    mover: str
    moving: Literal["in", "off"]
    codes: tuple[str, ...] = ()


def changes(exchanger: Exchanger, flags: Flags, ordered: Iterable[Instance]) -> Iterator[Change]:
    """The steps that change the picture, in the order given, from the exchanger as it stands in service."""
    picture = Picture()
    for step, group in groupby(ordered, key=lambda one: one.step.code):
        mine = [e for e in effects() if e.step == step and e.when.holds(flags)]
        instances = tuple(group)
        after, moved = picture, dict[str, str]()
        for instance in instances:
            for e in mine:
                if _about(e, exchanger, instance):
                    after = _apply(after, e, exchanger, instance)
                    moved |= {e.what: e.does} if e.does in ("on", "off") else {}
        if after != picture:
            mover = next(iter(moved)) if len(moved) == 1 else ""
            off = next(iter(moved.values()), "") == "off"
            yield Change(step, picture, after, mover, "off" if off else "in", tuple(one.code for one in instances))
            picture = after


def picture_now(state: JobState) -> Picture:
    """How the exchanger stands by its record: the effects of every step that is done, in the order in which they were done.

    A step that fell has no effect any more, so a part that came off is off until its step is done again. The side pressed is the one whose
    gauge stands above zero.
    """
    picture, x = Picture(), state.exchanger
    if x is None:
        return picture
    done = sorted(state.done, key=lambda code: (state.steps[code].at or datetime.min.replace(tzinfo=UTC), state.steps[code].entry))
    for code in done:
        instance = state.scope.instances[code]
        for e in _effects_of(instance.step.code):
            if e.does not in ("press", "release") and e.when.holds(state.scope.flags) and _about(e, x, instance):
                picture = _apply(picture, e, x, instance)
    pressed: Pressed = next((("shell" if t.side == "shell" else "tube") for t in state.tests.values() if t.pressure_mpa > 0), "")
    return replace(picture, pressed=pressed)


@cache
def _effects_of(step: str) -> tuple[Effect, ...]:
    return tuple(e for e in effects() if e.step == step)


def _about(e: Effect, exchanger: Exchanger, instance: Instance) -> bool:
    """Whether the effect is of this instance: where a step stands once for all items, it does everything."""
    item = instance.item
    return item is None or not e.only or e.only.takes((item.kind, item.place, _own_kind(exchanger, item)), (item.side,))


def _own_kind(exchanger: Exchanger, item: Item) -> str | None:
    """What the exchanger's own list calls a joint: the rear head of an L rear is two joints, of its channel and of its cover."""
    return next((j.kind for j in exchanger.joints if item.list == "joints" and j.id == item.id), None)


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
        case "press" | "release":
            return replace(p, pressed="" if e.does == "release" else "shell" if e.what == "shell" else "tube")
        case "blinds in" | "blinds out":
            mine = _blinds(exchanger, e.what, instance)
            return replace(p, blinds=p.blinds | mine if e.does == "blinds in" else p.blinds - mine)
        case _:
            mine = _openings(exchanger, e.what, instance)
            return replace(p, open=p.open | mine if e.does == "open" else p.open - mine)


def _joints(exchanger: Exchanger, kind: str) -> frozenset[str]:
    return frozenset(j.id for j in exchanger.joints if j.kind == kind)


def _blinds(exchanger: Exchanger, use: str, instance: Instance) -> frozenset[str]:
    """The blind of the instance; where the step stands for all, every blind of that use on its side."""
    here = {n.id for n in exchanger.nozzles if instance.side in ("", n.side)}
    named = instance.item.id if instance.item else ""
    return frozenset(b.id for b in exchanger.blinds if b.use == use and (b.id == named or (not named and b.nozzle in here)))


def _openings(exchanger: Exchanger, what: str, instance: Instance) -> frozenset[str]:
    """Vents and drains of a side, or the item's own: its one opening, or those of the side it is done for."""
    drawn = [o for o in exchanger.openings if o.kind in DRAWN_OPEN]
    if what == "its own" and instance.item and instance.item.list == "openings":
        return frozenset(o.id for o in drawn if o.id == instance.item.id)
    side = instance.side if what == "its own" else what
    return frozenset(o.id for o in drawn if side in ("", o.side))
