"""The rear end in section, each letter for what it is."""

from __future__ import annotations

from boxup.drawing.fixed import bonnet, channel
from boxup.drawing.floating import closed_end, pull_through, shell_cover, split_ring
from boxup.drawing.frame import Frame
from boxup.drawing.lantern import lantern
from boxup.drawing.packed import packed
from boxup.drawing.part import End, Openings


def rear_end(f: Frame, openings: Openings) -> End:
    """Parts, joints and rooms behind the baffles."""
    end = End()
    match f.exchanger.letters.rear:
        case "S":
            split_ring(f, end, openings)
        case "T":
            pull_through(f, end, openings)
        case "P":
            packed(f, end)
        case "W":
            lantern(f, end, openings)
        case "L" | "N":
            channel(f, end, openings)
        case "M":
            bonnet(f, end, openings)
        case _ if f.covered:
            shell_cover(f, end, f.body, f.far + f.limit + 30, openings)
        case _:
            closed_end(f, end)
    return end
