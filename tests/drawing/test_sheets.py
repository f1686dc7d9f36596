"""Balloon, bolt circle, gasket, tubesheet, lift and hatch, each for what it must not get wrong."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from itertools import pairwise
from math import hypot
from pathlib import Path

import pytest

import boxup
from boxup.drawing.balloon import balloon, key
from boxup.drawing.bolt_circle import BoltCircle, bolt_circle
from boxup.drawing.frame import stud_across
from boxup.drawing.gasket import gasket, ribs_of_gasket
from boxup.drawing.hatch import hatch
from boxup.drawing.lift import BundleLift, HeadLift, bundle_lift, head_lift
from boxup.drawing.place import Box, spread
from boxup.drawing.svg import num, safe, text_width, wrap
from boxup.drawing.tubesheet import TubesheetView, tubesheet
from boxup.drawing.view import STATES, JointLook, runs
from boxup.exchanger.file import load
from boxup.exchanger.layout import Layout, Tube, layout_of
from boxup.exchanger.model import Exchanger

DEMO = Path(boxup.__file__).parent / "demo" / "data"
NS = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def aes() -> Exchanger:
    return load(DEMO / "14-E-103.toml")


def look(state: str, **rest: object) -> JointLook:
    passes = (1,) * 36 if state == "pass" else ()
    return JointLook(state, **({"passes": passes} | rest))  # type: ignore[arg-type]


@pytest.mark.parametrize("size", [26, 56, 72])
def test_every_state_has_its_own_balloon(size: float) -> None:
    assert len({balloon("J4", look(s), 36, size, said="J4") for s in STATES}) == len(STATES)


def test_a_ray_for_each_stud_from_56_px_and_twelve_in_a_list() -> None:
    def rays(size: float) -> int:
        longest = max(re.findall(r'd="([^"]+)"', balloon("J4", look("pulled up"), 36, size)), key=len)
        return longest.count("M")

    assert rays(56) == 36
    assert rays(26) == 12


def test_a_stopped_pass_shows_longer_rays_up_to_the_stud() -> None:
    svg = balloon("J4", JointLook("pass", (2,) * 20 + (1,) * 16, stud=20), 36, 200)
    rays = re.findall(r"M([\d.]+),([\d.]+)L([\d.]+),([\d.]+)", svg)[:36]
    lengths = [hypot(float(a) - float(c), float(b) - float(d)) for a, b, c, d in rays]
    assert min(lengths[:20]) > max(lengths[20:]) + 2
    first, last = rays[0], rays[-1]
    middle = float(first[0]) / 2 + float(last[0]) / 2
    assert float(first[0]) > middle > float(last[0]), "stud 1 is the first clockwise of 12"


def test_the_words_of_a_joint() -> None:
    assert JointLook("pass", (2, 1), stud=20).word == "pass 2 at stud 20"
    assert JointLook("pass", (1, 1)).word == "pass 1 done"
    assert JointLook("tested dry").word == "tested dry"
    assert runs((17, 15, 16, 20)) == "15-17, 20"
    with pytest.raises(ValueError, match="accepted"):
        JointLook("green")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="passes"):
        JointLook("pass")


def test_the_key_names_every_state() -> None:
    text = " ".join(t.text or "" for t in ET.fromstring(key()).iter(NS + "text"))
    for word in ("off", "in", "snug", "pass 2 at stud", "pulled up", "tested dry", "undone"):
        assert word in text


# ------------------------------------------------------------------ bolt circle


def texts(svg: str) -> list[tuple[str, float, float]]:
    return [(t.text or "", float(t.get("x", 0)), float(t.get("y", 0))) for t in ET.fromstring(svg).iter(NS + "text")]


@pytest.mark.parametrize("studs", [4, 24, 28, 32, 36, 48, 64])
@pytest.mark.parametrize("tools", [1, 2, 4])
@pytest.mark.parametrize("width", [320, 720])
def test_each_stud_stands_once_with_its_place_in_the_order(studs: int, tools: int, width: int) -> None:
    order = tuple(range(studs, 0, -1))
    svg = bolt_circle(BoltCircle("J4", studs, order, tools, width=width))
    numbers = [t for t, _, _ in texts(svg) if t.isdigit()]
    places = [str(i // tools + 1) for i in range(studs)]
    assert sorted(numbers) == sorted([str(n) for n in range(1, studs + 1)] + places)


def test_studs_run_clockwise_from_12() -> None:
    at = {t: (x, y) for t, x, y in texts(bolt_circle(BoltCircle("J4", 36, tuple(range(1, 37)), 36))) if t.isdigit()}
    centre = sum(p[0] for p in at.values()) / len(at)
    assert at["2"][0] > centre > at["36"][0]
    assert at["2"][1] < at["9"][1] < at["18"][1]
    assert at["10"][0] > centre > at["28"][0]


def test_an_order_that_forgets_a_stud_is_refused() -> None:
    with pytest.raises(ValueError, match="once"):
        BoltCircle("J4", 8, (1, 2, 3, 4, 5, 6, 7, 7))
    with pytest.raises(ValueError, match="accepted"):
        BoltCircle("J4", 8, tuple(range(1, 9)), tools=0)


@pytest.mark.parametrize(("studs", "width"), [(16, 320), (36, 720), (64, 720)])
def test_the_torque_stands_in_the_middle_and_the_side_is_named(studs: int, width: int) -> None:
    given = BoltCircle("J4", studs, tuple(range(1, studs + 1)), width=width, torque=("615 N·m", "(455 lbf·ft)"), seen_from="from the rear")
    svg = bolt_circle(given)
    at = {t: (x, y) for t, x, y in texts(svg)}
    assert at["J4"][0] == at["615 N·m"][0] == at["(455 lbf·ft)"][0]
    assert at["J4"][1] < at["615 N·m"][1] < at["(455 lbf·ft)"][1]
    assert "from the rear" in svg.split("</desc>")[1]
    assert "nut side" not in svg


# ------------------------------------------------------------------ gasket


def test_front_and_rear_gaskets_have_the_ribs_of_their_end(aes: Exchanger) -> None:
    ribs = {j.id: ribs_of_gasket(aes, j) for j in aes.joints}
    assert [len(ribs[j]) for j in ("J1", "J2", "J3", "J4", "J5")] == [2, 2, 0, 1, 0]


def test_the_gasket_that_goes_on_before_the_bundle_says_so(aes: Exchanger) -> None:
    said = {j.id: "On before the bundle" in gasket(aes, j) for j in aes.joints}
    assert said == {"J1": False, "J2": False, "J3": True, "J4": False, "J5": False}
    fixed = load(DEMO / "14-E-108.toml")
    assert not any("On before" in gasket(fixed, j) for j in fixed.joints)


def test_a_size_nobody_gave_is_not_made_up(aes: Exchanger) -> None:
    joint = aes.joints[0]
    assert joint.gasket is not None
    bare = replace(joint, gasket=replace(joint.gasket, od=None, id_=None, thickness=None, rib_width=None))
    svg = gasket(aes, bare)
    assert "OD not given" in svg
    assert "thickness not given" in svg
    assert "861" not in svg


def test_a_ring_without_ribs_is_a_plain_ring_and_says_nothing_of_ribs() -> None:
    fixed = load(DEMO / "14-E-108.toml")
    rear = next(j for j in fixed.joints if j.ribs_end == "rear")  # two passes: no plate at the rear
    assert rear.gasket is not None
    svg = gasket(fixed, replace(rear, gasket=replace(rear.gasket, rib_width=None)))
    assert "plain ring" in svg
    words = re.sub(r"<[^>]+>", " ", svg)
    assert not re.search(r"\brib|groove", words, re.IGNORECASE)


def test_a_joint_without_a_gasket_is_a_sentence(aes: Exchanger) -> None:
    with pytest.raises(ValueError, match=r"\[gasket"):
        gasket(aes, replace(aes.joints[0], gasket=None))


# ------------------------------------------------------------------ tubesheet


def sheet_view(aes: Exchanger, **rest: object) -> TubesheetView:
    layout = layout_of(aes)
    assert isinstance(layout, Layout)
    return TubesheetView("14-E-103", layout.tubes, 19.05, 420, **rest)  # type: ignore[arg-type]


def crosses(svg: str) -> list[float]:
    """x of the rings of tubes to plug."""
    return [float(x) for x in re.findall(r'data-tube="[^"]+"><circle cx="([\d.]+)"', svg)]


def test_the_rear_is_the_mirror_image_with_the_same_numbers(aes: Exchanger) -> None:
    front, rear = (tubesheet(sheet_view(aes, to_plug=("9-14",), end=end)) for end in ("front", "rear"))
    datum = {svg: float(re.findall(r'<circle cx="([\d.]+)"', svg)[0]) for svg in (front, rear)}
    left, right = crosses(front)[0] - datum[front], crosses(rear)[0] - datum[rear]
    # 9-14 is the 14th of 28 holes from the left: half a pitch left of the centre line seen from the front
    assert left == pytest.approx(-right, abs=0.2)
    assert left < 0 < right
    assert "9-14" in rear


def test_all_holes_are_there(aes: Exchanger) -> None:
    svg = tubesheet(sheet_view(aes, plugged=("2-6", "14-3", "19-9"), to_plug=("9-14",)))
    arcs = max(re.findall(r'd="([^"]+)"', svg), key=len)
    assert arcs.count("M") == 592 - 4
    assert "plugged, 3: 2-6, 14-3, 19-9" in svg
    assert len(svg) < 100_000


def test_a_tube_that_is_not_there_is_refused(aes: Exchanger) -> None:
    with pytest.raises(ValueError, match="no hole 99-1"):
        tubesheet(sheet_view(aes, plugged=("99-1",)))
    with pytest.raises(ValueError, match="both"):
        tubesheet(sheet_view(aes, plugged=("9-14",), to_plug=("9-14",)))


def test_the_words_say_from_which_side_to_count(aes: Exchanger) -> None:
    rear = re.sub(r"<[^>]+>", " ", tubesheet(sheet_view(aes, to_plug=("9-14",), end="rear")))
    assert "9-14 is row 9, hole 14 from the right" in " ".join(rear.split())
    front = re.sub(r"<[^>]+>", " ", tubesheet(sheet_view(aes, to_plug=("9-14",))))
    assert "9-14 is row 9, hole 14 from the left" in " ".join(front.split())


def test_u_tubes_are_named_by_both_their_ends(aes: Exchanger) -> None:
    pairs = (("10-1", "15-1"), ("9-1", "16-1"), ("8-1", "17-1"))
    said = tubesheet(sheet_view(aes, to_plug=("9-1", "16-1", "10-1", "15-1"), pairs=pairs))
    assert "to plug, 2 U-tubes: 9-1 + 16-1, 10-1 + 15-1" in said
    half = tubesheet(sheet_view(aes, to_plug=("9-1", "16-1", "8-1"), pairs=pairs))
    assert "8-1 (its other end 17-1 is not named)" in half.replace("</text>", " ").split("<desc>")[1]
    assert "to plug, 1: 9-1" in tubesheet(sheet_view(aes, to_plug=("9-1",)))


def test_five_thousand_holes_are_drawn() -> None:
    holes = [Tube(f"{r}-{c}", r, c, (c - 36) * 20.0, (36 - r) * 20.0, 1 + r // 36) for r in range(1, 72) for c in range(1, 72)]
    svg = tubesheet(TubesheetView("X", holes, 15, 1010))
    assert svg.count("a") > 5000


# ------------------------------------------------------------------ lift

LIFT = BundleLift("14-E-103", 6.096, 1.34, 4.75, 2.95, 3.0, "43.5 kN", "25.1 kN", "22.9 kN")


def test_the_hook_hangs_over_the_centre_of_gravity() -> None:
    svg = bundle_lift(LIFT)
    legs = re.findall(r'd="M([\d.]+),([\d.]+)L([\d.]+),([\d.]+)" stroke-width="5"', svg)
    hooks = {(a, b) for a, b, c, d in legs if a != c}
    assert len(hooks) == 1
    hook = float(hooks.pop()[0])
    ends = sorted(float(c) for a, _, c, _ in legs if a != c)
    share = (hook - ends[0]) / (ends[1] - ends[0])
    assert share == pytest.approx((2.95 - 1.34) / (4.75 - 1.34), abs=0.002)
    assert "61°" in svg  # atan(3.0 / 1.61) = 61.8, rounded to the flatter side
    assert "59°" in svg  # atan(3.0 / 1.80)


@pytest.mark.parametrize(("change", "said"), [({"gravity": 5.0}, "between"), ({"right": 7.0}, "along"), ({"hook": 0.0}, "above")])
def test_a_lift_that_cannot_hang_is_refused(change: dict[str, float], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        replace(LIFT, **change)


def test_a_head_hangs_on_one_leg_or_two() -> None:
    one, two = (head_lift(HeadLift("14-E-103", "channel", "open", legs, "6.3 kN")) for legs in (1, 2))
    assert one != two
    with pytest.raises(ValueError, match="accepted"):
        head_lift(HeadLift("14-E-103", "channel", legs=3))


# ------------------------------------------------------------------ small things


def test_hatch_stays_inside_and_out_of_the_gap() -> None:
    gap = Box(40, 40, 60, 60)
    lines = hatch([(0, 0), (100, 0), (100, 100), (0, 100)], gap)
    assert len(lines) > 15
    for a, b in lines:
        for x, y in (a, b, ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)):
            assert -0.01 <= x <= 100.01
            assert -0.01 <= y <= 100.01
            assert not (40.01 < x < 59.99 and 40.01 < y < 59.99)
    gaps = sorted({round(a[0] + a[1], 3) for a, _ in lines})
    assert gaps[1] - gaps[0] == pytest.approx(8 * 2**0.5, abs=0.01), "8 px square to the lines"


def test_spread_keeps_order_and_room() -> None:
    got = spread([10, 11, 300], [100, 100, 100], 0, 320)
    assert got == sorted(got)
    assert all(b - a >= 100 for a, b in pairwise(got))
    assert got[0] >= 50
    assert got[-1] <= 270


@pytest.mark.parametrize(("value", "text"), [(1.0, "1"), (0.04, "0"), (-0.04, "0"), (2.25, "2.2"), (10.06, "10.1"), (0.1 + 0.2, "0.3")])
def test_numbers_without_noise(value: float, text: str) -> None:
    assert num(value) == text


def test_text() -> None:
    assert safe("<a & 'b'>\x00") == "&lt;a &amp; &#39;b&#39;&gt;"
    assert wrap("one two three", 18, text_width("one two", 18)) == ["one two", "three"]
    assert wrap("31.3\u00a0bar (454\u00a0psi)", 18, 60) == ["31.3\u00a0bar", "(454\u00a0psi)"]


SIZES = [("1-8", 25.4), ("7/8-9", 22.225), ("2-1/2-8", 63.5), ("M24x3", 24.0), ("bolt", None), ("", None)]


@pytest.mark.parametrize(("name", "mm"), SIZES)
def test_stud_sizes(name: str, mm: float | None) -> None:
    assert stud_across(name) == (pytest.approx(mm) if mm else None)
