"""What in the shell can push the bundle up: the mouth, the baffles that have come in, the floating end where it is nearly as wide."""

from __future__ import annotations

from collections.abc import Iterator

from boxup.exchanger.model import Exchanger
from boxup.lift.beam import Support
from boxup.lift.bundle_beam import BundleBeam

NEAR = 0.02  # m: a baffle this near to the mouth stands on it


def has_bars(exchanger: Exchanger) -> bool:
    """Whether sliding bars run along under the baffles. Nobody said so: they do not."""
    said = exchanger.bundle.sliding_bars.strip().lower()
    return bool(said) and not said.startswith(("no ", "none", "without"))


def bearing_baffles(exchanger: Exchanger, beam: BundleBeam) -> list[float]:
    """The baffles that reach the bottom of the shell: with bars all; else not those whose cut is there."""
    b = exchanger.baffles
    if has_bars(exchanger) or b.cut_direction != "horizontal" or b.first_cut not in ("up", "down"):
        return list(beam.baffles)
    return list(beam.baffles[0 if b.first_cut == "up" else 1 :: 2])


def rests(exchanger: Exchanger, beam: BundleBeam, metres: float) -> Iterator[Support]:
    """Baffles inside, and the floating tubesheet or head, which hangs clear by half of what it is smaller."""
    mouth = beam.length - metres
    yield from (Support("shell", at) for at in bearing_baffles(exchanger, beam) if at > mouth + NEAR)
    wide = exchanger.baffles.outside_diameter
    ends = ((beam.length, exchanger.floating_tubesheet.outside_diameter), (beam.rider, exchanger.floating_head.outside_diameter))
    for at, across in ends:
        if at is not None and wide and across and at > mouth + NEAR and not beam.bends:
            yield Support("shell", at, max((wide.si - across.si) / 2, 0.0))


def mouth_rests(exchanger: Exchanger, beam: BundleBeam, metres: float) -> Iterator[Support]:
    """The mouth, where bars run over it or a baffle stands on it."""
    mouth = beam.length - metres
    if not beam.baffles:
        return
    near = next((b for b in bearing_baffles(exchanger, beam) if abs(b - mouth) <= NEAR), None)
    if near is not None:
        yield Support("mouth", near)
    elif has_bars(exchanger) and beam.front <= mouth <= beam.baffles[-1]:
        yield Support("mouth", mouth)
