"""What a gasket of a kind is made of, by the words of the trade: a ring joint has no facing, a sheet no core of metal."""

from __future__ import annotations

from typing import NamedTuple

_COVERED = ("spiral", "kamm", "grooved", "serrated", "jacket", "corrugated")  # metal inside or round, something soft on or in it
_SOLID = ("ring joint", "ring-joint", "rtj", "lens ring", "solid metal", "flat metal")
_SOFT = ("sheet", "rubber", "o-ring", "elastomer", "fibre", "fiber", "ptfe", "cork", "packing")
NO_GRADE = "grade not given: as the site's gasket list says"


class Made(NamedTuple):
    """Which of the two must be known before it can be bought. A tang or wire in a sheet is written down where it has one."""

    metal: bool
    facing: bool


def made_of(kind: str) -> Made:
    """Both for a kind that is not known: it is not guessed what it does without."""
    said = kind.casefold()
    if any(word in said for word in _COVERED):
        return Made(metal=True, facing=True)
    if any(word in said for word in _SOLID):
        return Made(metal=True, facing=False)
    soft = any(word in said for word in _SOFT) and "metal" not in said
    return Made(metal=not soft, facing=not soft)


def shown_facing(kind: str, facing: str) -> str:
    """The facing of the order line; for a soft gasket the grade, and that nobody gave it."""
    return facing or (NO_GRADE if made_of(kind) == Made(metal=False, facing=False) else "")
