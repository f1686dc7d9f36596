"""Where words may stand: nothing on top of anything else."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

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


def turned_box(box: Box, anchor: str, tip: Point) -> Box:
    """The ground the same words cover on a turned sheet, which turns them back: as far from `tip` as they were."""
    long, high = box.right - box.left, box.bottom - box.top
    x = box.left + high / 2 if anchor == "start" else box.right - high / 2 if anchor == "end" else (box.left + box.right) / 2
    middle = (box.top + box.bottom) / 2
    y = box.bottom - long / 2 if middle < tip[1] - 8 else box.top + long / 2 if middle > tip[1] + 8 else middle
    return Box(x - high / 2, y - long / 2, x + high / 2, y + long / 2)


@dataclass(frozen=True, slots=True)
class Place:
    """One place where a label could stand."""

    x: float
    y: float
    anchor: str = "middle"
    far: bool = False  # so far off that a line must lead to what it names
    tip: Point | None = None  # where that line ends, when not where the others of its list do


class Ground:
    """What is already taken on a sheet."""

    def __init__(self, whole: Box) -> None:
        self.whole, self.taken, self.words = whole, list[Box](), list[Box]()

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
            if sheet.turned:
                box = turned_box(box, p.anchor, p.tip or tip)
            foot, end = _foot(box, p.tip or tip), p.tip or tip
            if self.free(box) and not (p.far and self._on_words(foot, end)):
                self.take(box)
                self.words.append(box)
                if clear:
                    sheet.rect(box.left - 1, box.top, box.right - box.left + 2, box.bottom - box.top, "none", "ground")
                if p.far:
                    sheet.line(foot, end, "thin")
                    self.take(*along(foot, end))
                if sheet.turned:
                    sheet.words((box.left + box.right) / 2 + WORD * 0.27 * sheet.turned, (box.top + box.bottom) / 2, text, bold=bold)
                else:
                    sheet.words(p.x, p.y, text, anchor=p.anchor, bold=bold)
                return True
        return False

    def _on_words(self, a: Point, b: Point) -> bool:
        """A line from a to b would cross words that stand already."""
        return any(piece.meets(w, 1) for piece in along(a, b) for w in self.words)


def _foot(box: Box, tip: Point) -> Point:
    """Where the line from a word starts: at the edge that looks to the tip, as near to it as the word reaches."""
    if box.top <= tip[1] <= box.bottom:
        return (box.left - 2 if tip[0] < box.left else box.right + 2), (box.top + box.bottom) / 2
    inset = min(8.0, (box.right - box.left) / 2)
    x = min(max(tip[0], box.left + inset), box.right - inset)
    return x, box.bottom + 2 if tip[1] > box.bottom else box.top - 2


def along(a: Point, b: Point, n: int = 8) -> list[Box]:
    """The ground along a line, piece by piece."""
    at = [(a[0] + (b[0] - a[0]) * i / n, a[1] + (b[1] - a[1]) * i / n) for i in range(n + 1)]
    return [Box(min(p[0], q[0]) - 1, min(p[1], q[1]), max(p[0], q[0]) + 1, max(p[1], q[1])) for p, q in pairwise(at)]


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
