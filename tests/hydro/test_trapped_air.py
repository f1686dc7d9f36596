"""Air left in a side: litres against pressure, worked again here by another way, and logs it refuses. Invented logs."""

from __future__ import annotations

from math import gamma, pi, sqrt
from pathlib import Path

import pytest

from boxup.core.calculation import Answer, BadInput
from boxup.core.unit import UNITS
from boxup.hydro.trapped_air import decimals, student, trapped_air

LOGS = Path(__file__).parent / "logs"
OUTSIDE = 0.101325  # MPa


def of(file: Path | str, **more: str) -> Answer:
    return trapped_air.run(trapped_air.parse({"file": str(file), "volume": "2.6 m3"} | more))


def value(answer: Answer, key: str, unit: str) -> float:
    return UNITS[unit].from_si(answer.si(key))


def written(folder: Path, rows: list[tuple[float, float]], heads: str = "P_gauge_MPa,pumped_L") -> Path:
    path = folder / "log.csv"
    path.write_text("\n".join([heads, *(f"{p},{v}" for p, v in rows)]) + "\n", "utf-8")
    return path


def curve(air: float, slope: float, pressures: list[float]) -> list[tuple[float, float]]:
    """Litres by Boyle's law: what was `air` at 1 atm is `air P_0/P` at P."""
    return [(p, air - air * OUTSIDE / (p + OUTSIDE) + slope * p) for p in pressures]


UPWARD = [0.0, 0.1, 0.2, 0.4, 0.8, 1.4, 2.0, 2.6]


@pytest.mark.computed
def test_five_litres_are_found_in_the_log_that_has_them():
    """Put in by whoever made the log: 5.00 L."""
    answer = of(LOGS / "pumped_5_litres_of_air.csv")
    assert value(answer, "air", "L") == pytest.approx(5.0, abs=0.05)
    assert value(answer, "fraction", "-") == pytest.approx(5.0 / 2600, rel=0.01)
    assert value(answer, "slope", "L/MPa") == pytest.approx(2.604, rel=0.01)


@pytest.mark.computed
def test_no_air_is_found_where_there_is_none():
    answer = of(LOGS / "pumped_no_air.csv")
    assert value(answer, "air", "L") == pytest.approx(0.0, abs=0.01)


@pytest.mark.computed
@pytest.mark.parametrize("air", [0.0, 0.4, 5.0, 40.0])
def test_a_curve_made_by_boyle_is_read_back(air: float, tmp_path: Path):
    answer = of(written(tmp_path, curve(air, 2.6, UPWARD)))
    assert value(answer, "air", "L") == pytest.approx(air, abs=1e-6)
    assert value(answer, "slope", "L/MPa") == pytest.approx(2.6, abs=1e-6)


@pytest.mark.computed
def test_the_uncertainty_is_that_of_two_normal_equations(tmp_path: Path):
    """Worked by hand for a scatter of 0.05 L, up and down: Cramer's rule, and Student's t. Where the curve begins, at 0, it is
    nought whatever the air: of eight rows seven say something, and two are fitted. Five degrees of freedom, 2.571."""
    rows = [(p, v + (0.05 if i % 2 else -0.05) * bool(i)) for i, (p, v) in enumerate(curve(5.0, 2.6, UPWARD))]
    a = [1 - OUTSIDE / (p + OUTSIDE) for p, _ in rows]
    aa, ap, pp = sum(x * x for x in a), sum(x * p for x, (p, _) in zip(a, rows, strict=True)), sum(p * p for p, _ in rows)
    av, pv = sum(x * v for x, (_, v) in zip(a, rows, strict=True)), sum(p * v for p, v in rows)
    under = aa * pp - ap * ap
    air, slope = (av * pp - pv * ap) / under, (aa * pv - ap * av) / under
    left = sum((v - air * x - slope * p) ** 2 for x, (p, v) in zip(a, rows, strict=True))
    answer = of(written(tmp_path, rows))
    assert value(answer, "air", "L") == pytest.approx(air, rel=1e-9)
    assert value(answer, "air_uncertainty", "L") == pytest.approx(2.571 * (left / 5 * pp / under) ** 0.5, rel=1e-9)


def warnings(answer: Answer) -> list[str]:
    return [f.text for f in answer.findings if f.level in ("warn", "stop")]


def test_more_than_a_five_hundredth_is_vented_again(tmp_path: Path):
    much, little = (of(written(tmp_path, curve(air, 2.6, UPWARD))) for air in (5.3, 5.1))  # of 2600 L; 5.2 L are 0.2 %
    assert any("vent every high point again" in text for text in warnings(much))
    assert not warnings(little)


def test_a_side_stiffer_than_its_own_water_is_looked_at(tmp_path: Path):
    """Water alone, 2.6 m3 at 20 degC: about 0.457 /GPa, 1.19 L/MPa."""
    stiff, soft = (of(written(tmp_path, curve(1.0, s, UPWARD)), temperature="20 degC") for s in (1.0, 1.3))
    assert any("stiffer than the water" in text for text in warnings(stiff))
    assert not warnings(soft)


@pytest.mark.parametrize(("rows", "said"), [
    ([(0, 0), (1, 3), (2, 5)], "3 readings; at least 4"),
    ([(0, 0), (1, 3), (0.5, 4), (2, 6)], "must rise from reading to reading"),
    ([(0, 0), (1, 3), (1.5, 2), (2, 6)], "must rise from reading to reading"),
    ([(0, -1), (1, 3), (1.5, 4), (2, 6)], "less than nothing at the start"),
    ([(-0.01, 0), (1, 3), (1.5, 4), (2, 6)], "less than nothing at the start"),
    ([(0, 0), (0.05, 1), (0.1, 2), (0.15, 3)], "it ends at 1.5 bar"),
    ([], "0 readings"),
])  # fmt: skip
def test_a_log_that_cannot_tell_is_refused(rows, said: str, tmp_path: Path):
    with pytest.raises(BadInput, match=said):
        of(written(tmp_path, rows))


@pytest.mark.parametrize(("rows", "said"), [
    ([(0, 0), (1, 2.5), (1, 2.6), (1, 2.7)], "fewer than 3 different pressures above 0"),
    ([(p, 0.0) for p in UPWARD], "no litres at all"),
    ([(p, 50 + v) for p, v in curve(5.0, 2.6, UPWARD)], "litres at 0 gauge"),
])  # fmt: skip
def test_litres_that_tell_nothing_are_refused(rows: list[tuple[float, float]], said: str, tmp_path: Path):
    with pytest.raises(BadInput, match=said):
        of(written(tmp_path, rows))


def test_bar_and_millilitres_are_read_as_such(tmp_path: Path):
    rows = [(p * 10, v * 1000) for p, v in curve(5.0, 2.6, UPWARD)]
    answer = of(written(tmp_path, rows, "P_bar_gauge,pumped_mL"))
    assert value(answer, "air", "L") == pytest.approx(5.0, abs=1e-6)


def inside(factor: float, free: int) -> float:
    """Share of Student's t within ± factor: its density, summed."""
    scale = gamma((free + 1) / 2) / gamma(free / 2) / sqrt(pi * free)
    step = factor / 4000
    return 2 * step * sum(scale * (1 + ((i + 0.5) * step) ** 2 / free) ** (-(free + 1) / 2) for i in range(4000))


@pytest.mark.computed
@pytest.mark.parametrize(
    ("free", "exact"), [(1, True), (2, True), (5, True), (10, True), (30, True), (14, False), (100, False), (300, False)]
)
def test_students_t_is_never_taken_too_small(free: int, exact: bool):
    """Its density integrated; between rows the larger."""
    share = inside(student(free), free)
    assert share == pytest.approx(0.95, abs=1e-4) if exact else 0.95 < share < 0.96


@pytest.mark.computed
def test_readings_on_the_curve_are_no_better_read_than_others(tmp_path: Path):
    """Readings rounded to 0.01 L and 0.01 MPa, four thousand ways: by drawing it here, scatter by what
    the floor says, within a fifth."""
    import random

    import numpy as np

    rows = [(p, round(v, 2)) for p, v in curve(5.0, 2.6, UPWARD)]
    answer = of(written(tmp_path, rows), gauge_step="0.01 MPa", pump_step="0.01 L")
    chance, drawn = random.Random(5), []
    for _ in range(4000):
        p = np.array([q + chance.uniform(-0.005, 0.005) for q in UPWARD])
        v = np.array([litres for _, litres in curve(5.0, 2.6, list(p))]) + np.array([chance.uniform(-0.005, 0.005) for _ in UPWARD])
        read = np.array(UPWARD)
        x = np.column_stack([1 - OUTSIDE / (read + OUTSIDE), read])
        drawn.append(np.linalg.lstsq(x, v, rcond=None)[0][0])
    floor = 1.96 * float(np.std(drawn))
    assert value(answer, "air_uncertainty", "L") >= 0.8 * floor
    exact = of(written(tmp_path, curve(5.0, 2.6, UPWARD)), gauge_step="0.01 MPa", pump_step="0.01 L")
    assert value(exact, "air_uncertainty", "L") == pytest.approx(floor, rel=0.2)


@pytest.mark.computed
def test_the_last_decimal_of_a_log():
    assert decimals([0.0, 1.5, 2.25]) == pytest.approx(0.01)
    assert decimals([0.0, 5.0, 10.0]) == 1.0
    assert decimals([0.1 + 0.2, 1.0]) == pytest.approx(0.1)
