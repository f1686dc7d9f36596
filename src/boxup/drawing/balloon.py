"""A joint's balloon is its own bolt circle, inked in as the studs are pulled up."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, pi, sin

from boxup.drawing.svg import GROUND, WORD, Point, Sheet, discs, num, text_width, wrap
from boxup.drawing.view import JointLook

LIST_SIZE, FULL_SIZE = 26.0, 56.0  # px across: twelve rays; from here on a ray for each stud
TURNED = ("snug", "pass", "pulled up", "undone")


def balloon(name: str, look: JointLook, studs: int = 36, size: float = LIST_SIZE, *, said: str = "") -> str:
    """One balloon as an SVG of `size` px square: 26 for lists, 56 and up with a ray for each stud as far as rays can be told apart.

    said: how the title names it when that is not the joint's name and the state's word. The word itself stands beside it on the page.
    """
    words = said or ", ".join(filter(None, (f"{name}: {look.word}", look.low_words)))
    across = 2 * reach(size, look) + 6 if size >= FULL_SIZE else size + 6
    sheet = Sheet(across, across, words, "The bolt circle of the joint, inked in pass by pass.")
    draw(sheet, (across / 2, across / 2), size, name, look, studs)
    return sheet.text()


def key(width: int = 720, studs: int = 36) -> str:
    """The states of a joint, each drawn and named: the key that stands beside lists and on the first sheet of a pack."""
    half, third = studs // 2, studs // 3
    looks = [
        JointLook("off"), JointLook("in"), JointLook("snug"), JointLook("pass", (1,) * studs),
        JointLook("pass", (2,) * half + (1,) * (studs - half), stud=half),
        JointLook("pass", (3,) * (studs - third) + (2,) * third, stud=studs - third),
        JointLook("pulled up"), JointLook("pulled up", low=(15, 16, 17) if studs > 17 else (1,)), JointLook("tested dry"),
        JointLook("undone"), JointLook("undone", findings=("1",)),
    ]  # fmt: skip
    words = [", ".join(filter(None, (k.word, k.low_words))) + (", open finding 1" if k.findings else "") for k in looks]
    columns = max(1, int(width // 360))
    across, size, row = width / columns, 60.0, 92.0
    rows = -(-len(looks) // columns)
    desc = "Each joint's balloon is its own bolt circle, inked in as its studs are pulled up."
    sheet = Sheet(width, rows * row + 32, "The states of a joint", desc)
    for i, (look, said) in enumerate(zip(looks, words, strict=True)):
        x, y = (i // rows) * across, (i % rows) * row + 16 + row / 2
        draw(sheet, (x + 62, y), size, "J4", look, studs)
        draw(sheet, (x + 140, y), LIST_SIZE, "J4", look, studs)
        for n, line in enumerate(lines := wrap(said, WORD, across - 172)):
            sheet.words(x + 166, y + 6 + (n - (len(lines) - 1) / 2) * 22, line, anchor="start")
    return sheet.text()


def draw(sheet: Sheet, at: Point, size: float, name: str, look: JointLook, studs: int = 36) -> None:
    """The balloon with its centre `at`, `size` px across; a cloud and numbered triangles round it where a finding is open."""
    large, r = size >= FULL_SIZE, size / 2
    inner = r * 0.6 if large else r - 4.5
    if look.findings and large:
        cloud(sheet, at, r)
    sheet.circle(at, _seen(look, inner, r) + 2, "none", "ground")
    if look.state == "tested dry":
        sheet.circle(at, r, "none", "ink")
    else:
        sheet.circle(at, inner, "ring" if look.state == "off" else "edge")
    if look.state in TURNED:
        _rays(sheet, at, inner, r, look, max(studs, 1))
    _name(sheet, at, inner, name, "ground" if look.state == "tested dry" else "ink", large)
    if look.state == "undone":
        _struck(sheet, at, r, inner)
    if look.findings and large:
        _triangles(sheet, at, r, look.findings)


def _seen(look: JointLook, inner: float, r: float) -> float:
    """The radius up to which this state has ink."""
    if look.state in ("off", "in"):
        return inner
    return inner + 7 if look.state == "snug" else r


def reach(size: float, look: JointLook) -> float:
    """How far from its centre a balloon reaches, px, cloud and triangle included."""
    return size / 2 * 1.05 + 8 + 26 if look.findings else size / 2 + 7


def _name(sheet: Sheet, at: Point, inner: float, name: str, fill: str, large: bool) -> None:
    text = name if large else name.lstrip("J")
    size = max(WORD, min(26.0, inner * 0.86)) if large else WORD
    if text_width(text, size, bold=True) <= 2 * inner - 3:  # a longer name stands beside the balloon in its list
        sheet.words(at[0], at[1] + size * 0.35, text, size, bold=True, fill=fill)


def _rays(sheet: Sheet, at: Point, inner: float, r: float, look: JointLook, studs: int) -> None:
    count = min(studs, int(pi * (inner + r) / 3.4)) if r * 2 >= FULL_SIZE else min(studs, 12)
    width = max(2.0, min(2 * pi * (inner + r) / 2 / count * 0.58, 7.0))
    rays, dots = [], []
    for k in range(count):
        stud = int(k * studs / count)
        a = -pi / 2 + 2 * pi * (k + 0.5) / count  # bolt holes straddle the centre line
        share = share_of(look, stud)
        start = inner + 1
        if share > 0:
            rays.append(_ray(at, a, start, start + (r - start) * share))
        else:
            dots.append((at[0] + (inner + 4) * cos(a), at[1] + (inner + 4) * sin(a)))
    if rays:
        sheet.raw(f'<path d="{"".join(rays)}" stroke-width="{num(width)}"/>')
    dot = min(2.2, 2 * pi * (inner + 4) / count * 0.34)
    if dots:
        sheet.path(discs(dots, dot), "none", "ink")


def share_of(look: JointLook, stud: int) -> float:
    """How much of its ray a stud has: 0 is a dot."""
    if look.state == "snug":
        return 0.0
    if stud + 1 in look.low:
        return 0.3
    if look.state == "pulled up" or not look.passes:
        return 1.0
    done = look.passes[stud % len(look.passes)]
    return min(1.0, 0.12 + 0.88 * done / max(look.of, 1)) if done else 0.0


def _ray(at: Point, a: float, start: float, end: float) -> str:
    x, y = at
    return f"M{num(x + start * cos(a))},{num(y + start * sin(a))}L{num(x + end * cos(a))},{num(y + end * sin(a))}"


def _struck(sheet: Sheet, at: Point, r: float, inner: float) -> None:
    """One stroke of the pen below the name, with ground on both sides of it."""
    x, y = at
    large = r * 2 >= FULL_SIZE
    low, across, thick, clear = (inner * 0.8, r + 7, 4, 6) if large else (inner * 1.12, r + 2, 3, 2)
    d = f"M{num(x - across)},{num(y + low + r * 0.14)}L{num(x + across)},{num(y + low - r * 0.14)}"
    sheet.raw(f'<path d="{d}" stroke="{GROUND}" stroke-width="{thick + clear}"/><path d="{d}" stroke-width="{thick}"/>')


def cloud(sheet: Sheet, at: Point, r: float) -> None:
    """A revision cloud round a balloon of radius r."""
    far = r * 1.3 + 4
    n = max(9, round(2 * pi * far / 26))
    points = list(_around(at, far, n))
    bow = 2 * pi * far / n * 0.56
    d = f"M{num(points[-1][0])},{num(points[-1][1])}" + "".join(f"A{num(bow)},{num(bow)} 0 0 1 {num(x)},{num(y)}" for x, y in points)
    sheet.path(d + "Z", "edge", "ground")


def _around(at: Point, r: float, n: int) -> Iterator[Point]:
    for k in range(n):
        yield at[0] + r * cos(2 * pi * k / n), at[1] + r * sin(2 * pi * k / n)


def _triangles(sheet: Sheet, at: Point, r: float, findings: tuple[str, ...]) -> None:
    """The numbers of the findings, each in its triangle: upper right, then upper left; more than two are counted in the second."""
    shown = findings if len(findings) <= 2 else (findings[0], f"+{len(findings) - 1}")
    for number, side in zip(shown, (1, -1), strict=False):
        triangle(sheet, (at[0] + side * (r * 1.05 + 8), at[1] - r * 1.05 - 2), number)


def triangle(sheet: Sheet, at: Point, number: str) -> None:
    """A finding's number in its triangle, centre of the base region at `at`."""
    x, y = at
    half = max(21.0, text_width(number, WORD, bold=True) / 2 + 13)
    sheet.run(((x, y - 26), (x + half, y + 12), (x - half, y + 12)), "edge", "ground", close=True)
    sheet.words(x, y + 8, number, WORD, bold=True)
