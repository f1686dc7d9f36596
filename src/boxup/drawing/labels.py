"""Numbers of nozzles, vents, drains and blinds, each beside its own and on nothing else."""

from __future__ import annotations

from boxup.drawing import nozzle as noz
from boxup.drawing.assembly import Assembly, Stretch, shifted
from boxup.drawing.half import Half
from boxup.drawing.place import Box, Ground, Place
from boxup.drawing.svg import Point, Sheet


def label(a: Assembly, stretch: Stretch, half: Half, sheet: Sheet, ground: Ground) -> list[str]:
    """Write them all; gives those no place was found for. Of one on the side whose part is off there is nothing to see, so no number."""
    without: list[str] = []
    here = [shifted(p, a.shift_of(p.part)) for p in stretch.items if p.upright or p.part not in a.off]
    for p in here:
        ground.take(*_taken(p, half, a))
    for p in here:
        text = f"{p.id} open" if p.id in a.view.open and p.part not in a.off else p.id
        blind = a.blind(p)
        alone = False
        if blind and p.upright:
            side = a.handle(p)
            far, y, anchor = half.x(p.x + side * (p.rim + 62)), half.y(p.way * (p.end + 20)) + 6, "start" if side > 0 else "end"
            beyond = far + 12 * side
            places = [Place(beyond, y, anchor), Place(far - 2 * side, y - 22 * p.way), Place(beyond, y - 16 * p.way, anchor)]
            alone = ground.write(sheet, blind.id, places, bold=True)
        if blind and not alone:
            text = f"{text} {blind.id}"
        places = _places(p, half, blind is not None, text != p.id)
        if not ground.write(sheet, text, places, tip=_tip(p, half), clear=not p.upright or p.small):
            without.append(text)
    return without


def _tip(p: noz.Placed, half: Half) -> Point:
    """Where a line from a number ends."""
    if not p.upright:
        x, y = half.at((p.x, p.y))
        return x, y
    return half.x(p.x), half.y(p.way * (p.end + (24 if p.small else 0)))


def _taken(p: noz.Placed, half: Half, a: Assembly) -> list[Box]:
    """What the nozzle itself covers, px."""
    if not p.upright:
        x, y = half.at((p.x, p.y))
        r = max(p.rim * half.scale, 6.0)
        return [Box(x - r, y - r, x + r, y + r)]
    s = p.way
    ends = sorted((half.y(s * p.radius), half.y(s * p.end)))
    boxes = [Box(half.x(p.x - p.half), ends[0], half.x(p.x + p.half), ends[1])]
    thick = noz.FLANGE + 10 if not p.small else 26.0
    rim = sorted((half.y(s * (p.end - (thick if not p.small else 6))), half.y(s * (p.end + (0 if not p.small else 22)))))
    boxes.append(Box(half.x(p.x - p.rim), rim[0], half.x(p.x + p.rim), rim[1]))
    if a.blind(p):
        bar = sorted((half.y(s * p.end), half.y(s * (p.end + 40))))
        ends = sorted((half.x(p.x - a.handle(p) * p.rim), half.x(p.x + a.handle(p) * (p.rim + 78))))
        boxes.append(Box(ends[0], bar[0], ends[1], bar[1]))
    return boxes


def _places(p: noz.Placed, half: Half, blinded: bool, is_open: bool) -> list[Place]:
    """Where the number may stand, best first."""
    if not p.upright:
        x, y = half.at((p.x, p.y))
        r = max(p.rim * half.scale, 6.0) + 5
        near = [Place(x + r, y + 6, "start"), Place(x - r, y + 6, "end"), Place(x, y - r), Place(x, y + r + 14)]
        way = ((1, -1), (-1, -1), (1, 1), (-1, 1))
        return near + [Place(x + a * far * 1.2, y + 6 + b * far, far=True) for far in (24.0, 36.0, 50.0, 64.0, 84.0, 104.0) for a, b in way]
    s = p.way
    tip = half.y(s * (p.end + (26 if p.small else 0) + (42 if blinded else 0)))
    over = tip + (-6 if s > 0 else 19) - (14 * s if is_open and p.small else 0)
    x, wide = half.x(p.x), p.rim * half.scale
    side = wide + 6 if p.small else p.half * half.scale + 6
    beside = half.y(s * (p.end - (30 if p.small else noz.FLANGE + 40))) + 6
    far = [Place(x + dx, over - dy * s, "middle", far=True) for dy in (22, 40) for dx in (0, -16, 16, -32, 32)] if p.small else []
    return [
        Place(x, over), Place(x - side, beside, "end"), Place(x + side, beside, "start"), Place(x - wide, over, "start"),
        Place(x + wide, over, "end"), Place(x - wide - 6, tip + 8 * s, "end"), Place(x + wide + 6, tip + 8 * s, "start"),
        Place(x, over - 20 * s), Place(x - wide - 6, over, "end"), Place(x + wide + 6, over, "start"), *far,
    ]  # fmt: skip
