"""Litres pumped in against the gauge on the way up: the air left in, and when to vent again."""

from __future__ import annotations

from collections.abc import Iterator

from boxup.core.rounding import both, metric
from boxup.core.unit import UNITS
from boxup.drawing.chart import Level, Scale
from boxup.drawing.curve import Axis, Curve, curve_chart
from boxup.hydro.balance import MOST_AIR
from boxup.hydro.trapped_air import FEWEST
from boxup.job.pumped import Pumped
from boxup.paper.html.element import Markup, el, joined
from boxup.paper.html.parts import drawing as figure
from boxup.paper.html.parts import facts
from boxup.paper.sheet import PHONE, WIDE, Drawing
from boxup.web.ask import Ask

GALLONS = Scale("gal", 1e-3 / UNITS["gal"].to_si(1))
POINTS = 24  # of a line that is worked: enough for the foot of the curve to look round


def shown(ask: Ask, found: Pumped, code: str, *, pumping: bool) -> Markup:
    """Of one attempt. `pumping`: pressure is on, so that who has read no litres is asked for them."""
    w = ask.w
    if found.lacks == "none" and not pumping:
        return Markup("")
    parts = [_figure(ask, found, code)] if found.lacks != "none" else []
    parts.append(_stop_at(ask, found, code))
    if found.lacks:
        count = sum(r.pumped is not None or r.pressure <= 0 for r in found.readings)
        parts.insert(0, el("p", w(f"litres.lacks_{found.lacks.replace(' ', '_')}", count=count, least=FEWEST)))
    else:
        parts.insert(0, _air(ask, found))
        parts.append(facts(list(_rows(ask, found))))
    return el("section", el("h4", w("litres.title")), parts, cls="shows")


def stop_for(ask: Ask, found: Pumped) -> str:
    """The sentence of a STOP where there is more air than a test is pumped up with; "" where there is not, or nobody can tell."""
    w = ask.w
    if found.airy:
        air, share = found.value("V_a", "L"), found.value("x_a", "-") * 100
        return w("litres.stop_air", air=_litres(air), share=f"{share:.2g}" if share < 10 else f"{share:.0f}")
    if not (found.lacks and found.over):
        return ""
    pressure, pumped = found.points()[-1]
    return w("litres.stop_over", litres=_litres(pumped), bar=f"{pressure * 10:.1f}", most=_litres(found.vent_over(pressure) or 0.0))


def _stop_at(ask: Ask, found: Pumped, code: str) -> Markup:
    """Litres of the test sheet at which to stop and vent again; and that they are passed, where nothing else says so yet."""
    w, answer = ask.w, next((a for a in ask.live.material.numbers.tests if a.test.code == code), None)
    if answer is None or not {"pump_in_with_air", "gauge_pressure"} <= answer.values.keys():
        return Markup("")
    litres, bar = both("volume", answer.si("pump_in_with_air")), both("pressure", answer.si("gauge_pressure"), "up")
    said = el("p", w("litres.stop_at", litres=litres, bar=bar))
    if not (found.lacks and found.over):
        return said
    pressure, pumped = found.points()[-1]
    now = w("litres.over", litres=_litres(pumped), bar=f"{pressure * 10:.1f}", most=_litres(found.vent_over(pressure) or 0.0))
    return joined(said, el("p", el("b", f"{w('bits.look')}:"), " ", now, cls="look"))


def _air(ask: Ask, found: Pumped) -> Markup:
    """The air, and whether it is too much: the share is held against 0.2 %."""
    w = ask.w
    air, off, share = found.value("V_a", "L"), found.value("U_a", "L"), found.value("x_a", "-")
    said = {"air": _litres(air), "off": _litres(off), "share": f"{max(share, 0.0) * 100:.2f}", "volume": both("volume", found.working["V"])}
    first = el("p", el("b", w("litres.air", **said)))
    if found.airy:
        return joined(first, el("p", el("b", f"{w('bits.look')}:"), " ", w("litres.vent_again"), cls="look"))
    maybe = share + off / found.value("V", "L") > MOST_AIR
    return joined(first, el("p", w("litres.maybe" if maybe else "litres.little")))


def _rows(ask: Ask, found: Pumped) -> Iterator[tuple[str, str]]:
    w = ask.w
    pressure, pumped = found.points()[-1]
    free = found.air_free(pressure) or 0.0
    bar = both("pressure", UNITS["MPa"].to_si(pressure))
    yield w("litres.pumped"), w("litres.pumped_both", litres=_litres(pumped), bar=bar, free=_litres(free))
    per, off = (found.value(symbol, "mL/MPa") / 10 for symbol in ("s", "U_s"))
    worked = UNITS["mL/MPa"].from_si(found.side.per_pressure) / 10 if found.side else 0.0
    used = w(f"litres.why_{found.why}" if found.why else "litres.used")
    yield w("litres.per_bar"), w("litres.per_bar_both", per=f"{per:.1f}", off=f"{off:.1f}", worked=f"{worked:.1f}", used=used)


def _litres(value: float) -> str:
    places = 1 if abs(value) >= 10 else 2
    return f"{value:.{places}f}".replace("-", "−")


def _figure(ask: Ask, found: Pumped, code: str) -> Markup:
    w = ask.w
    points = [(p * 10, litres) for p, litres in found.points()]
    top = max(p for p, _ in points)
    curves = tuple(_curves(ask, found, top / 10))
    gauge = found.side.gauge if found.side else None
    said = metric("pressure", gauge, "up").text if gauge else ""
    test = (Level(w("test.test_line", value=said), UNITS["bar"].from_si(gauge)),) if gauge else ()
    desc = " ".join(f"{p:.1f} bar: {litres:.2f} L." for p, litres in points[:40])
    across, up = Axis("bar", test), Axis("L", other=GALLONS)
    title, read = w("litres.chart", test=code), w("litres.read")

    def drawn(width: int) -> str:
        return curve_chart(title, points, read, curves, across, up, width=width, desc=desc)

    return figure(Drawing(drawn(WIDE), lambda: drawn(PHONE)))


def _curves(ask: Ask, found: Pumped, top: float) -> Iterator[Curve]:
    """In MPa inside, bar outside."""
    along = [top * (n / POINTS) ** 2 for n in range(POINTS + 1)]  # close together at the foot, where it bends
    if found.side:
        yield Curve(ask.w("litres.no_air"), tuple((p * 10, found.air_free(p) or 0.0) for p in (0.0, top)))
    if not found.lacks:
        yield Curve(ask.w("litres.fitted"), tuple((p * 10, found.curve(p)) for p in along))
