"""Lifting gear against its tag. Capacity is never assumed, and within it is never called safe."""

from __future__ import annotations

from boxup.core.finding import Missing
from boxup.core.working import Step, Working
from boxup.exchanger.model import Gear
from boxup.reference.load import source

PRACTICE = source("lifting-practice")
STATICS = source("statics")
G_N = 9.80665  # m/s2, standard gravity
_LEG_GEAR = ("sling", "shackle", "eyebolt", "hoist ring")  # hangs in one leg; anything else is taken to carry the whole load
_NOT_SAFE = (
    "A tag's capacity holds for the hitch, the angle and the bend printed with it, on gear looked over today. "
    "The lift plan and the person in charge of the lift decide."
)


def gravity(w: Working) -> None:
    """g_n, standard gravity."""
    w.constant("g_n", "standard gravity", G_N, "m/s2", w.cite("standard gravity", STATICS))


def gear_for(gear: tuple[Gear, ...], *words: str) -> tuple[Gear, ...]:
    """The gear whose use, as the file says it, holds one of these words."""
    return tuple(g for g in gear if any(word in g.use.lower() for word in words))


def is_leg_gear(g: Gear) -> bool:
    """Slings and shackles hang in one leg."""
    return any(kind in g.kind.lower() for kind in _LEG_GEAR)


def check_tag(w: Working, g: Gear, load: Step, what: str) -> list[Missing]:
    """Compare the load on a piece of gear with the capacity on its tag, in a part of its own."""
    if g.capacity is None:
        return [Missing(f"capacity of {g.id}{f' ({g.kind})' if g.kind else ''}", "read it off the tag. No tag, no lift.")]
    part = w.part(f"gear {g.id}: {g.kind}" if g.kind else f"gear {g.id}", PRACTICE)
    part.given("C", "capacity on the tag", g.capacity, "kg")
    gravity(part)
    part.take("U", load, w.name, what)
    part.step("c = U/(C*g_n)", "-", "load over capacity", "load on it against its tag")
    part.limit("U <= C*g_n", f"{g.id} would carry more than its tag allows: do not lift. Larger gear", "tag on the gear")
    return []


def say_not_safe(w: Working) -> None:
    """The remark that goes with every comparison with a tag."""
    w.say("note", _NOT_SAFE, "tag on the gear", PRACTICE)
