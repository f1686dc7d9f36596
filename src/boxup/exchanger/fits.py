"""Does it fit: tubes in their limit, baffles and tubesheets in the bore, heads in the cover. Says where the given sizes disagree."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from math import hypot, sqrt

from boxup.core.finding import Missing
from boxup.core.quantity import Quantity
from boxup.exchanger.bends import partners, radius
from boxup.exchanger.layout import layout_of, numbered_layout, u_pairs
from boxup.exchanger.metal import HEAVIEST, LIGHTEST, doubtful_density
from boxup.exchanger.model import MOST_RATIO, Exchanger, TubeRow
from boxup.exchanger.passes import MOST_PASSES, usual_layout, why_not
from boxup.exchanger.problem import Level, Problem, line_of
from boxup.exchanger.stack import LEAST_BEND

TOLERANCE = 0.0005  # m: sizes on a drawing are rounded to the millimetre
LEAST_PITCH = 1.25  # of the tube outside diameter
LEAST_PITCH_FROM = "TEMA RCB-2.5"
_HEADS = ("channel", "rear_head", "floating_head", "shell_cover")


def problem(x: Exchanger, key: str, text: str, level: Level = "error") -> Problem:
    """A problem at the line of its key."""
    return Problem(line_of(x.lines, key), key, text, level)


def said(q: Quantity) -> str:
    """A size as it was typed, else in millimetres."""
    return q.typed or f"{q.to('mm'):.1f} mm"


def bore(x: Exchanger) -> tuple[str, Quantity | None]:
    """What the bundle passes through: the shell, or the port of a kettle. (words, size)"""
    if x.letters.shell == "K" and x.shell.port_diameter:
        return "kettle port", x.shell.port_diameter
    return "shell bore", None if x.letters.shell == "K" else x.shell.inside_diameter


def fits(x: Exchanger) -> Iterator[Problem]:
    """Every size that does not fit another one. Sizes not given are not judged."""
    yield from _tube(x)
    yield from _passes(x)
    yield from _row_counts(x)
    yield from _row_places(x)
    yield from _limits(x)
    yield from _baffles(x)
    yield from _tubesheets(x)
    yield from _measured_bore(x)
    yield from _heads(x)
    yield from _plugs(x)
    yield from _bends(x)
    yield from _drilled(x)
    yield from _flanges(x)
    yield from _metal_of_tubes(x)
    yield from _stresses(x)


def _tube(x: Exchanger) -> Iterator[Problem]:
    t = x.tubes
    if t.od and t.wall and t.wall.si >= t.od.si / 2:
        yield problem(x, "tubes.wall", f"{said(t.wall)} is half of the outside diameter {said(t.od)} or more: the tube would have no bore.")
    if t.wall and t.least_wall and t.least_wall.si > 1.2 * t.wall.si:
        text = f"{said(t.least_wall)} is well over the wall {said(t.wall)}: the least wall measured is what is left of it."
        yield problem(x, "tubes.least_wall", text)
    if t.od and t.pitch and t.pitch.si < t.od.si:
        yield problem(x, "tubes.pitch", f"{said(t.pitch)} is less than the tube outside diameter {said(t.od)}: the tubes would overlap.")
    elif t.od and t.pitch and t.pitch.si < LEAST_PITCH * t.od.si * 0.999:
        text = f"{said(t.pitch)} is less than {LEAST_PITCH} tube diameters of {said(t.od)} ({LEAST_PITCH_FROM}); look at the drawing again."
        yield problem(x, "tubes.pitch", text, "warning")


def _passes(x: Exchanger) -> Iterator[Problem]:
    t = x.tubes
    if t.passes and (wrong := why_not(int(t.passes.si), t.layout or usual_layout(int(t.passes.si), x.letters.rear == "U"))):
        yield problem(x, "tubes.layout" if t.layout else "tubes.passes", f"{wrong}.")
    if x.letters.rear == "U":
        for key, q, what in (("passes", t.passes, "passes"), ("count", t.count, "holes (legs, not U-tubes)")):
            if q and q.si % 2:
                yield problem(x, f"tubes.{key}", f"{q.typed} {what}: U-tubes go there and back, so the number is even.")
    elif t.passes and t.passes.si > 1 and t.passes.si % 2 and x.letters.rear in "ST":
        text = f"{t.passes.typed} passes with a floating head: an odd number would leave at the rear; look at the drawing again."
        yield problem(x, "tubes.passes", text, "warning")


def _measured_bore(x: Exchanger) -> Iterator[Problem]:
    length = x.shell.length
    for n, reading in enumerate(x.shell.measured_bore):
        if length and reading.at.si > length.si + TOLERANCE:
            text = f"a reading at {said(reading.at)}, and the shell is {said(length)} long; accepted: metres from its front flange face."
            yield problem(x, f"shell.measured_bore.{n}", text)


def _row_counts(x: Exchanger) -> Iterator[Problem]:
    t = x.tubes
    if not t.rows:
        return
    total = sum(r.holes for r in t.rows)
    if t.count and total != t.count.si:
        yield problem(x, "tubes.rows", f"the rows have {total} holes together, count says {t.count.typed}; one of them is wrong.")
    for n, row in enumerate(t.rows):
        if t.passes and row.tube_pass > t.passes.si:
            yield problem(x, f"tubes.rows.{n}", f"pass {row.tube_pass} in a row, where passes says {t.passes.typed}.")
    if t.passes and t.passes.si <= MOST_PASSES and (empty := set(range(1, int(t.passes.si) + 1)) - {r.tube_pass for r in t.rows}):
        yield problem(x, "tubes.rows", f"no row belongs to pass {', '.join(map(str, sorted(empty)))}; passes says {t.passes.typed}.")


def row_reaches(x: Exchanger) -> list[float]:
    """From the centre to the centre of the outermost hole of each row, m; none when the pitch is not given.

    A row alone at its height is centred; two at one height lie left and right of the middle lane.
    """
    in_row = in_row_pitch(x)
    if in_row is None:
        return []
    heights = Counter(_height(row) for row in x.tubes.rows)
    half_lane = (x.tubes.lane.si if x.tubes.lane else in_row) / 2
    ends = [(row, (row.holes - 1) * in_row, heights[_height(row)] > 1) for row in x.tubes.rows]
    return [hypot(row.y.si, half_lane + width if beside else width / 2) for row, width, beside in ends]


def _height(row: TubeRow) -> int:
    """The height of a row in micrometres."""
    return round(row.y.si * 1e6)


def in_row_pitch(x: Exchanger) -> float | None:
    """Between neighbouring holes of one row, m: the pitch, or what the pattern makes of it."""
    if not x.tubes.pitch:
        return None
    angle = x.tubes.pattern.si if x.tubes.pattern else 90.0
    return x.tubes.pitch.si * {45.0: sqrt(2), 60.0: sqrt(3)}.get(angle, 1.0)


def _row_places(x: Exchanger) -> Iterator[Problem]:
    t = x.tubes
    what, limit = ("outer tube limit", t.outer_limit) if t.outer_limit else bore(x)
    if t.od and limit:
        for n, (row, reach) in enumerate(zip(t.rows, row_reaches(x), strict=False)):
            outside = 2 * reach + t.od.si
            if outside > limit.si + TOLERANCE:
                text = f"{row.holes} holes at {said(row.y)} reach out to {outside * 1000:.1f} mm diameter; the {what} is {said(limit)}."
                yield problem(x, f"tubes.rows.{n}", text)
    heights = Counter(_height(row) for row in t.rows)
    for n, row in enumerate(t.rows):
        if heights[_height(row)] > 2:
            text = f"more than two rows at {said(row.y)}; one is centred, two lie left and right of the middle lane."
            yield problem(x, f"tubes.rows.{n}", text)


def _limits(x: Exchanger) -> Iterator[Problem]:
    limit = x.tubes.outer_limit
    if not limit:
        return
    what, hole = bore(x)
    around = (
        (what, hole),
        ("channel bore", x.channel.inside_diameter),
        ("baffle outside diameter", x.baffles.outside_diameter),
        ("floating tubesheet", x.floating_tubesheet.outside_diameter),
        ("floating head bore", x.floating_head.inside_diameter),
    )
    for name, q in around:
        if q and limit.si > q.si + TOLERANCE:
            yield problem(x, "tubes.outer_limit", f"{said(limit)} is more than the {name} {said(q)}: the outer tubes would not fit.")


def _baffles(x: Exchanger) -> Iterator[Problem]:
    b, length, (what, hole) = x.baffles, x.tubes.length, bore(x)
    if b.outside_diameter and hole and b.outside_diameter.si >= hole.si:
        yield problem(x, "baffles.outside_diameter", f"{said(b.outside_diameter)} does not go into the {what} {said(hole)}.")
    if b.hole and x.tubes.od and b.hole.si < x.tubes.od.si:
        yield problem(x, "baffles.hole", f"{said(b.hole)} is smaller than the tube {said(x.tubes.od)}.")
    if not (length and b.spacing):
        return
    if b.spacing.si > length.si:
        yield problem(x, "baffles.spacing", f"{said(b.spacing)} between baffles is longer than the tubes, {said(length)}.")
    elif b.count and b.count.si > 1:
        reach = (b.count.si - 1) * b.spacing.si + (b.first_position.si if b.first_position else 0.0)
        if reach > length.si:
            text = f"{b.count.typed} baffles {said(b.spacing)} apart reach {reach * 1000:.0f} mm along tubes of {said(length)}."
            yield problem(x, "baffles.spacing", text)


def _tubesheets(x: Exchanger) -> Iterator[Problem]:
    what, hole = bore(x)
    floating = x.floating_tubesheet.outside_diameter
    if x.letters.rear in "STPW" and floating and hole and floating.si >= hole.si:
        text = f"{said(floating)} does not pass the {what} {said(hole)}; a floating tubesheet goes through it with the bundle."
        yield problem(x, "floating_tubesheet.outside_diameter", text)
    for name in ("stationary_tubesheet", "floating_tubesheet"):
        sheet = getattr(x, name)
        if sheet.hole and x.tubes.od and sheet.hole.si < x.tubes.od.si:
            yield problem(x, f"{name}.hole", f"{said(sheet.hole)} is smaller than the tube {said(x.tubes.od)}.")
        if sheet.thickness and sheet.minimum_thickness and sheet.thickness.si < sheet.minimum_thickness.si:
            text = f"{said(sheet.thickness)} is thinner than the least allowed, {said(sheet.minimum_thickness)}."
            yield problem(x, f"{name}.thickness", text, "warning")


def _heads(x: Exchanger) -> Iterator[Problem]:
    head, cover, (what, hole) = x.floating_head.outside_diameter, x.shell_cover.inside_diameter, bore(x)
    if head and cover and head.si >= cover.si:
        text = f"{said(head)} over the flange does not go into the shell cover bore {said(cover)}."
        yield problem(x, "floating_head.outside_diameter", text)
    if x.letters.rear == "T" and head and hole and head.si >= hole.si:
        text = f"{said(head)} does not pass the {what} {said(hole)}; with T the floating head goes through with the bundle."
        yield problem(x, "floating_head.outside_diameter", text)


def _plugs(x: Exchanger) -> Iterator[Problem]:
    holes = _holes_by_row(x)
    for key, names in (("fitted", x.plugged), ("to_plug", x.to_plug)):
        at = f"plugs.{key}"
        for name, times in Counter(names).items():
            if times > 1:
                yield problem(x, at, f"{name} stands twice.")
            if holes and (wrong := _no_hole(name, holes)):
                yield problem(x, at, f"{name}: {wrong}")
    if x.to_plug and x.options.get("plugs") is False:
        text = f"{len(x.to_plug)} holes are to be plugged, and plugs = false in [options] takes plugging out of the job: which one holds?"
        yield problem(x, "plugs.to_plug", text)
    yield from _lone_legs(x)
    for name in sorted(set(x.plugged) & set(x.to_plug)):
        yield problem(x, "plugs.to_plug", f"{name} is already among the plugs fitted.")


def _lone_legs(x: Exchanger) -> Iterator[Problem]:
    """A U-tube leaks until both its ends are plugged. Ends straight across the centre line are taken as one tube."""
    layout = numbered_layout(x) if x.letters.rear == "U" and x.to_plug else None
    if layout is None or isinstance(layout, Missing):
        return
    here = {t.id for t in layout.tubes}
    legs = tuple(name for name in dict.fromkeys((*x.to_plug, *x.plugged)) if name in here)
    for pair in u_pairs(layout, legs):
        if len(pair) == 1:
            text = f"{pair[0]} is one end of a U-tube and the other end is not on the list: both are plugged, or the tube still leaks. "
            yield problem(x, "plugs.to_plug", text + "Ends straight across the centre line are taken as one; go by the map.", "warning")


def _bends(x: Exchanger) -> Iterator[Problem]:
    """The rows of U-tubes: each leg has its other leg, and the innermost bend can be made."""
    layout = layout_of(x) if x.letters.rear == "U" and x.tubes.rows and x.tubes.od else None
    if layout is None or isinstance(layout, Missing) or not x.tubes.od:
        return
    other = partners(layout.tubes)
    if lone := len(layout.tubes) - len(other):
        text = f"{lone} of {len(layout.tubes)} holes have no other leg straight across the lane of their bend; look at the drawing again."
        yield problem(x, "tubes.rows", text, "warning")
    tightest = min((radius(a, b) for a, b in other.items()), default=None)
    if tightest is not None and tightest < LEAST_BEND * x.tubes.od.to("mm") - TOLERANCE * 1000:
        text = f"the innermost bend has a radius of {tightest:.1f} mm, less than {LEAST_BEND} tube diameters; look at the drawing again."
        yield problem(x, "tubes.rows", text, "warning")


def _holes_by_row(x: Exchanger) -> list[int]:
    """Holes at each height, from the top."""
    at: Counter[int] = Counter()
    for row in x.tubes.rows:
        at[_height(row)] += row.holes
    return [at[y] for y in sorted(at, reverse=True)]


def _no_hole(name: str, holes: list[int]) -> str:
    row, hole = (int(n) for n in name.split("-"))
    if not 1 <= row <= len(holes):
        return f"there is no row {row}; the file gives {len(holes)} rows."
    return "" if 1 <= hole <= holes[row - 1] else f"row {row} has {holes[row - 1]} holes."


def _drilled(x: Exchanger) -> Iterator[Problem]:
    """Holes and tubes that leave nothing of the plate or the shell they stand in."""
    t, (what, hole) = x.tubes, bore(x)
    drilled = (("stationary_tubesheet", x.stationary_tubesheet), ("floating_tubesheet", x.floating_tubesheet), ("baffles", x.baffles))
    for name, plate in drilled:
        if not plate.hole:
            continue
        if t.pitch and plate.hole.si >= t.pitch.si:
            text = f"{said(plate.hole)} is as wide as the pitch {said(t.pitch)} or wider: the holes would run into each other."
            yield problem(x, f"{name}.hole", text)
        elif name != "baffles" and t.count and (across := plate.outside_diameter) and sqrt(t.count.si) * plate.hole.si >= across.si:
            text = f"{t.count.typed} holes of {said(plate.hole)} leave nothing of a plate of {said(across)}."
            yield problem(x, f"{name}.hole", text)
    if t.od and t.count and hole and sqrt(t.count.si) * t.od.si >= hole.si:
        yield problem(x, "tubes.count", f"{t.count.typed} tubes of {said(t.od)} do not go into the {what} {said(hole)}.")
    sheets = [q for q in (x.stationary_tubesheet.thickness, x.floating_tubesheet.thickness if x.letters.rear != "U" else None) if q]
    if t.length and sheets and t.length.si <= sum(q.si for q in sheets):
        text = f"{said(t.length)} is no longer than the tubesheets are thick ({' and '.join(map(said, sheets))})."
        yield problem(x, "tubes.length", text)


def _flanges(x: Exchanger) -> Iterator[Problem]:
    for name in _HEADS:
        h = getattr(x, name)
        if h.inside_diameter and h.outside_diameter and h.wall and h.outside_diameter.si < h.inside_diameter.si + 2 * h.wall.si - TOLERANCE:
            text = (
                f"{said(h.outside_diameter)} over the flange is less than the bore {said(h.inside_diameter)} and two walls {said(h.wall)}."
            )
            yield problem(x, f"{name}.outside_diameter", text)


def _metal_of_tubes(x: Exchanger) -> Iterator[Problem]:
    given = x.tubes.density
    if given and (doubt := doubtful_density(given, x.tubes.material or x.tube_side.material)):
        yield problem(x, "tubes.density", f"{doubt}.", "warning" if LIGHTEST <= given.si <= HEAVIEST else "error")


def _stresses(x: Exchanger) -> Iterator[Problem]:
    for side in (x.shell_side, x.tube_side):
        cold, hot = side.stress_test, side.stress_design
        if cold and hot and not 1 / MOST_RATIO <= cold.si / hot.si <= MOST_RATIO:
            text = f"{said_stress(cold)} over {said_stress(hot)} is a ratio of {cold.si / hot.si:.3g}; accepted: up to {MOST_RATIO:g}."
            yield problem(x, f"{side.name}_side.stress_test", f"{text} Look at the units of both.")


def said_stress(q: Quantity) -> str:
    """A stress as it was typed, else in MPa."""
    return q.typed or f"{q.to('MPa'):.1f} MPa"
