"""What the hold of an attempt shows: verdict, leak and doubt, drop as read and corrected; the chart with what the warming alone gives."""

from __future__ import annotations

import math
from collections.abc import Iterator

from boxup.core.rounding import both
from boxup.core.unit import UNITS
from boxup.drawing.chart import Band, Line, Panel, Scale, thinned, time_chart
from boxup.hydro.hold_estimate import SHORTEST
from boxup.hydro.hold_steady import FEWEST
from boxup.job.held import Held
from boxup.paper.html.element import Markup, el, joined
from boxup.paper.html.parts import dashes, facts
from boxup.paper.html.parts import drawing as figure
from boxup.paper.sheet import PHONE, WIDE, Drawing
from boxup.web.ask import Ask

PSI = Scale("psi", UNITS["bar"].to_si(1) / UNITS["psi"].to_si(1))
FAHRENHEIT = Scale("°F", 1.8, 32)
MOST_DRAWN = 60  # readings of the hold: of more the lowest and highest of each stretch, so that the page stays light
PARTS = {"fit": "u_1", "rise": "u_2", "graduation": "u_3", "place": "u_4", "volume": "u_5"}  # of the doubt, with the line of the working


def shown(ask: Ask, found: Held, code: str, number: int, *, whole: bool, link: bool = True) -> Markup:
    """Of an attempt with two readings in its hold and more; empty before. whole: with its chart and figures, else what it comes to."""
    if len(found.readings) < 2:
        return Markup("")
    w = ask.w
    parts: list[str] = [el("p", el("b", said(ask, found)), cls="verdict"), dashes([*_lacks(ask, found), *_gap(ask, found)])]
    if whole and found.leaks:
        parts.append(el("p", el("b", f"{w('bits.look')}:"), " ", w("hold.leak_do"), cls="look"))
    if whole and found.rise_doubt:
        parts.append(_figure(ask, found, code, number))
    if found.value("dp_r") is not None:
        parts.append(facts(list(_rows(ask, found))[: None if whole else 1]))
        parts.append(el("p", w("hold.where_metal" if found.skin else "hold.where_water")) if whole else "")
        parts.append(el("p", el("a", w("hold.working"), href=ask.link("hold", code, attempt=str(number)))) if link else "")
    return el("section", el("h4", w("hold.title")), parts, el("p", el("b", w("hold.looking")), cls="look"), cls="shows")


def brief(ask: Ask, found: Held) -> Markup:
    """The verdict alone, with what stands in its way."""
    if len(found.readings) < 2:
        return Markup("")
    lacks = [*_lacks(ask, found), *_gap(ask, found)]
    return el("div", el("p", el("b", said(ask, found)), cls="verdict"), dashes(lacks) if lacks else "", cls="shows")


def said(ask: Ask, found: Held) -> str:
    """The verdict in a sentence."""
    w = ask.w
    if found.leaks:
        return w("hold.leak", leak=_flow(found.value("Q")), off=_flow(found.value("U")))
    if found.verdict == "cannot judge":
        return w("hold.cannot")
    return w("hold.at_most", most=_flow(found.value("Q_2")))


def _lacks(ask: Ask, found: Held) -> Iterator[str]:
    """What stands in the way, each with what to do."""
    minutes = _minutes(found)
    for n, word in enumerate(found.lacks):
        if word == "other":
            yield ask.w.told(found.doubts[n])
            continue
        apart = max((abs(r.pressure - r.second) for r in found.readings if r.second is not None), default=0.0)
        yield ask.w(
            f"hold.lacks_{word}",
            apart=both("pressure", apart * 1e6),
            count=len(found.readings),
            least=FEWEST,
            minutes=f"{minutes:.0f}",
            shortest=f"{SHORTEST:.0f}",
        )


def _gap(ask: Ask, found: Held) -> Iterator[str]:
    """A stretch nobody read; with fewer readings than judge anything that is said already."""
    if found.gap and "few" not in found.lacks:
        yield ask.w("hold.gap", minutes=f"{found.gap:.0f}", whole=f"{_minutes(found):.0f}")


def _minutes(found: Held) -> float:
    """From the first reading of the hold to the last, whether it could be worked or not."""
    return (found.readings[-1].at - found.readings[0].at).total_seconds() / 60


def _rows(ask: Ask, found: Held) -> Iterator[tuple[str, str]]:
    w = ask.w
    warm = (found.value("T_2", "degC") or 0.0) - (found.value("T_1", "degC") or 0.0)
    drops = {"raw": _change(found, "dp_r"), "corrected": _change(found, "dp_c"), "warm": f"{warm:+.2f}".replace("-", "−")}
    yield w("hold.drop"), w("hold.drop_both", minutes=f"{found.value('H', 'min'):.0f}", **drops)
    if found.value("Q") is not None:
        yield w("hold.leak_row"), w("hold.leak_and_doubt", leak=_flow(found.value("Q")), off=_flow(found.value("U")))
        if found.verdict != "cannot judge":
            yield w("hold.most"), f"{_flow(found.value('Q_2'))} mL/min"
        yield w("hold.sees"), f"{_flow(found.value('Q_d'))} mL/min"
        part = max(PARTS, key=lambda name: found.value(PARTS[name]) or 0.0)
        size = _flow(1.96 * (found.value(PARTS[part]) or 0.0))
        yield w("hold.doubt"), w("hold.part", part=w(f"hold.part_{part}"), size=size, cure=w(f"hold.cure_{part}"))
    whence = w("hold.measured" if found.measured else "hold.worked")
    volume = (found.value("C", "mL/MPa") or 0.0) / 10
    yield w("hold.taken"), w("hold.rise_and_volume", rise=w.told(found.rise_said), volume=f"{volume:.1f}", whence=whence)


def _flow(value: float | None) -> str:
    """mL/min to two figures; places, not powers."""
    number = value or 0.0
    places = 0 if abs(number) >= 10 else 1 if abs(number) >= 1 else 2
    return f"{number:.{places}f}".replace("-", "−")


def _change(found: Held, symbol: str) -> str:
    bar, psi = (found.value(symbol, unit) or 0.0 for unit in ("bar", "psi"))
    return f"{bar:.2f}\u00a0bar ({psi:.1f}\u00a0psi)".replace("-", "−")


def _figure(ask: Ask, found: Held, code: str, number: int) -> Markup:
    """The gauge against what the warming alone would give, on a scale of its own; the thermometer under it."""
    w = ask.w
    title = w("hold.chart", test=code, number=number)
    panels = _panels(ask, found)
    desc = " ".join(f"{r.at:%H:%M}: {r.pressure * 10:.2f} bar." for r in found.readings[:40])
    chart = Drawing(time_chart(title, panels, width=WIDE, desc=desc), lambda: time_chart(title, panels, width=PHONE, desc=desc))
    return joined(figure(chart), el("p", el("small", w("hold.chart_says"))))


def _panels(ask: Ask, found: Held) -> tuple[Panel, Panel]:
    w, every = ask.w, list(found.expected())
    expected = [*every[: -1 : math.ceil(len(every) / MOST_DRAWN)], every[-1]]
    gauge = Line(w("test.gauge_line"), tuple(thinned([(r.at, r.pressure * 10) for r in found.readings], MOST_DRAWN)))
    alone = Line(w("hold.alone"), tuple((at, p * 10) for at, p, _ in expected), worked=True)
    band = Band(tuple((at, (p - off) * 10, (p + off) * 10) for at, p, off in expected))
    name = w("test.metal_line" if found.skin else "test.water_line")
    warm = Line(name, tuple(thinned([(r.at, t) for r in found.readings if (t := r.warm(found.skin)) is not None], MOST_DRAWN)))
    return Panel("bar", (gauge, alone), other=PSI, band=band), Panel("°C", (warm,), other=FAHRENHEIT)
