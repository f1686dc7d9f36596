"""Where the centre of gravity of a head or cover lies, where its shape says; else that nobody knows before the trial lift."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.core.quantity import Quantity
from boxup.exchanger.model import Exchanger
from boxup.exchanger.parts import PartId, head, parts

FLAT = ("channel_cover", "rear_cover")
TRIAL = "not known: lift it a hand's breadth first and see how it hangs"


@dataclass(frozen=True, slots=True)
class Hangs:
    """`place`: behind the gasket face, on the axis; None where the shape does not say. `words`: the same for the crew."""

    place: Quantity | None
    words: str


def hangs(x: Exchanger, part: PartId) -> Hangs:
    """A flat round cover hangs by its middle. A channel leans to its nozzles and a dished end to its flange, by as much as nobody drew."""
    h, one = head(x, part), next(p for p in parts(x) if p.id == part)
    if part in FLAT and x.letters.front == "D" and part == "channel_cover":
        return Hangs(None, "by its maker's drawing")
    if part in FLAT and h.thickness is not None:
        half = h.thickness.si / 2
        place = Quantity(half, "mm", f"{half * 1000:g} mm", h.thickness.grade, "half its thickness")
        return Hangs(place, f"on its axis, {half * 1000:.0f} mm from its face")
    if part in FLAT:
        return Hangs(None, f"on its axis; {TRIAL}")
    if h.shape == "open" or not (one.usual_end or h.shape):
        return Hangs(None, f"between its flanges, drawn to the heavier nozzle; {TRIAL}")
    return Hangs(None, f"nearer its flange than its dome; {TRIAL}")
