"""The exchanger in section, from its own letters and dimensions: ends in proportion, the tube length cut by a break line."""

from __future__ import annotations

from dataclasses import dataclass

from boxup.drawing import balloon as ball
from boxup.drawing import nozzle as noz
from boxup.drawing import pressure
from boxup.drawing import shell as body
from boxup.drawing.assembly import Assembly, Stretch, shifted
from boxup.drawing.frame import APART
from boxup.drawing.half import Half
from boxup.drawing.labels import label
from boxup.drawing.part import Spot, moved
from boxup.drawing.place import Box, Ground, spread, text_box
from boxup.drawing.stop import stop_line
from boxup.drawing.svg import WORD, Point, Sheet, text_width, wrap
from boxup.drawing.view import JointLook, SectionView
from boxup.exchanger.model import Exchanger

MARGIN = 10.0
LINE = 22.0  # px, line of words to line of words
BETWEEN = 26.0  # px between the two halves of a wide view


def section(exchanger: Exchanger, view: SectionView) -> str:
    """SVG of the section. Raises NotDrawn, one sentence, for letters not drawn yet and where the shell inside diameter is missing."""
    return _Section(Assembly(exchanger, view)).draw()


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
    def __init__(self, a: Assembly) -> None:
        self.a, self.view, self.f = a, a.view, a.f
        self.sheet = Sheet(self.view.width, 100, f"{a.exchanger.identity.tag}, {a.exchanger.letters.short}, in section", describe(a))
        if self.view.links:
            self.sheet.role = "group"  # what is inside a picture cannot be reached from the keyboard; what is in a group can
        self.ground = Ground(Box(2, 2, self.view.width - 2, 1e6))
        self.without: list[str] = []
        spans = [s.span for s in a.stretches]
        room = self.view.width - 2 * MARGIN
        self.scale = room / max(spans) if self.view.narrow else (room - BETWEEN) / sum(spans)

    def draw(self) -> str:
        front, rear = self.a.stretches
        y = MARGIN + stop_line(self.sheet, self.view.stop, self.view.width)
        if self.view.narrow:
            y = self._row([(front, MARGIN)], y) + 14
            y = self._row([(rear, self.view.width - MARGIN - rear.span * self.scale)], y)
        else:
            y = self._row([(front, MARGIN), (rear, MARGIN + front.span * self.scale + BETWEEN)], y)
        self.sheet.height = round(y + MARGIN)
        if self.without:
            self.sheet.desc += f" Without its number, for want of room: {', '.join(self.without)}."
        return self.sheet.text()

    def _row(self, placed: list[tuple[Stretch, float]], y: float) -> float:
        """One row of half views with their balloons above them; gives the foot of the row."""
        heads = [self._columns(s, left) for s, left in placed]
        top = y + self._balloons([c for head in heads for c in head], y)
        above, below = (max(self.a.height(s, way) for s, _ in placed) * self.scale for way in (1, -1))
        words = 26.0 if self.view.balloons else 4.0
        axis = top + words + above
        halves = [Half(self.sheet, s.start, s.stop, left, axis, self.scale) for s, left in placed]
        for (stretch, _), half in zip(placed, halves, strict=True):
            self._half(stretch, half)
        for head, half in zip(heads, halves, strict=True):
            for column in head:
                self._leader(column, half, top)
        foot = axis + below + words
        if self.view.balloons:
            for (stretch, _), half in zip(placed, halves, strict=True):
                self.without += label(self.a, stretch, half, self.sheet, self.ground)
            if len(halves) == 2:
                foot = self._length(halves[0], halves[1], foot)
        return self._arrow(list(zip([s for s, _ in placed], halves, strict=True)), foot) if self.view.mover else foot

    # ------------------------------------------------------------------ one half view

    def _half(self, stretch: Stretch, half: Half) -> None:
        gap = pressure.gap(self.a, stretch, half)
        box = gap.box if gap else None
        for room in self.a.pressed(stretch, under=True):
            half.hatch(room.outline, box)
        self._bundle(stretch, half, box)
        self._metal(stretch, half)
        for room in self.a.pressed(stretch, under=False):
            half.hatch(room.outline, box)
        for spot in stretch.end.spots:
            self._joint(spot, half)
        for item in stretch.items:
            self._item(item, half)
        self._break(stretch, half)
        if gap:
            gap.write(self.sheet)
            self.ground.take(gap.box)

    def _bundle(self, stretch: Stretch, half: Half, gap: Box | None) -> None:
        if "bundle" not in self.a.off:
            tubes = body.tubes(self.f, stretch.start, stretch.stop)
            with self.sheet.group(part="bundle"), self.sheet.link(self.view.links.get("bundle")):
                half.paint(body.baffles(self.f, stretch.start, stretch.stop))
                half.paint(tubes)
        elif stretch.name == "front":
            stop = min(stretch.stop - 60, self.f.bore * 1.1)
            half.paint(body.stub(self.f, -APART, stop), phantom=True)
            half.zigzag(stop, self.f.limit)

    def _metal(self, stretch: Stretch, half: Half) -> None:
        for part in sorted(self.a.parts(stretch), key=lambda p: p.name in self.a.off):
            gone = part.name in self.a.off
            if gone and part.name == "bundle" and stretch.name == "rear":
                continue  # it is drawn once, before the shell's mouth
            shapes = [moved(s, *self.a.shift(part)) for s in part.shapes]
            with self.sheet.group(part=part.name), self.sheet.link(self.view.links.get(part.name)):
                if not gone:
                    for room in stretch.end.rooms:
                        if room.part == part.name and not room.under:
                            half.void(room.outline)
                half.paint(shapes, phantom=gone)
            self.ground.take(*(half.box(s) for s in shapes if s.kind == "metal" or s.straight))

    def _joint(self, spot: Spot, half: Half) -> None:
        closed = self.a.closed(spot)
        if closed or spot.joint in self.view.gaskets:
            half.gasket(spot)
        if closed:
            half.studs(spot)

    def _item(self, item: noz.Placed, half: Half) -> None:
        p, gone = shifted(item, self.a.shift_of(item.part)), item.part in self.a.off
        is_open = p.id in self.view.open and not gone
        with self.sheet.group(nozzle=p.id), self.sheet.link(self.view.links.get(p.id)):
            half.paint(noz.neck(p), phantom=gone)
            half.paint(noz.pipe(p, is_open), phantom=gone)
            if not p.upright and not gone:
                half.seen_on_end(p.x, p.y, 0 if p.small else p.rim, p.half, near=p.way == noz.NEAR)
            if is_open and p.small and p.upright:
                half.running(p.x, p.way * p.end, p.way)
        if blind := self.a.blind(item):
            with self.sheet.group(blind=blind.id), self.sheet.link(self.view.links.get(blind.id)):
                half.paint(noz.paddle(p, blind, self.a.handle(item)))
                if p.way == noz.NEAR:
                    self.sheet.circle(half.at((p.x, p.y)), p.half * self.scale, "none", "ink")

    def _break(self, stretch: Stretch, half: Half) -> None:
        half.zigzag(stretch.stop if stretch.name == "front" else stretch.start, self.f.bore + self.f.wall + 45)

    # ------------------------------------------------------------------ balloons

    def _columns(self, stretch: Stretch, left: float) -> list[_Column]:
        """A column for each joint of this half view that has a balloon, from the front to the rear."""
        spots = sorted((s for s in stretch.end.spots if s.joint in self.view.joints), key=lambda s: self.a.target(s)[0])
        if not spots or not self.view.balloons:
            return []
        most, right = self.view.width - 4.0, left + stretch.span * self.scale
        low, high = (4.0, most) if self.view.narrow else (max(4.0, left - 6), min(right + 6, most))
        size, share = 60.0 if self.view.narrow else 72.0, (high - low) / len(spots)
        looks = [self.view.joints[s.joint] for s in spots]
        lines = [[t for words in (look.word, look.low_words) if words for t in wrap(words, WORD, min(share - 10, 150))] for look in looks]
        wide = [max(text_width(t, WORD) + 14 for t in said) for said in lines]
        rooms = [min(share, max(2 * ball.reach(size, k), w)) for k, w in zip(looks, wide, strict=True)]
        centres = spread([left + (self.a.target(s)[0] - stretch.start) * self.scale for s in spots], rooms, low, high)
        return [_Column(s, k, c, size, t) for s, k, c, t in zip(spots, looks, centres, lines, strict=True)]

    def _balloons(self, columns: list[_Column], y: float) -> float:
        """Words and centres of the row of balloons from y down; gives its height. The balloons follow with their lines."""
        if not columns:
            return 0.0
        tall = max(len(c.lines) for c in columns) * LINE
        far = max(ball.reach(c.size, c.look) for c in columns)
        for c in columns:
            c.at = (c.x, y + tall + far)
            foot = c.at[1] - ball.reach(c.size, c.look) - 5
            for i, line in enumerate(c.lines):
                self.sheet.words(c.x, foot - (len(c.lines) - 1 - i) * LINE, line)
                self.ground.take(text_box(c.x, foot - (len(c.lines) - 1 - i) * LINE, line))
        return tall + far + max(c.size / 2 + (16 if c.look.findings else 0) for c in columns) + 26

    def _leader(self, c: _Column, half: Half, top: float) -> None:
        """From the joint straight up clear of the nozzles, then across to its balloon; the balloon is drawn over its end."""
        x, y = half.at(self.a.target(c.spot))
        bend = self._clear_of_nozzles(x, half)
        self.sheet.run((c.at, (bend, top), (x, y)), "thin")
        self.sheet.circle((x, y), 4.5, "none", "ink")
        self.ground.take(Box(min(x, bend) - 2, top, max(x, bend) + 2, y))
        joint = self.a.exchanger.joint(c.spot.joint)
        studs = int(joint.studs.count.si) if joint.studs and joint.studs.count else 36
        with self.sheet.group(joint=joint.id), self.sheet.link(self.view.links.get(joint.id)):
            ball.draw(self.sheet, c.at, c.size, joint.id, c.look, studs)

    def _clear_of_nozzles(self, x: float, half: Half) -> float:
        """Where a line up from x must stand to pass the nozzle flanges."""
        for stretch in self.a.stretches:
            for p in stretch.items:
                if p.way == noz.UP and not p.small and half.start < p.x < half.stop:
                    at, rim = half.x(p.x + self.a.shift_of(p.part)), p.rim * self.scale + 5
                    if abs(x - at) < rim:
                        return at - rim - 8 if x < at else at + rim + 8
        return x

    # ------------------------------------------------------------------ below

    def _length(self, front: Half, rear: Half, foot: float) -> float:
        """The straight tube length across the break, where the file gives it."""
        length = self.a.exchanger.tubes.length
        if length is None or "bundle" in self.a.off:
            return foot
        words = f"tubes {length.to('mm'):.0f} mm"
        a, b, y = front.x(-self.f.sheet), rear.x(self.f.far + self.f.far_sheet), foot + 12
        middle, half = (a + b) / 2, text_width(words, WORD) / 2 + 8
        ends = (((x, y - 9), (x, y + 9)) for x in (a, b))
        self.sheet.segments((((a, y), (middle - half, y)), ((middle + half, y), (b, y)), *ends))
        self.sheet.arrow((a, y), (middle, y))
        self.sheet.arrow((b, y), (middle, y))
        self.sheet.words(middle, y + 6, words)
        return y + 12

    def _arrow(self, halves: list[tuple[Stretch, Half]], foot: float) -> float:
        """A thick arrow under the part that goes in or comes off in this step."""
        for stretch, half in halves:
            for part in stretch.end.parts:
                if part.name != self.view.mover:
                    continue
                xs = [s[1] + self.a.shift(part)[0] for shape in part.shapes for s in shape.steps]
                x = min(max(half.x((min(xs) + max(xs)) / 2), half.x(stretch.start) + 44), half.x(stretch.stop) - 44)
                way = (1 if stretch.name == "front" else -1) * (1 if self.view.moving == "in" else -1)
                y = foot + 14
                self.sheet.line((x - way * 36, y), (x + way * 20, y), "thick")
                self.sheet.arrow((x + way * 40, y), (x, y), 24)
                return foot + 28
        return foot


def describe(a: Assembly) -> str:
    """The drawing in words, for who cannot see it."""
    v = a.view
    said = ["Side view in section, front end on the left, tube length cut by a break line."]
    if a.off:
        said.append(f"Off: {', '.join(sorted(a.off))}.")
    if v.rings:
        said.append(f"On: {', '.join(sorted(v.rings))} for the test.")
    if v.pressed:
        said.append(f"{v.pressed.capitalize()} side under pressure{', ' + v.pressure if v.pressure else ''}.")
    if v.stop:
        said.append(f"STOP: {v.stop}")
    said += [f"{j}: {', '.join(filter(None, (look.word, look.low_words)))}." for j, look in sorted(v.joints.items())]
    if missing := a.left_out():
        said.append(f"Not shown, because it lies in the part left out or its place is not given: {', '.join(missing)}.")
    return " ".join(said)
