"""An exchanger that stands upright is drawn so: turned as a whole, the end up that is up, every word to be read, nothing off the sheet."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import replace
from importlib import resources
from itertools import combinations
from math import cos, radians, sin
from pathlib import Path

import pytest
from tests.drawing.test_letters import NS, POSSIBLE, one

from boxup.core.quantity import Quantity
from boxup.drawing.gallery import states, steps
from boxup.drawing.place import text_box
from boxup.drawing.section import pair, section
from boxup.drawing.view import JointLook, SectionView
from boxup.exchanger.file import load
from boxup.exchanger.model import Exchanger

Matrix = tuple[float, float, float, float, float, float]
SOME = ("BEM", "NEN", "AES", "AKT", "BJP", "DFU", "AXW")


ENDS = ("front", "rear")


def upright(type_: str, upper_end: str = "") -> Exchanger:
    e = one(type_)
    return replace(e, identity=replace(e.identity, position="vertical", upper_end=upper_end))


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
        assert (abs(m[1]) < 1e-6 and m[0] > 0) or text.startswith("tubes "), (name, text, "must be read without turning the head")
        if abs(m[1]) < 1e-6:
            boxes.append((text, text_box(x, y, text, size, anchor, bold)))
    for text, box in boxes:
        assert -3 <= box.left <= box.right <= width + 3, (name, text, box, width)
        assert -1 <= box.top <= box.bottom <= height + 1, (name, text, box, height)
    for (first, a), (second, b) in combinations(boxes, 2):
        overlap = min(a.right, b.right) - max(a.left, b.left), min(a.bottom, b.bottom) - max(a.top, b.top)
        assert min(overlap) < 4.5, (name, first, second)


@pytest.mark.parametrize("up", ENDS)
def test_every_combination_stands_upright(up: str) -> None:
    for type_ in POSSIBLE:
        lying, standing = (section(e, SectionView(names_only=True)) for e in (one(type_), upright(type_, up)))
        assert "Stands upright" in standing
        assert "Stands upright" not in lying
        assert sorted(re.findall(r'data-joint="([^"]+)"', standing)) == sorted(j.id for j in one(type_).joints), type_
        check(standing, type_)


@pytest.mark.parametrize("up", ENDS)
@pytest.mark.parametrize(("width", "narrow"), [(1160, False), (860, False), (412, True), (360, True)])
def test_words_of_every_state_stand_clear_and_on_the_sheet(width: int, narrow: bool, up: str) -> None:
    for type_ in SOME:
        e = upright(type_, up)
        for name, state in states(e).items():
            svg = section(e, replace(state, width=width, narrow=narrow))
            assert float(ET.fromstring(svg).get("width", 0)) == width
            check(svg, (type_, name, width))


def places(svg: str) -> dict[str, tuple[float, float]]:
    """Where each word stands on the sheet."""
    return {text: (x, y) for text, _, x, y, *_ in texts(svg)}


def named(svg: str, key: str, name: str) -> list[tuple[ET.Element, Matrix]]:
    """Everything in the group of that part, joint, nozzle or blind."""
    found = [list(elements(n, m)) for n, m in outer(ET.fromstring(svg)) if n.get(f"data-{key}") == name]
    return [one for group in found for one in group]


def outer(root: ET.Element) -> Iterator[tuple[ET.Element, Matrix]]:
    """Every element with the turn of what it stands in."""

    def walk(node: ET.Element, m: Matrix) -> Iterator[tuple[ET.Element, Matrix]]:
        yield node, m
        for child in node:
            yield from walk(child, times(m, of(node.get("transform"))))

    yield from walk(root, (1, 0, 0, 1, 0, 0))


def middle(svg: str, part: str) -> tuple[float, float]:
    """Middle of the ground that the straight outlines of a part cover, on the sheet."""
    at = []
    for n, m in named(svg, "part", part):
        for x, y in re.findall(r"[ML](-?[\d.]+),(-?[\d.]+)", n.get("d", "")):
            at.append((m[0] * float(x) + m[2] * float(y) + m[4], m[1] * float(x) + m[3] * float(y) + m[5]))
    xs, ys = [p[0] for p in at], [p[1] for p in at]
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def test_the_end_that_is_up_is_on_top() -> None:
    view = SectionView(names_only=True)
    front, rear = (places(section(upright("BEM", up), view)) for up in ENDS)
    assert front["J1"][1] < front["J2"][1]
    assert front["N3"][1] < front["N1"][1] < front["N2"][1]
    assert rear["J2"][1] < rear["J1"][1]
    assert rear["N2"][1] < rear["N1"][1] < rear["N3"][1]


def test_it_is_turned_and_not_seen_in_a_mirror() -> None:
    """Half a turn in the plane of the paper sets 12 o'clock from one side to the other; the balloons keep to its side."""
    view = SectionView(joints={"J1": JointLook("pulled up"), "J2": JointLook("snug")})
    for type_ in ("BEM", "AES"):
        front, rear = (section(upright(type_, up), view) for up in ENDS)
        for svg, way, side in ((front, 1, "right"), (rear, -1, "left")):
            shell, at = middle(svg, "shell"), places(svg)
            assert (at["J1"][0] - shell[0]) * way > 0, (type_, side)
            assert (at["pulled up"][0] - at["J1"][0]) * way > 0, (type_, "its words stand outside of the balloon")
            assert f"12 o&#39;clock on the {side}" in svg, type_


def test_parts_set_apart_leave_their_own_end() -> None:
    rear_off, front_off = (SectionView(balloons=False, off=frozenset({part})) for part in ("rear channel", "channel"))
    for up, sign in (("front", 1), ("rear", -1)):
        e = upright("AEL", up)
        whole, bare = pair(e, SectionView(balloons=False), rear_off)
        assert sign * (middle(bare, "rear channel")[1] - middle(whole, "rear channel")[1]) > 20, up
        assert sign * (middle(bare, "rear cover")[1] - middle(bare, "rear channel")[1]) > 20, up
        whole, bare = pair(e, SectionView(balloons=False), front_off)
        assert sign * (middle(bare, "channel")[1] - middle(whole, "channel")[1]) < -20, up


def test_what_is_told_of_the_upper_end_of_one_that_lies_or_has_its_front_up_changes_nothing() -> None:
    for type_ in SOME:
        for name, state in states(one(type_)).items():
            lying = replace(one(type_), identity=replace(one(type_).identity, upper_end="rear"))
            assert section(lying, state) == section(one(type_), state), (type_, name)
            said, unsaid = section(upright(type_, "front"), state), section(upright(type_), state)
            assert bodies(said) == bodies(unsaid), (type_, name)  # all but the words that it is assumed


def bodies(svg: str) -> list[str]:
    """What is drawn, less words."""
    return re.findall(r"<(?:path|rect|circle) [^>]*>", svg)


@pytest.mark.parametrize("up", ENDS)
def test_stud_1_of_a_balloon_stays_at_twelve_o_clock(up: str) -> None:
    svg = section(upright("BEM", up), SectionView(joints={"J1": JointLook("pulled up")}))
    balloon = next((n, m) for n, m in elements(ET.fromstring(svg)) if n.get("data-joint") == "J1")
    turned = [m for n, m in elements(balloon[0], balloon[1]) if n.tag == NS + "circle"]
    assert turned
    assert all(abs(m[1]) < 1e-6 and m[0] > 0 for m in turned)


@pytest.mark.parametrize("up", ENDS)
def test_before_and_after_have_one_size(up: str) -> None:
    for type_ in SOME:
        bare = SectionView(balloons=False, width=430)
        opened = replace(bare, off=frozenset({"channel", "rear bonnet"}))
        sizes = {ET.fromstring(svg).get("viewBox") for svg in pair(upright(type_, up), bare, opened)}
        assert len(sizes) == 1, type_


def demo() -> Exchanger:
    """The demo exchanger that stands with its rear end up: nozzles on its near side at both ends (invented)."""
    return load(Path(str(resources.files("boxup.demo") / "data" / "31-E-305.toml")))


def test_before_and_after_have_one_scale_where_blinds_and_openings_differ() -> None:
    for name, (before, after) in steps(demo()).items():
        first, second = pair(demo(), replace(before, width=430), replace(after, width=430))
        assert ET.fromstring(first).get("viewBox") == ET.fromstring(second).get("viewBox"), name
        assert middle(first, "shell") == pytest.approx(middle(second, "shell"), abs=0.2), name


@pytest.mark.parametrize("up", ENDS)
def test_pressure_is_written_on_no_blind(up: str) -> None:
    e = replace(demo(), identity=replace(demo().identity, upper_end=up))
    for name in ("tube test", "shell test"):
        for width, narrow in ((1160, False), (360, True)):
            svg = section(e, replace(states(e)[name], width=width, narrow=narrow))
            said = [text_box(x, y, t, size, a, b) for t, _, x, y, size, a, b in texts(svg) if b and t.split(" ")[0].endswith("bar")]
            for blind in ("B1", "TB1", "B3", "TB3"):
                circles = [(n, m) for n, m in named(svg, "blind", blind) if n.tag == NS + "circle" and float(n.get("r", 0)) > 10]
                assert circles, (name, blind)
                for n, m in circles:
                    cx, cy, r = (float(n.get(key, 0)) for key in ("cx", "cy", "r"))
                    x, y = m[0] * cx + m[2] * cy + m[4], m[1] * cx + m[3] * cy + m[5]
                    clear = [min(max(x, box.left), box.right) - x for box in said], [min(max(y, box.top), box.bottom) - y for box in said]
                    assert all(dx * dx + dy * dy > r * r for dx, dy in zip(*clear, strict=True)), (up, name, width, blind)


def test_an_open_drain_on_the_side_runs_down() -> None:
    for up in ENDS:
        e = upright("BEM", up)
        drain = next(o for o in e.openings if o.kind == "drain")
        e = replace(e, openings=(replace(drain, clock=Quantity(3.0, "1"), position=Quantity(1.0, "m")),))
        svg = section(e, SectionView(open=frozenset({drain.id})))
        d, m = next((n.get("d", ""), m) for n, m in named(svg, "nozzle", drain.id) if n.tag == NS + "path")
        at = [(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+),(-?[\d.]+)", d)]
        heights = [m[1] * x + m[3] * y for x, y in at]
        assert all(foot > head for head, foot in zip(heights[::2], heights[1::2], strict=True)), up


def test_an_upright_file_that_does_not_say_which_end_is_up_says_that_it_is_assumed() -> None:
    x = upright("AEL", "front")
    unsaid = replace(x, identity=replace(x.identity, upper_end=""))
    assert "assumed" in section(unsaid, SectionView()), "drawn one way, and nobody said so"
    assert "assumed" not in section(x, SectionView())
