"""Rules that hold for every drawing of every demo exchanger."""

from __future__ import annotations

import base64
import io
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from functools import lru_cache
from itertools import combinations
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from PIL import Image, ImageChops

import boxup
from boxup.drawing.gallery import drawings, states, steps
from boxup.drawing.gasket import gasket
from boxup.drawing.place import text_box
from boxup.drawing.section import pair, section
from boxup.drawing.svg import GROUND, INK, STOP, plain
from boxup.drawing.view import SectionView
from boxup.exchanger.file import load
from pictures import font_file

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

DEMO = Path(boxup.__file__).parent / "demo" / "data"
TAGS = ("14-E-103", "14-E-104", "14-E-108")
NS = "{http://www.w3.org/2000/svg}"


@lru_cache
def gallery(tag: str) -> tuple[tuple[str, str], ...]:
    return tuple(drawings(DEMO / f"{tag}.toml"))


def every() -> list[tuple[str, str]]:
    return [(f"{tag} {name}", svg) for tag in TAGS for name, svg in gallery(tag)]


def test_there_are_drawings_of_every_kind() -> None:
    names = " ".join(name for name, _ in every())
    assert len(every()) > 90
    for kind in (
        "section",
        "gasket",
        "bolt circle",
        "tubesheet",
        "lift, bundle",
        "lift, channel cover",
        "key of states",
        "step channel off, before",
    ):
        assert kind in names


def test_each_is_a_picture_with_a_title_and_a_description() -> None:
    for name, svg in every():
        root = ET.fromstring(svg)
        assert root.get("role") == "img", name
        assert root[0].tag == NS + "title", name
        assert root[1].tag == NS + "desc", name
        assert all((child.text or "").strip() for child in root[:2]), name


def test_the_same_exchanger_gives_the_same_drawings() -> None:
    assert tuple(drawings(DEMO / "14-E-103.toml")) == gallery("14-E-103")


def test_no_word_is_smaller_than_18_px_and_no_line_thinner_than_it_may_be() -> None:
    for name, svg in every():
        assert all(float(v) >= 18 for v in re.findall(r'font-size="([\d.]+)"', svg)), name
        widths = {float(v) for v in re.findall(r'stroke-width="([\d.]+)"', svg)}
        outlines_of_black = 1.0  # the edge of what is filled with ink anyway
        assert all(w >= 2 or w in (1.6, outlines_of_black) for w in widths), (name, sorted(widths))


def test_no_float_noise() -> None:
    for name, svg in every():
        assert not re.search(r"\d\.\d{2,}[\d ,A-Za-z\"]", re.sub(r">[^<]*<", "><", svg)), name
        assert "nan" not in re.sub(r">[^<]*<", "><", svg).lower(), name


def test_colour_is_ink_ground_and_stop() -> None:
    for name, svg in every():
        colours = {c for c in re.findall(r'(?:fill|stroke)="([^"]+)"', svg) if c != "none"}
        assert colours <= {"currentColor", GROUND, STOP}, name
        if STOP in svg:
            assert ">STOP<" in svg, name


def test_plain_has_no_variable_left() -> None:
    for name, svg in every():
        assert "var(" not in plain(svg), name


def words_of(svg: str) -> list[tuple[str, float, float, float, str, bool]]:
    found = []
    for t in ET.fromstring(svg).iter(NS + "text"):
        x, y, size = (float(t.get(key, 0)) for key in ("x", "y", "font-size"))
        found.append((t.text or "", x, y, size, t.get("text-anchor", "middle"), t.get("font-weight") == "700"))
    return found


def test_words_do_not_lie_on_words_and_stay_on_the_sheet() -> None:
    for name, svg in every():
        root = ET.fromstring(svg)
        width, height = float(root.get("width", 0)), float(root.get("height", 0))
        boxes = [(text, text_box(x, y, text, size, anchor, bold)) for text, x, y, size, anchor, bold in words_of(svg)]
        for text, box in boxes:
            assert box.left >= -3, (name, text)
            assert box.right <= width + 3, (name, text)
            assert box.bottom <= height + 1, (name, text)
            assert box.top >= -1, (name, text)
        for (one, a), (two, b) in combinations(boxes, 2):
            # the boxes are generous: a digit's box is a fifth wider and taller than the digit
            overlap = min(a.right, b.right) - max(a.left, b.left), min(a.bottom, b.bottom) - max(a.top, b.top)
            assert min(overlap) < 4.5, (name, one, two, overlap)


@pytest.mark.parametrize("width", [320, 360, 412, 600, 699])
def test_narrow_sections_at_every_width(width: int) -> None:
    for tag in TAGS:
        e = load(DEMO / f"{tag}.toml")
        for state, view in states(e).items():
            svg = section(e, replace(view, width=width, narrow=True))
            boxes = [(t, text_box(x, y, t, size, anchor, bold)) for t, x, y, size, anchor, bold in words_of(svg)]
            for (one, a), (two, b) in combinations(boxes, 2):
                overlap = min(a.right, b.right) - max(a.left, b.left), min(a.bottom, b.bottom) - max(a.top, b.top)
                assert min(overlap) < 4.5, (tag, state, width, one, two)
            assert all(box.right <= width + 3 and box.left >= -3 for _, box in boxes), (tag, state, width)


def test_sizes() -> None:
    for name, svg in every():
        assert len(svg) < 100_000, name


@pytest.mark.parametrize("tag", ['<script>alert("x")</script>', 'a & b\' "c" \x00\x0b', "</svg><b>"])
def test_a_hostile_tag_stays_text(tag: str) -> None:
    e = load(DEMO / "14-E-103.toml")
    bad = replace(e, identity=replace(e.identity, tag=tag))
    joint = replace(e.joints[0], between=tag)
    for svg in (*(section(bad, v) for v in states(bad).values()), gasket(bad, joint)):
        root = ET.fromstring(svg)
        assert not list(root.iter(NS + "script"))
        assert len([e for e in root.iter() if e.tag in (NS + "b", "b")]) == 0
        assert "<script" not in svg


WORDS_APART = """() => { const out = []; document.querySelectorAll('svg').forEach((s, k) => {
  const t = [...s.querySelectorAll('text')].map(e => [e.textContent, e.getBoundingClientRect()]);
  for (let i = 0; i < t.length; i++) for (let j = i + 1; j < t.length; j++) {
    const a = t[i][1], b = t[j][1], h = a.height * 0.2, g = b.height * 0.2;
    if (a.left < b.right && b.left < a.right && a.top + h < b.bottom - g && b.top + g < a.bottom - h) out.push([k, t[i][0], t[j][0]]); } });
  return out; }"""


def typeface() -> str:
    """The pages' own typeface; a page set from a string may not fetch a file."""
    faces = []
    for cut, weight in (("Semibold", 600), ("Bold", 700)):
        data = base64.b64encode(font_file(cut).read_bytes()).decode()
        faces.append(f"@font-face {{ font-family: 'Source Sans Pro'; font-weight: {weight}; src: url(data:font/ttf;base64,{data}) }}")
    return f"<style>{' '.join(faces)}</style>"


def test_a_browser_finds_no_word_on_another(chromium: Browser) -> None:
    page = chromium.new_page(viewport={"width": 1200, "height": 800})
    try:
        page.set_content(typeface() + "<body style='--ground:#fff'>" + "".join(svg for _, svg in every()))
        assert page.evaluate("document.fonts.ready.then(fonts => [...fonts].every(f => f.status === 'loaded'))")
        assert page.evaluate("document.querySelectorAll('svg').length") == len(every())
        assert [(every()[k][0], one, two) for k, one, two in page.evaluate(WORDS_APART)] == []
    finally:
        page.close()


def dark(png: bytes) -> Image.Image:
    return Image.open(io.BytesIO(png)).convert("L").point(lambda v: 255 if v < 128 else 0)


def crossed(page: Page, svg: str) -> list[str]:
    """Words with more than a few of their dark pixels on a line: the drawing without its words, and its words alone, laid together."""
    ground = "<body style='margin:0;--ground:#fff;background:#fff;color:#000'>"
    page.set_content(f"{typeface()}<style>text{{visibility:hidden}}</style>{ground}{svg}")
    lines = dark(page.screenshot(full_page=True))
    bare = "<style>svg *{stroke:none!important;fill:none!important}text{fill:#000!important}</style>"
    page.set_content(f"{typeface()}{bare}{ground}{svg}")
    words = dark(page.screenshot(full_page=True))
    boxes = page.evaluate("""() => [...document.querySelectorAll('text')].map(e => { const r = e.getBoundingClientRect();
        return [e.textContent, e.getAttribute('fill'), r.left, r.top, r.right, r.bottom]; })""")
    found = []
    for text, fill, *edges in boxes:
        place = tuple(int(v) for v in edges)
        both = ImageChops.multiply(lines.crop(place), words.crop(place)).point(lambda v: 255 if v else 0)
        if fill == INK and both.histogram()[255] > 3:
            found.append(text)
    return found


def test_no_word_lies_on_a_line(chromium: Browser) -> None:
    page = chromium.new_page(viewport={"width": 1200, "height": 900})
    try:
        assert crossed(page, '<svg width="99" height="50"><path d="M0,30H99" stroke="#000" stroke-width="2"/>'
                             '<text x="9" y="36" font-size="20" fill="currentColor">across</text></svg>') == ["across"]  # fmt: skip
        looked = [(name, svg) for name, svg in every() if ("section" in name and "half way" not in name) or "step" in name] + list(
            gallery("14-E-103")
        )[-12:]
        assert [(name, text) for name, svg in looked for text in crossed(page, svg)] == []
    finally:
        page.close()


def unnamed(svg: str) -> list[str]:
    """What the description says was left without its number."""
    found = re.search(r"Without its number, for want of room: ([^.]+)\.", svg)
    return found[1].split(", ") if found else []


def test_every_nozzle_vent_and_blind_has_its_number() -> None:
    small = {name for name, _ in every() if name.endswith("430")}
    assert [(name, unnamed(svg)) for name, svg in every() if name not in small and unnamed(svg)] == []
    left_out = {i for name, svg in every() if name in small for i in unnamed(svg)}
    assert not any(i.startswith(("B", "TB")) for i in left_out), "at 430 px a vent may go without, a blind may not"


def shell(svg: str) -> set[str]:
    """The outlines of the shell, which moves in no step."""
    groups = [g for g in ET.fromstring(svg).iter(NS + "g") if g.get("data-part") == "shell"]
    return {p.get("d", "") for g in groups for p in g.iter(NS + "path")}


@pytest.mark.parametrize("width", [430, 860])
def test_before_and_after_have_one_size_and_one_scale(width: int) -> None:
    for tag in TAGS:
        for name, (one, two) in steps(load(DEMO / f"{tag}.toml")).items():
            svgs = pair(load(DEMO / f"{tag}.toml"), replace(one, width=width), replace(two, width=width))
            sizes = {ET.fromstring(svg).get("viewBox") for svg in svgs}
            assert len(sizes) == 1, (tag, name, sizes)
            assert shell(svgs[0]) == shell(svgs[1]) != set(), (tag, name)


def test_views_that_cannot_stand_side_by_side_are_refused() -> None:
    with pytest.raises(ValueError, match="one width"):
        pair(load(DEMO / "14-E-103.toml"), SectionView(width=430), SectionView(width=860))
