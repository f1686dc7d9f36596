"""The sections of a file: which class each is read into, and which of them a type has."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from boxup.exchanger import joints, model
from boxup.exchanger.letters import Letters
from boxup.exchanger.lifting import Crane, Gear
from boxup.exchanger.service import Service

# Section: (field of Exchanger, class).
PLAIN: dict[str, tuple[str, type[Any]]] = {
    "exchanger": ("identity", model.Identity),
    "shell_side": ("shell_side", model.Side),
    "tube_side": ("tube_side", model.Side),
    "shell": ("shell", model.Shell),
    **{name: (name, model.Head) for name in ("channel", "channel_cover", "rear_head", "rear_cover", "floating_head", "shell_cover")},
    "tubes": ("tubes", model.Tubes),
    "stationary_tubesheet": ("stationary_tubesheet", model.Tubesheet),
    "floating_tubesheet": ("floating_tubesheet", model.Tubesheet),
    "baffles": ("baffles", model.Baffles),
    "bundle": ("bundle", model.BundleParts),
    "crane": ("crane", Crane),
    "service": ("service", Service),
}
NAMED: dict[str, tuple[str, type[Any]]] = {
    "nozzle": ("nozzles", model.Nozzle),
    "small_bore": ("openings", model.Opening),
    "blind": ("blinds", model.Blind),
    "gasket": ("gaskets", model.Gasket),
    "studs": ("studs", model.Studs),
    "flange": ("flanges", model.Flange),
    "tool": ("tools", model.Tool),
    "gear": ("gear", Gear),
}
ALL: tuple[str, ...] = ("exchanger", "options", *(s for s in tuple(PLAIN)[1:] if s != "crane"), *NAMED, "crane", "plugs")

# A part that is there exactly when its joint is.
_BY_JOINT = {
    "channel_cover": (joints.CHANNEL_COVER, joints.CLOSURE),
    "rear_head": (joints.REAR_HEAD, joints.CHANNEL_PACKING),
    "rear_cover": (joints.REAR_COVER,),
    "floating_head": (joints.FLOATING_HEAD,),
    "shell_cover": (joints.SHELL_COVER,),
}

# A name as the first item of each section usually has it: for examples.
FIRST_NAMES = {
    "nozzle": "N1", "small_bore": "V1", "blind": "B1", "gasket": "G1", "studs": "S1", "flange": "F1", "tool": "W1", "gear": "SL1",
}  # fmt: skip


def sections_of(letters: Letters, options: Mapping[str, bool] | None = None) -> tuple[str, ...]:
    """The sections a file of these letters may have."""
    kinds = {j.kind for j in joints.joints_of(letters, options)}

    def has(section: str) -> bool:
        if (section, letters.rear) in (("rear_head", "N"), ("rear_cover", "P")):
            return True  # N: welded on, no joint of its own, but it has a bore and a mass. P: its cover goes under either name
        if section == "floating_tubesheet":
            return letters.rear != "U"
        return section not in _BY_JOINT or bool(kinds & set(_BY_JOINT[section]))

    return tuple(s for s in ALL if has(s))
