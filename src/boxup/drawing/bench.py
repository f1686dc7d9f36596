"""The bundle out of its shell, on supports, for the test of its floating head: a test head on the stationary tubesheet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from boxup.drawing import inside
from boxup.drawing.frame import GAP, Frame, frame_of
from boxup.drawing.front import front_end
from boxup.drawing.half import Half
from boxup.drawing.part import End, Shape, Spot, both, dome, dome_points, rect
from boxup.drawing.rear import rear_end
from boxup.drawing.svg import WORD, Point, Sheet, wrap
from boxup.exchanger.model import Exchanger

MARGIN, BETWEEN, LINE = 10.0, 26.0, 22.0  # px
TIMBER = 150.0  # mm, a support as drawn
HEAD_NOTE = "The test head and the supports are drawn as such things are; the site's own may look different."
NO_HEAD = "What closes the front of the bundle is not drawn: channel and tubesheet are one piece; fitted is what the list below says."


def bench(exchanger: Exchanger, *, pressure: str = "", width: int = 860, narrow: bool = False) -> str:
    """SVG of the bare bundle under test, lying, whatever way the exchanger stands; `pressure` in words, `width` in px.

    narrow: its two ends one above the other. Raises ValueError for letters whose floating head has no such test.
    """
    if exchanger.letters.rear != "T":
        raise ValueError(f"a bench test of the floating head is drawn for a pull-through head, rear T, not for {exchanger.letters.short}")
    return _Bench(frame_of(exchanger), pressure, width, narrow).draw()


class _Bench:
    def __init__(self, f: Frame, pressure: str, width: int, narrow: bool) -> None:
        self.f, self.pressure, self.narrow = f, pressure, narrow
        self.ends = (front_end(f, []), rear_end(f, []))
        self.spot = next((s for s in self.ends[0].spots if s.x1 == -f.sheet), None)  # front face of the tubesheet
        self.front = None if f.one_piece or self.spot is None else self.spot
        self.head = next(p for p in self.ends[1].parts if p.name == "floating head")
        tall = max(f.sheet_r, self.front.bolts[0] + self.front.bolts[1] * 1.4 if self.front else 0.0)
        self.radius, self.ground = tall, tall + 110.0
        self.sheet = Sheet(width, 100, f"{f.exchanger.identity.tag}: the bundle on the ground, under test", self._desc())

    def draw(self) -> str:
        y = MARGIN + LINE
        for row in self._rows():
            scale = row[0].scale
            for half in row:
                self._half(replace(half, axis=y + self.radius * scale + 4))
            y += (self.radius + self.ground) * scale + 2 * LINE + (LINE if self.narrow else 0)
        for line in (t for note in self._notes() for t in wrap(note, WORD, self.sheet.width - 2 * MARGIN - 8)):
            self.sheet.words(MARGIN + 4, y, line, anchor="start")
            y += LINE
        self.sheet.height = round(y + MARGIN)
        return self.sheet.text()

    def _desc(self) -> str:
        fitted = "The test head on its stationary tubesheet, " if self.front else ""
        said = f"{fitted}the floating head on its floating tubesheet".capitalize()
        pressed = f" Tube side under pressure, {self.pressure}." if self.pressure else ""
        return f"The bare bundle on supports, out of the shell; channel, shell and their nozzles are not there. {said}.{pressed}"

    def _notes(self) -> Iterator[str]:
        if self.pressure:
            yield f"Tube side under pressure, {self.pressure}."
        yield HEAD_NOTE if self.front else NO_HEAD

    # ------------------------------------------------------------------ where the two ends stand

    def _rows(self) -> list[list[Half]]:
        f = self.f
        reach, width = f.bore * (1.5 if self.narrow else 2.0), self.sheet.width - 2 * MARGIN
        low = -f.sheet - (GAP + f.bore * 0.5 + 60 if self.front else 60)
        high = max(s[1] for shape in self.head.shapes for s in shape.steps) + f.bore * 0.5 + 30
        spans = ((low, min(reach, f.far * 0.4)), (max(f.far - reach * 0.8, f.far * 0.6), high))
        long = max(b - a for a, b in spans) if self.narrow else sum(b - a for a, b in spans)
        scale = (width - (0 if self.narrow else BETWEEN)) / long
        halves: list[Half] = []
        left = MARGIN
        for a, b in spans:
            at = MARGIN + width - (b - a) * scale if self.narrow and halves else left
            halves.append(Half(self.sheet, a, b, at, 0.0, scale))
            left += (b - a) * scale + BETWEEN
        return [[half] for half in halves] if self.narrow else [halves]

    # ------------------------------------------------------------------ one end

    def _half(self, half: Half) -> None:
        f, front = self.f, half.start < 0
        self._support(half, f.bore * 0.62 if front else f.far - f.bore * 0.5)
        span = (half.start, half.stop)
        for shapes in (inside.baffles, inside.tubes, inside.long_plates):
            half.paint(shapes(f, *span))
        end = self.ends[0 if front else 1]
        half.paint(s for p in end.parts if p.name == "bundle" for s in p.shapes)
        if front:
            self._test_head(half)
        else:
            self._floating_head(half, end)
        half.zigzag(half.stop if front else half.start, f.bore + 45)

    def _support(self, half: Half, x: float) -> None:
        """A support with its saddle under the baffles, on the ground."""
        top = -self.f.bore
        half.paint([rect("metal", x - TIMBER / 2, top, x + TIMBER / 2, -self.ground)])
        half.paint([rect("wall", x - TIMBER * 0.7, top, x + TIMBER * 0.7, top - 18)])
        self.sheet.line(half.at((half.start, -self.ground)), half.at((half.stop, -self.ground)), "mid")
        self._name(half, x, -self.ground, "support", under=True)

    def _test_head(self, half: Half) -> None:
        spot = self.front
        if spot is None:
            return
        f, (_, _, face, back) = self.f, spot.bolts
        inner, out = f.limit + (spot.ring[0] - f.limit) * 0.6, spot.bolts[0] + spot.bolts[1] * 1.15
        ring = both(rect("metal", 0.0, f.bore, back, out))
        shapes: list[Shape] = [*both(rect("metal", face, inner, -f.sheet - GAP, out)), dome(face, inner, f.wall * 1.4, inner * 0.5, -1)]
        outline = [(-f.sheet, inner), *dome_points(face, inner, inner * 0.5, -1), (-f.sheet, -inner)]
        self._closed(half, [*ring, *shapes], spot, outline)
        self._name(half, face - inner * 0.2, self.radius, "test head")

    def _floating_head(self, half: Half, end: End) -> None:
        spot = next(s for s in end.spots if "floating head" in s.parts)
        outline = next(r.outline for r in end.rooms if r.part == "floating head")
        self._closed(half, list(self.head.shapes), spot, list(outline))
        self._name(half, spot.x1 + self.f.bore * 0.15, self.f.far_r, "floating head")

    def _closed(self, half: Half, shapes: list[Shape], spot: Spot, room: list[Point]) -> None:
        half.void(room)
        half.paint(shapes)
        if self.pressure:
            half.hatch(room)
        half.gasket(replace(spot, ribs=()) if half.start < 0 else spot)  # a test head has no pass plates
        half.studs(spot)

    def _name(self, half: Half, x: float, y: float, words: str, under: bool = False) -> None:
        self.sheet.words(half.x(x), half.y(y) + (20 if under else -10), words)
