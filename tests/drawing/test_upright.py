"""An exchanger that stands upright is drawn so: turned as a whole, every word to be read, nothing off the sheet."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations
from math import cos, radians, sin

import pytest
from tests.drawing.test_letters import NS, POSSIBLE, one

from boxup.drawing.gallery import states
from boxup.drawing.place import text_box
from boxup.drawing.section import pair, section
from boxup.drawing.view import JointLook, SectionView
from boxup.exchanger.model import Exchanger

Matrix = tuple[float, float, float, float, float, float]
SOME = ("BEM", "NEN", "AES", "AKT", "BJP", "DFU", "AXW")


def upright(type_: str) -> Exchanger:
    e = one(type_)
    return replace(e, identity=replace(e.identity, position="vertical"))


def times(m: Matrix, n: Matrix) -> Matrix:
    a, b, c, d, e, f = n
    return (
        m[0] * a + m[2] * b, m[1] * a + m[3] * b, m[0] * c + m[2] * d, m[1] * c + m[3] * d,
        m[0] * e + m[2] * f + m[4], m[1] * e + m[3] * f + m[5],
    )  # fmt: skip


def of(transform: str | None) -> Matrix:
    """matrix(...) and rotate(angle x y), as SVG has them."""
    if not transform:
        return (1, 0, 0, 1, 0, 0)
    v = [float(n) for n in re.findall(r"-?[\d.]+", transform)]
    if transform.startswith("matrix"):
        return (v[0], v[1], v[2], v[3], v[4], v[5])
    c, s = cos(radians(v[0])), sin(radians(v[0]))
    return (c, s, -s, c, v[1] - c * v[1] + s * v[2], v[2] - s * v[1] - c * v[2])


def elements(node: ET.Element, m: Matrix = (1, 0, 0, 1, 0, 0)) -> Iterator[tuple[ET.Element, Matrix]]:
    m = times(m, of(node.get("transform")))
    yield node, m
    for child in node:
        yield from elements(child, m)


def texts(svg: str) -> list[tuple[str, Matrix, float, float, float, str, bool]]:
    """Words with the way they are turned and where they stand on the sheet."""
    found = []
    for t, m in elements(ET.fromstring(svg)):
        if t.tag == NS + "text":
            x, y = float(t.get("x", 0)), float(t.get("y", 0))
            at = m[0] * x + m[2] * y + m[4], m[1] * x + m[3] * y + m[5]
            size, anchor, bold = float(t.get("font-size", 0)), t.get("text-anchor", "middle"), t.get("font-weight") == "700"
            found.append((t.text or "", m, *at, size, anchor, bold))
    return found


def check(svg: str, name: object) -> None:
    root = ET.fromstring(svg)
    width, height = float(root.get("width", 0)), float(root.get("height", 0))
    boxes = []
    for text, m, x, y, size, anchor, bold in texts(svg):
        assert abs(m[1]) < 1e-6 or text.startswith("tubes "), (name, text, "must be read without turning the head")
        if abs(m[1]) < 1e-6:
            boxes.append((text, text_box(x, y, text, size, anchor, bold)))
    for text, box in boxes:
        assert -3 <= box.left <= box.right <= width + 3, (name, text, box, width)
        assert -1 <= box.top <= box.bottom <= height + 1, (name, text, box, height)
    for (first, a), (second, b) in combinations(boxes, 2):
        overlap = min(a.right, b.right) - max(a.left, b.left), min(a.bottom, b.bottom) - max(a.top, b.top)
        assert min(overlap) < 4.5, (name, first, second)


def test_every_combination_stands_upright() -> None:
    for type_ in POSSIBLE:
        lying, standing = (section(e, SectionView(names_only=True)) for e in (one(type_), upright(type_)))
        assert "Stands upright" in standing
        assert "Stands upright" not in lying
        assert sorted(re.findall(r'data-joint="([^"]+)"', standing)) == sorted(j.id for j in one(type_).joints), type_
        check(standing, type_)


@pytest.mark.parametrize(("width", "narrow"), [(1160, False), (860, False), (412, True), (360, True)])
def test_words_of_every_state_stand_clear_and_on_the_sheet(width: int, narrow: bool) -> None:
    for type_ in SOME:
        for name, state in states(upright(type_)).items():
            svg = section(upright(type_), replace(state, width=width, narrow=narrow))
            assert float(ET.fromstring(svg).get("width", 0)) == width
            check(svg, (type_, name, width))


def test_the_front_end_is_on_top() -> None:
    at = {text: y for text, _, _, y, *_ in texts(section(upright("BEM"), SectionView(names_only=True)))}
    assert at["J1"] < at["J2"]
    assert at["N3"] < at["N1"] < at["N2"]


def test_stud_1_of_a_balloon_stays_at_twelve_o_clock() -> None:
    svg = section(upright("BEM"), SectionView(joints={"J1": JointLook("pulled up")}))
    balloon = next((n, m) for n, m in elements(ET.fromstring(svg)) if n.get("data-joint") == "J1")
    turned = [m for n, m in elements(balloon[0], balloon[1]) if n.tag == NS + "circle"]
    assert turned
    assert all(abs(m[1]) < 1e-6 for m in turned)


def test_before_and_after_have_one_size() -> None:
    for type_ in SOME:
        bare = SectionView(balloons=False, width=430)
        opened = replace(bare, off=frozenset({"channel", "rear bonnet"}))
        sizes = {ET.fromstring(svg).get("viewBox") for svg in pair(upright(type_), bare, opened)}
        assert len(sizes) == 1, type_
