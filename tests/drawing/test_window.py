"""The chart of limits: every limit at its value, the two that govern beside the strip, the window the only clear piece of it."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from boxup.drawing.place import text_box
from boxup.drawing.window import Bar, WindowChart, ordered, scale_end, window_chart

SVG = "{http://www.w3.org/2000/svg}"
M = 1e6
SEATING = Bar("low", "gasket of J2, seating", 150 * M)
TIGHT = Bar("low", "gasket of J2, in operation", 316 * M, True)
USUAL = Bar("low", "least stud stress (40% of yield, usual)", 290 * M)
MOST = Bar("high", "most stud stress (70% of yield, usual)", 507 * M, True)
FLANGE = Bar("high", "channel flange (F2), operating", 611 * M)
CRUSH = Bar("high", "gasket of J2, crushing", 1107 * M)
OPEN = WindowChart("J2: chart of limits", (USUAL, TIGHT, SEATING, CRUSH, MOST, FLANGE), 316 * M, 507 * M, 345 * M, 724 * M)
SHUT = replace(OPEN, lower=560 * M, bars=(replace(TIGHT, value=560 * M), *OPEN.bars[2:]))
WIDTHS = (360, 560, 860)


def drawn(chart: WindowChart) -> ElementTree.Element:
    return ElementTree.fromstring(window_chart(chart))


def said(svg: ElementTree.Element) -> list[str]:
    """Each sentence whole, however it is wrapped, then the figures of the scales."""
    return [
        " ".join(t.text or "" for t in g.iter(f"{SVG}text")).replace("\u00a0", " ") for g in svg.iter(f"{SVG}g") if g.get("data-sentence")
    ]


def strokes(svg: ElementTree.Element, width: str) -> list[tuple[float, float, float]]:
    """x, top and foot of each upright line of that width."""
    found = []
    for path in svg.iter(f"{SVG}path"):
        if path.get("stroke-width") == width and not path.get("stroke-dasharray"):
            for x1, y1, x2, y2 in re.findall(r"M([-\d.]+),([-\d.]+)L([-\d.]+),([-\d.]+)", path.get("d", "")):
                if x1 == x2:
                    found.append((float(x1), min(float(y1), float(y2)), max(float(y1), float(y2))))
    return found


def scale(svg: ElementTree.Element) -> tuple[float, float]:
    """px of 0 MPa and of 800 MPa, from the figures under the upper scale."""
    at = {t.text: float(t.get("x", "")) for t in svg.iter(f"{SVG}text") if t.text in ("0", "800")}
    return at["0"], at["800"]


def test_limits_stand_in_order_and_those_that_govern_beside_the_strip() -> None:
    low, high = ordered(OPEN.bars)
    assert [b.value / M for b in low] == [150, 290, 316]
    assert [b.value / M for b in high] == [507, 611, 1107]
    assert low[-1].governs
    assert high[0].governs


def test_of_two_alike_the_one_that_governs_is_beside_the_strip() -> None:
    twin = (Bar("low", "a", 300 * M, True), Bar("low", "b", 300 * M), Bar("high", "c", 500 * M), Bar("high", "d", 500 * M, True))
    low, high = ordered(twin)
    assert (low[-1].name, high[0].name) == ("a", "d")


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("chart", [OPEN, SHUT])
def test_every_limit_is_named_with_its_value_in_both_systems(chart: WindowChart, width: int) -> None:
    svg = drawn(replace(chart, width=width))
    words = " | ".join(said(svg))
    for bar in chart.bars:
        assert bar.name in words
    for value in ("507 MPa (73.5 ksi)", "1\u202f107 MPa (160.6 ksi)", "345 MPa (50.0 ksi), 48 % of yield", "724 MPa (105.0 ksi)"):
        assert value in words  # 1 ksi = 6.894757 MPa


@pytest.mark.parametrize("width", WIDTHS)
def test_ends_stand_where_the_scale_says(width: int) -> None:
    svg = drawn(replace(OPEN, width=width))
    zero, far = scale(svg)

    def x(mpa: float) -> float:
        return zero + (far - zero) * mpa / 800

    thick = sorted({round(at) for at, _, _ in strokes(svg, "5")})
    assert thick == pytest.approx([x(316), x(507)], abs=1)
    others = [at for at, top, foot in strokes(svg, "3.5") if foot - top < 20]
    assert sorted(others) == pytest.approx([x(150), x(290), x(611)], abs=1)
    target = [p.get("d", "") for p in svg.iter(f"{SVG}path") if p.get("stroke-dasharray") == "12 4 3 4 3 4"]
    assert target
    assert all(float(d[1:].split(",")[0]) == pytest.approx(x(345), abs=1) for d in target)


def hatched(svg: ElementTree.Element, top: float, foot: float) -> list[tuple[float, float, bool]]:
    """Left, right and slant (rising to the right or not) of each hatch line between two heights."""
    found = []
    for path in svg.iter(f"{SVG}path"):
        if path.get("stroke-width") == "1.6":
            for pair in re.findall(r"M([-\d.]+),([-\d.]+)L([-\d.]+),([-\d.]+)", path.get("d", "")):
                x1, y1, x2, y2 = map(float, pair)
                if top - 0.2 <= min(y1, y2) and max(y1, y2) <= foot + 0.2:
                    found.append((min(x1, x2), max(x1, x2), (x2 - x1) * (y2 - y1) < 0))
    return found


def strip(svg: ElementTree.Element) -> tuple[float, float, float, float]:
    box = next(r for r in svg.iter(f"{SVG}rect") if r.get("stroke-width") == "3.5")
    x, y, w, h = (float(box.get(k, "")) for k in ("x", "y", "width", "height"))
    return x, y, x + w, y + h


@pytest.mark.parametrize("width", WIDTHS)
def test_the_window_is_the_only_clear_piece_of_the_strip(width: int) -> None:
    svg = drawn(replace(OPEN, width=width))
    left, top, right, foot = strip(svg)
    zero, far = scale(svg)
    low, high = (zero + (far - zero) * mpa / 800 for mpa in (316, 507))
    lines = hatched(svg, top, foot)
    assert not any(a < high - 1 and b > low + 1 for a, b, _ in lines)
    for x in range(int(left) + 12, int(right) - 12, 8):
        if not low - 12 < x < high + 12:
            assert any(a <= x + 12 and b >= x - 12 for a, b, _ in lines), x
    assert {slant for _, b, slant in lines if b <= low + 1} == {True}
    assert {slant for a, _, slant in lines if a >= high - 1} == {False}


@pytest.mark.parametrize("width", WIDTHS)
def test_where_the_ends_overlap_it_is_hatched_both_ways_and_said(width: int) -> None:
    svg = drawn(replace(SHUT, width=width))
    _, top, _, foot = strip(svg)
    zero, far = scale(svg)
    low, high = (zero + (far - zero) * mpa / 800 for mpa in (507, 560))
    slants = {slant for a, b, slant in hatched(svg, top, foot) if b > low + 1 and a < high - 1}
    assert slants == {True, False}
    assert any("No stud load satisfies every limit" in words for words in said(svg))
    assert "STOP" not in window_chart(replace(SHUT, width=width))


def test_a_stop_has_its_sign_and_its_sentence() -> None:
    texts = [t.text for t in drawn(replace(SHUT, stop=True)).iter(f"{SVG}text")]
    assert "STOP" in texts
    assert "No stud load satisfies every limit" in texts


def test_a_limit_far_above_is_off_the_scale_and_says_so() -> None:
    assert scale_end(OPEN).high == 800  # past the yield of 724 MPa, not out to 1107
    words = said(drawn(OPEN))
    assert [w for w in words if "off the scale" in w] == ["gasket of J2, crushing 1\u202f107 MPa (160.6 ksi), off the scale"]


def test_an_end_nobody_knows_is_said_and_not_drawn() -> None:
    svg = drawn(WindowChart("J2", (SEATING, replace(TIGHT)), 316 * M, None))
    assert any("at least 316 MPa (45.8 ksi); the other end is not known" in w for w in said(svg))
    _, top, right, foot = strip(svg)
    assert max(b for _, b, _ in hatched(svg, top, foot)) < right - 20


def test_what_pressure_alone_breaks_forbids_all_of_the_scale() -> None:
    """A flange that its pressure alone overloads takes less than nothing of the studs."""
    worst = Bar("high", "shell cover (F7), operating", -40 * M, True)
    svg = drawn(WindowChart("J5", (SEATING, worst), 150 * M, -40 * M, 345 * M, 724 * M))
    left, top, right, foot = strip(svg)
    lines = [(a, b) for a, b, slant in hatched(svg, top, foot) if not slant]
    assert min(a for a, _ in lines) < left + 12
    assert max(b for _, b in lines) > right - 12
    assert any("−40 MPa" in w for w in said(svg))


def boxes(svg: ElementTree.Element) -> list[tuple[str, object]]:
    found = []
    for t in svg.iter(f"{SVG}text"):
        x, y, size = (float(t.get(k, "0")) for k in ("x", "y", "font-size"))
        found.append((t.text or "", text_box(x, y, t.text or "", size, t.get("text-anchor", "middle"), t.get("font-weight") == "700")))
    return found


@settings(deadline=None, max_examples=60)
@given(
    st.sampled_from(WIDTHS),
    st.lists(
        st.tuples(st.sampled_from(["low", "high"]), st.floats(-50, 2500), st.text("abc de", min_size=1, max_size=70)),
        min_size=1,
        max_size=9,
    ),
    st.one_of(st.none(), st.floats(20, 900)),
    st.one_of(st.none(), st.floats(150, 1000)),
    st.booleans(),
)
def test_words_never_meet_are_large_enough_and_stay_on_the_sheet(width, limits, target, top, stop) -> None:
    bars = tuple(Bar(end, " ".join(name.split()) or "x", value * M) for end, value, name in limits)
    lows, highs = ([b.value for b in bars if b.end == end] for end in ("low", "high"))
    chart = WindowChart(
        "J1", bars, max(lows) if lows else None, min(highs) if highs else None, target and target * M, top and top * M, stop, width
    )
    svg = drawn(chart)
    tall = float(svg.get("height", "0"))
    placed = boxes(svg)
    for text, box in placed:
        if " " in text or len(text) < 30:  # one word alone that is wider than the sheet cannot be wrapped
            assert box.left >= -3, text
            assert box.right <= width + 3, text
        assert box.top >= -1, text
        assert box.bottom <= tall + 1, text
    for (one, a), (two, b) in combinations(placed, 2):
        assert min(min(a.right, b.right) - max(a.left, b.left), min(a.bottom, b.bottom) - max(a.top, b.top)) < 4.5, (one, two)
    assert min(float(t.get("font-size", "0")) for t in svg.iter(f"{SVG}text")) >= 18


@pytest.mark.parametrize("width", WIDTHS)
def test_no_line_of_the_chart_runs_through_words(width: int) -> None:
    svg = drawn(replace(OPEN, width=width))
    through = []
    for path in svg.iter(f"{SVG}path"):
        if path.get("stroke-dasharray"):
            x, y1, y2 = map(float, re.fullmatch(r"M([\d.]+),([\d.]+)L[\d.]+,([\d.]+)", path.get("d", "")).groups())  # type: ignore[union-attr]
            through += [t for t, box in boxes(svg) if box.left < x < box.right and min(box.bottom, y2) - max(box.top, y1) > 1]
    assert through == []


def test_it_is_told_to_who_cannot_see_it() -> None:
    told = drawn(OPEN).findtext(f"{SVG}desc") or ""
    assert told.startswith("window 316 to 507 MPa (45.8 to 73.5 ksi); ")
    assert "gasket of J2, in operation: 316 MPa (45.8 ksi), governs" in told


def test_nothing_to_draw_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one limit"):
        window_chart(WindowChart("J1", (), None, None))
