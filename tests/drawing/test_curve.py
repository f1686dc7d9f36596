"""The chart of one thing read against another: every reading at its place, lines told apart without colour, words within the sheet."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from boxup.drawing.chart import Level, Scale
from boxup.drawing.curve import Axis, Curve, curve_chart
from boxup.drawing.svg import text_width

SVG = "{http://www.w3.org/2000/svg}"
READ = [(0.0, 0.0), (5.0, 2.0), (10.0, 2.5), (31.3, 4.05)]
CURVES = (Curve("no air", ((0.0, 0.0), (31.3, 2.13))), Curve("fitted", ((0.0, 0.0), (5.0, 2.0), (31.3, 4.05))))


def drawn(width: int) -> ElementTree.Element:
    across, up = Axis("bar", (Level("test 31.4", 31.33),)), Axis("L", other=Scale("gal", 0.264172))
    return ElementTree.fromstring(curve_chart("Litres", READ, "read", CURVES, across, up, width=width, desc="in words"))


@pytest.mark.parametrize("width", [860, 360])
def test_every_reading_has_its_disc_at_its_place(width: int) -> None:
    discs = [(float(c.get("cx") or 0), float(c.get("cy") or 0)) for c in drawn(width).iter(f"{SVG}circle")]
    assert len(discs) == len(READ)
    (x0, y0), *_, (x3, y3) = discs
    for (x, y), (bar, litres) in zip(discs, READ, strict=True):
        assert x == pytest.approx(x0 + (x3 - x0) * bar / 31.3, abs=0.15)
        assert y == pytest.approx(y0 + (y3 - y0) * litres / 4.05, abs=0.15)


@pytest.mark.parametrize("width", [860, 360])
def test_lines_differ_by_their_type_and_each_is_named_once(width: int) -> None:
    svg = drawn(width)
    dashes = [
        p.get("stroke-dasharray") for p in svg.iter(f"{SVG}path") if p.get("stroke-width") in ("2", "2.5") and p.get("stroke-dasharray")
    ]
    assert {"18 5 4 5 4 5", "9 5", "12 4 3 4 3 4"} <= set(dashes)  # no air, fitted, the level of the test
    words = [t.text for t in svg.iter(f"{SVG}text")]
    for name in ("no air", "fitted", "read", "test 31.4", "bar", "L", "gal"):
        assert words.count(name) == 1


@pytest.mark.parametrize("width", [860, 360])
def test_words_stay_on_the_sheet(width: int) -> None:
    for t in drawn(width).iter(f"{SVG}text"):
        x, wide = float(t.get("x") or 0), text_width(t.text or "", 18)
        left = {"start": x, "end": x - wide}.get(t.get("text-anchor") or "", x - wide / 2)
        assert left >= -1
        assert left + wide <= width + 2


def test_without_a_reading_there_is_no_chart() -> None:
    with pytest.raises(ValueError, match="at least one reading"):
        curve_chart("Litres", [], "read", CURVES, Axis("bar"), Axis("L"), width=860)
