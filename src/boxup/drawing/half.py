"""One half view of the section on the sheet: mm to px, and the painting of its shapes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby, pairwise
from math import cos, pi, sin

from boxup.drawing.hatch import hatch
from boxup.drawing.part import Shape, Spot
from boxup.drawing.place import Box
from boxup.drawing.svg import Point, Sheet, num


@dataclass(frozen=True, slots=True)
class Half:
    """x from `start` to `stop` mm lies from `left` px on, `scale` px a mm, the axis at `axis` px."""

    sheet: Sheet
    start: float
    stop: float
    left: float
    axis: float
    scale: float

    def x(self, mm: float) -> float:
        """px across."""
        return self.left + (mm - self.start) * self.scale

    def y(self, mm: float) -> float:
        """px down for a height over the axis."""
        return self.axis - mm * self.scale

    def at(self, p: Point) -> Point:
        """A point in px."""
        return self.x(p[0]), self.y(p[1])

    def path(self, shape: Shape) -> str:
        """The outline in px as SVG path data."""
        out: list[str] = []
        for i, s in enumerate(shape.steps):
            here = f"{num(self.x(s[1]))},{num(self.y(s[2]))}"
            if len(s) == 3:
                out.append(("L" if i else "M") + here)
            else:
                out.append(f"A{num(s[3] * self.scale)},{num(s[4] * self.scale)} 0 {s[5]} {s[6]} {here}")
        return "".join(out) + ("Z" if shape.closed else "")

    def paint(self, shapes: Iterable[Shape], phantom: bool = False) -> None:
        """Each shape in its own manner, or all as phantom lines."""
        for solid, run in groupby(shapes, lambda shape: shape.kind in ("wall", "ink") and not phantom):
            if solid:
                paths = "".join(f'<path d="{self.path(shape)}"/>' for shape in run)
                self.sheet.raw(f'<g stroke-width="1" fill="currentColor">{paths}</g>')
                continue
            for shape in run:
                self._outline(shape, phantom)

    def _outline(self, shape: Shape, phantom: bool) -> None:
        d = self.path(shape)
        if phantom:
            self._phantom(shape)
        elif shape.kind == "metal":
            self.sheet.path(d, "edge", "ground")
        elif shape.kind == "tube":
            self.tube(shape, d)
        else:
            self.sheet.path(d, "thin")

    def tube(self, shape: Shape, d: str) -> None:
        """Two lines, or one where two would run together."""
        box = self.box(shape)
        if len(shape.steps) > 4:
            self._bend(shape, d)
        elif box.bottom - box.top >= 6:
            self.sheet.path(d, "none", "ground")
            self.sheet.segments((((box.left, y), (box.right, y)) for y in (box.top, box.bottom)), "thin")
        else:
            y = (box.top + box.bottom) / 2
            self.sheet.line((box.left, y), (box.right, y), "thin")

    def _bend(self, shape: Shape, d: str) -> None:
        outer, inner = abs(shape.steps[0][2]), abs(shape.steps[4][2])
        rows = (outer, inner) if (outer - inner) * self.scale >= 6 else ((outer + inner) / 2,)
        if len(rows) == 2:
            self.sheet.path(d, "none", "ground")
        low, tangent = shape.steps[0][1], shape.steps[1][1]
        for r in rows:
            a, b = self.at((low, r)), self.at((low, -r))
            t, n = num(self.x(tangent)), num(r * self.scale)
            self.sheet.path(f"M{num(a[0])},{num(a[1])}H{t}A{n},{n} 0 0 1 {t},{num(b[1])}H{num(b[0])}", "thin")

    def _phantom(self, shape: Shape) -> None:
        """Outline in phantom line; a thin cut wall is one line along its middle."""
        box = self.box(shape)
        wide, tall = box.right - box.left, box.bottom - box.top
        pen = "phantom" if wide + tall > 60 else "ring"
        straight = shape.straight
        if shape.kind != "wall" or (straight and min(wide, tall) >= 9):
            self.sheet.path(self.path(shape), pen)
        elif straight:
            x, y = (box.left + box.right) / 2, (box.top + box.bottom) / 2
            self.sheet.line(*(((box.left, y), (box.right, y)) if wide > tall else ((x, box.top), (x, box.bottom))), pen)
        else:
            self.sheet.path(self.path(Shape("bare", shape.steps[: len(shape.steps) // 2], closed=False)), pen)

    def box(self, shape: Shape) -> Box:
        """The ground a shape covers, px (its corners: an arc bulges out of it)."""
        xs, ys = [self.x(s[1]) for s in shape.steps], [self.y(s[2]) for s in shape.steps]
        return Box(min(xs), min(ys), max(xs), max(ys))

    def bows(self, shape: Shape) -> Iterator[Box]:
        """The ground along the half round ends of a shape, px, piece by piece."""
        for before, s in pairwise(shape.steps):
            if len(s) == 7:
                way = 1 if (s[6] == 1) == (s[2] < before[2]) else -1
                middle, half = (before[2] + s[2]) / 2, abs(before[2] - s[2]) / 2
                at = [(s[1] + way * s[3] * sin(pi * i / 16), middle + half * cos(pi * i / 16)) for i in range(17)]
                for a, b in pairwise([self.at(q) for q in at]):
                    yield Box(min(a[0], b[0]) - 2, min(a[1], b[1]), max(a[0], b[0]) + 2, max(a[1], b[1]))

    def hatch(self, outline: Iterable[Point], gap: Box | None = None) -> None:
        """Hatch a room, leaving `gap` (px) free."""
        self.sheet.segments(hatch([self.at(p) for p in outline], gap), "hatch")

    def void(self, outline: Iterable[Point]) -> None:
        """Nothing behind shows through here."""
        self.sheet.run([self.at(p) for p in outline], "none", "ground", close=True)

    def zigzag(self, x: float, over: float, under: float | None = None) -> None:
        """The break line at x, `over` mm up from the axis and `under` mm down, where that is not the same."""
        c, tall, deep, z = self.x(x), over * self.scale, (over if under is None else under) * self.scale, 12.0
        steps = ((0, -tall), (0, -z * 1.5), (-z / 2, -z / 2), (z / 2, z / 2), (0, z * 1.5), (0, deep))
        self.sheet.run([(c + dx, self.axis + dy) for dx, dy in steps], "thin")

    def gasket(self, spot: Spot) -> None:
        """A gasket in its gap: short thick lines where the section cuts it, ribs included."""
        wide = max(4.0, (spot.x1 - spot.x0) * self.scale - 1)
        middle = self.x((spot.x0 + spot.x1) / 2)
        r_in, r_out = spot.ring
        tall = max((r_out - r_in) * self.scale, 9.0)
        levels = [s * (r_in + r_out) / 2 for s in (1, -1)] + list(spot.ribs)
        for level in (spot.axis + v for v in levels):
            self.sheet.raw(
                f'<rect x="{num(middle - wide / 2)}" y="{num(self.y(level) - tall / 2)}" width="{num(wide)}" height="{num(tall)}" '
                'fill="currentColor" stroke="none"/>'
            )

    def studs(self, spot: Spot) -> None:
        """The stud above and below with its nuts; thin ones as thick as a copier needs, so that no bolted joint is drawn bare."""
        radius, d, x0, x1 = spot.bolts
        if d <= 0:
            return
        d = max(d, 3.2 / self.scale)
        shank, nut_high, nut = d * self.scale * 0.62, d * self.scale * 1.55, d * 0.9
        for s in (1, -1):
            y = self.y(spot.axis + s * radius)
            out = d * 0.35
            a, b = self.x(x0 if spot.tapped else x0 - nut - out), self.x(x1 + nut + out)
            self.sheet.raw(f'<path d="M{num(a)},{num(y)}H{num(b)}" stroke-width="{num(max(shank, 2))}"/>')
            for x in (x1,) if spot.tapped else (x0 - nut, x1):
                self.sheet.raw(
                    f'<rect x="{num(self.x(x))}" y="{num(y - nut_high / 2)}" width="{num(nut * self.scale)}" height="{num(nut_high)}" '
                    'fill="currentColor" stroke="none"/>'
                )
