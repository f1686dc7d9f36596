"""The bolt circle of a joint as it stands: what a fitter can count on it with a pencil."""

from __future__ import annotations

import re
from math import hypot
from xml.etree import ElementTree

import pytest

from boxup.drawing.joint_now import JointNow, joint_now
from boxup.drawing.view import JointLook

SVG = "{http://www.w3.org/2000/svg}"


def strokes(svg: str) -> list[float]:
    """The length of every stroke at a stud, clockwise from stud 1."""
    found = [
        (float(a), float(b), float(c), float(d)) for a, b, c, d in re.findall(r"M([\d.-]+),([\d.-]+)L([\d.-]+),([\d.-]+)(?=[M\"])", svg)
    ]
    return [round(hypot(c - a, d - b), 0) for a, b, c, d in found]


def words(svg: str) -> list[str]:
    return [t.text or "" for t in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def test_a_stroke_grows_with_each_time_round() -> None:
    """Eight studs, none, one, two, three, four times round: a dot, then four lengths."""
    svg = joint_now(JointNow("J1", JointLook("pass", (0, 1, 2, 3, 4, 4, 4, 4)), 8))
    lengths = strokes(svg)
    assert len(lengths) == 7  # stud 1 has a dot
    assert lengths[0] < lengths[1] < lengths[2] < lengths[3]
    assert len(set(lengths[3:])) == 1


def test_pulled_up_has_full_strokes_and_a_low_stud_a_short_one() -> None:
    lengths = strokes(joint_now(JointNow("J1", JointLook("pulled up", low=(3,)), 8)))
    assert len(lengths) == 8
    assert lengths[2] < lengths[0] / 2
    assert lengths[:2] + lengths[3:] == [lengths[0]] * 7


@pytest.mark.parametrize("width", [360, 560])
@pytest.mark.parametrize("studs", [4, 12, 36, 68])
def test_numbers_do_not_touch_and_those_that_matter_are_there(width: int, studs: int) -> None:
    look = JointLook("pass", (1,) * studs, low=(2,))
    svg = joint_now(JointNow("J1", look, studs, next=(3,), stopped=4, width=width))
    numbers = [
        (float(t.get("x", 0)), float(t.get("y", 0)), t.text)
        for t in ElementTree.fromstring(svg).iter(f"{SVG}text")
        if (t.text or "").isdigit()
    ]
    assert {"2", "3", "4"} <= {n for _, _, n in numbers}
    plain = [(x, y) for x, y, n in numbers if n not in ("2", "3", "4")]
    assert all(hypot(a - c, b - d) >= 18 for i, (a, b) in enumerate(plain) for c, d in plain[i + 1 :])


def test_its_name_its_word_its_gaps_and_its_finding() -> None:
    look = JointLook("pass", (2,) * 36, stud=20, findings=("412",))
    said = words(joint_now(JointNow("J4", look, 36, gaps=(3.1, 3.2, 3.3, 3.4))))
    assert {"J4", "412", "3.1", "3.2", "3.3", "3.4"} <= set(said)
    assert "pass 2 at stud 20" in " ".join(said)


def test_the_closed_side_is_a_thick_arc_where_the_plane_is_lowest() -> None:
    """Closest at 6 o'clock: the arc stands on the line straight down from the centre, below it."""
    svg = joint_now(JointNow("J4", JointLook("snug"), 36, gaps=(3.6, 3.2, 2.8, 3.2)))
    thick = [p.get("d") or "" for p in ElementTree.fromstring(svg).iter(f"{SVG}path") if p.get("stroke-width") == "7"]
    (d,) = [d for d in thick if "A" in d]
    x, y, u, v = (float(n) for part in (d[1:].partition("A")[0], d.rpartition(" ")[2]) for n in part.split(","))
    assert (x + u) / 2 == pytest.approx(280, abs=0.1)
    assert y == pytest.approx(v, abs=0.1)
    assert y > 284
    assert "Tilt 0.8 mm, closest at 6 o'clock." in (ElementTree.fromstring(svg).findtext(f"{SVG}desc") or "")
    for level in ((3.2,) * 4, (3.2, 3.2, 3.21, 3.2), ()):
        assert 'stroke-width="7"' not in joint_now(JointNow("J4", JointLook("snug"), 36, gaps=level))
    assert 'stroke-width="7"' not in joint_now(JointNow("J4", JointLook("snug"), 36, gaps=(3.6, 3.2, 2.8, 3.2), width=360))


def test_off_is_a_phantom_circle_without_studs() -> None:
    svg = joint_now(JointNow("J5", JointLook("off"), 36))
    assert words(svg) == ["J5", "off"]
    assert "stroke-dasharray" in svg


def test_who_cannot_see_it_is_told() -> None:
    svg = joint_now(JointNow("J4", JointLook("pass", (1,) * 36), 36, next=(5,), stopped=28, dry=(13, 14), gaps=(3.1, 3.1, 3.1, 3.2)))
    desc = ElementTree.fromstring(svg).findtext(f"{SVG}desc") or ""
    for said in ("Next: 5.", "Stopped at stud 28.", "Dry, wet or dirty threads: 13, 14.", "Gaps clockwise from 12: 3.1, 3.1, 3.1, 3.2 mm."):
        assert said in desc


def test_fewer_than_four_studs_are_refused() -> None:
    with pytest.raises(ValueError, match="3 studs: a bolt circle has 4 or more"):
        JointNow("J1", JointLook("in"), 3)
