"""The heat passed in a shell: closed forms, a march along the shell that is typed apart, limits, and ten thousand exchangers by chance."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, expm1, log, sqrt, tanh
from random import Random

import numpy as np
import pytest

from boxup.bundle.arrangement import Arrangement, NoSuchWay, tube_effectiveness
from boxup.bundle.zones import Past, counterflow

AGAINST, WITH = Arrangement("E"), Arrangement("E", first_along=True)


def even(way: Arrangement, passes: int, ntu: float, r: float) -> float:
    return tube_effectiveness(way, [ntu / passes] * passes, r)


def marched(ntu: Sequence[float], r: float, first_along: bool, flows: Sequence[float] | None = None, past: Past | None = None) -> float:
    """P of the tube side of an E shell by a fourth-order march along the shell; the unknown ends by superposition."""
    n, flows = len(ntu), flows or [1.0] * len(ntu)
    along = [(i % 2 == 0) == first_along for i in range(n)]
    slope = np.zeros((n + 1, n + 1))
    slope[0, 0], slope[0, 1:] = -r * sum(ntu), r * np.array(ntu)
    for i, (size, flow, ahead) in enumerate(zip(ntu, flows, along, strict=True), start=1):
        slope[i, 0], slope[i, i] = (1 if ahead else -1) * size / flow, (-1 if ahead else 1) * size / flow
    one, h, steps = np.eye(n + 1), 1 / 2000, 2000
    step = sum((np.linalg.matrix_power(h * slope, k) / d for k, d in ((1, 1), (2, 2), (3, 6), (4, 24))), one)
    far = np.linalg.matrix_power(step, steps)
    wanted, known = np.zeros((n + 1, n + 1)), np.zeros(n + 1)
    wanted[0, 0] = known[0] = 1
    stream = kept = np.zeros(n + 1)
    for i in range(n):
        start, end = (one[i + 1], far[i + 1]) if along[i] else (far[i + 1], one[i + 1])
        if past and i + 1 == past.first:
            kept = stream
        if past and i == past.last:
            stream = (1 - past.share) * stream + past.share * kept
        wanted[i + 1] = start - stream
        stream = end
    if past and past.last == n:
        stream = (1 - past.share) * stream + past.share * kept
    return float(stream @ np.linalg.solve(wanted, known))


def two_passes(ntu: float, r: float) -> float:
    """The closed form of one shell and two passes, as textbooks have it."""
    s = sqrt(1 + r * r)
    return 2 / (1 + r + s / tanh(ntu * s / 2))


@pytest.mark.memory
@pytest.mark.parametrize("ntu", [0.05, 0.4, 1.0, 2.5, 8.0])
@pytest.mark.parametrize("r", [0.1, 0.5, 1.0, 1.7, 4.0])
def test_closed_forms_of_textbooks(ntu: float, r: float) -> None:
    same_way = -expm1(-ntu * (1 + r)) / (1 + r)
    assert even(WITH, 1, ntu, r) == pytest.approx(same_way, rel=1e-12)
    assert even(AGAINST, 1, ntu, r) == pytest.approx(counterflow(ntu, r), rel=1e-12)
    for way in (AGAINST, WITH):
        assert even(way, 2, ntu, r) == pytest.approx(two_passes(ntu, r), rel=1e-12)


@pytest.mark.computed
def test_three_passes_either_way_round() -> None:
    """P of the shell side 0.57086 with two passes against it and 0.56696 with two along it, R 1/3 and N 1 of the shell side, as a boundary
    value solution worked elsewhere has them to five places."""
    of_shell = [even(way, 3, 1 / 3, 3.0) * 3 for way in (AGAINST, WITH)]
    assert of_shell == pytest.approx([0.57086, 0.56696], abs=6e-6)


@pytest.mark.computed
def test_passes_all_unlike_against_a_march() -> None:
    chance = Random(31)
    for _ in range(150):
        ntu = [chance.uniform(0.01, 1.2) for _ in range(chance.randint(1, 8))]
        r, first = chance.choice([0.0, 1.0, chance.uniform(0.05, 4)]), chance.random() < 0.5
        got = tube_effectiveness(Arrangement("E", first_along=first), ntu, r)
        assert got == pytest.approx(marched(ntu, r, first), rel=1e-8)


@pytest.mark.computed
def test_a_share_that_goes_past_some_passes_against_a_march() -> None:
    chance = Random(32)
    for _ in range(100):
        n = chance.randint(1, 6)
        first = chance.randint(1, n)
        past = Past(first, chance.randint(first, n), chance.uniform(0, 0.6))
        ntu, r = [chance.uniform(0.05, 0.8) for _ in range(n)], chance.uniform(0, 3)
        flows = [1 - past.share if past.first <= i <= past.last else 1.0 for i in range(1, n + 1)]
        got = tube_effectiveness(WITH, ntu, r, past, flows)
        assert got == pytest.approx(marched(ntu, r, True, flows, past), rel=1e-8)


@pytest.mark.computed
@pytest.mark.parametrize("way", [AGAINST, Arrangement("J12"), Arrangement("J21"), Arrangement("F", halves=("upper", "lower")),
                                 Arrangement("G", halves=("upper", "lower")), Arrangement("H", halves=("lower", "upper"))])  # fmt: skip
def test_limits_that_everybody_knows(way: Arrangement) -> None:
    assert even(way, 2, 0.0, 0.7) == pytest.approx(0, abs=1e-15)
    assert even(way, 2, 1e-6, 0.7) == pytest.approx(1e-6, rel=1e-5)  # so small that the difference of the inlets is all there is
    assert even(way, 2, 1.3, 0.0) == pytest.approx(1 - exp(-1.3), rel=1e-12)  # the shell stays at one temperature
    assert even(way, 2, 1.3, 1e-9) == pytest.approx(1 - exp(-1.3), rel=1e-8)
    assert 0 <= even(way, 2, 2000.0, 0.9) <= 1 + 1e-12  # and nothing overflows


@pytest.mark.computed
def test_counterflow_with_equal_flows_and_near_them() -> None:
    assert counterflow(3, 1) == pytest.approx(0.75)
    for near in (1 - 1e-8, 1 + 1e-8):
        assert counterflow(3, near) == pytest.approx(0.75, rel=1e-7)
    assert counterflow(700, 3) == pytest.approx(1 / 3)


@pytest.mark.computed
def test_ten_thousand_by_chance_lie_between_nothing_and_counterflow() -> None:
    chance = Random(33)
    for _ in range(10_000):
        shell = chance.choice("EEEEEEFGJK")
        n = 2 if shell in "FG" else chance.randint(1, 4)
        halves = chance.choice([("upper", "lower"), ("lower", "upper")]) if shell in "FG" else ()
        way = Arrangement({"J": "J12", "K": "J21"}.get(shell, shell), chance.random() < 0.5, halves)
        ntu = [10 ** chance.uniform(-3, 1) for _ in range(n)]
        r = chance.choice([0.0, 10 ** chance.uniform(-2, 2)])
        p = tube_effectiveness(way, ntu, r)
        assert -1e-12 <= p <= counterflow(sum(ntu), r) + 1e-12
        assert p * r <= 1 + 1e-12  # the shell fluid is not cooled below where the tube fluid comes in


@pytest.mark.computed
def test_more_surface_never_hurts_pure_counterflow() -> None:
    found = [counterflow(10 ** (k / 10), 0.8) for k in range(-20, 21)]
    assert found == sorted(found)
    assert log(found[0]) == pytest.approx(log(0.01), abs=0.02)


@pytest.mark.parametrize(("way", "says"), [(Arrangement("X"), "a shell X is not worked here"), (Arrangement("K"), "a shell K"),
                                           (Arrangement("F"), "each pass must lie wholly over or under"),
                                           (Arrangement("G", halves=("upper", "upper")), "and some on either side")])  # fmt: skip
def test_what_is_not_worked_says_so(way: Arrangement, says: str) -> None:
    with pytest.raises(NoSuchWay) as refused:
        even(way, 2, 1.0, 0.5)
    assert says in str(refused.value)
