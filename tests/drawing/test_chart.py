"""The chart of readings: every reading is on it at its place, scales are round, words and lines are large enough, two widths."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boxup.drawing.chart import MOST_POINTS, Band, Level, Line, Panel, Scale, Span, apart, round_ticks, thinned, time_chart, time_ticks
from boxup.drawing.svg import text_width

SVG = "{http://www.w3.org/2000/svg}"
START = datetime(2027, 4, 12, 13, 2, tzinfo=UTC)


def minutes(*pairs: tuple[float, float]) -> tuple[tuple[datetime, float], ...]:
    return tuple((START + timedelta(minutes=m), v) for m, v in pairs)


GAUGE = Line("gauge", minutes((0, 0), (18, 15.7), (29, 20), (34, 22.2), (50, 0)))
WATER = Line("water", minutes((0, 14), (18, 14), (29, 14), (34, 14.1), (50, 14.2)))
METAL = Line("metal", minutes((0, 15), (18, 15), (29, 15), (34, 15), (50, 15)))
AIR = Line("air", minutes((0, 12), (50, 12)))
PANELS = (
    Panel("bar", (GAUGE,), (Level("test 31.4", 31.33),), Scale("psi", 14.5038), zero=True),
    Panel("°C", (WATER, METAL, AIR), (Level("least 7", 7),), Scale("°F", 1.8, 32)),
)
HELD = (Span("held 30 min", START + timedelta(minutes=10), START + timedelta(minutes=40)),)


def drawn(width: int = 860, panels: tuple[Panel, ...] = PANELS, spans: tuple[Span, ...] = ()) -> ElementTree.Element:
    return ElementTree.fromstring(time_chart("Gauge", panels, width=width, spans=spans, desc="in words"))


def texts(svg: ElementTree.Element) -> list[str]:
    return [t.text or "" for t in svg.iter(f"{SVG}text")]


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [
        (0, 31.33, [0, 10, 20, 30, 40]),
        (0, 22.4, [0, 5, 10, 15, 20, 25]),
        (7, 15, [6, 8, 10, 12, 14, 16]),
        (-3, 4, [-4, -2, 0, 2, 4]),
        (0, 0.9, [0, 0.2, 0.4, 0.6, 0.8, 1.0]),
    ],
)
def test_ticks_are_round_and_hold_the_readings(low: float, high: float, expected: list[float]) -> None:
    assert list(round_ticks(low, high)) == pytest.approx(expected)


@given(st.floats(-1e4, 1e4), st.floats(0, 1e4))
def test_every_reading_lies_between_the_ticks(low: float, span: float) -> None:
    ticks = list(round_ticks(low, low + span))
    assert ticks[0] <= low + 1e-6 * max(1, abs(low))
    assert ticks[-1] >= low + span - 1e-6 * max(1, abs(low), span)
    assert 2 <= len(ticks) <= 6


def test_hours_are_round() -> None:
    assert [f"{t:%H:%M}" for t in time_ticks(START, START + timedelta(minutes=50), 6)] == ["13:10", "13:20", "13:30", "13:40", "13:50"]


def test_where_no_round_hours_fall_between_the_two_ends_are_told() -> None:
    assert time_ticks(START, START + timedelta(minutes=50), 1) == (START, START + timedelta(minutes=50))


def test_over_midnight() -> None:
    late = datetime(2027, 4, 12, 23, 40, tzinfo=UTC)
    assert [f"{t:%d %H:%M}" for t in time_ticks(late, late + timedelta(minutes=40), 2)] == ["12 23:40", "13 00:00", "13 00:20"]


@pytest.mark.parametrize("width", [860, 360])
def test_every_reading_has_its_mark(width: int) -> None:
    svg = drawn(width)
    discs = [c for c in svg.iter(f"{SVG}circle") if "currentColor" in c.get("fill", "")]
    rings = [c for c in svg.iter(f"{SVG}circle") if "currentColor" not in c.get("fill", "")]
    assert len(discs) == len(GAUGE.points) + len(WATER.points)
    assert len(rings) == len(METAL.points)
    assert len(list(svg.iter(f"{SVG}rect"))) == len(AIR.points)


def test_a_reading_stands_where_its_value_and_hour_put_it() -> None:
    svg = drawn(panels=(PANELS[0],))
    at = [(float(c.get("cx", "")), float(c.get("cy", ""))) for c in svg.iter(f"{SVG}circle")]
    ticks = {t.text: float(t.get("y", "")) - 6 for t in svg.iter(f"{SVG}text") if t.get("text-anchor") == "end" and t.text in ("0", "20")}
    assert at[0][1] == pytest.approx(at[4][1])  # both at 0, on the axis
    axes = [re.findall(r"[\d.]+,([\d.]+)", p.get("d", "")) for p in svg.iter(f"{SVG}path") if p.get("stroke-width") == "2.5"]
    assert any(len(ys) == 2 and ys[0] == ys[1] and float(ys[0]) == pytest.approx(at[0][1]) for ys in axes)
    bar = (at[0][1] - at[2][1]) / 20  # px a bar, from the reading at 20.0
    assert at[0][1] - at[1][1] == pytest.approx(15.7 * bar, abs=0.2)
    assert at[0][1] - at[3][1] == pytest.approx(22.2 * bar, abs=0.2)
    assert ticks["20"] == pytest.approx(at[2][1], abs=0.2)
    minute = (at[4][0] - at[0][0]) / 50
    assert at[1][0] - at[0][0] == pytest.approx(18 * minute, abs=0.2)


def test_lines_are_told_apart_without_colour() -> None:
    svg = time_chart("Gauge", PANELS, width=860)
    assert set(re.findall(r'(?:fill|stroke)="([^"]+)"', svg)) <= {"none", "currentColor", "var(--ground,Canvas)"}
    types = [p.get("stroke-dasharray") for p in drawn(panels=(PANELS[1],)).iter(f"{SVG}path") if (p.get("d") or "").count("L") >= 1]
    assert {"22 5 5 5", "9 5", None} <= set(types)


@pytest.mark.parametrize("width", [860, 360])
def test_words_and_lines_are_large_enough_and_inside(width: int) -> None:
    svg = drawn(width, spans=HELD)
    assert float(svg.get("width", "0")) == width
    for text in svg.iter(f"{SVG}text"):
        size, x, wide = float(text.get("font-size", "0")), float(text.get("x", "0")), text_width(text.text or "", 18)
        left = {"end": x - wide, "start": x}.get(text.get("text-anchor", ""), x - wide / 2)
        assert size >= 18
        assert left >= -6, text.text
        assert left + wide <= width + 6, text.text
    widths = {float(w) for w in re.findall(r'stroke-width="([\d.]+)"', time_chart("Gauge", PANELS, width=width))}
    assert min(widths) >= 2


def test_axes_name_their_units_and_lines_their_ends() -> None:
    said = texts(drawn(spans=HELD))
    assert {"bar", "psi", "°C", "°F", "gauge", "water", "metal", "air", "test 31.4", "least 7", "held 30 min"} <= set(said)


def test_the_second_unit_has_round_ticks_of_its_own() -> None:
    said = texts(drawn(panels=(PANELS[0],)))
    assert {"0", "200", "400"} <= set(said)  # 40 bar are 580 psi


def test_title_and_words_for_who_cannot_see_it() -> None:
    svg = drawn()
    assert svg.get("role") == "img"
    assert svg.findtext(f"{SVG}title") == "Gauge"
    assert svg.findtext(f"{SVG}desc") == "in words"


def test_one_reading_is_enough_and_none_is_refused() -> None:
    assert "gauge" in texts(drawn(panels=(Panel("bar", (Line("gauge", minutes((0, 3))),)),)))
    with pytest.raises(ValueError, match="at least one reading"):
        time_chart("x", (Panel("bar", (Line("gauge", ()),)),), width=360)


@given(st.lists(st.floats(0, 210), min_size=1, max_size=5))
def test_names_at_the_ends_never_stand_on_one_another(heights: list[float]) -> None:
    placed = [y for y, _, _ in apart(sorted((h, (0.0, h), "x") for h in heights), 8, 210)]
    assert all(b - a >= 21 - 1e-9 for a, b in pairwise(placed))
    assert placed[-1] <= 210


def test_of_very_many_readings_highest_and_lowest_stay() -> None:
    points = minutes(*((n, 20 + (n % 7) / 10) for n in range(5000)))
    points = (*points[:2500], (points[2500][0], 31.9), *points[2501:4000], (points[4000][0], 0.0), *points[4001:])
    kept = thinned(points)
    assert len(kept) <= MOST_POINTS + 2
    assert {v for _, v in kept} >= {31.9, 0.0}
    assert kept[0] == points[0]
    assert kept[-1] == points[-1]
    assert [t for t, _ in kept] == sorted(t for t, _ in kept)


def test_the_way_from_a_line_to_its_name_looks_like_no_reading() -> None:
    """One water point alone: what leads to its name is dotted and begins clear of the mark."""
    svg = drawn(panels=(PANELS[0], Panel("°C", (Line("water", minutes((18, 14))),), (Level("least 7", 7),))))
    leaders = [p.get("d", "") for p in svg.iter(f"{SVG}path") if p.get("stroke-dasharray") == "2 5"]
    marks = [(float(c.get("cx", "")), float(c.get("cy", ""))) for c in svg.iter(f"{SVG}circle")]
    starts = [tuple(map(float, re.findall(r"[\d.]+", d)[:2])) for d in leaders]
    assert leaders
    assert all(abs(x - a) + abs(y - b) >= 9 for x, y in starts for a, b in marks)
    x, y = marks[-1]  # the water point: no whole stroke begins or ends at it but the mark itself
    plain = " ".join(p.get("d", "") for p in svg.iter(f"{SVG}path") if p.get("stroke-dasharray") is None and "L" in p.get("d", ""))
    ends = [tuple(map(float, pair)) for pair in re.findall(r"([\d.]+),([\d.]+)", plain)]
    assert [(a, b) for a, b in ends if abs(a - x) + abs(b - y) < 9 and (a, b) != (x, y)] == []


BAND = Band(tuple((START + timedelta(minutes=m), 31.0 - m / 100, 31.0 + m / 100) for m in (0, 10, 20, 40)))
HOLD = Panel(
    "bar", (Line("gauge", minutes((0, 31.0), (40, 30.2))), Line("the warming", minutes((0, 31.0), (40, 31.0)), worked=True)), band=BAND
)


@pytest.mark.parametrize("width", [860, 360])
def test_a_band_is_hatched_within_its_edges_and_a_worked_line_has_no_mark(width: int) -> None:
    """Strokes stand upright, 8 px apart, from one edge to the other: no line of readings looks so."""
    svg = drawn(width, (HOLD,))
    assert len(list(svg.iter(f"{SVG}circle"))) == 2  # the gauge alone was read
    hatch, low, high = [p.get("d") or "" for p in svg.iter(f"{SVG}path") if p.get("stroke-width") == "1.6"]
    strokes = [[float(n) for n in re.split("[,L]", one)] for one in hatch.split("M")[1:]]
    assert all(x1 == x2 for x1, _, x2, _ in strokes)
    assert {round(b[0] - a[0], 1) for a, b in pairwise(strokes)} == {8.0}
    edges = [[tuple(map(float, xy.split(","))) for xy in edge[1:].split("L")] for edge in (low, high)]
    assert all(edge[0] == edges[0][0] for edge in edges)  # nothing is in doubt at the first reading
    tall = [y1 - y2 for _, y1, _, y2 in strokes]
    assert tall == sorted(tall)
    assert tall[-1] <= edges[0][-1][1] - edges[1][-1][1]


def test_the_band_is_on_the_scale() -> None:
    wide = Panel("bar", HOLD.lines, band=Band(tuple((t, low - 2, high + 2) for t, low, high in BAND.points)))
    assert {"29", "33"} <= set(texts(drawn(860, (wide,)))) or {"28", "34"} <= set(texts(drawn(860, (wide,))))


@pytest.mark.parametrize("width", [860, 360])
def test_long_figures_stand_clear_of_the_other_scale(width: int) -> None:
    """Five figures at the first axis keep off the second one, which stands left of them."""
    close = Panel("°C", (Line("water", minutes((0, 12.0), (40, 12.16))),), other=Scale("°F", 1.8, 32))
    svg = drawn(width, (close,))
    edges = sorted({float(m[1]) for p in svg.iter(f"{SVG}path") if (m := re.fullmatch(r"M([\d.]+),[\d.]+L\1,[\d.]+", p.get("d") or ""))})
    assert edges[1] - edges[0] >= text_width("12.15", 18) + 10
