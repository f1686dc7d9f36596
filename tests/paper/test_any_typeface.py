"""The drawings of the pocket page where the reader's machine has not our typeface: whatever takes its place, no word is cut or run over."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from boxup.demo.fleet import files_of_the_demo
from boxup.drawing.gallery import states
from boxup.drawing.section import section
from boxup.exchanger.file import load
from boxup.paper.pack import html_pack, material

if TYPE_CHECKING:
    from playwright.sync_api import Browser

FILES = files_of_the_demo()
# The widest there are on common machines; the list ends with what this machine puts in their place.
WIDE = "'Verdana','DejaVu Sans','Segoe UI Black',sans-serif"
PHONE, WINDOW = 360, 1160
# A word over the edge by more than half a px, or two words over one another by more than the white at the sides of their letters.
CUT_OR_RUN_OVER = """face => { const out = [];
for (const s of document.querySelectorAll('svg[viewBox]')) { s.setAttribute('font-family', face);
  const sheet = s.getBoundingClientRect(); if (!sheet.width) continue;
  const t = [...s.querySelectorAll('text')].map(e => [e.textContent, e.getBoundingClientRect()]);
  t.forEach(([words, r], i) => { if (r.left < sheet.left - 0.5 || r.right > sheet.right + 0.5) out.push(['cut', words]);
    for (const [other, q] of t.slice(i + 1)) {
      const across = Math.min(r.right, q.right) - Math.max(r.left, q.left);
      const tall = Math.min(r.bottom, q.bottom) - Math.max(r.top, q.top);
      if (across > 1.5 && tall > Math.min(r.height, q.height) * 0.35) out.push(['run over', words, other]); } }); } return out }"""


def looked_at(chromium: Browser, page: Path, width: int) -> list[list[str]]:
    view = chromium.new_page(viewport={"width": width, "height": 800})
    try:
        view.goto(page.as_uri())
        view.evaluate("() => document.querySelectorAll('details').forEach(d => d.open = true)")
        found: list[list[str]] = view.evaluate(CUT_OR_RUN_OVER, WIDE)
        return found
    finally:
        view.close()


@pytest.mark.parametrize("tag", FILES)
def test_a_wide_typeface_cuts_no_word_and_runs_none_over_another(chromium: Browser, tmp_path: Path, tag: str) -> None:
    page = tmp_path / "pack.html"
    page.write_bytes(html_pack(material(FILES[tag])))
    assert {width: looked_at(chromium, page, width) for width in (PHONE, WINDOW)} == {PHONE: [], WINDOW: []}


@pytest.mark.parametrize("tag", FILES)
def test_nor_do_the_words_of_balloons_that_stand_side_by_side(chromium: Browser, tmp_path: Path, tag: str) -> None:
    x, page = load(FILES[tag]), tmp_path / "sections.html"
    for width in (PHONE, WINDOW):
        views = [replace(v, width=width, narrow=width == PHONE) for v in states(x).values()]
        page.write_text("<meta charset='utf-8'>" + "".join(section(x, v) for v in views), "utf-8")
        assert looked_at(chromium, page, WINDOW + 40) == [], width


def test_the_look_sees_a_word_cut_and_one_run_over(chromium: Browser, tmp_path: Path) -> None:
    page = tmp_path / "two.html"
    words = "".join(f"<text x='{x}' y='30' font-size='20'>{t}</text>" for x, t in ((10, "pulled up"), (60, "pulled up"), (170, "12-10")))
    page.write_text(f"<svg viewBox='0 0 200 50' width='200' height='50'>{words}</svg>", "utf-8")
    assert looked_at(chromium, page, PHONE) == [["run over", "pulled up", "pulled up"], ["cut", "12-10"]]
