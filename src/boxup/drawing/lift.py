"""Lifts: the bundle on two slings, a head or cover on its lifting points, and where nobody stands. Every number comes in as words."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2

from boxup.core.rounding import metric
from boxup.drawing.place import text_box
from boxup.drawing.stop import stop_line
from boxup.drawing.svg import WORD, Point, Sheet, num, text_width, wrap

WIDER = 1.3  # another typeface than ours
CLOSE = 220.0  # px between the picks under which two angles would stand on each other


@dataclass(frozen=True, slots=True)
class BundleLift:
    """A bundle on two slings.

    length: overall, m. left, right: the picks from the front face, m; gravity: the centre of gravity from there; hook: height of the
    hook over the picks, m. weight, left_load, right_load, left_angle, right_angle: words ("22.3 kN", "59°"); an angle left out is
    measured from the drawing. rear_smaller: the rear tubesheet is the smaller one. channel: length of the one that
    rides along in front, m. stop: words beside a STOP sign. zone: words under it.
    """

    tag: str
    length: float
    left: float
    right: float
    gravity: float
    hook: float
    weight: str = ""
    left_load: str = ""
    right_load: str = ""
    left_angle: str = ""
    right_angle: str = ""
    front_radius: float = 0.48
    rear_radius: float = 0.4
    rear_bend: bool = False
    channel: float = 0.0
    zone: str = ""
    stop: str = ""
    width: int = 720

    def __post_init__(self) -> None:
        if not -self.channel <= self.left < self.right <= self.length:
            got = f"{self.left:g} and {self.right:g} m of {self.length:g}"
            raise ValueError(f"{self.tag}: the picks must lie along the bundle, left before right; got {got}")
        if not self.left < self.gravity < self.right:
            picks = f"the picks at {self.left:g} and {self.right:g} m"
            raise ValueError(f"{self.tag}: the centre of gravity, {self.gravity:g} m, does not lie between {picks}")
        if self.hook <= 0:
            raise ValueError(f"{self.tag}: the hook must be above the picks; got {self.hook:g} m")


def bundle_lift(v: BundleLift) -> str:
    """SVG of the bundle on its slings: hook over the centre of gravity, distances, loads and angles of the legs, zone."""
    sheet = Sheet(v.width, 100, f"{v.tag}: the bundle on two slings", _desc(v))
    y = 8 + stop_line(sheet, v.stop, v.width)
    edge = 26.0
    whole = v.channel + v.length
    k = min((v.width - 2 * edge) / whole, 380 / (v.hook + 2 * v.front_radius))
    x0 = (v.width - whole * k) / 2 + v.channel * k
    hook = (x0 + v.gravity * k, y + 62)
    top = hook[1] + v.hook * k  # the picks: the top of the bundle
    axis = top + v.rear_radius * 0.93 * k
    _bundle(sheet, v, x0, axis, k)
    hook_sign(sheet, hook, v.weight)
    _legs(sheet, v, x0, top, hook, k)
    _gravity(sheet, (hook[0], axis))
    _tag_lines(sheet, v, x0, axis, k)
    y = _distances(sheet, v, x0, axis + v.front_radius * k + 58, k)
    y = zone_line(sheet, v.zone, y, v.width)
    sheet.height = round(y + 8)
    return sheet.text()


def _desc(v: BundleLift) -> str:
    where = f"hook over the centre of gravity at {v.gravity:g} m, {v.hook:g} m above the picks"
    said = [f"Picks at {v.left:g} and {v.right:g} m from the front face, {where}."]
    said += [f"The channel, {v.channel:.2f} m, hangs in front of the tubesheet."] if v.channel else []
    said += [f"{name} {words}." for name, words in (("Weight", v.weight), ("Left leg", v.left_load), ("Right leg", v.right_load)) if words]
    return " ".join([*said, v.zone, v.stop]).strip()


def _bundle(sheet: Sheet, v: BundleLift, x0: float, axis: float, k: float) -> None:
    """Tubesheets, tubes and baffles, to scale in length; the baffles evenly set, for the eye only."""
    body, end = v.rear_radius * 0.93 * k, x0 + v.length * k
    tail = body if v.rear_bend else 0.0
    for i in range(5):
        y = axis + body * (i - 2) / 2.25
        sheet.line((x0, y), (end - tail, y), "thin")
    for i in range(1, 14):
        x = x0 + (v.length * k - tail) * i / 14
        cut = body * 0.5
        sheet.line((x, axis - body + (cut if i % 2 else 0)), (x, axis + body - (0 if i % 2 else cut)), "mid")
    wide = max(8.0, 0.08 * k)
    if v.channel:
        _channel(sheet, v, x0, axis, k)
    sheet.rect(x0, axis - v.front_radius * k, wide, 2 * v.front_radius * k, "edge", "ground")
    if v.rear_bend:
        for share in (0.444, 0.889):
            r = body * share
            sheet.path(f"M{num(end - tail)},{num(axis - r)}A{num(r)},{num(r)} 0 0 1 {num(end - tail)},{num(axis + r)}", "thin")
    else:
        sheet.rect(end - wide, axis - v.rear_radius * k, wide, 2 * v.rear_radius * k, "edge", "ground")


def _channel(sheet: Sheet, v: BundleLift, x0: float, axis: float, k: float) -> None:
    """The channel that hangs with the bundle, in front of the tubesheet, its word over it."""
    long, half = v.channel * k, v.front_radius * 0.9 * k
    sheet.rect(x0 - long, axis - half, long, 2 * half, "edge", "ground")
    if v.left >= 0:  # else the first sling is there, and its own line says what it holds
        sheet.words(x0 - long / 2, axis - half - 8, "channel", anchor="middle")


def _tag_lines(sheet: Sheet, v: BundleLift, x0: float, axis: float, k: float) -> None:
    """A line at each end, led off by hand from outside the zone."""
    drop = v.front_radius * k + 16
    for side, x in ((-1, x0 - v.channel * k), (1, x0 + v.length * k)):
        out = min(20.0, x - 4 if side < 0 else sheet.width - x - 4)
        sheet.path(f"M{num(x)},{num(axis)}q{num(side * out)},{num(drop * 0.3)} {num(side * out)},{num(drop)}", "mid")
        anchor = "start" if side < 0 else "end"
        sheet.words(x + side * out, axis + drop + 16, "tag line", anchor=anchor)


def _legs(sheet: Sheet, v: BundleLift, x0: float, top: float, hook: Point, k: float) -> None:
    body = 2 * v.rear_radius * 0.93 * k
    legs = ((-1, v.left, v.left_load, v.left_angle, v.right), (1, v.right, v.right_load, v.right_angle, v.left))
    for side, at, load, angle, other in legs:
        x = x0 + at * k
        sheet.line(hook, (x, top), "thick")
        sheet.rect(x - 11, top - 3, 22, body + 6, "edge", "ground")  # a wide sling, over two baffles at least
        sheet.segments((((x - 11, top + d), (x + 11, top + d)) for d in (body * 0.33, body * 0.66)), "thin")
        words = angle or str(metric("angle", atan2(v.hook, abs(v.gravity - at)), "down"))
        close = side > 0 and (v.right - v.left) * k < CLOSE
        _angle(sheet, (x, top), hook, side, words, 22 if close else 0)
        if load:
            _load_words(sheet, load, (x, top), hook, side, x0 + other * k)


def _load_words(sheet: Sheet, load: str, pick: Point, hook: Point, side: int, other: float) -> None:
    """What a leg carries, outside it: half way up, or nearer the hook where the sheet would end before the words do.

    Where there is no room outside at all it stands inside, between the two legs. `other`: where the other leg is picked, px.
    """
    parts = load.replace(" ", "\u00a0").replace("\u00a0(", " (")
    longest = max(text_width(part, WORD, bold=True) for part in parts.split(" "))
    half, *higher = (_beside_leg(sheet, pick, hook, up / 10, side) for up in range(5, 10))
    (x, y), room = next((one for one in (half, *higher) if longest <= one[1]), half)
    if longest > room:
        parts = load  # not even near the hook: the unit goes on a line of its own
    if max(text_width(part, WORD, bold=True) for part in parts.split(" ")) > room:
        (x, y), room, side = _between(pick, hook, 0.35), abs(other - pick[0]) * 0.65 - 28, -side
    size = 22.0
    while text_width(load, size, bold=True) > room and size > WORD:
        size -= 1
    lines = wrap(parts, size, room, bold=True)
    for n, line in enumerate(lines):
        at = y + (n - len(lines) + 1) * (size + 3)
        sheet.words(x + side * 14, at, line, size, anchor="end" if side < 0 else "start", bold=True)


def _beside_leg(sheet: Sheet, pick: Point, hook: Point, up: float, side: int) -> tuple[Point, float]:
    """A point on the leg at that share of its height, and the room for words outside it, px."""
    x, y = pick[0] + (hook[0] - pick[0]) * up, pick[1] + (hook[1] - pick[1]) * up
    return (x, y), (x if side < 0 else sheet.width - x) - 14 - 4


def _between(pick: Point, hook: Point, up: float) -> Point:
    """A point on the leg so low that the legs stand well apart."""
    return pick[0] + (hook[0] - pick[0]) * up, pick[1] + (hook[1] - pick[1]) * up


def _on_leg(pick: Point, hook: Point, r: float) -> str:
    dx, dy = hook[0] - pick[0], hook[1] - pick[1]
    n = (dx * dx + dy * dy) ** 0.5
    return f"{num(pick[0] + dx / n * r)},{num(pick[1] + dy / n * r)}"


def _angle(sheet: Sheet, pick: Point, hook: Point, side: int, words: str, up: float = 0) -> None:
    """The angle of a leg from the level, inside the triangle; `up`: px higher, where the other angle stands close by."""
    r = 44.0
    x, y = pick
    sheet.line((x, y), (x - side * (r + 14), y), "thin")
    sheet.path(f"M{num(x - side * r)},{num(y)}A{num(r)},{num(r)} 0 0 {0 if side < 0 else 1} {_on_leg(pick, hook, r)}", "thin")
    sheet.words(x - side * (r + 8), y - 12 - up, words, anchor="start" if side < 0 else "end")


def hook_sign(sheet: Sheet, at: Point, words: str) -> None:
    """A crane hook whose bowl is at `at`, the weight beside it."""
    x, y = at
    sheet.line((x, y - 58), (x, y - 34), "thick")
    sheet.rect(x - 12, y - 40, 24, 16, "edge", "ground")
    sheet.path(f"M{num(x)},{num(y - 24)}V{num(y - 16)}A12,12 0 1 1 {num(x - 12)},{num(y - 4)}", "thick")
    lines = wrap(words.replace(" ", "\u00a0").replace("\u00a0(", " ("), 24, sheet.width - x - 36, bold=True) if words else []
    for i, line in enumerate(lines):
        sheet.words(x + 30, y - 24 - (len(lines) - 1 - i) * 27 + (13 if len(lines) > 1 else 0), line, 24, anchor="start", bold=True)


def _gravity(sheet: Sheet, at: Point) -> None:
    """The centre of gravity: a circle in quarters."""
    x, y = at
    r = 13
    sheet.circle(at, r, "edge", "ground")
    for way in (-1, 1):
        sheet.path(f"M{num(x)},{num(y)}V{num(y + way * r)}A{r},{r} 0 0 1 {num(x - way * r)},{num(y)}Z", "none", "ink")


def _distances(sheet: Sheet, v: BundleLift, x0: float, y: float, k: float) -> float:
    """Picks and centre of gravity from the front face, one line each."""
    for at, name in ((v.left, "first sling"), (v.gravity, "centre of gravity"), (v.right, "second sling")):
        x, place = x0 + at * k, str(metric("position", at)) if at >= 0 else f"{metric('position', -at)} in front"
        words = f"{name} {place}" if at >= 0 else f"{name} on the channel, {place}"
        if x + 12 + text_width(words, WORD) > v.width and text_width(words, WORD) + 40 >= x - x0:
            words = f"{'CG' if 'gravity' in name else name} {place}"
        sheet.line((x0, y), (x, y), "thin")
        sheet.segments((((x0, y - 9), (x0, y + 9)), ((x, y - 9), (x, y + 9))), "thin")
        sheet.arrow((x0, y), (x, y))
        sheet.arrow((x, y), (x0, y))
        inside = text_width(words, WORD) + 40 < abs(x - x0)
        box = text_box((x0 + x) / 2, y + 6, words)
        if inside:
            sheet.rect(box.left - 6, y - 10, box.right - box.left + 12, 20, "none", "ground")
            sheet.words((x0 + x) / 2, y + 6, words)
        elif max(x, x0) + 12 + WIDER * text_width(words, WORD) <= v.width:
            sheet.words(max(x, x0) + 12, y + 6, words, anchor="start")
        else:  # neither on the line nor behind it: a line of its own
            y += 24
            sheet.words(v.width - 6, y + 4, words, anchor="end")
        y += 30
    sheet.words(x0, y + 2, "from the front face of the tubesheet", anchor="start")
    return y + 8


def zone_line(sheet: Sheet, words: str, y: float, width: float) -> float:
    """The zone nobody enters: a barred strip of ground with its words."""
    if not words:
        return y
    y += 16
    sheet.rect(10, y, width - 20, 14, "thin")
    sheet.segments((((x, y + 14), (x + 14, y)) for x in range(14, int(width) - 28, 16)), "mid")
    y += 16
    for line in wrap(words, WORD, width - 20, bold=True):
        y += 24
        sheet.words(width / 2, y - 4, line, bold=True)
    return y + 2


@dataclass(frozen=True, slots=True)
class HeadLift:
    """A cover, bonnet or head in the air.

    what: its name ("channel cover"). shape: "flat", "dished" or "open" (a channel, flanged both ends). legs: 1 or 2. weight, load, angle:
    words. points: the lifting points as the drawing shows them. turns: words when it will turn as its weight comes off the bolts.
    """

    tag: str
    what: str
    shape: str = "flat"
    legs: int = 1
    weight: str = ""
    load: str = ""
    angle: str = ""
    points: str = ""
    turns: str = ""
    zone: str = ""
    stop: str = ""
    width: int = 480


def head_lift(v: HeadLift) -> str:
    """SVG of a head or cover hanging as it comes off, seen from the side."""
    if v.legs not in (1, 2):
        raise ValueError(f"{v.tag} {v.what}: {v.legs} legs; accepted: 1 or 2")
    said = " ".join(filter(None, (v.weight, v.load, v.points, v.turns, v.zone, v.stop)))
    sheet = Sheet(v.width, 100, f"{v.tag}: lift of the {v.what}", said)
    y = 8 + stop_line(sheet, v.stop, v.width)
    x, hook = v.width * 0.42, y + 62
    top = hook + (96 if v.legs == 1 else 120)
    half = {"flat": 12.0, "dished": 46.0, "open": 84.0}.get(v.shape, 46.0)
    picks = [x] if v.legs == 1 else [x - half * 0.8, x + half * 0.8]
    for pick in picks:
        sheet.line((x, hook), (pick, top - 8), "thick")
    hook_sign(sheet, (x, hook), v.weight)
    _head(sheet, v.shape, x, top, half)
    for pick in picks:
        sheet.circle((pick, top - 9), 8, "mid", "ground")
    side = x + half + 24
    if v.load:
        sheet.words(max(x + 24, picks[-1] + 18), (hook + top) / 2 + 8, v.load, 22, anchor="start", bold=True)
    if v.angle and v.legs == 2:
        sheet.words(max(x + 24, picks[-1] + 18), (hook + top) / 2 + 34, v.angle, anchor="start")
    _gravity(sheet, (x, top + 100))
    lines = [line for words in (f"{v.what}", v.points, v.turns) if words for line in wrap(words, WORD, v.width - side - 10)]
    for i, line in enumerate(lines):
        sheet.words(side, top + 40 + i * 24, line, anchor="start", bold=i == 0)
    y = max(top + 214, top + 50 + len(lines) * 24)
    y = zone_line(sheet, v.zone, y, v.width)
    sheet.height = round(y + 8)
    return sheet.text()


def _head(sheet: Sheet, shape: str, x: float, top: float, half: float) -> None:
    """The part as it hangs, 200 px tall."""
    foot = top + 200
    if shape == "flat":
        sheet.rect(x - half, top, 2 * half, 200, "edge", "ground")
    elif shape == "open":
        sheet.rect(x - half, top, 18, 200, "edge", "ground")
        sheet.rect(x + half - 18, top, 18, 200, "edge", "ground")
        for y in (top + 26, foot - 26):
            sheet.line((x - half + 18, y), (x + half - 18, y), "thick")
    else:
        sheet.rect(x - half, top, 20, 200, "edge", "ground")
        a, b = num(top + 22), num(foot - 22)
        sheet.path(f"M{num(x - half + 20)},{a}H{num(x)}A{num(half)},78 0 0 1 {num(x)},{b}H{num(x - half + 20)}", "thick")
