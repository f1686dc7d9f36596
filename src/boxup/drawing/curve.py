"""A small chart of one thing read against another: readings as discs, and the lines they are held against, each named at its end.

Scales, names and sizes are those of the chart of readings against time. It draws what it is given and judges nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from boxup.drawing.chart import BESIDE, CLEAR, END, FOOT, GRID, HEAD, LEADER, LEFT, TALL, Level, Scale, Ticks, apart, figure, round_ticks
from boxup.drawing.svg import WORD, Point, Sheet, num, text_width

PENS = ("phantom", "hidden", "chain")  # of the lines, in their order: none of them looks like a reading


@dataclass(frozen=True, slots=True)
class Curve:
    """A line that was worked, not read: (across, up)."""

    name: str
    points: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Axis:
    """Its unit; levels stand across it. other: a second unit beside the first."""

    unit: str
    levels: tuple[Level, ...] = ()
    other: Scale | None = None


def curve_chart(
    title: str,
    read: Sequence[tuple[float, float]],
    name: str,
    curves: Sequence[Curve],
    across: Axis,
    up: Axis,
    *,
    width: int,
    desc: str = "",
) -> str:
    """The SVG. `read`: (across, up) of each reading, `name` stands at the last. ValueError where there is none."""
    if not read:
        raise ValueError("a chart needs at least one reading")
    return _Curves(title, tuple(read), name, tuple(curves), across, up, width, desc).text()


class _Curves:
    def __init__(
        self, title: str, read: tuple[tuple[float, float], ...], name: str, curves: tuple[Curve, ...], across: Axis, up: Axis, width: int,
        desc: str,
    ) -> None:  # fmt: skip
        self.read, self.name, self.curves, self.across, self.up = read, name, curves, across, up
        self.tall = TALL["narrow" if width < 700 else "wide"]
        self.left = LEFT * (2 if up.other else 1) + 8
        self.right = width - 20 - max(text_width(one, WORD, bold=True) for one in (name, *(c.name for c in curves)))
        points = [*read, *(p for c in curves for p in c.points)]
        self.x_ticks = round_ticks(0.0, max([x for x, _ in points] + [level.value for level in across.levels]))
        self.y_ticks = round_ticks(0.0, max(y for _, y in points))
        self.top = HEAD + (WORD if across.levels else 0)
        self.sheet = Sheet(width, self.top + self.tall + FOOT + 8, title, desc or title)

    def text(self) -> str:
        """The finished SVG."""
        self._frame()
        for level in self.across.levels:
            self._level(level)
        self._lines()
        return self.sheet.text()

    def x(self, value: float) -> float:
        return self.left + END + (self.right - self.left - 2 * END) * (value - self.x_ticks.low) / (self.x_ticks.high - self.x_ticks.low)

    def y(self, value: float) -> float:
        return self.top + self.tall * (1 - (value - self.y_ticks.low) / (self.y_ticks.high - self.y_ticks.low))

    def _frame(self) -> None:
        s, bottom = self.sheet, self.top + self.tall
        dots = "".join(f"M{num(self.left + 8)},{num(self.y(v))}H{num(self.right)}" for v in self.y_ticks)
        s.raw(f'<path d="{dots}" {GRID}/>')
        s.line((self.left, self.top), (self.left, bottom), "edge")
        s.line((self.left, bottom), (self.right, bottom), "edge")
        self._scale(self.up.unit, [(v, self.y(v)) for v in self.y_ticks], self.y_ticks, self.left)
        if self.up.other:
            self._other(self.up.other)
        for v in self.x_ticks:
            s.line((self.x(v), bottom), (self.x(v), bottom + 7), "edge")
            s.words(self.x(v), bottom + 26, figure(v, self.x_ticks.step))
        s.words(self.right + 6, bottom + 26, self.across.unit, anchor="start", bold=True)

    def _scale(self, unit: str, at: Sequence[tuple[float, float]], ticks: Ticks, x: float) -> None:
        self.sheet.segments([((x - 7, y), (x, y)) for _, y in at], "edge")
        for v, y in at:
            self.sheet.words(x - 10, y + 6, figure(v, ticks.step), anchor="end")
        self.sheet.words(x, self.top - 14, unit, anchor="end", bold=True)

    def _other(self, scale: Scale) -> None:
        x = self.left - LEFT - 4
        ticks = round_ticks(self.y_ticks.low * scale.factor, self.y_ticks.high * scale.factor)
        at = [(v, self.y(v / scale.factor)) for v in ticks if v <= self.y_ticks.high * scale.factor * (1 + 1e-9)]
        self.sheet.line((x, self.top), (x, self.top + self.tall), "thin")
        self._scale(scale.unit, at, ticks, x)

    def _level(self, level: Level) -> None:
        x, wide = self.x(level.value), text_width(level.name, WORD, bold=True) / 2
        self.sheet.line((x, self.top), (x, self.top + self.tall), "ring")
        self.sheet.words(min(max(x, self.left + wide), self.sheet.width - wide - 4), self.top - 10, level.name, bold=True)

    def _lines(self) -> None:
        ends: list[tuple[float, Point, str]] = []
        for n, curve in enumerate(self.curves):
            points = [(self.x(a), self.y(b)) for a, b in curve.points]
            self.sheet.run(points, PENS[n % len(PENS)])
            ends.append((points[-1][1], points[-1], curve.name))
        marks = [(self.x(a), self.y(b)) for a, b in self.read]
        for at in marks:
            self.sheet.circle(at, 4.5, "none", "ink")
        ends.append((marks[-1][1], marks[-1], self.name))
        for y, (x, foot), name in apart(sorted(ends), self.top + 8, self.top + self.tall):
            if self.right - x > 2 * CLEAR or abs(y - foot) > BESIDE:
                self.sheet.raw(f'<path d="M{num(x + CLEAR)},{num(foot)}L{num(self.right + 2)},{num(y)}" {LEADER}/>')
            self.sheet.words(self.right + 6, y + 6, name, anchor="start")
