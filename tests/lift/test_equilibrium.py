"""Ten thousand lifts made at random: forces and moments add up to nothing, reckoned here with vectors, not with the program's lines."""

from __future__ import annotations

import random
from math import atan2, cos, degrees, hypot, pi, radians, sin

import pytest

from boxup.core.calculation import Answer
from boxup.lift.hang import hang, uneven_legs
from boxup.lift.many_legs import several_legs
from boxup.lift.sling import sling_legs
from boxup.lift.tackle import tackle_run

pytestmark = pytest.mark.computed
NEAR = 1e-9  # of the load
Vector = tuple[float, ...]


def run(calculation, **typed) -> Answer:
    return calculation.run(calculation.parse({k: str(v) for k, v in typed.items()}))


def towards(place: Vector, to: Vector, size: float) -> Vector:
    """A force of that size at `place` pointing to `to`."""
    way = [b - a for a, b in zip(place, to, strict=True)]
    long = sum(x * x for x in way) ** 0.5
    return tuple(size * x / long for x in way)


def balanced(load: float, acting: list[tuple[Vector, Vector]], about: Vector) -> None:
    """(place, force) pairs in the plane or in space: no force and no moment left, about a point that is none of theirs."""
    for i in range(len(about)):
        assert abs(sum(force[i] for _, force in acting)) <= NEAR * load
    pairs = [(0, 1)] if len(about) == 2 else [(0, 1), (1, 2), (2, 0)]
    span = max(1.0, *(abs(a - b) for place, _ in acting for a, b in zip(place, about, strict=True)))
    for i, j in pairs:
        moment = sum((p[i] - about[i]) * f[j] - (p[j] - about[j]) * f[i] for p, f in acting)
        assert abs(moment) <= NEAR * load * span


def test_two_legs_with_level_picks():
    made = random.Random(1)
    for _ in range(2500):
        load, left, right, height, deep = (made.uniform(*r) for r in ((100, 1e6), (0.01, 8), (0.01, 8), (0.1, 20), (0, 2)))
        a = run(sling_legs, weight=f"{load!r} N", left=f"{left!r} m", right=f"{right!r} m", height=f"{height!r} m")
        hook, one, two = (0.0, 0.0), (-left, -height), (right, -height)
        acting = [
            (one, towards(one, hook, a.si("left_tension"))),
            (two, towards(two, hook, a.si("right_tension"))),
            ((0.0, -height - deep), (0.0, -load)),
        ]
        balanced(load, acting, (made.uniform(-5, 5), made.uniform(-5, 5)))
        assert a.si("left_angle") == pytest.approx(atan2(height, left), rel=1e-9)


def test_two_legs_with_picks_at_different_heights():
    made = random.Random(2)
    for _ in range(2500):
        load, left, right, high, low = (made.uniform(*r) for r in ((100, 1e6), (0.01, 8), (0.01, 8), (0.1, 20), (0.1, 20)))
        a = run(
            uneven_legs,
            weight=f"{load!r} N",
            left=f"{left!r} m",
            right=f"{right!r} m",
            left_height=f"{high!r} m",
            right_height=f"{low!r} m",
        )
        one, two = (-left, -high), (right, -low)
        acting = [
            (one, towards(one, (0.0, 0.0), a.si("left_tension"))),
            (two, towards(two, (0.0, 0.0), a.si("right_tension"))),
            ((0.0, -30.0), (0.0, -load)),
        ]
        balanced(load, acting, (made.uniform(-5, 5), made.uniform(-5, 5)))
        assert a.si("right_length") == pytest.approx(hypot(right, low))
        flat = min(atan2(high, left), atan2(low, right)) < radians(30)
        assert ("stop" in [f.level for f in a.findings]) == flat


def turned(place: Vector, by: float) -> Vector:
    """Clockwise, as a piece turns whose right end is low."""
    x, y = place
    return (x * cos(by) + y * sin(by), y * cos(by) - x * sin(by))


def test_slings_of_given_length_say_how_the_piece_hangs():
    made, hung = random.Random(3), 0
    for _ in range(2500):
        load, apart, deep = made.uniform(100, 1e6), made.uniform(0.5, 6), made.uniform(0, 2)
        left = made.uniform(0.4, 8)
        right = abs(left - apart) + made.uniform(0.02, 0.98) * (left + apart - abs(left - apart))
        place = made.uniform(0, apart)
        a = run(hang, weight=f"{load!r} N", between=f"{apart!r} m", left_sling=f"{left!r} m", right_sling=f"{right!r} m",
                gravity=f"{place!r} m",
                below=f"{deep!r} m")  # fmt: skip
        foot, height, tilt = a.si("level"), a.si("height"), a.si("tilt")
        assert hypot(foot, height) == pytest.approx(left)
        assert hypot(apart - foot, height) == pytest.approx(right)
        hook, one, two, middle = (turned(p, tilt) for p in ((foot, height), (0.0, 0.0), (apart, 0.0), (place, -deep)))
        assert middle[0] == pytest.approx(hook[0], abs=1e-9 * (1 + left + right))
        assert middle[1] < hook[1]
        acting = [
            (one, towards(one, hook, a.si("left_tension"))),
            (two, towards(two, hook, a.si("right_tension"))),
            (middle, (0.0, -load)),
        ]
        size = max(abs(a.si("left_tension")), abs(a.si("right_tension")), load)  # flat slings pull many times the load
        balanced(size, acting, (made.uniform(-5, 5), made.uniform(-5, 5)))
        slack = a.si("left_tension") <= 0 or a.si("right_tension") <= 0
        assert any("slack" in f.text for f in a.findings) == slack
        for pick, key in ((one, "left_angle"), (two, "right_angle")):
            assert a.si(key) == pytest.approx(atan2(hook[1] - pick[1], abs(hook[0] - pick[0])), abs=1e-6)
        assert any("out of level" in f.text for f in a.findings) == (abs(degrees(tilt)) > 1)
        hung += not slack
    assert hung > 1000


def round_the_hook(legs: int, out: float, height: float, first: float) -> list[Vector]:
    return [(out * cos(first + 2 * pi * i / legs), out * sin(first + 2 * pi * i / legs), -height) for i in range(legs)]


def test_several_legs_and_the_two_legs_of_a_basket():
    """Equalised: every leg. Not equalised, of four: the two that stand opposite. Of three: no less than each carries when they share."""
    made = random.Random(4)
    for _ in range(1500):
        load, out, height = made.uniform(100, 1e6), made.uniform(0.01, 8), made.uniform(0.1, 20)
        legs, shared = made.choice((2, 3, 4)), made.choice(("yes", "no"))
        a = run(several_legs, weight=f"{load!r} N", legs=legs, out=f"{out!r} m", height=f"{height!r} m", equalised=shared)
        picks = round_the_hook(legs, out, height, made.uniform(0, 2 * pi))
        if shared == "no" and legs == 4:
            picks = picks[::2]
        acting = [(p, towards(p, (0.0, 0.0, 0.0), a.si("tension"))) for p in picks]
        weight = ((0.0, 0.0, -height - 1), (0.0, 0.0, -load))
        if shared == "no" and legs == 3:
            assert sum(f[2] for _, f in acting) == pytest.approx(1.5 * load)
        else:
            balanced(load, [*acting, weight], (made.uniform(-5, 5), made.uniform(-5, 5), 0.0))


def test_the_anchors_of_a_run_hold_what_the_lines_pull():
    """Sheave by sheave, friction by turning: each part pulls the factor less than the one before; an anchor is what is left over."""
    made = random.Random(5)
    for _ in range(1000):
        load, parts, off = made.uniform(100, 1e6), made.randint(1, 9), made.uniform(0, 180)
        leads = [made.uniform(0, 180) for _ in range(made.randint(0, 4))]
        kind = made.choice(("bronze", "roller"))
        factor = {"bronze": 1.045, "roller": 1.02}[kind]
        a = run(tackle_run, load=f"{load!r} N", parts=parts, sheave=kind, off=f"{off!r} deg", leads=", ".join(f"{x!r} deg" for x in leads))
        line = a.si("lead_line") / factor ** len(leads)
        pulls = [line / factor**i for i in range(1, parts + 1)]
        assert abs(sum(pulls) - load) <= NEAR * load  # the moving block
        down, away = (0.0, -load), (line * sin(radians(off)), -line * cos(radians(off)))
        assert hypot(down[0] + away[0], down[1] + away[1]) == pytest.approx(a.si("anchor"), abs=NEAR * load)
        for angle, anchor in zip(leads, a.lists["lead_anchors"][0], strict=True):
            into, out = (line, 0.0), (line * factor * cos(radians(angle)), line * factor * sin(radians(angle)))
            assert hypot(into[0] + out[0], into[1] + out[1]) == pytest.approx(anchor, abs=NEAR * load)
            line *= factor
