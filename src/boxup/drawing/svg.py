"""A sheet to draw on: line types, words, signs, and the SVG text at the end.

Ink is `currentColor`; the ground and the stop colour are the CSS variables `--ground` and `--stop`, so that one drawing serves a
white page, the dark blueprint and paper. A renderer that knows no CSS variables is given `plain(svg)`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from xml.sax.saxutils import escape

INK = "currentColor"
GROUND = "var(--ground,Canvas)"
STOP = "var(--stop,#8b0000)"
FACE = "'Source Sans Pro','Source Sans 3',Arial,Helvetica,sans-serif"
WORD = 18.0  # px, the smallest word on any drawing

Point = tuple[float, float]

# ISO 128 line types. Nothing thinner than 2 px (hatch 1.5): it has to survive sun, arm's length and a bad photocopy.
PENS: dict[str, str] = {
    "thin": "",  # said once, for the whole sheet
    "edge": 'stroke-width="2.5"',
    "mid": 'stroke-width="3.5"',
    "thick": 'stroke-width="5"',
    "phantom": 'stroke-width="2.5" stroke-dasharray="18 5 4 5 4 5"',
    "ring": 'stroke-width="2.5" stroke-dasharray="12 4 3 4 3 4"',
    "chain": 'stroke-width="2" stroke-dasharray="22 5 5 5"',
    "hidden": 'stroke-width="2" stroke-dasharray="9 5"',
    "hatch": 'stroke-width="1.6"',
    "none": 'stroke="none"',
}
FILLS: dict[str, str] = {"none": "", "ink": f' fill="{INK}"', "ground": f' fill="{GROUND}"', "stop": f' fill="{STOP}"'}


def num(value: float) -> str:
    """A length in px without float noise: one decimal, no trailing nought, no minus nought."""
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


_NOT_XML = re.compile("[^\t\n\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def safe(text: str) -> str:
    """Text for XML: escaped, and without the characters no XML file may hold."""
    return escape(_NOT_XML.sub("", text), {'"': "&quot;", "'": "&#39;"})


def discs(at: Iterable[Point], r: float) -> str:
    """Many circles of one radius as the `d` of one path."""
    n, w = num(r), num(2 * float(num(r)))
    turn = f"a{n},{n} 0 1 0 {w},0a{n},{n} 0 1 0-{w},0"
    return "".join(f"M{num(x - r)},{num(y)}{turn}" for x, y in at)


def dots(at: Iterable[Point]) -> str:
    """Many places as the `d` of one path that draws discs of its own stroke's width, its ends round: a seventh of the weight of `discs`."""
    found, x, y = [], 0.0, 0.0
    for to_x, to_y in at:
        found.append(f"m{num(to_x - x)},{num(to_y - y)}h0")
        x, y = round(x + float(num(to_x - x)), 1), round(y + float(num(to_y - y)), 1)  # where the pen is, so that no rounding adds up
    return "".join(found)


_NARROW, _SLIM, _WIDE = frozenset("iIjl.,:;|!'() "), frozenset("frt-/[]"), frozenset("mMW@%")


def text_width(text: str, size: float, bold: bool = False) -> float:
    """How wide a line of words is, px, on the generous side (Source Sans is narrower than the Arial this follows)."""
    return _em(text) * size * (1.06 if bold else 1.02)


def _set_width(text: str, size: float) -> float:
    """px that a line is set to, whatever typeface the machine has: near what ours needs, and less than is kept free for it."""
    return 0.94 * _em(text) * size


def _em(text: str) -> float:
    return sum(0.28 if c in _NARROW else 0.36 if c in _SLIM else 0.88 if c in _WIDE else 0.7 if c.isupper() else 0.556 for c in text)


def wrap(text: str, size: float, room: float, bold: bool = False) -> list[str]:
    """`text` in lines no wider than `room`, broken at plain spaces; a single word that is wider stands alone on its line."""
    lines: list[str] = []
    for word in text.split(" "):
        tried = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(tried, size, bold) <= room:
            lines[-1] = tried
        else:
            lines.append(word)
    return lines or [""]


_FITTED = re.compile(r' textLength="[\d.]+" lengthAdjust="spacingAndGlyphs"')


class Sheet:
    """Collects what is drawn; `text()` gives the SVG. `height` may be set when the last line is known.

    turned: quarters of a turn, clockwise, between how the sheet is laid out, lying, and how it is shown, standing: 1, x runs down and y to
    the left; -1, x runs up and y to the right; 0, it is shown as it is laid out. Every word is turned back to be read.
    `head`: px left free over it for what is drawn `aside`, which is not turned.
    """

    def __init__(self, width: float, height: float, title: str, desc: str, *, role: str = "img", turned: int = 0) -> None:
        self.width, self.height, self.title, self.desc, self.role = width, height, title, desc, role
        self.turned, self.standing, self.head, self.foot = turned, turned, 0.0, 0.0
        self._out: list[str] = []
        self._aside: list[str] = []

    def raw(self, text: str) -> None:
        """Markup that is already safe."""
        self._out.append(text)

    def path(self, d: str, pen: str = "thin", fill: str = "none") -> None:
        """A path; `d` in px."""
        self.raw(f'<path d="{d}" {PENS[pen]}{FILLS[fill]}/>')

    def line(self, a: Point, b: Point, pen: str = "thin") -> None:
        """A straight line from a to b."""
        self.path(f"M{num(a[0])},{num(a[1])}L{num(b[0])},{num(b[1])}", pen)

    def run(self, points: Sequence[Point], pen: str = "thin", fill: str = "none", close: bool = False) -> None:
        """Straight lines through `points`."""
        self.path("M" + "L".join(f"{num(x)},{num(y)}" for x, y in points) + ("Z" if close else ""), pen, fill)

    def segments(self, pairs: Iterable[tuple[Point, Point]], pen: str = "thin") -> None:
        """Many separate lines as one path."""
        d = "".join(f"M{num(a[0])},{num(a[1])}L{num(b[0])},{num(b[1])}" for a, b in pairs)
        if d:
            self.path(d, pen)

    def rect(self, x: float, y: float, w: float, h: float, pen: str = "thin", fill: str = "none", r: float = 0) -> None:
        """A rectangle from its upper left corner."""
        corner = f' rx="{num(r)}"' if r else ""
        self.raw(f'<rect x="{num(x)}" y="{num(y)}" width="{num(w)}" height="{num(h)}"{corner} {PENS[pen]}{FILLS[fill]}/>')

    def circle(self, at: Point, r: float, pen: str = "thin", fill: str = "none") -> None:
        """A circle."""
        self.raw(f'<circle cx="{num(at[0])}" cy="{num(at[1])}" r="{num(r)}" {PENS[pen]}{FILLS[fill]}/>')

    def words(
        self, x: float, y: float, text: str, size: float = WORD, *, anchor: str = "middle", bold: bool = False, fill: str = "ink",
        along: bool = False,
    ) -> None:  # fmt: skip
        """One line of words, `y` its foot; never lighter than semibold, for the copier.

        It is set to one length in every typeface: a phone without our typeface may put a much wider one in its place.
        along: on a turned sheet, with its line, read from the right; else across it, as the sheet is held.
        """
        weight = ' font-weight="700"' if bold else ""  # 600 is said once, for the whole sheet
        place = "" if anchor == "middle" else f' text-anchor="{anchor}"'
        back = (90 + 90 * self.turned if along else -90 * self.turned) if self.turned else 0
        place += f' transform="rotate({back} {num(x)} {num(y)})"' if back else ""
        fitted = f' textLength="{num(_set_width(text, size))}" lengthAdjust="spacingAndGlyphs"' if len(text.strip()) > 1 else ""
        self.raw(
            f'<text x="{num(x)}" y="{num(y)}" font-size="{num(size)}"{place}{weight}{fitted}{FILLS[fill]} stroke="none">{safe(text)}</text>'
        )

    def arrow(self, tip: Point, away: Point, size: float = 12) -> None:
        """A filled head at `tip`, pointing away from `away`."""
        dx, dy = tip[0] - away[0], tip[1] - away[1]
        n = (dx * dx + dy * dy) ** 0.5 or 1.0
        ux, uy = dx / n, dy / n
        a = (tip[0] - size * ux - size * 0.3 * uy, tip[1] - size * uy + size * 0.3 * ux)
        b = (tip[0] - size * ux + size * 0.3 * uy, tip[1] - size * uy - size * 0.3 * ux)
        self.run((tip, a, b), "none", "ink", close=True)

    def stop(self, x: float, y: float, r: float = 34) -> None:
        """The only coloured sign: an octagon with the word STOP, centre at x, y."""
        c, s = r * 0.924, r * 0.383
        ring = [(-s, -c), (s, -c), (c, -s), (c, s), (s, c), (-s, c), (-c, s), (-c, -s)]
        d = "M" + "L".join(f"{num(x + a)},{num(y + b)}" for a, b in ring) + "Z"
        self.raw(f'<path d="{d}" stroke="{STOP}" stroke-width="3"{FILLS["stop"]}/>')
        size = max(WORD, r * 0.62)
        self.words(x, y + size * 0.35, "STOP", size, bold=True, fill="ground")

    @contextmanager
    def group(self, **data: str) -> Iterator[None]:
        """What belongs together and can be touched: `group(joint="J4")` gives `data-joint`."""
        self.raw("<g" + "".join(f' data-{key.replace("_", "-")}="{safe(value)}"' for key, value in data.items()) + ">")
        yield
        self.raw("</g>")

    @contextmanager
    def link(self, target: str | None, name: str = "") -> Iterator[None]:
        """A link round what is drawn; None draws it without one. `name`: what it is called where no word is drawn within it."""
        if target:
            said = f' aria-label="{safe(name)}"' if name else ""
            self.raw(f'<a href="{safe(target)}"{said}>')
        yield
        if target:
            self.raw("</a>")

    @contextmanager
    def upright(self, at: Point) -> Iterator[None]:
        """What is drawn about `at` stands as it is drawn, on a turned sheet too."""
        if not self.turned:
            yield
            return
        self.raw(f'<g transform="rotate({-90 * self.turned} {num(at[0])} {num(at[1])})">')
        self.turned = 0
        yield
        self.raw("</g>")
        self.turned = self.standing

    @contextmanager
    def aside(self) -> Iterator[None]:
        """What stands over or under a turned drawing, measured on the sheet as it is shown."""
        if not self.standing:
            yield
            return
        self._out, self._aside, self.turned = self._aside, self._out, 0
        yield
        self._out, self._aside, self.turned = self._aside, self._out, self.standing

    def _drawn(self) -> str:
        if not self.standing:
            return "".join(self._out)
        down = f"0 1 -1 0 {num(self.height)} {num(self.head)}"
        up = f"0 -1 1 0 0 {num(self.head + self.width)}"
        return "".join(self._aside) + f'<g transform="matrix({down if self.standing > 0 else up})">' + "".join(self._out) + "</g>"

    def text(self) -> str:
        """The finished SVG."""
        w, h = num(self.width), num(self.height)
        if self.standing:
            w, h = num(self.height), num(self.width + self.head + self.foot)
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" role="{self.role}" width="{w}" height="{h}" viewBox="0 0 {w} {h}" '
            f'font-family="{FACE}" font-weight="600">'
            f"<title>{safe(self.title)}</title><desc>{safe(self.desc)}</desc>"
            f'<g fill="none" stroke="{INK}" stroke-width="2" stroke-linejoin="round" text-anchor="middle">{self._drawn()}</g></svg>'
        )


def plain(svg: str, ink: str = "#000", ground: str = "#fff", stop: str = "#8b0000") -> str:
    """The same drawing with its colours written out, for a renderer that knows neither CSS variables nor an inherited colour.

    It has the typeface, which is narrower than the widths reckoned with: its words keep their own length.
    """
    coloured = _FITTED.sub("", svg).replace(GROUND, ground).replace(STOP, stop)
    return coloured.replace('<svg xmlns="http://www.w3.org/2000/svg"', f'<svg xmlns="http://www.w3.org/2000/svg" color="{ink}"', 1)
