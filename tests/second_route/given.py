"""The demo files read a second time: plain TOML, own unit scales, own tube places. Nothing here comes from the package."""

from __future__ import annotations

import tomllib
from fractions import Fraction
from functools import cache
from math import pi
from pathlib import Path
from typing import Any, NamedTuple

DATA = Path(__file__).parents[2] / "src" / "boxup" / "demo" / "data"
TAGS = ("14-E-103", "14-E-104", "14-E-108")
SCALE = {"mm": 1e-3, "m": 1.0, "bar": 1e5, "MPa": 1e6, "kg": 1.0, "t": 1e3, "degC": 1.0, "kg/m3": 1.0, "deg": pi / 180}
INCH = 0.0254
G = 9.80665

# What the letters mean for each of the three, worked out from the TEMA letters by hand.
# Joint: side whose pressure opens it, end whose ribs its gasket carries, whether shell pressure presses it on from outside.
JOINTS: dict[str, dict[str, tuple[str, str, bool]]] = {
    "14-E-103": {"J1": ("tube", "front", False), "J2": ("tube", "front", False), "J3": ("shell", "", False), "J4": ("tube", "rear", True),
                 "J5": ("shell", "", False)},
    "14-E-104": {"J1": ("tube", "front", False), "J2": ("shell", "", False)},
    "14-E-108": {"J1": ("tube", "front", False), "J2": ("tube", "", False)},
}  # fmt: skip
FLOATING = {("14-E-103", "J4")}  # its cover sits in the shell; its studs stand in the shell fluid
# Walls between passes that lie in different chambers. Front: 1 | 2 3 | 4; rear: 1 2 | 3 4; U-tubes turn without a rear chamber.
# (upper pass, lower pass, from, to) for level ones, in half bores; ("up", left pass, right pass) for the upright one over the level.
WALLS: dict[str, dict[str, list[tuple[Any, ...]]]] = {
    "14-E-103": {"front": [("level", 1, 2), ("level", 3, 4)], "rear": [("level", 2, 3)]},
    "14-E-104": {"front": [("level", 1, 2), ("upright over", 1, 2)], "rear": []},
    "14-E-108": {"front": [("level", 1, 2)], "rear": []},
}
TESTS = {"14-E-103": ("S1", "T", "S2"), "14-E-104": ("S1", "T", "S2"), "14-E-108": ("S1", "T")}
PUSHED = {("14-E-103", "S1")}  # a rear tubesheet that is free while the shell is pressed with the ends bare


def si(value: Any) -> float:
    """`"17.2 bar"` or `"350 kg, assumed"` in SI; degC stays degC."""
    if isinstance(value, int | float):
        return float(value)
    number, _, unit = value.split(",")[0].strip().partition(" ")
    return float(number) * SCALE[unit]


@cache
def file_of(tag: str) -> dict[str, Any]:
    """The file of a tag as it stands."""
    return tomllib.loads((DATA / f"{tag}.toml").read_text(encoding="utf-8"))


def inch_thread(size: str) -> tuple[float, float]:
    """Diameter and pitch in m of `7/8-9`, `1-8`."""
    diameter, _, per_inch = size.rpartition("-")
    whole = sum(Fraction(part) for part in diameter.split("-"))
    return float(whole) * INCH, INCH / int(per_inch)


class Hole(NamedTuple):
    x: float
    y: float
    tube_pass: int


@cache
def holes(tag: str) -> tuple[Hole, ...]:
    """Every tube hole, m. A row alone at its height is centred; two lie either side of the upright lane."""
    t = file_of(tag)["tubes"]
    pitch, lane = si(t["pitch"]), si(t["lane"])
    alone = {y: sum(r[0] == y for r in t["rows"]) == 1 for y in {r[0] for r in t["rows"]}}
    found, seen = [], set()
    for y, n, number in t["rows"]:
        if alone[y]:
            found += [Hole((i - (n - 1) / 2) * pitch, si(y), number) for i in range(n)]
        else:
            side = 1 if y in seen else -1
            found += [Hole(side * (lane / 2 + i * pitch), si(y), number) for i in range(n)]
            seen.add(y)
    return tuple(found)


def plugged(tag: str) -> int:
    return len(file_of(tag).get("plugs", {}).get("fitted", []))
