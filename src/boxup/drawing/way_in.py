"""The bundle at the mouth of its shell at a few moments of its way: what holds it, where its weight is, where it bears."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.drawing.svg import WORD, Sheet, num, text_width, wrap

EDGE, HOOK, ROW, FOOT = 14.0, 58.0, 26.0, 52.0  # px
FLANGE = 16.0


@dataclass(frozen=True, slots=True)
class Moment:
    """metres: in the shell. said: the line over it. holds: (place from the front of the bundle, m; words). bears: words at the mouth."""

    metres: float
    said: str
    holds: tuple[tuple[float, str], ...]
    bears: str = ""


@dataclass(frozen=True, slots=True)
class WayIn:
    """A bundle and its shell. Metres from the outer face of the stationary tubesheet, rearward +.

    length: of the straight tubes; baffles: where they stand; front_radius, rear_radius: of the tubesheets; body: of the baffles; shell:
    bore radius; rider: length of a channel that rides in front, or 0; head: length of a floating head behind, or 0; bends: U-tubes.
    """

    tag: str
    title: str
    length: float
    gravity: float
    baffles: tuple[float, ...]
    moments: tuple[Moment, ...]
    front_radius: float
    rear_radius: float
    body: float
    shell: float
    rider: float = 0.0
    head: float = 0.0
    bends: bool = False
    width: int = 640


def way_in(v: WayIn) -> str:
    """SVG, a strip for each moment. ValueError where there is none."""
    if not v.moments:
        raise ValueError(f"{v.tag}: a drawing of its way needs at least one moment")
    return _Way(v).text()


class _Way:
    def __init__(self, v: WayIn) -> None:
        self.v = v
        ends = v.head or (v.body if v.bends else 0.0)
        self.outside = v.length - min(m.metres for m in v.moments) + v.rider
        inside = max(m.metres for m in v.moments) + ends
        self.k = (v.width - 2 * EDGE) / (self.outside + inside)
        said = "; ".join(f"{m.said} {', '.join(words for _, words in m.holds)} {m.bears}".strip() for m in v.moments)
        self.sheet = Sheet(v.width, 100, f"{v.tag}: {v.title}", said)
        self.mouth = EDGE + self.outside * self.k

    def text(self) -> str:
        """The finished SVG."""
        y = 6.0
        for n, moment in enumerate(self.v.moments, start=1):
            y = self._strip(n, moment, y)
        self.sheet.height = round(y)
        return self.sheet.text()

    def _strip(self, n: int, m: Moment, y: float) -> float:
        """One moment from y down; where the next begins."""
        v, k = self.v, self.k
        for line in wrap(f"{n}. {m.said}", 20, v.width - 2 * EDGE, bold=True):
            y += ROW
            self.sheet.words(EDGE, y - 6, line, 20, anchor="start", bold=True)
        high = max(v.front_radius, v.shell) * k
        axis = y + HOOK + high
        front = self.mouth - (v.length - m.metres) * k
        self._shell(axis)
        self._bundle(front, axis)
        self._weight(front + v.gravity * k, axis)
        self._holds(m, front, axis, y)
        foot = axis + high + FLANGE
        if m.bears:
            self._bears(m.bears, axis + v.shell * k, foot)
        return foot + FOOT

    def _shell(self, axis: float) -> None:
        """From the mouth to the edge of the sheet, broken off there."""
        s, half, right = self.sheet, self.v.shell * self.k, self.v.width - EDGE / 2
        for side in (-1, 1):
            y = axis + side * half
            s.line((self.mouth, y), (right, y), "mid")
            s.line((self.mouth, y), (self.mouth, y + side * FLANGE), "thick")

    def _bundle(self, x: float, axis: float) -> None:
        s, v, k = self.sheet, self.v, self.k
        end, body = x + v.length * k, v.body * k
        for share in (-0.8, -0.4, 0.0, 0.4, 0.8):
            s.line((x, axis + share * body), (end, axis + share * body), "thin")
        s.segments((((x + b * k, axis - body), (x + b * k, axis + body)) for b in v.baffles), "edge")
        s.rect(x, axis - v.front_radius * k, max(6.0, 0.08 * k), 2 * v.front_radius * k, "edge", "ground")
        if v.rider:
            s.rect(x - v.rider * k, axis - v.front_radius * k, v.rider * k, 2 * v.front_radius * k, "edge", "ground")
        if v.bends:
            for share in (0.4, 0.8):
                bend = num(body * share)
                s.path(f"M{num(end)},{num(axis - body * share)}A{bend},{bend} 0 0 1 {num(end)},{num(axis + body * share)}", "thin")
        else:
            s.rect(end - 6, axis - v.rear_radius * k, 6, 2 * v.rear_radius * k, "edge", "ground")
        if v.head:
            r, wide = v.rear_radius * k, v.head * k
            s.path(f"M{num(end)},{num(axis - r)}A{num(wide)},{num(r)} 0 0 1 {num(end)},{num(axis + r)}Z", "edge", "ground")

    def _weight(self, x: float, axis: float) -> None:
        """The centre of gravity: a circle in quarters."""
        r = 9.0
        self.sheet.circle((x, axis), r, "edge", "ground")
        for way in (-1, 1):
            self.sheet.path(f"M{num(x)},{num(axis)}V{num(axis + way * r)}A{r},{r} 0 0 1 {num(x - way * r)},{num(axis)}Z", "none", "ink")

    def _holds(self, m: Moment, front: float, axis: float, top: float) -> None:
        """Slings: a band round the bundle, a line up, what it carries beside it."""
        s, body = self.sheet, self.v.body * self.k
        for at, words in m.holds:
            x = front + at * self.k
            high = self.v.front_radius * self.k if at < 0.05 else body
            s.line((x, axis - high), (x, top + 10), "thick")
            s.circle((x, top + 10), 5, "edge", "ground")
            if at >= 0.05:
                s.rect(x - 5, axis - body - 3, 10, 2 * body + 6, "edge", "ground")
            if words:
                wide = text_width(words, WORD, bold=True)
                self._words(x + 14 + wide / 2 if x + 18 + wide <= self.v.width else x - 14 - wide / 2, top + 26, words)

    def _bears(self, words: str, foot: float, y: float) -> None:
        """The arrow at the mouth, and under it what bears there, kept within the sheet."""
        s, x = self.sheet, self.mouth
        s.line((x + 8, y + 14), (x + 8, foot + 10), "edge")
        s.arrow((x + 8, foot + 2), (x + 8, y + 16))
        self._words(x + 8, y + 34, words)

    def _words(self, x: float, y: float, words: str) -> None:
        """Words about x, moved as far as the edges of the sheet ask."""
        half = text_width(words, WORD, bold=True) / 2 + 4
        self.sheet.words(min(max(x, half), self.v.width - half), y, words, bold=True)
