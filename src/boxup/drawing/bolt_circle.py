"""The sheet a crew tightens by: every stud with its number, its place in the order, and a box for each pass."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi, sin

from boxup.drawing.stop import stop_line
from boxup.drawing.svg import WORD, Point, Sheet, num, text_width, wrap

LEAST_WIDTH = 320
ROW = 54.0  # px: 12 mm where the sheet is printed 160 mm wide and drawn 720 px wide


@dataclass(frozen=True, slots=True)
class BoltCircle:
    """What the sheet shows.

    order: every stud once, in the order of tightening, `tools` of them at a time (the last time perhaps fewer). passes: one line of
    words for each pass box ("Pass 1: 30 %, 185 N·m"). torque: the final torque, one line of words for each unit ("615 N·m",
    "(455 lbf·ft)"), in the middle under the joint. seen_from: the side the numbers are read from ("from the channel side"). low: studs
    found low. stop: words beside a STOP sign. width: px; grows where the studs need it.
    """

    joint: str
    studs: int
    order: tuple[int, ...]
    tools: int = 1
    passes: tuple[str, ...] = ()
    title: str = ""
    datum: str = "match mark"
    low: tuple[int, ...] = ()
    stop: str = ""
    width: int = 720
    torque: tuple[str, ...] = ()
    seen_from: str = "from the nut side"

    def __post_init__(self) -> None:
        if self.studs < 4:
            raise ValueError(f"{self.studs} studs: a bolt circle has 4 or more")
        if sorted(self.order) != list(range(1, self.studs + 1)):
            raise ValueError(f"the order must name each of the studs 1 to {self.studs} once; it has {len(self.order)} entries")
        if not 1 <= self.tools <= self.studs:
            raise ValueError(f"{self.tools} tools at a time on {self.studs} studs; accepted: 1 to {self.studs}")


def bolt_circle(given: BoltCircle) -> str:
    """SVG: studs numbered clockwise from 12, seen from the side named; outside them the order of tightening; below, the pass boxes."""
    width = max(float(given.width), least_width(given.studs), LEAST_WIDTH)
    title = given.title or f"{given.joint}: {given.studs} studs, order of tightening"
    groups = [given.order[i : i + given.tools] for i in range(0, given.studs, given.tools)]
    said = ", ".join("-".join(map(str, g)) for g in groups)
    desc = f"Studs numbered clockwise from 12 o'clock, seen {given.seen_from}. Order: {said}."
    if given.torque:
        desc += f" Final torque {' '.join(given.torque)}."
    sheet = Sheet(width, 100, title, desc)
    top = 8.0 + stop_line(sheet, given.stop, width)
    centre = (width / 2, top + 34 + width / 2 - 8)
    _ring(sheet, given, centre, width)
    y = _legend(sheet, given, centre[1] + width / 2 - 2, width)
    y = _boxes(sheet, given, y, width)
    sheet.height = round(y + 6)
    return sheet.text()


def least_width(studs: int) -> float:
    """px below which the numbers of that many studs would touch."""
    return studs * 25.0 / pi + 2 * 64


def _angle(stud: int, studs: int) -> float:
    return -pi / 2 + 2 * pi * (stud - 0.5) / studs  # holes straddle the centre line; stud 1 is the first clockwise of 12


def _at(centre: Point, r: float, a: float) -> Point:
    return centre[0] + r * cos(a), centre[1] + r * sin(a)


def _ring(sheet: Sheet, given: BoltCircle, centre: Point, width: float) -> None:
    outer = width / 2 - 12
    number_r = outer - 22  # where the order stands
    bolt_r = number_r - (46 if width >= 560 else 40)
    pitch = 2 * pi * bolt_r / given.studs
    r = max(12.5, min(22.0, pitch / 2 - 2))
    size = max(WORD, min(22.0, r * 0.95))
    sheet.circle(centre, outer, "edge")
    sheet.circle(centre, bolt_r, "chain")
    sheet.circle(centre, bolt_r - r - 12, "thin")
    places = {stud: i // given.tools + 1 for i, stud in enumerate(given.order)}
    for stud in range(1, given.studs + 1):
        a = _angle(stud, given.studs)
        x, y = _at(centre, bolt_r, a)
        first = places[stud] == 1
        sheet.circle((x, y), r, "edge", "ink" if first else "ground")
        sheet.words(x, y + size * 0.35, str(stud), size, bold=first, fill="ground" if first else "ink")
        if stud in given.low:
            _notch(sheet, centre, bolt_r - r - 12, a)
        ox, oy = _at(centre, number_r, a)
        order_size = max(WORD, min(26.0, 2 * pi * number_r / given.studs * 0.62))
        sheet.words(ox, oy + order_size * 0.35, str(places[stud]), order_size, bold=True)
    _datum(sheet, given, centre, outer)
    _middle(sheet, given, centre, bolt_r - r - 26)


def _how(given: BoltCircle) -> list[str]:
    """How the numbers are read."""
    together = "one stud at a time" if given.tools == 1 else f"the {given.tools} with the same number together"
    said = [f"Outer number: order, {together}.", "Black: start here."]
    return [*said, "Wedge: found low."] if given.low else said


def _roomy(width: float) -> bool:
    return width >= 560


def _legend(sheet: Sheet, given: BoltCircle, y: float, width: float) -> float:
    """Where the circle has no room inside for it: how the numbers are read, below."""
    if _roomy(width):
        return y
    for words in (f"Seen {given.seen_from}, clockwise.", *_how(given)):
        for line in wrap(words, WORD, width - 20):
            y += 24
            sheet.words(width / 2, y - 2, line)
    return y + 4


def _notch(sheet: Sheet, centre: Point, r: float, a: float) -> None:
    """A low stud: a wedge on the inside of it."""
    sheet.run((_at(centre, r + 8, a), _at(centre, r - 14, a - 0.035), _at(centre, r - 14, a + 0.035)), "none", "ink", close=True)


def _datum(sheet: Sheet, given: BoltCircle, centre: Point, outer: float) -> None:
    """12 o'clock: a triangle on the rim, and what is found there on the flange."""
    x, y = centre[0], centre[1] - outer
    sheet.run(((x, y + 2), (x - 11, y - 16), (x + 11, y - 16)), "none", "ink", close=True)
    words = f"12 o'clock, {given.datum}" if given.datum else "12 o'clock"
    fits = text_width(words, WORD) + 26 < centre[0]
    sheet.words(x + 20, y - 4, words if fits else "12 o'clock", anchor="start")


def _middle(sheet: Sheet, given: BoltCircle, centre: Point, room: float) -> None:
    """The joint, how to read the numbers, and which way they run."""
    x, y = centre
    lines = [f"{given.studs} studs"]
    if _roomy(sheet.width):
        said = (f"{given.studs} studs, seen {given.seen_from}", *_how(given))
        lines = [line for words in said for line in wrap(words, WORD, room * 1.5)]
    large = min(56.0, room * 0.42)
    torque = _torque(given, room)
    tall = large + len(lines) * 24 + sum(size + 4 for _, size in torque) + (6 if torque else 0)
    foot = y - tall / 2 + large * 0.8
    sheet.words(x, foot, given.joint, large, bold=True)
    for words, size in torque:
        foot += size + 4
        sheet.words(x, foot + 4, words, size, bold=True)
    foot += 6 if torque else 0
    for i, line in enumerate(lines):
        sheet.words(x, foot + 32 + i * 24, line)
    r = room + 2
    a0, a1 = -pi / 2 - 0.5, -pi / 2 + 0.42
    p0, p1 = _at(centre, r, a0), _at(centre, r, a1)
    sheet.path(f"M{num(p0[0])},{num(p0[1])}A{num(r)},{num(r)} 0 0 1 {num(p1[0])},{num(p1[1])}", "mid")
    sheet.arrow(_at(centre, r, a1 + 16 / r), _at(centre, r, a1 - 4 / r), 18)


def _torque(given: BoltCircle, room: float) -> list[tuple[str, float]]:
    """The lines of the final torque with their sizes: the first large, the others smaller, none wider than the middle."""
    most = [min(40.0, room * 0.3)] + [26.0] * (len(given.torque) - 1)
    fitting = [min(size, room * 1.5 / text_width(t, 1, bold=True)) for t, size in zip(given.torque, most, strict=False)]
    return [(t, round(max(WORD, size), 1)) for t, size in zip(given.torque, fitting, strict=True)]


def _boxes(sheet: Sheet, given: BoltCircle, y: float, width: float) -> float:
    """A line for each pass: what it is, then boxes for the initials and the time, big enough for a carpenter's pencil."""
    if not given.passes:
        return y
    y += 10
    wide = _roomy(width)
    by, at = (width - 300, width - 150) if wide else (width - 168, width - 84)
    end = width - 6
    sheet.words((by + at) / 2, y + 18, "by")
    sheet.words((at + end) / 2, y + 18, "time")
    y += 26
    for words in given.passes:
        lines = wrap(words, 20 if wide else WORD, by - 20)
        tall = max(ROW, 24.0 * len(lines) + 12)
        for x0, x1 in ((6.0, by), (by, at), (at, end)):
            sheet.rect(x0, y, x1 - x0, tall, "thin")
        for i, line in enumerate(lines):
            foot = y + tall / 2 + 7 + (i - (len(lines) - 1) / 2) * 24
            sheet.words(16, foot, line, 20 if wide else WORD, anchor="start", bold=i == 0 and wide)
        y += tall
    return y + 4
