"""The parts that come off and go on again, in the trade's words, by the TEMA letters. Front first."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from boxup.exchanger.joints import has_shell_cover
from boxup.exchanger.model import Exchanger, Head

PartId = Literal["channel_cover", "channel", "bundle", "floating_head", "rear_head", "rear_cover", "shell_cover"]
Side = Literal["shell", "tube"]


@dataclass(frozen=True, slots=True)
class Part:
    """One part that is lifted on its own. `id` is the table of the file it is described in; `with_bundle`: it rides with the bundle.

    `usual_end`: the shape taken for its closed end where the file names none.
    """

    id: PartId
    what: str
    side: Side
    with_bundle: bool = False
    usual_end: str = ""


_FRONT: dict[str, tuple[Part, ...]] = {
    "A": (Part("channel_cover", "channel cover", "tube"), Part("channel", "channel", "tube")),
    "B": (Part("channel", "bonnet", "tube", usual_end="ellipsoidal"),),
    "C": (Part("channel_cover", "channel cover", "tube"),
          Part("channel", "channel, in one piece with the tubesheet", "tube", with_bundle=True)),
    "N": (Part("channel_cover", "front cover", "tube"),),
    "D": (Part("channel_cover", "closure, by its maker's procedure", "tube"),
          Part("channel", "channel, in one piece with the tubesheet", "tube", with_bundle=True)),
}  # fmt: skip
_REAR: dict[str, tuple[Part, ...]] = {
    "S": (Part("floating_head", "floating-head cover with its split backing ring", "tube", usual_end="dished"),),
    "T": (Part("floating_head", "floating-head cover", "tube", usual_end="dished"),),
    "P": (Part("rear_cover", "rear cover with its split shear ring", "tube"),),
    "W": (Part("rear_head", "rear bonnet with its packing flange", "tube", usual_end="ellipsoidal"),),
    "L": (Part("rear_cover", "rear cover", "tube"), Part("rear_head", "rear channel", "tube")),
    "M": (Part("rear_head", "rear bonnet", "tube", usual_end="ellipsoidal"),),
    "N": (Part("rear_cover", "rear cover", "tube"),),
    "U": (),
}
_BUNDLE = Part("bundle", "bundle", "tube")
_SHELL_COVER = Part("shell_cover", "shell cover", "shell", usual_end="ellipsoidal")


def parts(exchanger: Exchanger) -> tuple[Part, ...]:
    """Every part of this exchanger that can come off, front to rear."""
    front = _FRONT[exchanger.letters.front]
    bundle = () if exchanger.letters.fixed else (_BUNDLE,)
    cover = (_SHELL_COVER,) if has_shell_cover(exchanger.letters, exchanger.options) else ()
    return front + bundle + _REAR[exchanger.letters.rear] + cover


def head(exchanger: Exchanger, id_: PartId) -> Head:
    """What the file says of that part (not of the bundle). A packed head's cover may stand under either rear table."""
    found: Head = getattr(exchanger, id_)
    if exchanger.letters.rear == "P" and found == Head():
        found = exchanger.rear_head if id_ == "rear_cover" else exchanger.rear_cover
    return found
