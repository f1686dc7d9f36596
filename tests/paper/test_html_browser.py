"""The page in a real Chromium: a phone, the night, the printer."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pypdfium2
import pytest
from PIL import Image
from tests.demo.conftest import told

import browser
from boxup.demo.fleet import FOCUS, files_of_the_demo
from boxup.job.fold import fold
from boxup.paper.pack import html_pack, material

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

FILES = files_of_the_demo()
NAMES = ("14-E-103", "14-E-104", "14-E-108", "with a record")
PHONE, NIGHT, PAPER = 360, (11, 42, 74), (255, 255, 255)


@pytest.fixture(scope="module")
def running() -> Iterator[Browser]:
    """A Chromium; without one this fails and says what to install."""
    with browser.chromium() as found:
        yield found


@cache
def written(name: str) -> bytes:
    return html_pack(material(FILES[FOCUS], state=fold(told())) if name not in FILES else FILES[name])


@pytest.fixture
def opened(running: Browser, tmp_path: Path) -> Iterator[Any]:
    """`opened(name, width, night=False)`: the page of that pack in a window of its own."""
    views: list[Page] = []

    def one(name: str, width: int, *, night: bool = False) -> Page:
        file = tmp_path / "pack.html"
        file.write_bytes(written(name))
        view = running.new_page(viewport={"width": width, "height": 800}, color_scheme="dark" if night else "light")
        views.append(view)
        view.goto(file.as_uri())
        return view

    yield one
    for view in views:
        view.close()


TOO_WIDE = """() => [...document.querySelectorAll('body *')].filter(e => !e.closest('svg') || e.tagName == 'svg')
  .map(e => [e, e.getBoundingClientRect()]).filter(([e, r]) => r.width && (r.right > innerWidth + 0.5 || r.left < -0.5))
  .map(([e, r]) => e.tagName + ' ' + e.textContent.slice(0, 60))"""


@pytest.mark.parametrize("width", [PHONE, 800, 1200])
@pytest.mark.parametrize("name", NAMES)
def test_nothing_runs_over_the_edge(opened: Any, name: str, width: int) -> None:
    view = opened(name, width)
    view.evaluate("() => document.querySelectorAll('details').forEach(d => d.open = true)")
    assert view.evaluate("document.documentElement.scrollWidth") == width
    assert view.evaluate(TOO_WIDE) == []


def test_the_look_over_the_edge_sees_what_is_too_wide(opened: Any) -> None:
    view = opened("14-E-108", PHONE)
    view.evaluate("() => { document.querySelector('h1').style.width = '400px' }")
    assert view.evaluate(TOO_WIDE)


TOUCHED = """() => [...document.querySelectorAll('a, summary')].map(e => [e, e.getBoundingClientRect()]).filter(([e, r]) => r.width)
  .map(([e, r]) => [e.textContent, r.width, r.height])"""


def test_what_is_touched_is_large_enough_for_a_glove(opened: Any) -> None:
    targets = opened(FOCUS, PHONE).evaluate(TOUCHED)
    assert len(targets) > 100
    assert [t for t in targets if t[1] < 56 or t[2] < 56] == []


SIZES = """selector => [...document.querySelectorAll(selector)].filter(e => e.getBoundingClientRect().width)
  .map(e => parseFloat(getComputedStyle(e).fontSize))"""


@pytest.mark.parametrize("width", [PHONE, 1200])
def test_words_are_large_enough_to_read_at_arms_length(opened: Any, width: int) -> None:
    view = opened(FOCUS, width)
    assert set(view.evaluate(SIZES, "body")) == {20}
    assert min(view.evaluate(SIZES, ".moment > b, .numbers > div:first-child b")) >= 64
    assert len(view.evaluate(SIZES, ".moment > b, .numbers > div:first-child b")) == 8, "four torques, a lift, three tests"
    assert min(view.evaluate(SIZES, "section *:not(svg, svg *, sub, .code)")) >= 18


# Contrast as WCAG 2 has it. Words of a drawing that are cut out of black have the two colours of every other word, changed over.
CONTRAST = """() => {
  const part = c => (c /= 255) <= 0.03928 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4
  const rgba = s => s.match(/[\\d.]+/g).map(Number)
  const light = ([r, g, b]) => 0.2126 * part(r) + 0.7152 * part(g) + 0.0722 * part(b)
  const under = e => {
    const c = rgba(getComputedStyle(e).backgroundColor)
    return c.length < 4 || c[3] ? c : under(e.parentElement)
  }
  const found = {}
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT)
  while (walk.nextNode()) {
    const e = walk.currentNode.parentElement, svg = e.closest('svg'), own = getComputedStyle(e)
    if (!walk.currentNode.data.trim() || !e.getBoundingClientRect().width || ['TITLE', 'title', 'desc'].includes(e.tagName)) continue
    const ink = rgba(svg ? own.fill : own.color)
    const ground = e.closest('.octagon') ? rgba(getComputedStyle(e.closest('.octagon')).fill) : under(svg || e)
    if (svg && '' + ink == '' + ground) continue
    const [a, b] = [light(ink), light(ground)].sort((x, y) => y - x)
    found[ink + ' on ' + ground] = (a + 0.05) / (b + 0.05)
  }
  return found }"""


@pytest.mark.parametrize("night", [False, True])
def test_words_stand_out_by_day_and_by_night(opened: Any, night: bool) -> None:
    found = opened(FOCUS, PHONE, night=night).evaluate(CONTRAST)
    assert len(found) >= 3, "words, words on ink, STOP"
    assert {pair: ratio for pair, ratio in found.items() if ratio < 4.5} == {}


def test_the_contrast_reader_sees_pale_words(opened: Any) -> None:
    view = opened("14-E-108", PHONE)
    view.evaluate("() => { document.querySelector('h1').style.color = '#999' }")
    assert min(view.evaluate(CONTRAST).values()) < 3


def colours(view: Page, selector: str) -> set[tuple[int, int, int]]:
    """The colours that fill a hundredth or more of what is shown there."""
    picture = Image.open(BytesIO(view.locator(selector).first.screenshot())).convert("RGB")
    few = picture.width * picture.height // 100
    return {c for n, c in picture.getcolors(1 << 24) or [] if n >= few and isinstance(c, tuple)}


def test_at_night_the_same_drawing_is_a_blueprint(opened: Any) -> None:
    drawing = "#s1 .narrow svg"
    assert colours(opened(FOCUS, PHONE), drawing) >= {PAPER}
    at_night = colours(opened(FOCUS, PHONE, night=True), drawing)
    assert NIGHT in at_night
    assert PAPER not in at_night


def test_print_is_white_has_boxes_and_leaves_out_what_is_for_the_screen(opened: Any) -> None:
    view = opened(FOCUS, 794, night=True)
    shown = "selector => [...document.querySelectorAll(selector)].filter(e => e.getBoundingClientRect().width).length"
    assert (view.evaluate(shown, ".paper"), view.evaluate(shown, ".box")) == (0, 0)
    assert view.evaluate(shown, ".screen") > 20
    view.emulate_media(media="print")
    assert view.evaluate(shown, ".screen, .narrow") == 0
    assert view.evaluate(shown, ".box") > 100
    assert view.evaluate(shown, ".signatures > div") > 40
    found = colours(view, "#s1")
    assert PAPER in found
    assert NIGHT not in found


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_each_sheet_is_printed_on_its_own_page_with_its_title_block(opened: Any, paper: str) -> None:
    view = opened("14-E-104", 1200, night=True)
    titles = view.locator("section h2").all_inner_texts()
    pages = [p.get_textpage().get_text_range() for p in pypdfium2.PdfDocument(view.pdf(format=paper))]
    type_words = view.locator(".under span").first.inner_text()
    begins = [n for n, text in enumerate(pages) if type_words in " ".join(text.split())]
    assert len(begins) == len(titles)
    blocks = [[int(n) for n in re.findall(r"(\d+) of " + str(len(titles)) + r"\b", text)] for text in pages]
    for number, (title, begin, end) in enumerate(zip(titles, begins, [*begins[1:], len(pages)], strict=True), 1):
        assert title in " ".join(pages[begin].split())
        assert number in blocks[end - 1], f"{title}: its title block stands on its last page"
    for text in pages:
        assert "14-E-104" in text
        assert re.search(r"[0-9a-f]{10}", text)
    assert any(re.search(r"^= .*N·m", text, flags=re.MULTILINE) for text in pages), "workings are folded on the screen and open on paper"


def test_opening_asks_nobody_for_anything_and_breaks_no_rule_of_its_own(opened: Any, running: Browser, tmp_path: Path) -> None:
    file = tmp_path / "alone.html"
    file.write_bytes(written("with a record"))
    view = running.new_page()
    asked: list[str] = []
    said: list[str] = []
    view.on("request", lambda request: asked.append(request.url))
    view.on("console", lambda message: said.append(message.text))
    view.goto(file.as_uri())
    view.evaluate("() => document.querySelectorAll('details').forEach(d => d.open = true)")
    view.wait_for_timeout(100)
    view.close()
    assert asked == [file.as_uri()]
    assert said == []


def test_the_policy_stops_a_script_and_a_picture(opened: Any, running: Browser, tmp_path: Path) -> None:
    """The same page with a script and a picture smuggled in: neither is run or asked for."""
    file = tmp_path / "smuggled.html"
    bad = "<script>document.title = 'ran'</script><img src='https://example.invalid/x.png'><style>body { font-size: 7px }</style>"
    file.write_text(written("14-E-108").decode().replace("</body>", f"{bad}</body>"), "utf-8")
    view = running.new_page()
    said: list[str] = []
    view.on("console", lambda message: said.append(message.text))
    view.goto(file.as_uri())
    assert (view.title(), view.evaluate(SIZES, "body")) == ("14-E-108: job pack", [20])
    view.close()
    assert sum("Content Security Policy" in text for text in said) == 3


def test_a_jump_to_a_working_lands_there(opened: Any) -> None:
    view = opened(FOCUS, PHONE)
    view.locator("section a.mark").first.click()
    view.wait_for_timeout(100)
    top = view.evaluate("document.querySelector(':target').getBoundingClientRect().top")
    assert 56 <= top <= 160, "below the head that stays at the top"
