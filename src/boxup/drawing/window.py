"""The chart of limits of one joint: how far its studs may be pulled, who says so, and what is left between.

A row a limit, hatched where it forbids: low limits from the left up to their value, high ones from theirs to the right, the two that
govern next to the strip between them. The strip is hatched by both ends at once: what stays clear is the window. It judges nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Literal

from boxup.core.rounding import between, both
from boxup.core.unit import UNITS
from boxup.drawing.chart import Ticks, figure, round_ticks
from boxup.drawing.hatch import hatch
from boxup.drawing.place import Box, text_box
from boxup.drawing.stop import stop_line
from boxup.drawing.svg import WORD, Point, Sheet, text_width, wrap
from boxup.joint.assembly import JointAnswer

End = Literal["low", "high"]
ROOMY = 700  # px: from here the names have a column of their own
EDGE, LINE = 6.0, 22.0  # px: free at the sides; from foot to foot of two lines of words
BAR, STRIP, BETWEEN = 14.0, 40.0, 12.0  # px: a row's bar; the strip of what is left; between two rows
COLUMN, UNIT = 300.0, 48.0  # px: room of a name in its column; of the word of a unit left of its axis
SCALE = (("MPa", 1.0), ("ksi", UNITS["MPa"].to_si(1.0) / UNITS["ksi"].to_si(1.0)))  # sign, how many to a MPa
DROP = {"target": "ring", "yield": "hidden", "end": "thin"}


@dataclass(frozen=True, slots=True)
class Bar:
    """One limit on the stud stress, Pa: which end of the window, who sets it, and whether no other is tighter."""

    end: End
    name: str
    value: float
    governs: bool = False


@dataclass(frozen=True, slots=True)
class ChartWords:
    """What the chart says, in the language of its page. `{low}` and so on are stresses in both unit systems."""

    window: str = "window {window}"
    to: str = "to"
    overlap: str = "at least {low}, at most {high}: no room between"
    no_load: str = "No stud load satisfies every limit"
    from_low: str = "at least {low}; the other end is not known"
    to_high: str = "at most {high}; the other end is not known"
    target: str = "target {target}"
    of_yield: str = "{share} % of yield"
    yield_: str = "yield of the stud {yield_}"
    governs: str = "governs"
    off_scale: str = "off the scale"
    axis: str = "stud stress"


@dataclass(frozen=True, slots=True)
class WindowChart:
    """What is drawn; stresses in Pa on one and the same area of the stud.

    `lower`, `upper`: ends of the window, None where not known. `stop`: no load satisfies the limits given for this very joint. `width`: px;
    names stand in a column of their own from 700 px, over their bars below that.
    """

    title: str
    bars: tuple[Bar, ...]
    lower: float | None
    upper: float | None
    target: float | None = None
    yield_: float | None = None
    stop: bool = False
    width: int = 560
    words: ChartWords = field(default_factory=ChartWords)


def window_chart(given: WindowChart) -> str:
    """The SVG. ValueError without a limit."""
    if not given.bars:
        raise ValueError("a chart of limits needs at least one limit")
    return _Chart(given).text()


def ordered(bars: Sequence[Bar]) -> tuple[tuple[Bar, ...], tuple[Bar, ...]]:
    """Low limits with the highest last, high ones with the lowest first: the two that govern stand on either side of the strip."""
    low = sorted((b for b in bars if b.end == "low"), key=lambda b: (b.value, b.governs))
    return tuple(low), tuple(sorted((b for b in bars if b.end == "high"), key=lambda b: (b.value, not b.governs)))


def scale_end(given: WindowChart) -> Ticks:
    """Round MPa from 0 past the yield, the target and both ends of the window; a limit far above them is off the scale."""
    known = [x for x in (given.lower, given.upper, given.target, given.yield_) if x is not None]
    return round_ticks(0.0, max(*(UNITS["MPa"].from_si(x) for x in known), 1.0) * 1.05 if known else _least(given), 5)


def _least(given: WindowChart) -> float:
    return max(1.0, *(UNITS["MPa"].from_si(b.value) * 1.2 for b in given.bars))


def chart_of(a: JointAnswer, title: str, words: ChartWords | None = None, say: Callable[[str], str] = str) -> WindowChart:
    """The chart of a joint, its names said in the language of its page. ValueError for one without a limit."""
    found = a.window
    if found is None or not found.limits:
        raise ValueError(f"{a.joint} has no limit to draw")
    steps = found.working.steps
    ends = {"low": found.governing_low, "high": found.governing_high}
    bars = tuple(Bar(x.end, say(x.who), x.step.si, x.who == ends[x.end]) for x in found.limits)
    target, top = (steps[s].si if s in steps else None for s in ("S_b", "S_y"))
    low, high = (end.si if end else None for end in (found.lower, found.upper))
    return WindowChart(title, bars, low, high, target, top, found.impossible, words=words or ChartWords())


class _Chart:
    """Where everything stands, and the drawing of it."""

    def __init__(self, given: WindowChart) -> None:
        self.given, self.words = given, given.words
        self.roomy = given.width >= ROOMY
        self.ticks = scale_end(given)
        self.values = {b: _stress(b.value) for b in given.bars}
        self.left = EDGE + COLUMN + 14 + max(text_width(v, WORD, bold=True) for v in self.values.values()) if self.roomy else EDGE + UNIT
        self.right = given.width - 26.0
        self.sheet = Sheet(given.width, 100, given.title, self._desc())
        self.said: list[Box] = []  # words that no line may cross
        self.low, self.high = ordered(given.bars)

    def text(self) -> str:
        """The finished SVG."""
        y = 8.0 + stop_line(self.sheet, self.words.no_load if self.given.stop else "", self.given.width)
        y, drops = self._levels(y)
        for bar in self.low:
            y = self._row(bar, y)
        y = self._strip(y)
        for bar in self.high:
            y = self._row(bar, y)
        foot = self._axes(y)
        for x, top, pen in drops:
            self._drop(x, top, y, pen)
        self.sheet.height = round(foot)
        return self.sheet.text()

    def x(self, si: float) -> float:
        """px of a stress, no further than the two ends of the scale."""
        share = UNITS["MPa"].from_si(si) / self.ticks.high
        return self.left + (self.right - self.left) * min(max(share, 0.0), 1.0)

    def _off(self, bar: Bar) -> bool:
        return UNITS["MPa"].from_si(bar.value) > self.ticks.high

    # ------------------------------------------------------------------ words

    def _desc(self) -> str:
        """The chart for who cannot see it."""
        said = [self._left_words()]
        said += [f"{b.name}: {self.values[b]}{f', {self.words.governs}' if b.governs else ''}" for b in self.given.bars]
        said += [words for _, words, _ in self._lines()]
        return "; ".join(said).replace("\u00a0", " ") + "."

    def _left_words(self) -> str:
        """What is left between the two ends."""
        w, low, high = self.words, self.given.lower, self.given.upper
        if low is not None and high is not None:
            if low <= high * (1 + 1e-12):
                return w.window.format(window=_kept(between("stress", low, high, w.to)))
            said = w.overlap.format(low=_stress(low), high=_stress(high))
            return said if self.given.stop else f"{w.no_load}: {said}"
        return w.from_low.format(low=_stress(low)) if low is not None else w.to_high.format(high=_stress(high or 0.0))

    def _lines(self) -> Iterator[tuple[float, str, str]]:
        """Yield and target: where, in words, and with what line."""
        top, target, w = self.given.yield_, self.given.target, self.words
        if top is not None:
            yield top, w.yield_.format(yield_=_stress(top)), DROP["yield"]
        if target is not None:
            share = f", {_kept(w.of_yield.format(share=f'{target / top * 100:.0f}'))}" if top else ""
            yield target, w.target.format(target=_stress(target)) + share, DROP["target"]

    def _say(self, x: float, y: float, lines: Sequence[str], anchor: str = "start", bold: bool = False) -> None:
        """One sentence on as many lines as it takes; no line of the chart crosses it."""
        with self.sheet.group(sentence="yes"):
            for n, line in enumerate(lines):
                self.sheet.words(x, y + n * LINE, line, anchor=anchor, bold=bold)
                self.said.append(text_box(x, y + n * LINE, line, WORD, anchor, bold))

    # ------------------------------------------------------------------ what runs right through

    def _levels(self, y: float) -> tuple[float, list[tuple[float, float, str]]]:
        """The words of yield and target over their lines, an arrow under each; (where the rows begin, the lines still to be drawn)."""
        drops = []
        for value, words, pen in self._lines():
            x, bold = self.x(value), pen == DROP["target"]
            lines = wrap(words, WORD, self.sheet.width - 2 * EDGE, bold=bold)
            half = max(text_width(line, WORD, bold=bold) for line in lines) / 2
            self._say(min(max(x, EDGE + half), self.sheet.width - EDGE - half), y + LINE - 4, lines, "middle", bold=bold)
            y += LINE * len(lines)
            if bold:
                self.sheet.arrow((x, y + 14), (x, y), 14)
                y += 14
            drops.append((x, y, pen))
        return y + 8, drops

    def _drop(self, x: float, top: float, foot: float, pen: str) -> None:
        """A line down the chart that no word lies on."""
        at = top
        for box in sorted((b for b in self.said if b.left - 4 < x < b.right + 4 and b.bottom > top and b.top < foot), key=lambda b: b.top):
            if box.top - 2 > at:
                self.sheet.line((x, at), (x, box.top - 2), pen)
            at = max(at, box.bottom + 1)
        if foot > at:
            self.sheet.line((x, at), (x, foot), pen)

    # ------------------------------------------------------------------ a limit

    def _row(self, bar: Bar, y: float) -> float:
        """Its words, then its bar under them; in a roomy chart beside them. Gives where the next row begins."""
        more = (f", {self.words.off_scale}" if self._off(bar) else "") + (f", {self.words.governs}" if bar.governs else "")
        if self.roomy:
            lines = wrap(bar.name + more, WORD, COLUMN, bold=bar.governs)
            self._say(EDGE, y + 16, lines, bold=bar.governs)
            self._say(self.left - 10, y + 16, [self.values[bar]], "end", bold=bar.governs)
            self._bar(bar, y + 3)
            return y + LINE * len(lines) + 8
        x, anchor = (EDGE, "start") if bar.end == "low" else (self.sheet.width - EDGE, "end")
        lines = wrap(f"{bar.name} {self.values[bar]}{more}", WORD, self.sheet.width - 2 * EDGE, bold=bar.governs)
        self._say(x, y + 16, lines, anchor, bold=bar.governs)
        y += LINE * len(lines) + 3
        self._bar(bar, y)
        return y + BAR + BETWEEN

    def _bar(self, bar: Bar, y: float) -> None:
        x, low = self.x(bar.value), bar.end == "low"
        if self._off(bar) and not low:
            self.sheet.line((self.right - 34, y + BAR / 2), (self.right - 8, y + BAR / 2), "edge")
            self.sheet.arrow((self.right, y + BAR / 2), (self.right - 20, y + BAR / 2), 16)
            return
        a, b = (self.left, x) if low else (x, self.right)
        self._forbidden(a, b, y, y + BAR, bar.end)
        for edge in (y, y + BAR):
            self.sheet.line((a, edge), (b, edge), "mid" if bar.governs else "thin")
        over = 4.0 if bar.governs else 0.0
        self.sheet.line((x, y - over), (x, y + BAR + over), "thick" if bar.governs else "mid")

    def _forbidden(self, a: float, b: float, top: float, foot: float, end: End) -> None:
        """Hatched, low limits one way and high ones the other: where both forbid, the lines cross."""
        if b - a < 1:
            return
        if end == "low":
            self.sheet.segments(hatch(_box(a, b, top, foot)), "hatch")
        else:
            self.sheet.segments(_turned(hatch(_box(-b, -a, top, foot))), "hatch")

    # ------------------------------------------------------------------ what is left

    def _strip(self, y: float) -> float:
        """Both ends at once: hatched below the lower and over the upper; clear between them, or hatched both ways where they overlap."""
        low, high, beside = self.given.lower, self.given.upper, self.roomy
        lines = wrap(self._left_words(), WORD, COLUMN + 150 if beside else self.sheet.width - 2 * EDGE, bold=True)
        tall = max(STRIP, LINE * len(lines) + 6) if beside else STRIP
        self._say(EDGE, y + 22 + (max(0.0, STRIP - LINE * len(lines)) / 2 - 4 if beside else 0), lines, bold=True)
        y += 4 if beside else 9 + LINE * len(lines)
        if low is not None:
            self._forbidden(self.left, self.x(low), y, y + tall, "low")
        if high is not None:
            self._forbidden(self.x(high), self.right, y, y + tall, "high")
        self.sheet.rect(self.left, y, self.right - self.left, tall, "mid")
        ends = [self.x(e) for e in (low, high) if e is not None]
        self.sheet.segments([((x, y), (x, y + tall)) for x in ends], "thick")
        return y + tall + BETWEEN

    def _axes(self, y: float) -> float:
        """A scale for each unit system, each with round figures of its own."""
        for sign, factor in SCALE:
            ticks = self.ticks if factor == 1.0 else round_ticks(0.0, self.ticks.high * factor, 5)
            inside = [v for v in ticks if v <= self.ticks.high * factor * (1 + 1e-9)]
            at = [(v, self.left + (self.right - self.left) * v / (self.ticks.high * factor)) for v in inside]
            self.sheet.line((self.left, y), (self.right, y), "edge")
            self.sheet.segments([((x, y), (x, y + 8)) for _, x in at], "edge")
            for v, x in at:
                self.sheet.words(x, y + 25, figure(v, ticks.step))
            self.sheet.words(self.left - 14, y + 25, self._unit(sign), anchor="end", bold=True)
            y += 40
        if not self.roomy:
            self.sheet.words(self.sheet.width / 2, y + 12, self.words.axis)
            y += 20
        return y

    def _unit(self, sign: str) -> str:
        return f"{self.words.axis}, {sign}" if self.roomy else sign


def _stress(si: float) -> str:
    """In both unit systems, on one line."""
    return _kept(both("stress", si))


def _kept(words: str) -> str:
    """On one line, wherever it is wrapped."""
    return words.replace(" ", "\u00a0")


def _box(a: float, b: float, top: float, foot: float) -> tuple[Point, ...]:
    return (a, top), (b, top), (b, foot), (a, foot)


def _turned(pairs: Iterable[tuple[Point, Point]]) -> list[tuple[Point, Point]]:
    """The other way round, left for right."""
    return [((-x1, y1), (-x2, y2)) for (x1, y1), (x2, y2) in pairs]
