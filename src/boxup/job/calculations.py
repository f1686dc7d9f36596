"""Where each single calculation lives, so that one can be worked without importing all rooms."""

from __future__ import annotations

from difflib import get_close_matches
from importlib import import_module

from boxup.core.calculation import REGISTRY, BadInput, Calculation

HOMES: dict[str, str] = {
    "bolt-area": "boxup.joint.thread",
    "torque": "boxup.joint.torque",
    "torque-friction": "boxup.joint.torque",
    "preload": "boxup.joint.torque",
    "yield-load": "boxup.joint.grade",
    "pump-pressure": "boxup.joint.pump_pressure",
    "tensioner": "boxup.joint.tensioner",
    "gasket-loads": "boxup.joint.gasket_loads",
    "girth-joint": "boxup.joint.girth",
    "flange-stress": "boxup.joint.flange_stress",
    "cover-thickness": "boxup.joint.cover",
    "cover-bow": "boxup.joint.cover",
    "dished-cover": "boxup.joint.dished_cover",
    "backing-ring": "boxup.joint.backing_ring",
    "assembly-window": "boxup.joint.window",
    "stud-stretch": "boxup.joint.stretch",
    "thermal-growth": "boxup.joint.growth",
    "load-change": "boxup.joint.load_change",
    "hub-factors": "boxup.joint.hub_factors",
    "crossover": "boxup.joint.crossover",
    "gap": "boxup.joint.gaps",
    "test-pressure": "boxup.hydro.pressure",
    "water": "boxup.hydro.water",
    "shut-in": "boxup.hydro.shut_in",
    "hold": "boxup.hydro.hold",
    "trapped-air": "boxup.hydro.trapped_air",
    "stored-energy": "boxup.hydro.stored_energy",
    "tube-collapse": "boxup.hydro.tube_collapse",
    "blank": "boxup.isolation.blank",
    "ribs": "boxup.exchanger.ribs",
    "tube-count": "boxup.bundle.tube_count",
    "bend-wall": "boxup.bundle.bend",
    "plug-fit": "boxup.bundle.plug_fit",
    "tube-roll": "boxup.bundle.tube_roll",
    "pass-velocity": "boxup.bundle.pass_flow",
    "effectiveness": "boxup.bundle.effectiveness",
    "plugged-duty": "boxup.bundle.plugged_duty",
    "rib-bypass": "boxup.bundle.rib_bypass",
    "rib-duty": "boxup.bundle.rib_duty",
    "turned-bundle": "boxup.bundle.turned_bundle",
    "sling-legs": "boxup.lift.sling",
    "block-load": "boxup.lift.block",
    "tackle": "boxup.lift.tackle",
    "tackle-run": "boxup.lift.tackle",
    "eyebolt": "boxup.lift.eyebolt",
    "shackle": "boxup.lift.shackle",
    "sling-capacity": "boxup.lift.hitch",
    "uneven-legs": "boxup.lift.hang",
    "hang": "boxup.lift.hang",
    "several-legs": "boxup.lift.many_legs",
    "crane-share": "boxup.lift.crane",
    "insertion-pull": "boxup.lift.pull",
    "mouth-reaction": "boxup.lift.mouth",
    "sling-contact": "boxup.lift.contact",
    "face-mark": "boxup.repair.faces",
    "face-flatness": "boxup.repair.flatness",
    "shell-thickness": "boxup.repair.shell_wall",
    "remaining-life": "boxup.repair.shell_wall",
}


def find(name: str) -> Calculation:
    """The calculation of that name. Raises BadInput with near names."""
    if name not in HOMES:
        near = get_close_matches(name, HOMES, 3, 0.5)
        hint = f" Near: {', '.join(near)}." if near else ""
        raise BadInput([f"{name}: no such calculation.{hint} There are: {', '.join(HOMES)}."])
    import_module(HOMES[name])
    return REGISTRY[name]


def all_calculations() -> list[Calculation]:
    """Every calculation, by room."""
    return sorted((find(n) for n in HOMES), key=lambda c: (c.room, c.name))
