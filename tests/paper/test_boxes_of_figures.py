"""No figure of a sheet runs through a line of the box it stands in."""

from __future__ import annotations

from datetime import date

import pypdfium2
import pytest
from pypdfium2 import raw

from boxup.demo.fleet import files_of_the_demo
from boxup.paper.pack import pack

POINT = 72 / 25.4  # mm
INK = 1.0  # pt of a line's own width and of a letter's foot


def lines(page: pypdfium2.PdfPage) -> list[tuple[float, float, float]]:
    """Lower edges and level lines of the sheet itself, none of its drawings, pt: from x, to x, height."""
    found = []
    for one in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH], max_depth=1):
        left, bottom, right, top = one.get_bounds()
        boxed = 12 * POINT < top - bottom < 60 * POINT
        if right - left > 15 * POINT and (top - bottom < 3 or boxed):
            found.append((left, right, bottom))
    return found


def cut(page: pypdfium2.PdfPage) -> list[str]:
    """Words a line runs through; words of a drawing come letter by letter and are looked at with the drawings."""
    text = page.get_textpage()
    words = [text.get_rect(i) for i in range(text.count_rects())]
    found = []
    for left, right, height in lines(page):
        for x0, y0, x1, y1 in words:
            if left <= (x0 + x1) / 2 <= right and y0 < height - INK and y1 > height + INK:
                found.append(text.get_text_bounded(x0, y0, x1, y1).strip())
    return [said for said in found if len(said) > 1]


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("tag", sorted(files_of_the_demo()))
def test_figures_stand_within_their_boxes(tag: str, paper: str) -> None:
    made = pack(files_of_the_demo()[tag], issued=date(2027, 4, 12), paper=paper, sheets=["tests", "lift", "tubesheet"])
    pages = list(pypdfium2.PdfDocument(made))
    assert any(lines(page) for page in pages)
    assert [said for page in pages for said in cut(page)] == []
