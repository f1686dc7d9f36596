"""One gasket: its ring, its ribs where they lie, its tab, its sizes, and which face looks where."""

from __future__ import annotations

from boxup.core.finding import Missing
from boxup.core.quantity import Quantity
from boxup.drawing.ring import draw_form, form_of, form_words
from boxup.drawing.svg import WORD, Point, Sheet, text_width, wrap
from boxup.exchanger.joints import TUBESHEET_SHELL
from boxup.exchanger.model import Exchanger, Gasket, Joint
from boxup.exchanger.passes import End
from boxup.exchanger.ribs import RibLine, rib_lines


def gasket(exchanger: Exchanger, joint: Joint, width: int = 480, *, tab: str = "", note: str = "") -> str:
    """SVG of a joint's gasket, seen from the front, `width` px wide. tab: words on the tab; note: one more sentence below.

    A size the file does not give is written "not given", and the ring is then drawn to no scale. Raises ValueError for a joint
    without a gasket.
    """
    g = joint.gasket
    if g is None:
        raise ValueError(f'{exchanger.identity.tag} {joint.id}: no gasket is given; add a [gasket.*] with joint = "{joint.id}"')
    tag = exchanger.identity.tag
    sheet = Sheet(width, 100, f"{tag} {joint.id}, gasket: {joint.between}", _desc(exchanger, joint))
    words = tab or f"{tag} {joint.id} TOP"
    ribs = ribs_of_gasket(exchanger, joint)
    outer = (width - 40) / 2 if width < 420 else width * 0.4
    at = (width / 2, 8 + 46 + outer)
    scale = _draw(sheet, joint, ribs, at, outer)
    _heights(sheet, ribs, at, scale)
    if form := form_of(g):
        draw_form(sheet, g, form, at, outer, _wide(g, scale))
    else:
        _tab(sheet, at, outer, (words, f"{joint.id} TOP"))
    y = _sizes(sheet, joint, at, outer, scale)
    y = _words(sheet, exchanger, joint, y, note)
    sheet.height = round(y + 8)
    return sheet.text()


def ribs_of_gasket(exchanger: Exchanger, joint: Joint) -> tuple[RibLine, ...]:
    """The ribs this joint's gasket has, as they lie seen from the front; none for a plain ring, or where they cannot be placed."""
    if joint.ribs_end not in ("front", "rear") or joint.gasket is None:
        return ()
    end: End = "front" if joint.ribs_end == "front" else "rear"
    lines = rib_lines(exchanger, end, joint.gasket.id_)
    return () if isinstance(lines, Missing) else lines


def plain_ring(exchanger: Exchanger, joint: Joint) -> bool:
    """The gasket has no ribs: its joint carries none, or the passes leave none at that end (the rear of two passes)."""
    if joint.ribs_end not in ("front", "rear"):
        return True
    end: End = "front" if joint.ribs_end == "front" else "rear"
    return rib_lines(exchanger, end) == ()


def _draw(sheet: Sheet, joint: Joint, ribs: tuple[RibLine, ...], at: Point, outer: float) -> float:
    """Ring and ribs in solid ink; gives px a mm."""
    g = joint.gasket
    assert g is not None
    od = g.od.to("mm") if g.od else 1000.0
    scale = outer / (od / 2)
    wide = _wide(g, scale)
    sheet.raw(f'<circle cx="{at[0]:.1f}" cy="{at[1]:.1f}" r="{outer - wide / 2:.1f}" stroke-width="{wide:.1f}"/>')
    rib = max(5.0, (g.rib_width.to("mm") if g.rib_width else 10.0) * scale)
    for line in ribs:
        a, b = (_to_ring(p, outer - wide / 2, scale) for p in ((line.x1, line.y1), (line.x2, line.y2)))
        sheet.raw(f'<path d="M{at[0] + a[0]:.1f},{at[1] - a[1]:.1f}L{at[0] + b[0]:.1f},{at[1] - b[1]:.1f}" stroke-width="{rib:.1f}"/>')
    return scale


def _wide(g: Gasket, scale: float) -> float:
    """Width of the ring as drawn, px; never too thin to be seen."""
    od = g.od.to("mm") if g.od else 1000.0
    inner = g.id_.to("mm") if g.id_ else od * 0.96
    return max(6.0, (od - inner) / 2 * scale)


def _to_ring(p: Point, r: float, scale: float) -> Point:
    """A rib's end in px; one that meets the ring runs on to the ring's middle."""
    x, y = p[0] * scale, p[1] * scale
    return _along(x, y, r) if (x * x + y * y) ** 0.5 > r * 0.93 else (x, y)


def _along(x: float, y: float, r: float) -> Point:
    n = (x * x + y * y) ** 0.5
    return x * r / n, y * r / n


def _tab(sheet: Sheet, at: Point, outer: float, said: tuple[str, str]) -> None:
    """The tab at 12 o'clock and what stands on it."""
    x, y = at[0], at[1] - outer
    sheet.rect(x - 13, y - 26, 26, 28, "edge", "ground", r=5)
    words = next((t for t in said if text_width(t, WORD, bold=True) < at[0] - 30), said[-1])
    sheet.words(x + 22, y - 12, words, anchor="start", bold=True)
    sheet.words(x - 22, y - 12, "12 o'clock", anchor="end")


def _heights(sheet: Sheet, ribs: tuple[RibLine, ...], at: Point, scale: float) -> None:
    """How far each rib lies from the centre, so that the gasket in the hand can be checked with a rule."""
    for line in ribs:
        level = line.way == "H"
        off = line.y1 if level else line.x1
        if abs(off) < 0.5:
            words = "on the centre"
        else:
            words = f"{abs(off):.0f} mm {('above' if off > 0 else 'below') if level else ('right' if off > 0 else 'left')}"
        x, y = at[0] + (line.x1 + line.x2) / 2 * scale, at[1] - (line.y1 + line.y2) / 2 * scale
        if not level:
            sheet.words(x + 9, y + 6, words, anchor="start")
        elif line.length * scale > text_width(words, WORD) + 20:
            sheet.words(x, y - 9, words)


def _said(q: Quantity | None) -> str:
    return f"{q.to('mm'):g} mm".replace(".0 mm", " mm") if q else "not given"


def _sizes(sheet: Sheet, joint: Joint, at: Point, outer: float, scale: float) -> float:
    """Inside and outside diameter as dimensions under the ring; gives the next free line."""
    g = joint.gasket
    assert g is not None
    inner = g.id_.to("mm") / 2 * scale if g.id_ and g.od else outer - 8
    y = at[1] + outer + 18
    for half, name, size in ((inner, "ID", g.id_), (outer, "OD", g.od)):
        words = f"{name} {_said(size)}"
        gap = text_width(words, WORD) / 2 + 8
        a, b = at[0] - half, at[0] + half
        start = at[1] + (outer * 0.35 if name == "OD" else outer * 0.5)
        sheet.segments((((a, y), (at[0] - gap, y)), ((at[0] + gap, y), (b, y)), *(((x, max(y - 26, start)), (x, y + 7)) for x in (a, b))))
        sheet.arrow((a, y), (at[0], y))
        sheet.arrow((b, y), (at[0], y))
        sheet.words(at[0], y + 6, words)
        y += 30
    return y


def _words(sheet: Sheet, exchanger: Exchanger, joint: Joint, y: float, note: str) -> float:
    g = joint.gasket
    assert g is not None
    what = ", ".join(filter(None, (g.kind, g.metal, g.facing)))
    sizes = f"{_said(g.thickness)} thick" if g.thickness else "thickness not given"
    if form_of(g):
        pass  # its form is told below
    elif plain_ring(exchanger, joint):
        sizes += ", plain ring"
    else:
        sizes += f", ribs {_said(g.rib_width)} wide" if g.rib_width else ", rib width not given"
    lines: list[tuple[str, bool]] = [(f"{joint.id}, {joint.between}", True)]
    lines += [(t, False) for t in (what, sizes, *faces(exchanger, joint), note) if t]
    for text, bold in lines:
        for line in wrap(text, WORD, sheet.width - 20, bold):
            y += 24
            sheet.words(sheet.width / 2, y - 4, line, bold=bold)
    return y


def faces(exchanger: Exchanger, joint: Joint) -> list[str]:
    """Seen from where, what lies behind it, and when it goes on."""
    if joint.gasket is not None and (form := form_of(joint.gasket)):
        return list(form_words(joint.gasket, form))
    said = ["Seen from the front."]
    ribs = not plain_ring(exchanger, joint)
    if ribs and joint.ribs_end == "rear":
        said = ["Seen from the front. From the rear, where you stand to fit it, it is the mirror image."]
    if ribs:
        said.append("Ribs into their grooves on both faces; tab at 12.")
    if joint.kind == TUBESHEET_SHELL and not exchanger.letters.fixed:
        said.append("On before the bundle: once the bundle is in, it cannot be reached.")
    return said


def _desc(exchanger: Exchanger, joint: Joint) -> str:
    ribs = ribs_of_gasket(exchanger, joint)
    g = joint.gasket
    assert g is not None
    count = (
        f"{len(ribs)} rib{'s' if len(ribs) != 1 else ''}"
        if ribs
        else str(form_of(g))
        if form_of(g)
        else "plain ring"
        if plain_ring(exchanger, joint)
        else "ribs as its drawing shows them"
    )
    where = "; ".join(f"{'level' if r.way == 'H' else 'upright'} rib between passes {r.between[0]} and {r.between[1]}" for r in ribs)
    return f"OD {_said(g.od)}, ID {_said(g.id_)}, {count}. {where}".strip() + (". " if where else "") + " ".join(faces(exchanger, joint))
