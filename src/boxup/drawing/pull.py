"""Load-cell readings against how far the bundle is in, with the force at which to stop. It draws what it is given and judges nothing."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.drawing.chart import GRID, figure, round_ticks
from boxup.drawing.svg import WORD, Sheet, num, text_width

LEFT, TOP, TALL, FOOT, END = 46.0, 40.0, 230.0, 58.0, 12.0  # px


@dataclass(frozen=True, slots=True)
class Pull:
    """Readings of one way: metres in the shell, kN, in the order in which they were read; at least one. length: of the tubes, m.

    low, high: the force expected with clean and with dirty bars, kN; stop: the force to stop at, kN; None where it is not known.
    said: what stands at the stop, "STOP 34.5 kN", rounded as everywhere else. along: where the expected pull and the stop are known by
    place, (metres, low, high, stop) each; they are drawn in the place of the levels, which hold for the whole weight in the shell.
    """

    tag: str
    way: str
    length: float
    readings: tuple[tuple[float, float], ...]
    low: float | None = None
    high: float | None = None
    stop: float | None = None
    said: str = ""
    width: int = 720
    along: tuple[tuple[float, float, float, float], ...] = ()


def pull(v: Pull) -> str:
    """The SVG. ValueError where there is no reading."""
    if not v.readings:
        raise ValueError(f"{v.tag}: a chart needs at least one reading")
    return _Chart(v).text()


class _Chart:
    def __init__(self, v: Pull) -> None:
        self.v = v
        forces = [f for _, f in v.readings] + [f for f in (v.low, v.high, v.stop) if f is not None] + [p[3] for p in v.along]
        self.up = round_ticks(0.0, max(forces))
        self.along = round_ticks(0.0, max([v.length, *(m for m, _ in v.readings)]), 7 if v.width >= 700 else 4)
        self.right = v.width - END
        said = "; ".join(f"{m:g} m {f:g} kN" for m, f in v.readings)
        self.sheet = Sheet(v.width, TOP + TALL + FOOT, f"{v.tag}: {v.way}, pull read against metres in the shell", said)

    def x(self, metres: float) -> float:
        """px of a place."""
        return LEFT + (self.right - LEFT) * metres / self.along.high

    def y(self, force: float) -> float:
        """px of a force; what holds the bundle back has no height here and lies on the foot."""
        return TOP + TALL * (1 - max(force, 0.0) / self.up.high)

    def text(self) -> str:
        """The finished SVG."""
        self._field()
        self._levels()
        points = [(self.x(m), self.y(f)) for m, f in self.v.readings]
        self.sheet.run(points, "mid")
        for point in points:
            self.sheet.circle(point, 5, "none", "ink")
        return self.sheet.text()

    def _field(self) -> None:
        s, foot = self.sheet, TOP + TALL
        lines = "".join(f"M{num(LEFT)},{num(self.y(f))}H{num(self.right)}" for f in self.up)
        s.raw(f'<path d="{lines}" {GRID}/>')
        s.run(((LEFT, TOP), (LEFT, foot), (self.right, foot)), "edge")
        for f in self.up:
            s.words(LEFT - 8, self.y(f) + 6, figure(f, self.up.step), anchor="end")
        s.words(LEFT - 8, TOP - 16, "kN", anchor="end", bold=True)
        for m in self.along:
            x, last = self.x(m), m == self.along.high
            s.line((x, foot), (x, foot + 7), "edge")
            s.words(x, foot + 26, figure(m, self.along.step), anchor="end" if last else "middle")
        s.words((LEFT + self.right) / 2, foot + 50, "metres in the shell", bold=True)

    def _levels(self) -> None:
        """What is expected, and the stop: a thick line with its word, in ink; the sign of a stop is for what is to be stopped now."""
        s, v = self.sheet, self.v
        if v.along:
            self._by_place()
            return
        for f in (v.low, v.high):
            if f is not None:
                s.line((LEFT, self.y(f)), (self.right, self.y(f)), "ring")
        if v.low is not None and v.high is not None:
            self._named("expected, clean bars", v.low, 22, "end")
            self._named("expected, dirty bars", v.high, 22, "end")
        if v.stop is not None:
            s.line((LEFT, self.y(v.stop)), (self.right, self.y(v.stop)), "thick")
            self._named(v.said or f"STOP {v.stop:.3g} kN", v.stop, -9, "start", bold=True)

    def _by_place(self) -> None:
        """Expected, clean and dirty, and the stop, place by place; each named where it ends."""
        for n, pen in ((1, "ring"), (2, "ring"), (3, "thick")):
            self.sheet.run([(self.x(p[0]), self.y(p[n])) for p in self.v.along], pen)
        _, low, high, stop = max(self.v.along)
        self._named("expected, clean bars", low, 22, "end")
        self._named("expected, dirty bars", high, 22, "end")
        self._named("STOP by place", stop, -9, "end", bold=True)

    def _named(self, words: str, force: float, down: float, anchor: str, *, bold: bool = False) -> None:
        """The name of a level, on ground of its own so that no line runs through it."""
        wide, y = text_width(words, WORD, bold) + 8, self.y(force) + down
        x = LEFT + 6 if anchor == "start" else self.right - 2 - wide
        self.sheet.rect(x, y - 15, wide, 19, "none", "ground")
        self.sheet.words(x + 4 if anchor == "start" else self.right - 4, y, words, anchor=anchor, bold=bold)
