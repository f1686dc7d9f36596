"""Lifting gear against its tag. Capacity is never assumed, and within it is never called safe."""

from __future__ import annotations

import re

from boxup.core.calculation import STANDARD_GRAVITY
from boxup.core.working import Working
from boxup.exchanger.lifting import Gear
from boxup.reference.load import source

PRACTICE = source("lifting-practice")
STATICS = source("statics")
_LEG_GEAR = ("sling", "shackle", "eyebolt", "hoist ring")  # hangs in one leg; anything else is taken to carry the whole load
# What a piece of gear may be for, as the words of `use` say it.
BUNDLE, PULLER, BACK = ("bundle",), ("pull", "insert"), ("hold back", "hold-back")
PARTS = ("channel cover", "channel", "bonnet", "front cover", "closure", "floating-head cover",
         "rear cover", "rear bonnet", "rear channel", "shell cover")  # fmt: skip
_NOT_SAFE = (
    "A tag's capacity holds for the hitch, the angle and the bend printed with it, on gear looked over today. "
    "The lift plan and the person in charge of the lift decide."
)


def gravity(w: Working) -> None:
    """g_n, standard gravity."""
    w.constant("g_n", "standard gravity", STANDARD_GRAVITY, "m/s2", w.cite("standard gravity", STATICS))


def gear_for(gear: tuple[Gear, ...], *words: str) -> tuple[Gear, ...]:
    """The gear whose use, as the file says it, holds one of these words."""
    return tuple(g for g in gear if any(word in g.use.lower() for word in words))


def gear_for_bundle(gear: tuple[Gear, ...]) -> tuple[Gear, ...]:
    """What carries the bundle: not what pulls it, nor what holds it back on a slope."""
    return tuple(g for g in gear_for(gear, *BUNDLE) if not gear_for((g,), *PULLER, *BACK))


def gear_for_part(gear: tuple[Gear, ...], part: str) -> tuple[Gear, ...]:
    """The gear whose use names this part. `use` lists parts, such as `channel cover`, or several at once: `covers`, `bonnets`, `heads`."""
    return tuple(g for g in gear if any(_names(item, part) for item in re.split(r",|;|/|&|\band\b", g.use)))


def _names(item: str, part: str) -> bool:
    words, name = (re.sub(r"[-_\s]+", " ", x.lower()).strip() for x in (item, re.split(r",| with ", part)[0]))
    if words == "heads":
        return True
    if words == "floating head":
        return name == "floating head cover"
    return name == words or (words.endswith("s") and f" {name}".endswith(f" {words[:-1]}"))


def say_unheld(w: Working, gear: tuple[Gear, ...]) -> None:
    """A piece whose use nobody wrote, or that says nothing known, is held against no load: it must not drop out unseen."""
    known = (*gear_for(gear, *BUNDLE, *PULLER, *BACK), *(g for part in PARTS for g in gear_for_part(gear, part)))
    for g in gear:
        what = f"{g.id} ({g.kind})" if g.kind else g.id
        write = 'Write its use, such as "bundle, front pick", "bundle, rear pick", "pull and insert" or "channel cover".'
        if not g.use.strip():
            w.say("warn", f"{what} is listed without what it is for: it was held against no load. {write}", "tag on the gear")
        elif g not in known:
            w.say("note", f"{what} is for {g.use!r}, which is no lift worked here: it was held against no load. {write}", "tag on the gear")


def is_leg_gear(g: Gear) -> bool:
    """Slings and shackles hang in one leg."""
    return any(kind in g.kind.lower() for kind in _LEG_GEAR)


def say_not_safe(w: Working) -> None:
    """The remark that goes with every comparison with a tag."""
    w.say("note", _NOT_SAFE, "tag on the gear", PRACTICE)
