"""What lies in the shell: tubes, baffles and supports, long baffles with their seals, the distribution plate of a cross-flow shell."""

from __future__ import annotations

from boxup.core.finding import Missing
from boxup.drawing.frame import Frame, mm
from boxup.drawing.part import Shape, barrel, poly, rect
from boxup.drawing.shell import weir_at
from boxup.exchanger.layout import layout_of

LONG = "FGH"  # shells with a long baffle
FULL = "KX"  # shells whose supports have no cut


def tubes(f: Frame, start: float, stop: float) -> list[Shape]:
    """The outer rows of each pass, as two lines a tube; with U-tubes their bends. All other tubes lie between them."""
    half = mm(f.exchanger.tubes.od, f.bore * 0.045) / 2
    low, high = max(start, 0.0), min(stop, f.far)
    found: list[Shape] = []
    bent = f.exchanger.letters.rear == "U" and stop > f.far
    for y in tube_levels(f):
        if bent and abs(y) > half:
            if y > 0:
                found.append(_bend(low, high, y, half))
        else:
            found.append(rect("tube", low, y - half, high, y + half))
    return found


def _bend(low: float, tangent: float, y: float, half: float) -> Shape:
    """A U-tube from its upper leg round to its lower one."""
    out, inside = y + half, max(y - half, 1.0)
    return Shape(
        "tube",
        (
            ("L", low, out), ("L", tangent, out), ("A", tangent, -out, out, out, 0, 1), ("L", low, -out),
            ("L", low, -inside), ("L", tangent, -inside), ("A", tangent, inside, inside, inside, 0, 0), ("L", low, inside),
        ),
    )  # fmt: skip


def tube_levels(f: Frame) -> list[float]:
    """Heights of the first and last row of each pass, none where a long baffle or the distribution plate lies."""
    half = mm(f.exchanger.tubes.od, f.bore * 0.045) / 2
    levels = _rows(f)
    if f.exchanger.letters.shell in LONG:
        levels = [y for y in levels if abs(y) > half + f.bore * 0.05]
    if f.exchanger.letters.shell == "X":
        levels = [y for y in levels if y < spreader(f) - half - 4]
    return levels


def _rows(f: Frame) -> list[float]:
    """U-tubes the same above and below."""
    layout = layout_of(f.exchanger)
    if isinstance(layout, Missing) or not layout.tubes:
        return [s * f.limit * share for share in (0.92, 0.3) for s in (1, -1)]
    by_pass: dict[int, list[float]] = {}
    for t in layout.tubes:
        by_pass.setdefault(t.tube_pass, []).append(t.y)
    levels = {round(v, 1) for rows in by_pass.values() for v in (max(rows), min(rows))}
    if f.exchanger.letters.rear == "U":
        levels = {abs(v) for v in levels} | {-abs(v) for v in levels}
    return _apart(sorted(levels, reverse=True), 2.2 * mm(f.exchanger.tubes.od, 19.0))


def _apart(levels: list[float], least: float) -> list[float]:
    """Without those that would touch their neighbour."""
    kept: list[float] = []
    for v in levels:
        if not kept or kept[-1] - v >= least:
            kept.append(v)
    return kept


def baffles(f: Frame, start: float, stop: float) -> list[Shape]:
    """Baffles and supports that stand in this stretch, each cut on its side."""
    half, radius = mm(f.exchanger.baffles.thickness, 9.5) / 2, _radius(f)
    found: list[Shape] = []
    for i, x in enumerate(_places(f)):
        if start + half < x < stop - half:
            found += [rect("wall", x - half, low, x + half, high) for low, high in _spans(f, i, x, radius)]
    for x in supports(f):
        if start + half < x < stop - half:
            found.append(rect("wall", x - half, -radius, x + half, radius))
    return found


def _radius(f: Frame) -> float:
    return mm(f.exchanger.baffles.outside_diameter, 2 * f.bore - 5) / 2


def _places(f: Frame) -> list[float]:
    """As the file has them; where it says nothing, at even distances, as the drawing of the type has them. Not where a full support is."""
    b = f.exchanger.baffles
    if b.count is None or b.spacing is None:
        pitch = f.bore * 0.62
        count = max(0, int((f.far - f.bore * 1.2) / pitch))
        first = (f.far - (count - 1) * pitch) / 2
    else:
        pitch, count = b.spacing.to("mm"), round(b.count.si)
        first = mm(b.first_position, pitch * 1.5)
    whole = [*supports(f), *([weir_at(f)] if f.up else [])]
    return [x for x in (first + i * pitch for i in range(count)) if not any(abs(x - s) < 60 for s in whole) and 15 < x < f.far - 15]


def _spans(f: Frame, i: int, x: float, radius: float) -> list[tuple[float, float]]:
    """From y, to y of the i-th baffle. Beside a long baffle it is two halves, whose gap is at the wall and at the long baffle by turns."""
    b, letter = f.exchanger.baffles, f.exchanger.letters.shell
    up = (i % 2 == 0) == (getattr(b, "first_cut", "up") != "down")
    if letter == "X":
        return [(-radius, spreader(f) - 4)]
    if letter == "K" or b.cut_direction == "vertical":
        return [(-radius, radius)]
    cut = 2 * f.bore * (b.cut.si if b.cut is not None else 0.25)
    if any(a < x < z for a, z in long_baffles(f)):
        part = cut * 0.6
        return [(0.0, radius - part), (part - radius, 0.0)] if up else [(part, radius), (-radius, -part)]
    return [(-radius, f.bore - cut)] if up else [(cut - f.bore, radius)]


def supports(f: Frame) -> list[float]:
    """Full plates under the nozzles in the middle: G, H and J are supported there."""
    match f.exchanger.letters.shell:
        case "G" | "J":
            return [f.far / 2]
        case "H":
            return quarters(f)
    return []


def quarters(f: Frame) -> list[float]:
    """Where the two nozzles of a double split flow stand, above and below: the file's own places, else a fifth from either end."""
    given = sorted(n.position.to("mm") for n in f.exchanger.nozzles if n.side == "shell" and n.position is not None)
    near, far = [x for x in given if x < f.far / 2], [x for x in given if x >= f.far / 2]
    return [sum(near) / len(near) if near else f.far * 0.2, sum(far) / len(far) if far else f.far * 0.8]


def long_baffles(f: Frame) -> list[tuple[float, float]]:
    """From x, to x: F nearly the whole length, G about the middle, H two short ones about its nozzles."""
    match f.exchanger.letters.shell:
        case "F":
            return [(0.0, f.far - f.bore * 0.5)]
        case "G":
            reach = min(f.bore * 1.15, f.far * 0.25)
            return [(reach, f.far - reach)]
        case "H":
            half = min(f.far * 0.12, f.bore * 1.1)
            return [(x - half, x + half) for x in quarters(f)]
    return []


def long_plates(f: Frame, start: float, stop: float) -> list[Shape]:
    """The long baffles in this stretch, each with the seal strips on its edges: leaves that lie against the shell's wall."""
    found: list[Shape] = []
    thick = max(6.0, f.bore * 0.016)
    for a, b in long_baffles(f):
        clear = f.bore * 0.16 if f.exchanger.letters.shell == "H" else 0.0  # two of them: each ends in sight, not behind the break
        low, high = max(a, start + clear), min(b, stop - clear)
        if high - low < 20:
            continue
        found.append(rect("wall", low, -thick, high, thick))
        leaf = f.bore * 0.055
        found += [rect("metal", low if low == start else low + f.bore * 0.05, side * thick, high - (0 if high == stop else f.bore * 0.05),
                       side * (thick + leaf)) for side in (1, -1)]  # fmt: skip
    return found


def spreader(f: Frame) -> float:
    """Height of the distribution plate of a cross-flow shell: over the tubes, with a space under the nozzles."""
    tops = _rows(f) if f.exchanger.tubes.rows else []
    half = mm(f.exchanger.tubes.od, f.bore * 0.045) / 2
    return min(max([f.bore * 0.74, *(y + half + 12 for y in tops)]), f.bore - 14)


def distribution(f: Frame, start: float, stop: float) -> list[Shape]:
    """The plate with its holes, from end to end."""
    if f.exchanger.letters.shell != "X":
        return []
    pitch, half = f.bore * 0.1, max(6.0, f.bore * 0.014)
    hole, y = pitch * 0.45, spreader(f)
    holes = [(x, x + hole, 1) for x in (pitch * (i + 0.5) for i in range(int(f.far / pitch))) if start < x < stop]
    pieces = barrel(max(start, 30.0), min(stop, f.far - 30), y - half, 2 * half, holes)
    return [s for s in pieces if s.steps[0][2] > 0]


def rails(f: Frame, start: float, stop: float) -> list[Shape]:
    """What the bundle of a kettle slides on."""
    if f.exchanger.letters.shell != "K":
        return []
    return [rect("wall", max(start, f.bore * 0.25), -f.bore, min(stop, f.far - 20), -f.bore + max(7.0, f.bore * 0.02))]


def stub(f: Frame, start: float, stop: float) -> list[Shape]:
    """What of a bundle that is off is drawn at the mouth of the shell: its outermost tubes."""
    return [poly("bare", (start, s * f.limit), (stop, s * f.limit), closed=False) for s in (1, -1)]
