"""Where words may stand: nothing on top of anything else."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from boxup.drawing.svg import WORD, Point, Sheet, text_width


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle in px, y downward."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Box, room: float = 0) -> bool:
        """They overlap, or stand closer than `room`."""
        return (
            self.left - room < other.right
            and other.left - room < self.right
            and self.top - room < other.bottom
            and other.top - room < self.bottom
        )


def text_box(x: float, y: float, text: str, size: float = WORD, anchor: str = "middle", bold: bool = False) -> Box:
    """The ground one line of words covers."""
    w = text_width(text, size, bold)
    left = x - w / 2 if anchor == "middle" else x - w if anchor == "end" else x
    return Box(left, y - size * 0.76, left + w, y + size * 0.22)


@dataclass(frozen=True, slots=True)
class Place:
    """One place where a label could stand."""

    x: float
    y: float
    anchor: str = "middle"
    far: bool = False  # so far off that a line must lead to what it names


class Ground:
    """What is already taken on a sheet."""

    def __init__(self, whole: Box) -> None:
        self.whole, self.taken = whole, list[Box]()

    def take(self, *boxes: Box) -> None:
        """Nothing more may stand there."""
        self.taken.extend(boxes)

    def free(self, box: Box, room: float = 2) -> bool:
        """Inside the sheet and clear of everything."""
        w = self.whole
        inside = box.left >= w.left and box.right <= w.right and box.top >= w.top and box.bottom <= w.bottom
        return inside and not any(box.meets(t, room) for t in self.taken)

    def write(
        self, sheet: Sheet, text: str, places: Iterable[Place], *, tip: Point = (0, 0), bold: bool = False, clear: bool = False
    ) -> bool:
        """Write `text` at the first free place and take it. False: no place was free, nothing was written.

        tip: where the line from a far place leads. clear: the words stand on ground of their own, over hatch.
        """
        for p in places:
            box = text_box(p.x, p.y, text, WORD, p.anchor, bold)
            if self.free(box):
                self.take(box)
                if clear:
                    sheet.rect(box.left - 1, box.top, box.right - box.left + 2, box.bottom - box.top, "none", "ground")
                if p.far:
                    middle = (box.left + box.right) / 2
                    foot = box.bottom + 2 if tip[1] > box.bottom else box.top - 2
                    sheet.line((middle, foot), tip, "thin")
                    self.take(Box(min(middle, tip[0]) - 1, min(foot, tip[1]), max(middle, tip[0]) + 1, max(foot, tip[1])))
                sheet.words(p.x, p.y, text, anchor=p.anchor, bold=bold)
                return True
        return False


def spread(wanted: list[float], room: list[float], low: float, high: float) -> list[float]:
    """Centres in the same order, as near to `wanted` as their widths `room` and the ends `low`, `high` allow."""
    got = list(wanted)
    for i in range(len(got)):
        least = low + room[i] / 2 if i == 0 else got[i - 1] + (room[i - 1] + room[i]) / 2
        got[i] = max(got[i], least)
    for i in reversed(range(len(got))):
        most = high - room[i] / 2 if i == len(got) - 1 else got[i + 1] - (room[i + 1] + room[i]) / 2
        got[i] = min(got[i], most)
    return got
