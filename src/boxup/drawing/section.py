"""The exchanger in section, from its own letters and dimensions: ends in proportion, the tube length cut by a break line."""

from __future__ import annotations

from dataclasses import dataclass, field

from boxup.core.quantity import Quantity
from boxup.drawing import balloon as ball
from boxup.drawing import inside, pressure
from boxup.drawing import nozzle as noz
from boxup.drawing.assembly import Assembly, Stretch
from boxup.drawing.blind import STICKS_OUT
from boxup.drawing.described import describe, looks_of
from boxup.drawing.frame import APART
from boxup.drawing.half import Half
from boxup.drawing.labels import cover, label
from boxup.drawing.mouth import mouth
from boxup.drawing.part import Spot, moved
from boxup.drawing.place import Box, Ground, along, spread, text_box
from boxup.drawing.stop import stop_line
from boxup.drawing.svg import WORD, Point, Sheet, text_width, wrap
from boxup.drawing.view import JointLook, SectionView
from boxup.exchanger.model import Exchanger

MARGIN = 10.0
LINE = 22.0  # px, line of words to line of words
TALL = 1120.0  # px, the most an upright drawing is tall
BETWEEN = 26.0  # px between the two halves of a wide view


def section(exchanger: Exchanger, view: SectionView) -> str:
    """SVG of the section. What the file does not give is drawn by proportion; where that is everything, the drawing says so."""
    return _Section(Assembly(exchanger, view)).draw()


def pair(exchanger: Exchanger, before: SectionView, after: SectionView) -> tuple[str, str]:
    """SVGs of two views that stand side by side: one size, one scale, every part that did not move at the same place in both.

    The blinds that come or go between the two get their numbers first. Raises ValueError when the views differ in width or form.
    """
    if (before.width, before.narrow, before.balloons) != (after.width, after.narrow, after.balloons):
        raise ValueError("two views of a pair must have one width, and both be narrow or wide, with balloons or without")
    views = (Assembly(exchanger, before, after), Assembly(exchanger, after, before))
    tried = [_Section(a) for a in views]
    drawn = [t.draw() for t in tried]
    rooms = tried[0].room.with_(tried[1].room)
    first, second = (text if t.room == rooms else _Section(t.a, rooms).draw() for t, text in zip(tried, drawn, strict=True))
    return first, second


@dataclass(slots=True)
class _Rooms:
    """Heights a drawing needs, px: the sign over it; for each row its balloons, its halves above and below the axis, its foot, notes."""

    stop: float = 0.0
    rows: list[tuple[float, float, float, float]] = field(default_factory=list)
    notes: float = 0.0

    def with_(self, other: _Rooms) -> _Rooms:
        """What is room enough for both."""
        rows = [(max(a[0], b[0]), max(a[1], b[1]), max(a[2], b[2]), max(a[3], b[3])) for a, b in zip(self.rows, other.rows, strict=True)]
        return _Rooms(max(self.stop, other.stop), rows, max(self.notes, other.notes))


@dataclass(slots=True)
class _Column:
    """A balloon with its words, over its joint."""

    spot: Spot
    look: JointLook
    x: float
    size: float
    lines: list[str]
    at: Point = (0.0, 0.0)


class _Section:
    def __init__(self, a: Assembly, given: _Rooms | None = None) -> None:
        self.a, self.view, self.f = a, a.view, a.f
        title = f"{a.exchanger.identity.tag}, {a.exchanger.letters.short}, in section"
        self.sheet = Sheet(self.view.width, 100, title, describe(a), turned=a.turned)
        if self.view.links:
            self.sheet.role = "group"  # what is inside a picture cannot be reached from the keyboard; what is in a group can
        self.without: list[str] = []
        self.said = False  # the pressure stands in a gap of the hatch
        self.given, self.room = given, _Rooms()
        self.looks = looks_of(a)
        self.both = (a, Assembly(a.exchanger, a.beside, a.view)) if a.beside is not a.view else (a,)  # what has one scale with it
        spans = [s.span for s in a.stretches]
        room = self.view.width - 2 * MARGIN
        if a.upright:
            self.scale = self._standing(sum(spans), BETWEEN * (len(spans) - 1))
            self.sheet.width, self.sheet.height = max(self._content(), self._stacked()) + 2 * MARGIN, self.view.width
        else:
            self.scale = room / max(spans) if self.view.narrow else (room - BETWEEN * (len(spans) - 1)) / sum(spans)
        self.ground = Ground(Box(2, 2, self.sheet.width - 2, 1e6))

    def _standing(self, spans: float, between: float) -> float:
        """The scale at which an upright drawing is as tall as a sheet allows and no wider than the view."""
        scale = (TALL - 2 * MARGIN - between) / spans
        for _ in range(3):  # what runs out of a drain is drawn in px, so the room depends a little on the scale
            wide = sum(max(a.height(s, way, scale) for a in self.both for s in a.stretches) for way in (1, -1))
            head = 2 * self._size() + self._longest() if self.view.balloons and self._all_looks() else 0.0
            under = 6.0 if self.view.narrow else 34.0
            scale = min(scale, (self.view.width - 2 * MARGIN - head - 2 * self._words() - under) / wide)
        return max(scale, 0.02)

    def _content(self) -> float:
        """px along the axis that all views side by side take."""
        return sum(s.span for s in self.a.stretches) * self.scale + BETWEEN * (len(self.a.stretches) - 1)

    def _stacked(self) -> float:
        """px that the balloons of an upright drawing take one under the other."""
        if not self.view.balloons:
            return 0.0
        return max(sum(self._along(k) for k in looks_of(a).values()) for a in self.both)

    def _along(self, look: JointLook) -> float:
        """px along the axis that a balloon of an upright drawing takes."""
        return max(2 * ball.reach(self._size(), look), self._beside(self._lines(look, 0.0))) + 2

    def _all_looks(self) -> list[JointLook]:
        """The looks of this view and of the one beside it."""
        return [k for a in self.both for k in looks_of(a).values()]

    def _size(self) -> float:
        return 56.0 if self.view.narrow and self.a.upright else 60.0 if self.view.narrow else 72.0

    def _longest(self) -> float:
        """px of the longest line of words beside the balloons of an upright drawing."""
        return max((text_width(t, WORD) + 14 for k in self._all_looks() for t in self._lines(k, 0.0)), default=0.0)

    def _lines(self, look: JointLook, room: float) -> list[str]:
        """The words beside a balloon, in lines for the room along the row."""
        if self.view.names_only or (self.view.narrow and self.a.upright):
            return []
        wide = 150.0 if self.a.upright else min(room, 150)
        return [t for words in (look.word, look.low_words) if words for t in wrap(words, WORD, wide)]

    def draw(self) -> str:
        with self.sheet.aside():
            self.room.stop = stop_line(self.sheet, self.view.stop, self.view.width)
        if self.a.upright:
            return self._draw_upright()
        y = MARGIN + (self.given or self.room).stop
        for row in self._rows():
            y = self._row(row, y) + 14
        y = self._notes(y - 14)
        self.sheet.height = round(y + MARGIN)
        return self._finished()

    def _draw_upright(self) -> str:
        """One row of views, laid out lying and shown standing; what is over and under it is not turned."""
        self.sheet.head = (self.given or self.room).stop
        self._row(self._rows()[0], MARGIN)
        with self.sheet.aside():
            self.sheet.foot = self._notes(self.sheet.head + self.sheet.width) - self.sheet.head - self.sheet.width + MARGIN
        return self._finished()

    def _finished(self) -> str:
        if self.without:
            self.sheet.desc += f" Without its number, for want of room: {', '.join(self.without)}."
        return self.sheet.text()

    def _rows(self) -> list[list[tuple[Stretch, float]]]:
        """Each row's views with their left edges: all side by side, or one above the other with the rear against the right edge."""
        stretches = self.a.stretches
        left = (self.sheet.width - self._content()) / 2 if self.a.upright else MARGIN
        if self.view.narrow and not self.a.upright:
            spare = {s.name: self.view.width - 2 * MARGIN - s.span * self.scale for s in stretches}
            shares = {"front": 0.0, "middle": 0.5, "rear": 1.0}
            return [[(s, MARGIN + shares[s.name] * spare[s.name])] for s in stretches]
        row = []
        for s in stretches:
            row.append((s, left))
            left += s.span * self.scale + BETWEEN
        return [row]

    def _notes(self, y: float) -> float:
        """What must be read with the drawing, under it; gives its foot."""
        listed = self.view.narrow and self.a.upright and self.view.balloons and not self.view.names_only  # no room beside the balloons
        told = [f"{j}: {', '.join(filter(None, (k.word, k.low_words)))}." for j, k in self.looks.items()] if listed else []
        if self.view.pressed and self.view.pressure and not self.said:
            told.append(f"{self.view.pressed.capitalize()} side under pressure, {self.view.pressure}.")
        for note in [*told, *self.a.notes]:
            for line in wrap(note, WORD, self.view.width - 2 * MARGIN - 8):
                self.room.notes += LINE
                self.sheet.words(MARGIN + 4, y + self.room.notes, line, anchor="start")
        return y + (self.given or self.room).notes

    def _row(self, placed: list[tuple[Stretch, float]], y: float) -> float:
        """One row of half views with their balloons above them; gives the foot of the row."""
        columns = self._columns(placed) if self.a.upright else [c for p in placed for c in self._columns([p])]
        heads = [[c for c in columns if c.spot in s.end.spots] for s, _ in placed]
        above, below = (max(self.a.height(s, way, self.scale) for s, _ in placed) * self.scale for way in (1, -1))
        needs = (self._head(columns), above, below, self._foot(placed))
        self.room.rows.append(needs)
        head, above, below, under = self.given.rows[len(self.room.rows) - 1] if self.given else needs
        words = self._words()
        if self.a.upright:
            y += max(0.0, self.view.width - 2 * MARGIN - head - above - below - 2 * words - under) / 2
        self._balloons(columns, y)
        top, axis = y + head, y + head + words + above
        foot = axis + below + words
        self.ground.whole = Box(2, y - 8, self.sheet.width - 2, foot + under)
        halves = [Half(self.sheet, s.start, s.stop, left, axis, self.scale) for s, left in placed]
        for (stretch, _), half in zip(placed, halves, strict=True):
            self._half(stretch, half)
        for said, half in zip(heads, halves, strict=True):
            for column in said:
                self._leader(column, half, top)
        if len(halves) > 1:
            self._length(halves[0], halves[-1], foot)
        self._arrow(list(zip([s for s, _ in placed], halves, strict=True)), foot)
        for (stretch, _), half in zip(placed, halves, strict=True):
            cover(self.a, stretch, half, self.ground)
        for (stretch, _), half in zip(placed, halves, strict=True):
            self.without += label(self.a, stretch, half, self.sheet, self.ground)
        return foot + under

    def _words(self) -> float:
        """px over and under the halves for numbers and names."""
        views = (self.view, self.a.beside)
        if self.a.upright and any(v.balloons or v.rings or v.open or v.blinds for v in views):
            return (92.0 if any(v.rings for v in views) else 66.0) * (0.6 if self.view.narrow else 1.0)
        if any(v.balloons or v.rings or v.open for v in views):
            return 26.0
        return 8.0 if any(v.blinds for v in views) else 4.0

    def _foot(self, placed: list[tuple[Stretch, float]]) -> float:
        """px under the halves for the arrow or the length of the tubes."""
        length = len(placed) > 1 and not self.view.narrow and self.view.balloons and self._straight() is not None
        moved = self.view.mover and any(p.name == self.view.mover for s, _ in placed for p in s.end.parts)
        return max(24.0 if length else 0.0, 28.0 if moved else 0.0)

    # ------------------------------------------------------------------ one half view

    def _half(self, stretch: Stretch, half: Half) -> None:
        gap = pressure.gap(self.a, stretch, half)
        box = gap.box if gap else None
        for room in self.a.pressed(stretch, under=True):
            half.hatch(room.outline, box)
        self._bundle(stretch, half)
        self._metal(stretch, half)
        for room in self.a.pressed(stretch, under=False):
            half.hatch(room.outline, box)
        for spot in stretch.end.spots:
            self._joint(spot, half)
        for item in stretch.items:
            mouth(self.a, item, half, self.sheet)
        self._break(stretch, half)
        if gap:
            self.said = True
            gap.write(self.sheet)
            self.ground.take(gap.box)
            if self.a.upright:  # the views stand close: a line from a number of one would go through the words of the other
                self.ground.words.append(gap.box)

    def _bundle(self, stretch: Stretch, half: Half) -> None:
        if "bundle" not in self.a.off:
            span = (stretch.start, stretch.stop)
            with self.sheet.group(part="bundle"), self.sheet.link(self.view.links.get("bundle"), "bundle"):
                half.paint(inside.rails(self.f, *span))
                half.paint(inside.baffles(self.f, *span))
                half.paint(inside.tubes(self.f, *span))
                half.paint(inside.long_plates(self.f, *span))
                half.paint(inside.distribution(self.f, *span))
        elif stretch.name == "front":
            stop = min(stretch.stop - 60, self.f.bore * 1.1)
            half.paint(inside.stub(self.f, -APART, stop), phantom=True)
            half.zigzag(stop, self.f.limit)

    def _metal(self, stretch: Stretch, half: Half) -> None:
        for part in sorted(self.a.parts(stretch), key=lambda p: p.name in self.a.off):
            gone = part.name in self.a.off
            if gone and self.a.hidden(part, stretch):
                continue
            shapes = [moved(s, *self.a.shift(part)) for s in part.shapes]
            with self.sheet.group(part=part.name), self.sheet.link(self.view.links.get(part.name), part.name):
                if not gone:
                    for room in stretch.end.rooms:
                        if room.part == part.name and not room.under:
                            half.void(room.outline)
                half.paint(shapes, phantom=gone)
            self.ground.take(*(half.box(s) for s in shapes if s.kind == "metal" or s.straight))
            self.ground.take(*(box for s in shapes for box in half.bows(s)))

    def _joint(self, spot: Spot, half: Half) -> None:
        closed = self.a.closed(spot)
        if not spot.packed and (closed or spot.joint in self.view.gaskets):
            half.gasket(spot)
        if closed:
            half.studs(spot)

    def _break(self, stretch: Stretch, half: Half) -> None:
        over, under = (self.f.outside(way) + 45 for way in (1, -1))
        for at, here in ((stretch.start, "front"), (stretch.stop, "rear")):
            if stretch.name != here:
                half.zigzag(at, over, under)
                self.ground.take(Box(half.x(at) - 8, half.y(over), half.x(at) + 8, half.y(-under)))

    # ------------------------------------------------------------------ balloons

    def _columns(self, placed: list[tuple[Stretch, float]]) -> list[_Column]:
        """A column for each joint of these half views that has a balloon, from the front to the rear."""
        if not self.view.balloons:
            return []
        found = [(self.a.target(s)[0], s, stretch, left) for stretch, left in placed for s in stretch.end.spots if s.joint in self.looks]
        found.sort(key=lambda one: one[0])
        if not found:
            return []
        most, first, (last, edge) = self.sheet.width - 4.0, placed[0][1], placed[-1]
        alone = self.view.narrow or self.a.upright
        low, high = (4.0, most) if alone else (max(4.0, first - 6), min(edge + last.span * self.scale + 6, most))
        size, share = self._size(), (high - low) / len(found)
        looks = [self.looks[s.joint] for _, s, _, _ in found]
        lines = [self._lines(k, share - 10) for k in looks]
        rooms = [max(2 * ball.reach(size, k), self._beside(written)) for k, written in zip(looks, lines, strict=True)]
        rooms = rooms if self.a.upright else [min(share, room) for room in rooms]
        centres = spread([left + (x - stretch.start) * self.scale for x, _, stretch, left in found], rooms, low, high)
        return [_Column(s, k, c, size, t) for (_, s, _, _), k, c, t in zip(found, looks, centres, lines, strict=True)]

    def _beside(self, lines: list[str]) -> float:
        """px that the words of a balloon take along the row."""
        if self.a.upright:
            return len(lines) * LINE + 6
        return max((text_width(t, WORD) + 14 for t in lines), default=0.0)

    def _head(self, columns: list[_Column]) -> float:
        """px that the row of balloons and its words take."""
        if not columns:
            return 0.0
        return self._over(columns) + max(c.size / 2 + (16 if c.look.findings else 0) for c in columns) + 26

    def _over(self, columns: list[_Column]) -> float:
        """px from the head of the row to the centres of its balloons."""
        words = self._longest() if self.a.upright else max(len(c.lines) for c in columns) * LINE
        return words + max(ball.reach(c.size, c.look) for c in columns)

    def _balloons(self, columns: list[_Column], y: float) -> None:
        """Words and centres of the row of balloons from y down. The balloons follow with their lines."""
        for c in columns:
            c.at = (c.x, y + self._over(columns))
            foot = c.at[1] - ball.reach(c.size, c.look) - 5
            for i, line in enumerate(c.lines):
                if self.a.upright:
                    self._beside_balloon(c.x + self.a.turned * ((i - (len(c.lines) - 1) / 2) * LINE + 6), foot, line)
                    continue
                self.sheet.words(c.x, foot - (len(c.lines) - 1 - i) * LINE, line)
                self.ground.take(text_box(c.x, foot - (len(c.lines) - 1 - i) * LINE, line))

    def _beside_balloon(self, x: float, foot: float, line: str) -> None:
        """One line of words of an upright drawing, away from its balloon: to the right of it, or with the rear end up to the left."""
        turned = self.a.turned
        self.sheet.words(x, foot - 4, line, anchor="start" if turned > 0 else "end")
        low, high = sorted((x - turned * 16, x + turned * 5))
        self.ground.take(Box(low, foot - text_width(line, WORD) - 4, high, foot))

    def _leader(self, c: _Column, half: Half, top: float) -> None:
        """From the joint straight up clear of the nozzles, then across to its balloon; the balloon is drawn over its end."""
        x, y = half.at(self.a.target(c.spot))
        bend = self._clear_of_nozzles(x, half)
        self.sheet.run((c.at, (bend, top), (x, y)), "thin")
        self.sheet.circle((x, y), 4.5, "none", "ink")
        self.ground.take(Box(min(x, bend) - 2, top, max(x, bend) + 2, y), *along(c.at, (bend, top)))
        far = ball.reach(c.size, c.look)
        self.ground.take(Box(c.x - far, c.at[1] - far, c.x + far, c.at[1] + far))
        joint = self.a.exchanger.joint(c.spot.joint)
        studs = int(joint.studs.count.si) if joint.studs and joint.studs.count else 36
        with self.sheet.group(joint=joint.id), self.sheet.link(self.view.links.get(joint.id)), self.sheet.upright(c.at):
            ball.draw(self.sheet, c.at, c.size, joint.id, c.look, studs)

    def _clear_of_nozzles(self, x: float, half: Half) -> float:
        """Where a line up from x must stand to pass the nozzle flanges, the spools and the handles of spades."""
        blocks: list[tuple[float, float]] = []
        for p in (p for stretch in self.a.stretches for p in stretch.items if p.way == noz.UP and not p.small):
            if not half.start < p.x < half.stop:
                continue
            at, rim, closing = half.x(p.x + self.a.shift_of(p.part)), p.rim * self.scale + 5, self.a.closing(p)
            blocks.append((at - rim, at + rim))
            if closing.spool or closing.stays:
                home, out = half.x(p.x), STICKS_OUT * self.scale if closing.stays else 0.0
                side = self.a.handle(p)
                blocks.append((home - rim - (out if side < 0 else 0), home + rim + (out if side > 0 else 0)))
        for low, high in _joined(blocks):
            if low < x < high:
                return low - 8 if x - low < high - x else high + 8
        return x

    # ------------------------------------------------------------------ below

    def _straight(self) -> Quantity | None:
        """The straight tube length, where the file gives it and the bundle is in."""
        return None if "bundle" in self.a.off else self.a.exchanger.tubes.length

    def _length(self, front: Half, rear: Half, foot: float) -> None:
        """The straight tube length across the break."""
        length = self._straight()
        if length is None or not self.view.balloons or self.view.narrow:
            return
        words = f"tubes {length.to('mm'):.0f} mm"
        a, b, y = front.x(-self.f.sheet), rear.x(self.f.far + self.f.far_sheet), foot + 12
        middle, half = (a + b) / 2, text_width(words, WORD) / 2 + 8
        ends = (((x, y - 9), (x, y + 9)) for x in (a, b))
        self.sheet.segments((((a, y), (middle - half, y)), ((middle + half, y), (b, y)), *ends))
        self.sheet.arrow((a, y), (middle, y))
        self.sheet.arrow((b, y), (middle, y))
        self.sheet.words(middle, y - 6 if self.sheet.turned > 0 else y + 6, words, along=True)
        self.ground.take(Box(a, y - 10, b, y + 10))

    def _arrow(self, halves: list[tuple[Stretch, Half]], foot: float) -> None:
        """A thick arrow under the part that goes in or comes off in this step."""
        for stretch, half in halves:
            for part in stretch.end.parts:
                if part.name != self.view.mover or self.a.hidden(part, stretch):
                    continue
                xs = [s[1] + self.a.shift(part)[0] for shape in part.shapes for s in shape.steps]
                x = min(max(half.x((min(xs) + max(xs)) / 2), half.x(stretch.start) + 44), half.x(stretch.stop) - 44)
                way = (1 if stretch.name == "front" else -1) * (1 if self.view.moving == "in" else -1)
                y = foot + 14
                self.sheet.line((x - way * 36, y), (x + way * 20, y), "thick")
                self.sheet.arrow((x + way * 40, y), (x, y), 24)
                self.ground.take(Box(x - 42, y - 8, x + 42, y + 8))
                return


def _joined(blocks: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Stretches that overlap or leave no room for a line between them, as one."""
    found: list[tuple[float, float]] = []
    for low, high in sorted(blocks):
        if found and low < found[-1][1] + 16:
            found[-1] = (found[-1][0], max(found[-1][1], high))
        else:
            found.append((low, high))
    return found
