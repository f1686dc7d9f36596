"""A small chart of readings against time: panels one under the other on one time axis.

Lines are told apart by their type and named at their end. Every axis has its unit and round ticks; a second unit has a scale of its own
beside the first. The chart draws what it is given and judges nothing.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from typing import Literal

from boxup.drawing.svg import WORD, Point, Sheet, num, text_width

Mark = Literal["disc", "ring", "square", "none"]
READING = (("mid", "disc"), ("chain", "ring"), ("hidden", "square"), ("phantom", "none"))  # what lines are told apart by, in that order
WORKED = ("phantom", "none")
HATCH = 8.0  # px between the strokes of a band
MOST_POINTS = 160  # of one line; more than that stand closer than a line is thick

LEFT, END = 45.0, 14.0  # px: room of one scale; free at both ends of the time axis
HEAD, FOOT, STRIP = 48.0, 40.0, 30.0  # px: unit over a panel; hours under the last one; the name of a span
GRID = 'stroke-width="2" stroke-dasharray="2 8"'  # dots: a reading that lies on a round figure stays to be seen
LEADER = 'stroke-width="2" stroke-dasharray="2 5"'  # from the end of a line to its name: no reading looks like it
CLEAR = 12.0  # px between the end of a line and its leader
BESIDE = 8.0  # px: a name no further off its line, up or down, needs no leader
TALL = {"wide": 210.0, "narrow": 190.0}  # px, the field of a panel
LINE = 21.0  # px between the names at the ends of lines


@dataclass(frozen=True, slots=True)
class Line:
    """Readings of one thing, in the unit of its panel, in the order of time. At least one. worked: not read, so without marks."""

    name: str
    points: tuple[tuple[datetime, float], ...]
    worked: bool = False


@dataclass(frozen=True, slots=True)
class Band:
    """Between which values a line may truly lie: (moment, low, high), in the order of time."""

    points: tuple[tuple[datetime, float, float], ...]


@dataclass(frozen=True, slots=True)
class Level:
    """A value that is asked for, drawn right across."""

    name: str
    value: float


@dataclass(frozen=True, slots=True)
class Scale:
    """A second unit for the same readings: in it a reading is `factor` times as much, `plus` on top."""

    unit: str
    factor: float
    plus: float = 0.0


@dataclass(frozen=True, slots=True)
class Panel:
    """One field: its unit, its lines and levels. zero: the scale begins at nought. band: hatched, under everything."""

    unit: str
    lines: tuple[Line, ...]
    levels: tuple[Level, ...] = ()
    other: Scale | None = None
    zero: bool = False
    band: Band | None = None


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of time that has a name, such as how long something was held."""

    name: str
    start: datetime
    stop: datetime


@dataclass(frozen=True, slots=True)
class Ticks:
    """Round values from `low` to `high`, `step` apart."""

    low: float
    high: float
    step: float

    def __iter__(self) -> Iterator[float]:
        count = round((self.high - self.low) / self.step)
        return iter(self.low + self.step * n for n in range(count + 1))


def round_ticks(low: float, high: float, most: int = 5) -> Ticks:
    """Ticks at 1, 2 or 5 times a power of ten that hold `low` and `high` between them, at most `most` steps."""
    if high - low < 1e-6 * max(abs(low), abs(high), 1.0):  # one value: room over and under it
        low, high = low - 1, high + 1
    power = 10.0 ** math.floor(math.log10((high - low) / most))
    for times in (1, 2, 5, 10, 20):
        step = times * power
        start, stop = math.floor(low / step + 1e-9) * step, math.ceil(high / step - 1e-9) * step
        if round((stop - start) / step) <= most:
            break
    return Ticks(start, stop, step)


TIME_STEPS = tuple(timedelta(minutes=m) for m in (1, 2, 5, 10, 15, 20, 30, 60, 120, 180, 360, 720, 1440, 2880, 10080, 40320))


def time_ticks(start: datetime, stop: datetime, most: int) -> tuple[datetime, ...]:
    """Round hours from `start` to `stop`, at most `most` steps of them; where fewer than two fall between the two, the two themselves."""
    midnight = start.replace(hour=0, minute=0, second=0, microsecond=0)
    for step in TIME_STEPS:
        first = midnight - (midnight - start) // step * step
        if first + step <= stop and stop - start <= step * most:
            return tuple(first + step * n for n in range((stop - first) // step + 1))
    return (start, stop)


def time_chart(title: str, panels: Sequence[Panel], *, width: int, spans: Sequence[Span] = (), desc: str = "") -> str:
    """The SVG. `spans` stand in a strip over the first panel. ValueError where no panel has a reading."""
    panels = [p for p in panels if any(line.points for line in p.lines)]
    if not panels:
        raise ValueError("a chart needs at least one reading")
    return _Chart(title, panels, width, tuple(spans), desc).text()


class _Chart:
    """Where everything stands, and the drawing of it."""

    def __init__(self, title: str, panels: Sequence[Panel], width: int, spans: tuple[Span, ...], desc: str) -> None:
        self.panels, self.spans = panels, spans
        narrow = width < 700
        self.tall = TALL["narrow" if narrow else "wide"]
        self.room = max(LEFT, *(_widest(_Field(p, 0, self.tall).ticks) for p in panels))
        self.left = self.room + (max(LEFT, *(_widest(_second(p)) for p in panels if p.other)) if any(p.other for p in panels) else 0) + 8
        names = [level.name for p in panels for level in p.levels] + [line.name for p in panels for line in p.lines if line.points]
        self.right = width - 20 - max(text_width(name, WORD, bold=True) for name in names)
        self.strip = STRIP if spans else 0.0
        at = [t for p in panels for line in p.lines for t, _ in line.points]
        self.first, self.last = min(at), max(at)
        self.hours = time_ticks(self.first, self.last, int((self.right - self.left - 2 * END) // 56))
        height = self.strip + len(panels) * (HEAD + self.tall) + FOOT
        self.sheet = Sheet(width, height, title, desc or title)

    def text(self) -> str:
        """The finished SVG."""
        for n, panel in enumerate(self.panels):
            self._panel(panel, self.strip + HEAD + n * (HEAD + self.tall))
        self._time(self.strip + len(self.panels) * (HEAD + self.tall))
        for span in self.spans:
            self._span(span)
        return self.sheet.text()

    def x(self, at: datetime) -> float:
        """px of a moment."""
        share = (at - self.first) / (self.last - self.first) if self.last > self.first else 0.5
        return self.left + END + (self.right - self.left - 2 * END) * share

    def _panel(self, panel: Panel, top: float) -> None:
        field = _Field(panel, top, self.tall)
        s = self.sheet
        dots = "".join(f"M{num(self.left + 8)},{num(field.y(v))}H{num(self.right)}" for v in field.ticks)
        s.raw(f'<path d="{dots}" {GRID}/>')
        s.line((self.left, top), (self.left, top + self.tall), "edge")
        s.line((self.left, top + self.tall), (self.right, top + self.tall), "edge")
        self._scale(panel.unit, field.ticks, field, self.left)
        if panel.other:
            self._other(panel.other, field)
        if panel.band:
            self._band(panel.band, field)
        self._lines(panel, field)

    def _scale(self, unit: str, ticks: Ticks, field: _Field, x: float) -> None:
        """Figures left of their axis, each with its stroke, and the unit over them."""
        self.sheet.segments([((x - 7, field.y(v)), (x, field.y(v))) for v in ticks], "edge")
        for v in ticks:
            self.sheet.words(x - 10, field.y(v) + 6, figure(v, ticks.step), anchor="end")
        self.sheet.words(x, field.top - 14, unit, anchor="end", bold=True)

    def _other(self, scale: Scale, field: _Field) -> None:
        """The second unit: an axis of its own, its ticks round in its own unit."""
        x, top, bottom = self.left - self.room - 4, field.top, field.top + field.tall
        low, high = (v * scale.factor + scale.plus for v in (field.ticks.low, field.ticks.high))
        all_ = round_ticks(low, high)
        inside = [v for v in all_ if low - 1e-6 <= v <= high + 1e-6]
        self.sheet.line((x, top), (x, bottom), "thin")
        if inside:
            shifted = Ticks(inside[0], inside[-1], all_.step)
            self._scale(scale.unit, shifted, _Turned(field, scale), x)

    def _band(self, band: Band, field: _Field) -> None:
        """Upright hatch between its two edges: no line of readings looks so, and a copier keeps it."""
        at = [self.x(t) for t, _, _ in band.points]
        low = [(x, field.y(v)) for x, (_, v, _) in zip(at, band.points, strict=True)]
        high = [(x, field.y(v)) for x, (_, _, v) in zip(at, band.points, strict=True)]
        strokes = [((x, _between(low, x)), (x, _between(high, x))) for x in _from(at[0], at[-1], HATCH)]
        self.sheet.segments(strokes, "hatch")
        self.sheet.run(low, "hatch")
        self.sheet.run(high, "hatch")

    def _lines(self, panel: Panel, field: _Field) -> None:
        """Levels first, so that a reading on one stays to be seen; each named at its end."""
        ends: list[tuple[float, Point, str]] = []
        for level in panel.levels:
            y = field.y(level.value)
            self.sheet.line((self.left, y), (self.right, y), "ring")
            ends.append((y, (self.right - 6, y), level.name))
        for n, line in enumerate(one for one in panel.lines if one.points):
            pen, mark = WORKED if line.worked else READING[n % len(READING)]
            points = [(self.x(t), field.y(v)) for t, v in thinned(line.points)]
            self.sheet.run(points, pen)
            self._marks(points, mark)
            ends.append((points[-1][1], points[-1], line.name))
        for y, tip, name in apart(sorted(ends), field.top + 8, field.top + field.tall):
            self._leader(tip, (self.right + 2, y))
            self.sheet.words(self.right + 6, y + 6, name, anchor="start")

    def _leader(self, tip: Point, name: Point) -> None:
        """Dotted, clear of what was read; none where the name stands right at the end of its line."""
        (x, y), (end, foot) = tip, name
        far = math.hypot(end - x, foot - y)
        if far <= 2 * CLEAR and abs(foot - y) <= BESIDE:
            return
        share = min(CLEAR / far, 0.4)
        self.sheet.raw(f'<path d="M{num(x + (end - x) * share)},{num(y + (foot - y) * share)}L{num(end)},{num(foot)}" {LEADER}/>')

    def _marks(self, points: Sequence[Point], mark: str) -> None:
        for x, y in points:
            if mark == "disc":
                self.sheet.circle((x, y), 4.5, "none", "ink")
            elif mark == "ring":
                self.sheet.circle((x, y), 4.5, "thin", "ground")
            elif mark == "square":
                self.sheet.rect(x - 4, y - 4, 8, 8, "thin", "ground")

    def _time(self, bottom: float) -> None:
        """Hours under the last panel; the day where it begins."""
        whole = all(h.hour == h.minute == 0 for h in self.hours)
        for h in self.hours:
            x = self.x(h)
            self.sheet.line((x, bottom), (x, bottom + 7), "edge")
            self.sheet.words(x, bottom + 26, f"{h:%d %b}" if whole else f"{h:%H:%M}")

    def _span(self, span: Span) -> None:
        """As a measure on a drawing: two strokes, an arrow between them, its name over it; hatched, so that a copier keeps it."""
        a, b, y = self.x(span.start), self.x(span.stop), self.strip + HEAD - 8
        top, foot = self.strip - 2, self.strip + HEAD + self.tall
        self.sheet.segments([((x, top), (x, foot)) for x in (a, b)], "thin")
        self.sheet.segments([((x, y), (min(x + 10, b), y - min(10, b - x))) for x in _from(a, b, 10)], "hatch")
        self.sheet.segments([((a, y), (b, y)), ((a, y - 10), (b, y - 10))], "hatch")
        wide = text_width(span.name, WORD, bold=True) / 2
        middle = min(max((a + b) / 2, self.left + wide), self.sheet.width - wide - 4)
        self.sheet.words(middle, self.strip - 8, span.name, bold=True)


class _Field:
    """The field of a panel: from a reading to px."""

    def __init__(self, panel: Panel, top: float, tall: float) -> None:
        values = [v for line in panel.lines for _, v in line.points] + [level.value for level in panel.levels]
        values += [v for _, low, high in panel.band.points for v in (low, high)] if panel.band else []
        self.ticks = round_ticks(min([*values, *([0.0] if panel.zero else [])]), max(values))
        self.top, self.tall = top, tall

    def y(self, value: float) -> float:
        """px of a reading, down the sheet."""
        return self.top + self.tall * (1 - (value - self.ticks.low) / (self.ticks.high - self.ticks.low))


class _Turned(_Field):
    """The same field, asked in the second unit."""

    def __init__(self, field: _Field, scale: Scale) -> None:
        self.ticks, self.top, self.tall, self.scale = field.ticks, field.top, field.tall, scale

    def y(self, value: float) -> float:
        """px of a value of the second unit."""
        return super().y((value - self.scale.plus) / self.scale.factor)


def _second(panel: Panel) -> Ticks:
    """The ticks of the second unit."""
    ticks, scale = _Field(panel, 0, 1).ticks, panel.other or Scale("", 1)
    return round_ticks(ticks.low * scale.factor + scale.plus, ticks.high * scale.factor + scale.plus)


def _widest(ticks: Ticks) -> float:
    """px that the figures of a scale need beside their axis, from it to the next one."""
    return max(text_width(figure(v, ticks.step), WORD) for v in ticks) + 12


def _between(line: Sequence[Point], x: float) -> float:
    """The height of a line at x, straight between its points."""
    for (x1, y1), (x2, y2) in pairwise(line):
        if x1 <= x <= x2 and x2 > x1:
            return y1 + (y2 - y1) * (x - x1) / (x2 - x1)
    return line[-1][1]


def _from(start: float, stop: float, step: float) -> Iterator[float]:
    for n in range(max(0, math.ceil((stop - start) / step))):
        yield start + n * step


def figure(value: float, step: float) -> str:
    """A tick's figure with as many places as its step has."""
    places = max(0, -math.floor(math.log10(step) + 1e-9))
    return f"{value:.{places}f}".replace("-", "−") if abs(value) > step / 2 else num(0.0)


def apart(ends: Sequence[tuple[float, Point, str]], top: float, bottom: float) -> list[tuple[float, Point, str]]:
    """The names at the ends of lines, no two on one another: pushed down from the top, then back up where they leave the field."""
    placed = list(ends)
    for n, (y, tip, name) in enumerate(placed):
        placed[n] = (max(y, placed[n - 1][0] + LINE if n else top), tip, name)
    for n in range(len(placed) - 1, -1, -1):
        y, tip, name = placed[n]
        placed[n] = (min(y, placed[n + 1][0] - LINE if n + 1 < len(placed) else bottom), tip, name)
    return placed


def thinned(points: Sequence[tuple[datetime, float]], most: int = MOST_POINTS) -> list[tuple[datetime, float]]:
    """All readings of a line; of more than `most` the lowest and the highest of each stretch, and the first and last of all."""
    if len(points) <= most:
        return list(points)
    size = math.ceil(len(points) / (most // 2))
    kept = {0, len(points) - 1}
    for start in range(0, len(points), size):
        stretch = range(start, min(start + size, len(points)))
        kept |= {min(stretch, key=lambda n: points[n][1]), max(stretch, key=lambda n: points[n][1])}
    return [points[n] for n in sorted(kept)]
