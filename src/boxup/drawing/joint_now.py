"""A joint's bolt circle as the record has it: its balloon at the size of a page, with every stud's number, and the gaps at their places."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, cos, pi, sin

from boxup.drawing.balloon import TURNED, cloud, share_of, triangle
from boxup.drawing.svg import GROUND, WORD, Point, Sheet, discs, num, text_width, wrap
from boxup.drawing.view import JointLook
from boxup.joint.gaps import Tilt, said, tilt_of

SHOWN_TILT, HALF_ARC = 0.05, pi / 9  # mm: what a feeler shows; rad to each side of the low point
CLOUD = 30.0  # px round the numbers that a revision cloud takes


@dataclass(frozen=True, slots=True)
class JointNow:
    """What is shown. look: as on its balloon; next: studs to go on with, black; stopped: the stud the last time round stopped at, ringed.

    dry: studs pulled on dry threads, an open ring at the end of the stroke. gaps: mm, clockwise from 12. width: px.
    """

    name: str
    look: JointLook
    studs: int
    next: tuple[int, ...] = ()
    stopped: int | None = None
    dry: tuple[int, ...] = ()
    gaps: tuple[float, ...] = ()
    seen_from: str = "from the nut side"
    width: int = 560

    @property
    def tilt(self) -> Tilt | None:
        """Of the gaps, where there is one that a feeler shows."""
        found = tilt_of(self.gaps)
        return found if found and found.tilt >= SHOWN_TILT else None

    def gaps_shown(self, inner: float) -> bool:
        """Whether there is room for them within the circle; on a phone they stand in the table alone."""
        return len(self.gaps) in (4, 8) and inner - (40 if self.look.low else 20) >= 120

    def __post_init__(self) -> None:
        if self.studs < 4:
            raise ValueError(f"{self.studs} studs: a bolt circle has 4 or more")


def joint_now(given: JointNow) -> str:
    """SVG: inside, the joint, its word and the gaps; a stroke at each stud that grows with each time round; outside, the numbers."""
    desc = " ".join([f"Studs numbered clockwise from 12 o'clock, seen {given.seen_from}.", *_desc(given)])
    sheet = Sheet(given.width, given.width + 8, f"{given.name}: {_word(given.look)}", desc)
    if given.look.state == "off":
        return _off(sheet, given)
    edge = given.width / 2 - 4 - (CLOUD if given.look.findings else 0)
    centre = (given.width / 2, given.width / 2 + 4)
    number_r = edge - 15
    outer = number_r - 20
    inner = outer - given.width * 0.12
    _ring(sheet, given, centre, (inner, outer, number_r))
    _middle(sheet, given, centre, inner)
    if given.look.findings:
        _triangles(sheet, given, centre, number_r)
    return sheet.text()


def _off(sheet: Sheet, given: JointNow) -> str:
    """Nothing is there yet: a phantom circle, and small."""
    r = given.width * 0.22
    margin = 48 if given.look.findings else 8
    sheet.height = round(2 * (r + margin))
    centre = (given.width / 2, r + margin)
    if given.look.findings:
        cloud(sheet, centre, (r + 16) / 1.3)
    sheet.circle(centre, r, "phantom")
    _middle(sheet, given, centre, r)
    if given.look.findings:
        _triangles(sheet, given, centre, r - 8)
    return sheet.text()


def _word(look: JointLook) -> str:
    return ", ".join(filter(None, (look.word, look.low_words)))


def _desc(given: JointNow) -> Iterator[str]:
    """For who cannot see it."""
    if given.next:
        yield f"Next: {_listed(given.next)}."
    if given.stopped:
        yield f"Stopped at stud {given.stopped}."
    if given.dry:
        yield f"Dry, wet or dirty threads: {_listed(given.dry)}."
    if given.gaps:
        yield f"Gaps clockwise from 12: {', '.join(f'{gap:g}' for gap in given.gaps)} mm."
    if given.tilt:
        yield f"Tilt {said(given.tilt)}."


def _listed(studs: Sequence[int]) -> str:
    return ", ".join(map(str, studs))


def _at(centre: Point, r: float, a: float) -> Point:
    return centre[0] + r * cos(a), centre[1] + r * sin(a)


def _angle(stud: int, studs: int) -> float:
    return -pi / 2 + 2 * pi * (stud - 0.5) / studs  # holes straddle the centre line


def _ring(sheet: Sheet, given: JointNow, centre: Point, radii: tuple[float, float, float]) -> None:
    inner, outer, number_r = radii
    look = given.look
    if look.findings:
        cloud(sheet, centre, (number_r + 22 - 4) / 1.3)
    if look.state == "tested dry":
        sheet.circle(centre, outer, "none", "ink")
    else:
        sheet.circle(centre, inner, "edge")
    if given.tilt and given.gaps_shown(inner):
        _closed_side(sheet, centre, inner - 9, given.tilt)
    if look.state in TURNED:
        _rays(sheet, given, centre, inner, outer)
    _low(sheet, given, centre, inner)
    _numbers(sheet, given, centre, number_r)


def _closed_side(sheet: Sheet, centre: Point, r: float, tilt: Tilt) -> None:
    """A thick arc inside the circle where the flanges are closest."""
    a = tilt.low - pi / 2
    (x, y), (u, v) = _at(centre, r, a - HALF_ARC), _at(centre, r, a + HALF_ARC)
    sheet.raw(f'<path d="M{num(x)},{num(y)}A{num(r)},{num(r)} 0 0 1 {num(u)},{num(v)}" fill="none" stroke-width="7"/>')


def _rays(sheet: Sheet, given: JointNow, centre: Point, inner: float, outer: float) -> None:
    width = max(2.5, min(9.0, 2 * pi * inner / given.studs * 0.5))
    lines, dots, rings = [], [], []
    for stud in range(1, given.studs + 1):
        a, share = _angle(stud, given.studs), share_of(given.look, stud - 1)
        if share > 0:
            end = inner + (outer - inner) * share
            (x, y), (u, v) = _at(centre, inner, a), _at(centre, end, a)
            lines.append(f"M{num(x)},{num(y)}L{num(u)},{num(v)}")
            if stud in given.dry:
                rings.append(_at(centre, end, a))
        else:
            dots.append(_at(centre, inner + 7, a))
    if lines:
        sheet.raw(f'<path d="{"".join(lines)}" stroke-width="{num(width)}"/>')
    if dots:
        sheet.path(discs(dots, 4), "none", "ink")
    if rings:
        sheet.path(discs(rings, max(5.0, width * 0.7)), "edge", "ground")


def _low(sheet: Sheet, given: JointNow, centre: Point, inner: float) -> None:
    """A wedge on the inside of a stud found low."""
    for stud in given.look.low:
        a = _angle(stud, given.studs)
        wedge = (_at(centre, inner - 3, a), _at(centre, inner - 22, a - 0.035), _at(centre, inner - 22, a + 0.035))
        sheet.run(wedge, "none", "ink", close=True)


def _numbers(sheet: Sheet, given: JointNow, centre: Point, r: float) -> None:
    """Every number where there is room, else every so many, and those with something to say."""
    every = ceil(23 / (2 * pi * r / given.studs))
    special = {*given.next, *given.look.low, given.stopped}
    for stud in range(1, given.studs + 1):
        if (stud - 1) % every and stud not in special:
            continue
        x, y = _at(centre, r, _angle(stud, given.studs))
        if stud in given.next or stud == given.stopped:
            sheet.circle((x, y), 14, "edge", "ink" if stud in given.next else "ground")
        sheet.words(x, y + 6, str(stud), WORD, bold=stud in special, fill="ground" if stud in given.next else "ink")


def _middle(sheet: Sheet, given: JointNow, centre: Point, inner: float) -> None:
    """The joint, its word, and each gap at its place."""
    fill = "ground" if given.look.state == "tested dry" else "ink"
    x, y = centre
    large = min(64.0, inner * 0.42)
    size = 24.0 if given.width >= 480 else WORD
    lines = wrap(_word(given.look), size, inner * 1.25, bold=True)
    foot = y - len(lines) * size * 0.6 + large * 0.25
    name = min(large, large * inner * 1.3 / text_width(given.name, large, bold=True))
    sheet.words(x, foot, given.name, name, bold=True, fill=fill)
    if given.look.state == "undone":
        across = inner * 0.6
        d = f"M{num(x - across)},{num(foot + name * 0.24 + 8)}L{num(x + across)},{num(foot + name * 0.24)}"
        sheet.raw(f'<path d="{d}" stroke="{GROUND}" stroke-width="11"/><path d="{d}" stroke-width="5"/>')
        foot += name * 0.24 + 6
    for n, line in enumerate(lines):
        sheet.words(x, foot + 12 + (n + 1) * size * 1.15 - 6, line, size, bold=True, fill=fill)
    if given.look.state != "off" and given.gaps_shown(inner):
        _gaps(sheet, given, centre, inner - (40 if given.look.low else 28 if given.tilt else 20), fill)


def _gaps(sheet: Sheet, given: JointNow, centre: Point, r: float, fill: str) -> None:
    count = len(given.gaps)
    for k, gap in enumerate(given.gaps):
        a = -pi / 2 + 2 * pi * k / count
        px, py = _at(centre, r - text_width(f"{gap:g}", WORD) / 2 * abs(cos(a)) * 0.8, a)
        sheet.words(px, py + 6, f"{gap:g}", WORD, fill=fill)


def _triangles(sheet: Sheet, given: JointNow, centre: Point, r: float) -> None:
    """The numbers of the findings in their triangles, upper right and upper left."""
    found = given.look.findings
    shown = found if len(found) <= 2 else (found[0], f"+{len(found) - 1}")
    for number, side in zip(shown, (1, -1), strict=False):
        triangle(sheet, (centre[0] + side * (r + 34) * 0.76, centre[1] - (r + 34) * 0.76), number)
