"""Where the pressure of a side is written: in a gap of its hatch."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from boxup.drawing import nozzle as noz
from boxup.drawing.assembly import Assembly, Stretch
from boxup.drawing.half import Half
from boxup.drawing.place import Box
from boxup.drawing.svg import WORD, Sheet, text_width, wrap

LARGEST = 28.0


@dataclass(frozen=True, slots=True)
class Gap:
    """The gap of the hatch and the words that stand in it."""

    box: Box
    size: float
    lines: tuple[str, ...]

    def write(self, sheet: Sheet) -> None:
        """Clear the ground, then the words."""
        b = self.box
        sheet.rect(b.left, b.top, b.right - b.left, b.bottom - b.top, "none", "ground")
        middle = (b.left + b.right) / 2, (b.top + b.bottom) / 2
        if sheet.turned:
            first = (0.35 - (len(self.lines) - 1) * 0.55) * self.size
            for i, line in enumerate(self.lines):
                sheet.words(middle[0] + sheet.turned * (first + i * self.size * 1.1), middle[1], line, self.size, bold=True)
            return
        first = middle[1] - (len(self.lines) - 1) * self.size * 0.55 + self.size * 0.35
        for i, line in enumerate(self.lines):
            sheet.words(middle[0], first + i * self.size * 1.1, line, self.size, bold=True)


def gap(a: Assembly, stretch: Stretch, half: Half) -> Gap | None:
    """The gap in this half view; one half view has it, the front one where it can."""
    words = a.view.pressure.replace(" ", "\u00a0").replace("\u00a0(", " (")  # a number stays with its unit
    longest = max((text_width(t, WORD, bold=True) for t in words.split(" ")), default=0.0)
    if not a.view.pressed or not words:
        return None
    if half.sheet.turned:
        return _upright_gap(a, stretch, half, words, longest)
    if stretch is not _home(a, longest + 22, half.scale):
        return None
    low, high, y = _room(a, stretch)
    clear = max([low, *(p.x + p.rim + 30 for p in _beside(a, stretch, y) if p.x < (low + high) / 2)])
    if (high - clear) * half.scale - 22 >= longest:
        low = clear  # a vent on the side stays to be seen
    room = (high - low) * half.scale - 22
    if room < longest - 12:
        return None  # it is written under the drawing
    size = max(WORD, min(LARGEST, room / text_width(words, 1, bold=True)))
    lines = wrap(words, size, room, bold=True)
    w = max(text_width(line, size, bold=True) for line in lines) + 12
    h = len(lines) * size * 1.1 + 6
    x, c = half.x((low + high) / 2), half.y(y)
    return Gap(Box(x - w / 2, c - h / 2, x + w / 2, c + h / 2), size, tuple(lines))


def _upright_gap(a: Assembly, stretch: Stretch, half: Half, words: str, longest: float) -> Gap | None:
    """The same on a turned sheet, where the words lie across the axis: in the middle of its room, or beside the nozzles there."""
    room = 2 * a.f.bore * half.scale - 22
    if room < longest - 12:
        return None  # it is written under the drawing
    size = max(WORD, min(LARGEST, room / text_width(words, 1, bold=True)))
    lines = wrap(words, size, room, bold=True)
    across, tall = max(text_width(line, size, bold=True) for line in lines) + 12, len(lines) * size * 1.1 + 6
    stands = _stands(a, longest + 22, half.scale, (tall + 8) / half.scale)
    if stands is None or stands[0] is not stretch:
        return None
    x, c = half.x(stands[1]), half.y(stands[2])
    return Gap(Box(x - tall / 2, c - across / 2, x + tall / 2, c + across / 2), size, tuple(lines))


def _stands(a: Assembly, need: float, scale: float, tall: float) -> tuple[Stretch, float, float] | None:
    """The half view, x and height of the middle of words `tall` mm along the axis: on no nozzle at all, or on none of the near side."""
    home = _home(a, need, scale)
    others = [s for s in a.stretches if s is not home and (a.view.pressed == "shell" or a.rooms(s, "tube"))]
    for ways in ((noz.NEAR, noz.AWAY), (noz.NEAR,)):
        for s in [home, *others] if home else []:
            low, high, y = _room(a, s)
            free = _free(low, high, [p for p in s.items if p.way in ways and not p.small and p.part not in a.off])
            middle = (low + high) / 2
            if any(start + tall / 2 <= middle <= stop - tall / 2 for start, stop in free):
                return s, middle, y
            start, stop = max(free, key=lambda one: one[1] - one[0], default=(0.0, 0.0))
            if stop - start >= tall:
                return s, (start + stop) / 2, y
    return None


def _free(low: float, high: float, nozzles: list[noz.Placed]) -> list[tuple[float, float]]:
    """From x, to x between `low` and `high` mm where none of these stands, nor the spool beside one."""
    found, start = list[tuple[float, float]](), low
    for first, last in sorted((p.x - p.rim, p.x + 1.25 * p.rim) for p in nozzles):
        found.append((start, min(first, high)))
        start = max(start, last)
    return [(a, b) for a, b in [*found, (start, high)] if b > a]


def _home(a: Assembly, need: float, scale: float) -> Stretch | None:
    """The half view that has it: the first with `need` px of room, the front one where none has."""
    if a.view.pressed == "shell":
        spans = [(s, _shell_span(a, s)) for s in a.stretches]
        return next((s for s, (low, high) in spans if (high - low) * scale >= need), a.stretches[0])
    return next((s for s in a.stretches if a.rooms(s, "tube")), None)


def _shell_span(a: Assembly, stretch: Stretch) -> tuple[float, float]:
    """The clear length of the shell in a half view."""
    if stretch.name == "front":
        return a.f.bore * 0.25, stretch.stop
    return stretch.start, min(stretch.stop, a.f.far)


def _beside(a: Assembly, stretch: Stretch, y: float) -> list[noz.Placed]:
    """Small openings on the side, near height y, in a part that is in."""
    return [p for p in stretch.items if p.small and not p.upright and abs(p.y - y) < a.f.bore * 0.45 and p.part not in a.off]


def _room(a: Assembly, stretch: Stretch) -> tuple[float, float, float]:
    """From x, to x and the middle height of the clear room it is written in, mm."""
    f = a.f
    if a.view.pressed == "shell":
        return *_shell_span(a, stretch), 0.0
    outline = a.rooms(stretch, "tube")[0].outline
    levels = sorted({-f.bore, *(f.front_plates if stretch.name == "front" else f.rear_plates), f.bore})
    near = [p for p in stretch.items if p.way == noz.NEAR and not p.small]

    def worth(low: float, high: float) -> float:
        """The tallest compartment; one on the axis wins unless it is much lower, one behind a nozzle's face loses."""
        hidden = any(low < p.y < high for p in near)
        return (high - low) * (1.3 if low < 0 < high else 1.0) * (0.2 if hidden else 1.0)

    _, low, high = max((worth(one, two), one, two) for one, two in pairwise(levels))
    xs = [p[0] for p in outline if low <= p[1] <= high] if f.exchanger.letters.front == "A" else []
    xs = xs or [p[0] for p in outline if abs(p[1]) > f.bore * 0.6] or [p[0] for p in outline]
    return min(xs), max(xs), (low + high) / 2
