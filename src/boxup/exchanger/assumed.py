"""Geometry that may be taken when nobody gave it, each with its rule. Nothing that holds pressure or a load is ever taken."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from boxup.core.quantity import Quantity
from boxup.core.source import Cite
from boxup.core.unit import UNITS
from boxup.exchanger.fits import bore, row_reaches
from boxup.exchanger.metal import metal
from boxup.exchanger.model import Exchanger
from boxup.exchanger.passes import usual_layout
from boxup.reference.load import Row, source, table

_INCH = 0.0254
_GROOVE_AND_PLATE = 0.01905  # m: what a pass plate and its groove add to the tube diameter between the tube centres
_STEEL = 7850.0
_CUT = 0.25
_FRICTION = (0.15, 0.5)

Taken = tuple[Quantity | str, str] | None  # value, rule


def assume(x: Exchanger) -> Exchanger:
    """The exchanger with what may be assumed filled in; each assumption is a sentence in `assumptions`."""
    for section, key, rule in _RULES:
        part = getattr(x, section)
        if getattr(part, key):
            continue
        got = rule(x)
        if got is None:
            continue
        value, why = got
        shown = value if isinstance(value, str) else _shown(value)
        sentence = f"{section}.{key}: {shown}, assumed: {why}"
        filled: dict[str, Any] = {section: replace(part, **{key: value}), "assumptions": (*x.assumptions, sentence)}
        x = replace(x, **filled)
    return x


def _shown(q: Quantity) -> str:
    return f"{q.to(q.unit):.4g} {UNITS[q.unit].sign}".strip()


def _take(si: float, unit: str, why: str) -> Taken:
    return Quantity(si, unit, grade="assumed", where=why), why


def _nominal(x: Exchanger) -> float | None:
    """The bore to the nearest inch, m: tables by shell size are entered with it."""
    hole = bore(x)[1]
    return round(hole.si / _INCH) * _INCH if hole else None


def _baffle_diameter(x: Exchanger) -> Taken:
    (what, hole), nominal = bore(x), _nominal(x)
    row = _nominal_row("baffle_clearance", nominal)
    return _take(hole.si - row.need("clearance"), "mm", f"{what} less the clearance of {row.cite}") if hole and row else None


def _nominal_row(name: str, nominal: float | None, low: str = "from", high: str = "to") -> Row | None:
    if nominal is None:
        return None
    return next((r for r in table(name).values() if r.need(low) - 1e-6 <= nominal <= r.need(high) + 1e-6), None)


def _tube_hole(x: Exchanger) -> Taken:
    if not x.tubes.od:
        return None
    row = next((r for r in table("tube_hole").values() if abs(r.need("od") - x.tubes.od.si) < 1e-5), None)
    return _take(row.need("hole"), "mm", f"standard hole for this tube, {row.cite}") if row else None


def _rear_tube_hole(x: Exchanger) -> Taken:
    return None if x.letters.rear == "U" else _tube_hole(x)


def _span(x: Exchanger) -> float | None:
    """The longest run of a tube without support: past a window it skips one baffle, m."""
    return 2 * x.baffles.spacing.si if x.baffles.spacing else None


def _baffle_hole(x: Exchanger) -> Taken:
    span = _span(x)
    if not (x.tubes.od and span):
        return None
    wide = span <= 36 * _INCH or x.tubes.od.si > 1.25 * _INCH
    cite = Cite(source("tema"), "RCB-4.2")
    why = f"tube and {'0.8' if wide else '0.4'} mm for an unsupported span of {span * 1000:.0f} mm, {cite}"
    return _take(x.tubes.od.si + (0.0008 if wide else 0.0004), "mm", why)


def _baffle_thickness(x: Exchanger) -> Taken:
    span, nominal = _span(x), _nominal(x)
    if span is None or nominal is None:
        return None
    fit = [r for r in table("baffle_thickness").values()
           if r.need("shell_from") - 1e-6 <= nominal <= r.need("shell_to") + 1e-6 and span <= r.need("span_to") + 1e-6]  # fmt: skip
    return _take(fit[0].need("thickness"), "mm", f"least thickness for this shell and span, {fit[0].cite}") if fit else None


def _baffle_cut(x: Exchanger) -> Taken:
    cite = Cite(source("trade"), "a quarter is the usual cut")
    return _take(_CUT, "-", str(cite)) if x.baffles.spacing and x.letters.shell != "X" else None  # X has full plates


def _first_baffle(x: Exchanger) -> Taken:
    b, length, sheet = x.baffles, x.tubes.length, x.stationary_tubesheet.thickness
    if not (b.count and b.spacing and length and sheet):
        return None
    far = 0.0 if x.letters.rear == "U" else (x.floating_tubesheet.thickness or sheet).si
    first = (length.si - sheet.si - far - (b.count.si - 1) * b.spacing.si) / 2
    return _take(first, "mm", "the baffles stand midway between the tubesheets (geometry)") if first > 0 else None


def _outer_limit(x: Exchanger) -> Taken:
    reaches, hole = row_reaches(x), bore(x)[1]
    if reaches and x.tubes.od:
        return _take(2 * max(reaches) + x.tubes.od.si, "mm", "the circle round the rows of holes in this file (geometry)")
    if not hole:
        return None
    rows = table("outer_tube_limit").values()
    row = next((r for r in rows if x.letters.rear in r.text("heads") and r.need("from") <= hole.si < r.need("to")), None)
    return _take(hole.si - row.need("clearance"), "mm", f"bore less the usual clearance of this rear head, {row.cite}") if row else None


def _lane(x: Exchanger) -> Taken:
    if not x.tubes.od or (x.tubes.passes and x.tubes.passes.si < 2):
        return None
    pitch = x.tubes.pitch.si if x.tubes.pitch else 0.0
    why = f"tube and 19.05 mm, {Cite(source('trade'), 'plate, groove and gasket rib')}"
    return _take(max(x.tubes.od.si + _GROOVE_AND_PLATE, pitch), "mm", why)


def _layout(x: Exchanger) -> Taken:
    if not x.tubes.passes:
        return None
    n = int(x.tubes.passes.si)
    return usual_layout(n, x.letters.rear == "U"), f"the usual layout of {n} passes (common practice); look at the drawing"


def _pass_plate(x: Exchanger) -> Taken:
    row = _nominal_row("pass_plate", _nominal(x))
    if not row or not x.tubes.passes or x.tubes.passes.si < 2:
        return None
    return _take(row.need("thickness"), "mm", f"nominal thickness for this shell, {row.cite}")


def _tie_rods(x: Exchanger) -> Taken:
    """Only a layout of ours asks for them; rows of holes in the file already leave them out."""
    row = None if x.tubes.rows else _nominal_row("tie_rods", _nominal(x))
    return _take(row.need("count"), "count", f"least number for this shell, {row.cite}") if row else None


def _density(x: Exchanger) -> Taken:
    """Of the metal the file names. A metal we do not know is not taken for another one."""
    said = x.tubes.material or x.tube_side.material
    row = metal(said) if said else None
    if row:
        return _take(row.need("density"), "kg/m3", f"{said}, {row.cite}")
    return None if said else _take(_STEEL, "kg/m3", "carbon steel, as no material is given (common practice)")


def _channel_bore(x: Exchanger) -> Taken:
    what, hole = bore(x)
    return _take(hole.si, "mm", f"as the {what} (common practice)") if hole else None


def _friction(n: int) -> Callable[[Exchanger], Taken]:
    said = ("clean and greased bars", "dry or dirty")[n]
    return lambda x: None if x.letters.fixed else _take(_FRICTION[n], "-", f"{said} (common practice)")


_RULES: tuple[tuple[str, str, Callable[[Exchanger], Taken]], ...] = (
    ("tubes", "density", _density),
    ("tubes", "layout", _layout),
    ("tubes", "lane", _lane),
    ("tubes", "outer_limit", _outer_limit),
    ("stationary_tubesheet", "hole", _tube_hole),
    ("floating_tubesheet", "hole", _rear_tube_hole),
    ("baffles", "outside_diameter", _baffle_diameter),
    ("baffles", "hole", _baffle_hole),
    ("baffles", "thickness", _baffle_thickness),
    ("baffles", "cut", _baffle_cut),
    ("baffles", "first_position", _first_baffle),
    ("channel", "inside_diameter", _channel_bore),
    ("channel", "pass_plate", _pass_plate),
    ("bundle", "tie_rods", _tie_rods),
    ("bundle", "friction_low", _friction(0)),
    ("bundle", "friction_high", _friction(1)),
)
