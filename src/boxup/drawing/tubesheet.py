"""The tubesheet with every hole: passes, rows and columns, plugged tubes and tubes to plug."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations
from math import hypot
from typing import Literal, Protocol

from boxup.drawing.svg import GROUND, WORD, Point, Sheet, discs, dots, num, safe, wrap

SIDE, PASS = 54.0, 40.0  # px beside the sheet for row numbers and hole counts; for the numbers of the passes
EVERY = 5  # each so many holes of a row has a dot, to count by


class Hole(Protocol):
    """A tube hole: mm from the centre, seen from the front, x right and y up."""

    @property
    def id(self) -> str: ...
    @property
    def row(self) -> int: ...
    @property
    def col(self) -> int: ...
    @property
    def x(self) -> float: ...
    @property
    def y(self) -> float: ...
    @property
    def tube_pass(self) -> int: ...


class Line(Protocol):
    """A rib's centre line, mm from the centre, seen from the front."""

    @property
    def x1(self) -> float: ...
    @property
    def y1(self) -> float: ...
    @property
    def x2(self) -> float: ...
    @property
    def y2(self) -> float: ...


@dataclass(frozen=True, slots=True)
class TubesheetView:
    """What the map shows.

    holes: all of them, seen from the front. hole: their diameter, mm. radius: of the tubesheet, mm. ribs: where the pass plates bear.
    end: the end it is seen from; the rear is the mirror image, numbers unchanged. plugged, to_plug: ids such as "9-14"; an id that is
    no hole is refused. pairs: the two holes of each U-tube among them; the legend then names U-tubes, "9-1 + 10-1". note: a sentence
    below ("a plain layout of ours, a sketch"). told: says a sentence in the language of whoever looks. links: target by hole id.
    light: a name for the holes within the page they are shown on;
    they are then drawn with as few letters as can be, for a page of thousands of tubes. thin: holes whose wall is over the site's limit;
    worn: others whose wall was measured and is WORN_FROM gone or more; read: how many were measured. limit: the site's, in words.
    """

    tag: str
    holes: Sequence[Hole]
    hole: float
    radius: float
    ribs: Sequence[Line] = ()
    end: Literal["front", "rear"] = "front"
    plugged: Collection[str] = ()
    to_plug: Collection[str] = ()
    note: str = ""
    width: int = 720
    pairs: Sequence[tuple[str, str]] = ()
    links: Mapping[str, str] = field(default_factory=dict)
    light: str = ""
    thin: Collection[str] = ()
    worn: Collection[str] = ()
    read: int = 0
    limit: str = ""
    told: Callable[[str], str] = str


WORN_FROM = 0.2  # of the wall: a mark on the map, no limit


def tubesheet(view: TubesheetView) -> str:
    """SVG of the tubesheet map. Raises ValueError for a tube that is not there or that is both plugged and to plug."""
    _check(view)
    said = f"{len(view.holes)} holes, seen from the {view.end}"
    sheet = Sheet(view.width, 100, view.told(f"{view.tag}: tubesheet, seen from the {view.end}"), _desc(view))
    left, right = (SIDE + (PASS if beside else 0) for beside in _sides(view))
    scale = (view.width - left - right) / 2 / view.radius
    at = (left + view.radius * scale, 34 + view.radius * scale)
    m = _Map(sheet, view, at, scale)
    if view.light:  # a page turns a finger's place into millimetres: centre, px a mm, which way x runs, how far out
        sheet.raw(f'<g data-map="{num(at[0])} {num(at[1])} {scale:.6g} {m.way} {num(view.radius)}"></g>')
    m.draw()
    y = at[1] + view.radius * scale + 8
    y = m.legend(y, said)
    sheet.height = round(y + 8)
    return sheet.text()


def _check(view: TubesheetView) -> None:
    known = {h.id for h in view.holes}
    if bad := sorted({*view.plugged, *view.to_plug, *view.thin, *view.worn} - known):
        raise ValueError(f"{view.tag}: there is no hole {', '.join(bad)}; a hole is written row-column, as 9-14")
    if twice := sorted(set(view.plugged) & set(view.to_plug)):
        raise ValueError(f"{view.tag}: {', '.join(twice)} cannot be both plugged and to plug")


def _zones(view: TubesheetView) -> dict[int, list[Hole]]:
    zones: dict[int, list[Hole]] = {}
    for h in view.holes:
        zones.setdefault(h.tube_pass, []).append(h)
    return dict(sorted(zones.items()))


def _left(view: TubesheetView, holes: Sequence[Hole]) -> bool:
    """The pass lies wholly in the left half as seen."""
    way = 1 if view.end == "front" else -1
    return all(way * h.x < 0 for h in holes)


def _sides(view: TubesheetView) -> tuple[bool, bool]:
    """Whether numbers of passes stand on the left and on the right."""
    found = [_left(view, holes) for holes in _zones(view).values()]
    return any(found), not all(found)


def _desc(view: TubesheetView) -> str:
    said = "; ".join(view.told(f"pass {p}: {len(holes)} holes") for p, holes in _zones(view).items())
    marks = [
        f"{_capital(view.told(legend_of(what, ids, view.pairs)))}."
        for what, ids in (("plugged", view.plugged), ("to plug", view.to_plug))
        if ids
    ]
    return (
        " ".join(view.told(text) for text in ("Rows numbered from the top.", counted(view)))
        + f" {said}."
        + "".join(f" {one}" for one in marks)
    )


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def counted(view: TubesheetView) -> str:
    """From which side the holes of a row are counted, with one hole as the example."""
    some = sorted({*view.to_plug, *view.plugged} or {h.id for h in view.holes}, key=_place)
    row, col = (*_place(some[0]), 1)[:2] if some else (1, 1)
    side = "left" if view.end == "front" else "right"
    example = f"{row}-{col} is row {row}, hole {col} from the {side}"
    if view.end == "front":
        return f"At the front count columns from the left: {example}."
    return f"At the rear count columns from the right, for it is the mirror image: {example}. The numbers are those of the front."


def legend_of(what: str, ids: Collection[str], pairs: Sequence[tuple[str, str]]) -> str:
    """`to plug, 2: 9-1, 9-2`; with pairs `to plug, 1 U-tube: 9-1 + 10-1`, then what is in no pair, or has only one of its ends named."""
    whole = sorted((p for p in pairs if p[0] in ids and p[1] in ids), key=lambda p: _place(p[0]))
    other = {a: b for p in pairs if p not in whole for a, b in (p, p[::-1])}
    single = sorted(set(ids) - {i for p in whole for i in p}, key=_place)
    if not whole and not any(i in other for i in single):
        return f"{what}, {len(ids)}: {listed(ids)}"
    words = [f"{a} + {b}" for a, b in whole]
    words += [f"{i} (its other end {other[i]} is not named)" if i in other else f"hole {i}" for i in single]
    tubes = len(whole) + len(single)
    return f"{what}, {tubes} U-tube{'s' if tubes > 1 else ''}: {', '.join(words)}"


def _place(id_: str) -> list[int]:
    return [int(n) for n in re.findall(r"\d+", id_)]


def listed(ids: Collection[str]) -> str:
    """Tube numbers row by row: `2-6, 9-14, 14-3`."""
    return ", ".join(sorted(ids, key=_place))


def _some(ids: Collection[str], most: int = 24) -> str:
    """The first of them by name, and how many more."""
    first = sorted(ids, key=_place)
    return ", ".join(first[:most]) + (f" and {len(first) - most} more" if len(first) > most else "")


class _Map:
    def __init__(self, sheet: Sheet, view: TubesheetView, at: Point, scale: float) -> None:
        self.sheet, self.view, self.at, self.scale = sheet, view, at, scale
        self.way = 1 if view.end == "front" else -1
        self.r = max(1.2, view.hole / 2 * scale)

    def place(self, x: float, y: float) -> Point:
        return self.at[0] + self.way * x * self.scale, self.at[1] - y * self.scale

    def draw(self) -> None:
        s, view = self.sheet, self.view
        radius = view.radius * self.scale
        s.circle(self.at, radius, "edge")
        for rib in view.ribs:
            a, b = self.place(rib.x1, rib.y1), self.place(rib.x2, rib.y2)
            s.raw(f'<path d="M{num(a[0])},{num(a[1])}L{num(b[0])},{num(b[1])}" stroke-width="4"/>')
        plugged, to_plug = set(view.plugged), set(view.to_plug)
        marked = plugged | to_plug
        self._open([self.place(h.x, h.y) for h in view.holes if h.id not in marked])
        if self.r >= 5:
            bare = marked | set(view.worn) | set(view.thin)
            s.path(discs((self.place(h.x, h.y) for h in view.holes if h.col % EVERY == 0 and h.id not in bare), 2.0), "none", "ink")
        s.path(discs((self.place(h.x, h.y) for h in view.holes if h.id in plugged), self.r + 0.5), "none", "ink")
        self._walls([h for h in view.holes if h.id in view.worn], [h for h in view.holes if h.id in view.thin])
        self._to_plug([h for h in view.holes if h.id in to_plug])
        self._rows()
        self._passes()
        self._datum()

    def _open(self, places: list[Point]) -> None:
        """The holes nobody has marked. Light: each a disc of ink under a smaller one of the ground."""
        pen, r = "thin" if self.r >= 4 else "hatch", self.r - (1 if self.r > 3 else 0)
        if not self.view.light:
            self.sheet.path(discs(places, r), pen)
            return
        name, wall = safe(self.view.light), 2.0 if pen == "thin" else 1.2
        self.sheet.raw(f'<defs><path id="{name}" d="{dots(places)}"/></defs><g stroke-linecap="round">')
        self.sheet.raw(f'<use href="#{name}" stroke-width="{num(2 * r + wall)}"/>')
        self.sheet.raw(f'<use href="#{name}" stroke="{GROUND}" stroke-width="{num(max(2 * r - wall, 1.0))}"/></g>')

    def _walls(self, worn: list[Hole], thin: list[Hole]) -> None:
        """Half a disc in a worn one; a square round one over the limit, larger than the hole."""
        for h in worn:
            self._half(self.place(h.x, h.y), max(self.r, 3.0))
        for h in thin:
            with self.sheet.group(tube=h.id):
                self._square(self.place(h.x, h.y), max(self.r + 2.5, 6.0))

    def _half(self, at: Point, r: float) -> None:
        (x, y), n = at, num(r)
        self.sheet.path(f"M{num(x - r)},{num(y)}a{n},{n} 0 0 0 {num(2 * r)},0Z", "none", "ink")

    def _square(self, at: Point, r: float) -> None:
        self.sheet.rect(at[0] - r, at[1] - r, 2 * r, 2 * r, "mid" if r >= 7 else "thin")
        self.sheet.circle(at, max(r * 0.35, 1.6), "none", "ink")

    def _to_plug(self, holes: list[Hole]) -> None:
        """A ring with a cross, larger than the hole, so that it is found at a glance."""
        places = [self.place(h.x, h.y) for h in holes]
        apart = min((hypot(a[0] - b[0], a[1] - b[1]) for a, b in combinations(places, 2)), default=99.0)
        big = max(self.r, min(max(self.r + 3, 8.0), apart / 2 - 1))
        for h, (x, y) in zip(holes, places, strict=True):
            with self.sheet.group(tube=h.id), self.sheet.link(self.view.links.get(h.id), h.id):
                self._crossed((x, y), big)

    def _crossed(self, at: Point, r: float) -> None:
        (x, y), d, pen = at, r * 0.7, "mid" if r >= 7 else "thin"
        self.sheet.circle(at, r, pen, "ground")
        self.sheet.segments((((x - d, y - d), (x + d, y + d)), ((x - d, y + d), (x + d, y - d))), pen)

    def _rows(self) -> None:
        """Row numbers on the left; on the right how many holes the row has."""
        rows: dict[int, list[Hole]] = {}
        for h in self.view.holes:
            rows.setdefault(h.row, []).append(h)
        radius = self.view.radius * self.scale
        left, right = self.at[0] - radius, self.at[0] + radius
        lines: list[tuple[Point, Point]] = []
        marks = {int(i.split("-")[0]) for i in self.view.to_plug if i.split("-")[0].isdigit()}
        numbers = self._spaced(rows, marks)
        for row, holes in sorted(rows.items()):
            y = self.place(0, holes[0].y)[1]
            if row not in numbers:
                continue
            xs = sorted(self.place(h.x, h.y)[0] for h in holes)
            self.sheet.words(left - 10, y + 6, str(row), anchor="end", bold=row in marks)
            self.sheet.words(right + 10, y + 6, str(len(holes)), anchor="start", bold=row in marks)
            if row in marks:
                lines += [((left - 6, y), (xs[0] - self.r - 4, y)), ((xs[-1] + self.r + 4, y), (right + 6, y))]
        self.sheet.segments(lines, "thin")
        self.sheet.words(left - 10, self.at[1] - radius - 2, self.view.told("row"), anchor="end")
        self.sheet.words(right + 10, self.at[1] - radius - 2, self.view.told("holes"), anchor="start")

    def _spaced(self, rows: dict[int, list[Hole]], first: set[int]) -> set[int]:
        """Rows whose numbers do not touch; those with a tube to plug come first."""
        kept: dict[int, float] = {}
        for row in [*sorted(first & set(rows)), *sorted(rows)]:
            y = self.place(0, rows[row][0].y)[1]
            if all(abs(y - other) >= 16.5 for other in kept.values()):
                kept[row] = y
        return set(kept)

    def _passes(self) -> None:
        """The number of each pass, large, beside its zone, with a bar from its first row to its last."""
        radius, size = self.view.radius * self.scale, 28.0
        for number, holes in _zones(self.view).items():
            ys = [self.place(0, h.y)[1] for h in holes]
            top, foot = min(ys) - self.r, max(ys) + self.r
            way = -1 if _left(self.view, holes) else 1
            x = self.at[0] + way * (radius + SIDE - 8)
            self.sheet.line((x, top), (x, foot), "mid")
            self.sheet.words(x + way * 20, (top + foot) / 2 + size * 0.35, str(number), size, bold=True)

    def _datum(self) -> None:
        x, y = self.at[0], self.at[1] - self.view.radius * self.scale
        self.sheet.run(((x, y + 1), (x - 10, y - 16), (x + 10, y - 16)), "none", "ink", close=True)
        self.sheet.words(x + 18, y - 6, "12", anchor="start", bold=True)

    def legend(self, y: float, said: str) -> float:
        """What the marks mean, and the tubes by name."""
        s, view = self.sheet, self.view
        for mark, words in self._said(said):
            wrapped = wrap(view.told(words), WORD, view.width - 60)
            for i, line in enumerate(wrapped):
                y += 25
                if mark:
                    s.words(46, y, line, anchor="start")
                else:
                    s.words(16, y, line, anchor="start")
                if mark and i == 0:
                    self._mark(mark, (26, y - 6))
            y += 3
        return y

    def _said(self, said: str) -> Iterator[tuple[str, str]]:
        """Mark and words, a line each."""
        view = self.view
        yield "", f"{said}; rows from the top"
        yield "", counted(view)
        if len(_zones(view)) > 1:
            yield "", "large number: pass"
        if self.r >= 5:
            yield "dot", f"every {EVERY}th hole of a row"
        if view.plugged:
            yield "plugged", legend_of("plugged", view.plugged, view.pairs)
        if view.to_plug:
            yield "to plug", legend_of("to plug", view.to_plug, view.pairs)
        yield from self._said_of_walls()
        if view.note:
            yield "", view.note

    def _said_of_walls(self) -> Iterator[tuple[str, str]]:
        view = self.view
        if view.read:
            yield "", f"walls measured: {view.read} holes; {view.limit}"
        if view.thin:
            yield "thin", f"over the site's limit, {len(view.thin)}: {_some(view.thin)}"
        if view.worn:
            yield "worn", f"{WORN_FROM:.0%} of the wall gone or more, {len(view.worn)}"

    def _mark(self, mark: str, at: Point) -> None:
        if mark == "to plug":
            self._crossed(at, 10)
        elif mark == "thin":
            self._square(at, 9)
        elif mark == "worn":
            self.sheet.circle(at, 8, "thin")
            self._half(at, 8)
        else:
            self.sheet.circle(at, 8, "thin", "ink" if mark == "plugged" else "none")
            if mark == "dot":
                self.sheet.circle(at, 2, "none", "ink")
