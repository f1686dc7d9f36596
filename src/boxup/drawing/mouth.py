"""What is painted at one nozzle, vent or drain: open or shut, and what closes it."""

from __future__ import annotations

from math import cos, pi, sin

from boxup.drawing import nozzle as noz
from boxup.drawing.assembly import Assembly, shifted
from boxup.drawing.blind import STICKS_OUT, Closing, blank, leaf_of, line_flange, spade, spool
from boxup.drawing.half import Half
from boxup.drawing.svg import Point, Sheet, discs

LEAST = 6.0  # px, radius of a small pipe seen on its end


def mouth(a: Assembly, item: noz.Placed, half: Half, sheet: Sheet) -> None:
    """Paint it where its part is now; a spool and its spade stay where the nozzle belongs."""
    p, gone = shifted(item, a.shift_of(item.part)), item.part in a.off
    is_open = p.id in a.view.open and not gone
    with sheet.group(nozzle=p.id), sheet.link(a.view.links.get(p.id), p.id):
        half.paint(noz.neck(p), phantom=gone)
        half.paint(noz.pipe(p, is_open), phantom=gone)
        if p.upright and p.small and is_open:
            x, y = half.x(p.x), half.y(p.way * p.end)
            sheet.segments((((x + d * 4, y - p.way * 3), (x + d * 9, y - p.way * 18)) for d in (-1, 1)), "edge")
        if not p.upright and not gone:
            if p.small:
                _small(sheet, half, p, is_open)
            else:
                _face(sheet, half, p)
    closing = a.closing(item)
    if closing.blank:
        with sheet.group(blind=closing.blank.id), sheet.link(a.view.links.get(closing.blank.id), closing.blank.id):
            _blank(sheet, half, p, gone)
    if closing.spool or closing.stays:
        _spade(a, sheet, half, item, closing)


def apart(p: noz.Placed, closing: Closing) -> Point:
    """Middle of the spool of a nozzle on the side, mm: before the nozzle, or above it where it would hide a test blank."""
    up = p.rim if closing.lift and not closing.off and p.way == noz.NEAR else 0.0
    return p.x + up * 0.25, p.y + up * 0.92


def least(p: noz.Placed, half: Half) -> float:
    """Radius of what is seen on its end, px."""
    return max(p.rim * half.scale, LEAST)


def _small(sheet: Sheet, half: Half, p: noz.Placed, is_open: bool) -> None:
    """A small pipe on the side: a black disc is shut; a ring with two lines running out is open; dashed on the far side.

    The lines run down the sheet, whichever way it is turned.
    """
    at, near = half.at((p.x, p.y)), p.way == noz.NEAR
    sheet.circle(at, LEAST, "thin" if near else "hidden", "ground" if near else "none")
    if not is_open:
        sheet.circle(at, LEAST if near else LEAST / 2, "none", "ink")
        return
    down = -1 if sheet.turned < 0 else 1
    turns = [(down * cos(t), sin(t)) for t in (pi * 0.14, pi * 0.36)]
    sheet.segments((((at[0] + 8 * c, at[1] + 8 * s), (at[0] + 21 * c, at[1] + 21 * s)) for c, s in turns), "edge")


def _face(sheet: Sheet, half: Half, p: noz.Placed) -> None:
    """A nozzle on the side: its flange and its bore; dashed on the far side."""
    pen, fill = ("thin", "ground") if p.way == noz.NEAR else ("hidden", "none")
    sheet.circle(half.at((p.x, p.y)), p.rim * half.scale, pen, fill)
    sheet.circle(half.at((p.x, p.y)), max(p.half * half.scale, 5.0), pen, fill)


def _blank(sheet: Sheet, half: Half, p: noz.Placed, gone: bool) -> None:
    if p.upright:
        half.paint(blank(p), phantom=gone)
        return
    if gone:
        return
    if p.way != noz.NEAR:
        return
    at, r = half.at((p.x, p.y)), p.rim * half.scale
    sheet.circle(at, r, "none", "ink")
    bolts = [(at[0] + r * 0.76 * cos(pi * (k + 0.5) / 4), at[1] + r * 0.76 * sin(pi * (k + 0.5) / 4)) for k in range(8)]
    sheet.path(discs(bolts, max(2.0, r * 0.09)), "none", "ground")


def _spade(a: Assembly, sheet: Sheet, half: Half, home: noz.Placed, c: Closing) -> None:
    """The spool, the spade where it is in, and the line's flange."""
    leaf = leaf_of(c.stays) if c.stays else 0.0
    if not home.upright:
        _spade_on_end(a, sheet, half, home, c)
        return
    base, top = home.end + c.lift, home.end + c.leaf_at - leaf / 2
    with sheet.group(spool=home.id):
        if c.spool:
            half.paint(spool(home, base))
        half.paint(line_flange(home, top + leaf))
    if c.stays:
        with sheet.group(blind=c.stays.id), sheet.link(a.view.links.get(c.stays.id), c.stays.id):
            half.paint(spade(home, top, leaf, a.handle(home)))


def _spade_on_end(a: Assembly, sheet: Sheet, half: Half, home: noz.Placed, c: Closing) -> None:
    """On the near side: handle, flange, black bore. On the far side it lies behind its nozzle and is seen only while that is off."""
    if c.stays is None:
        return
    (x, y), r, bore = half.at(apart(home, c)), home.rim * half.scale, home.half * half.scale
    out, wide = r + STICKS_OUT * half.scale, max(5.0, 22 * half.scale)
    with sheet.group(blind=c.stays.id), sheet.link(a.view.links.get(c.stays.id), c.stays.id):
        if home.way != noz.NEAR:
            if c.off:
                sheet.circle((x, y), r, "hidden")
            return
        sheet.rect(x - wide / 2, y - out, wide, out - r, "none", "ink")
        sheet.rect(x - wide, y - out - 2, 2 * wide, max(8.0, 36 * half.scale), "edge", "ground")
        sheet.circle((x, y), r, "thin", "ground")
        sheet.circle((x, y), bore, "none", "ink")
