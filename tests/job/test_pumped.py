"""Litres pumped in, by the record: air by Boyle's law, litres for each bar, and the hold that uses them. Readings are made up here."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

import pytest

from boxup.demo.fleet import FOCUS, files_of_the_demo
from boxup.exchanger.file import load
from boxup.exchanger.model import Exchanger
from boxup.job.full import full
from boxup.job.held import held
from boxup.job.pumped import pumped, raising_of
from boxup.job.reading import Reading

START = datetime(2027, 4, 13, 5, 0, tzinfo=UTC)
STAGES = (0.0, 0.2, 0.5, 1.0, 1.57, 2.2, 2.8, 3.13)  # MPa
ATM = 0.101325


@pytest.fixture(scope="module")
def x() -> Exchanger:
    return load(files_of_the_demo()[FOCUS])


def litres(pressure: float, air: float, slope: float) -> float:
    """Boyle: air at 1 atm squeezed from ATM to pressure + ATM gives way by what it loses; water and walls in proportion."""
    return air - air * ATM / (pressure + ATM) + slope * pressure


def up(air: float, slope: float, stages: Sequence[float] = STAGES, zero: float = 0.0) -> list[Reading]:
    """A way up, a reading every 3 min; litres to two places, as a meter shows them."""
    return [Reading(START + timedelta(minutes=3 * n), p, 12.0, 13.0, round(zero + litres(p, air, slope), 2)) for n, p in enumerate(stages)]


@pytest.mark.computed
@pytest.mark.parametrize(("air", "share"), [(2.0, 0.00177), (4.0, 0.00353)])
def test_air_is_found_and_over_the_limit_it_is_told(x: Exchanger, air: float, share: float) -> None:
    """1 133 L of water in this tube side (the printed sheet); a hundredth of a litre in the readings is worth about that much of air."""
    found = pumped(x, "T", up(air, 0.681))
    assert found.lacks == ""
    assert found.value("V_a", "L") == pytest.approx(air, abs=0.02)
    assert found.value("x_a", "-") == pytest.approx(share, abs=3e-5)
    assert found.airy == (air > 0.002 * 1133)


@pytest.mark.computed
def test_the_meter_need_not_stand_at_nought(x: Exchanger) -> None:
    """Litres count from the reading at 0 bar: the filling went through the same meter."""
    found = pumped(x, "T", up(2.0, 0.681, zero=1131.5))
    assert found.value("V_a", "L") == pytest.approx(2.0, abs=0.02)
    assert found.points()[0] == (0.0, 0.0)


@pytest.mark.computed
def test_the_uncertainty_covers_a_rough_meter(x: Exchanger) -> None:
    """Litres to a tenth, each off by up to half of that: the true 2 L lie within what is said, in all of 40 such ways up but a few."""
    import random

    chance, hits = random.Random(7), 0
    for _ in range(40):
        rough = [Reading(r.at, r.pressure, r.water, r.metal, (r.pumped or 0) + chance.uniform(-0.05, 0.05) * (r.pressure > 0))
                 for r in up(2.0, 0.681)]  # fmt: skip
        found = pumped(x, "T", rough)
        hits += found.lacks == "" and abs(found.value("V_a", "L") - 2.0) <= found.value("U_a", "L")
    assert hits >= 35  # 38 of 40 are expected of 95 %; fewer than 35 come by chance in 1 of 100


@pytest.mark.practice
@pytest.mark.parametrize(
    ("readings", "lacks"),
    [
        ([], "none"),
        ([Reading(START, 0.0, 12.0), Reading(START + timedelta(minutes=3), 1.0, 12.0)], "none"),
        (up(2.0, 0.681, (0.0, 0.5, 2.2)), "few"),
        (up(2.0, 0.681, (0.0, 0.05, 0.1, 0.15)), "low"),
        ([*up(2.0, 0.681, (0.0, 0.5, 1.0)), Reading(START + timedelta(hours=1), 0.95, 12.0, None, 3.5),
          Reading(START + timedelta(hours=2), 2.0, 12.0, None, 4.0)], "not rising"),
    ],
)  # fmt: skip
def test_what_is_still_missing_is_said(x: Exchanger, readings: list[Reading], lacks: str) -> None:
    assert pumped(x, "T", readings).lacks == lacks


@pytest.mark.practice
def test_only_the_way_up_counts(x: Exchanger) -> None:
    """Waiting at a stage, a top-up in the hold and the way down are no pumping; vented and pumped anew, the new way up is the one."""
    way = up(2.0, 0.681)
    later = way[-1].at
    waited = [*way[:4], Reading(way[3].at + timedelta(minutes=2), 0.99, 12.0, None, way[3].pumped), *way[4:]]
    hold = [Reading(later + timedelta(minutes=5), 3.12, 12.0, None, way[-1].pumped),
            Reading(later + timedelta(minutes=10), 3.13, 12.0, None, (way[-1].pumped or 0) + 0.4),
            Reading(later + timedelta(minutes=40), 2.4, 12.0, None, (way[-1].pumped or 0) + 0.4)]  # fmt: skip
    assert raising_of([*waited, *hold]) == tuple(way)
    down = Reading(later + timedelta(minutes=50), 0.0)
    again = [Reading(r.at + timedelta(hours=3), r.pressure, 12.0, None, r.pumped) for r in up(0.4, 0.681)]
    assert raising_of([*waited, *hold, down]) == tuple(way)
    assert pumped(x, "T", [*waited, *hold, down, *again]).value("V_a", "L") == pytest.approx(0.4, abs=0.02)


@pytest.mark.practice
@pytest.mark.parametrize(
    ("readings", "why"),
    [
        (up(1.0, 0.70), ""),
        (up(1.0, 0.40), "stiff"),  # less than the water alone takes: 1.133 m3 of it at 0.47 1/GPa are 0.53 L/MPa
        (up(1.0, 1.10), "soft"),  # half as much again as worked: a leak while pumping, or other litres
        ([Reading(r.at, r.pressure, 12.0 + 0.2 * n, None, r.pumped) for n, r in enumerate(up(1.0, 0.70))], "warmed"),
        ([Reading(r.at, r.pressure, 12.0, None, (r.pumped or 0) + 0.15 * (n % 2)) for n, r in enumerate(up(1.0, 0.70))], "scatter"),
    ],
)  # fmt: skip
def test_a_slope_that_is_not_right_is_not_used(x: Exchanger, readings: list[Reading], why: str) -> None:
    found = pumped(x, "T", readings)
    assert (found.lacks, found.why, found.measured) == ("", why, why == "")


def hold_after(way: list[Reading], loss: float, warming: float) -> list[Reading]:
    """40 min at test, a reading every 5: MPa lost and kelvin gained over the whole of it."""
    last = way[-1]
    return [Reading(last.at + timedelta(minutes=5 * n), last.pressure - loss * n / 8, 12.0 + warming * n / 8, 13.0, last.pumped)
            for n in range(1, 9)]  # fmt: skip


@pytest.mark.computed
def test_the_hold_takes_the_litres_measured_on_the_way_up(x: Exchanger) -> None:
    """Slope 0.75 L/MPa as measured; 1 L of air adds 1000*0.1013/3.2313^2 = 9.7 mL/MPa. The rise worked goes down in proportion.

    No warming, 0.04 MPa lost in 40 min: the leak is 0.001 MPa/min times 759.7 mL/MPa = 0.76 mL/min.
    """
    way = up(1.0, 0.75)
    side = full(x, "T", 12.0)
    assert side is not None
    found = held(x, "T", [*way, *hold_after(way, 0.04, 0.0)])
    assert found.measured
    assert found.value("C", "mL/MPa") == pytest.approx(759.7, rel=0.01)
    assert found.rise == pytest.approx(side.rise / 1e6 * side.per_pressure * 1e12 / 759.7, rel=0.01)
    assert found.value("Q") == pytest.approx(0.76, rel=0.02)
    assert found.value("u_C", "-") == pytest.approx(0.03, rel=0.05)
    without = held(x, "T", [Reading(r.at, r.pressure, r.water, r.metal) for r in [*way, *hold_after(way, 0.04, 0.0)]])
    assert not without.measured
    assert without.value("u_C", "-") == pytest.approx(0.07)
    assert without.rise == pytest.approx(side.rise / 1e6)


@pytest.mark.practice
def test_a_leak_that_warming_hides_is_shown_with_the_measured_slope_too(x: Exchanger) -> None:
    """The needle stands, the water warms by half a degree: at 0.13 MPa/K it should have gone up by 0.6 bar."""
    way = up(1.0, 0.70)
    found = held(x, "T", [*way, *hold_after(way, 0.0, 0.5)])
    assert found.verdict == "leak shown"


@pytest.mark.practice
def test_what_stands_in_the_way_is_a_word(x: Exchanger) -> None:
    way = up(1.0, 0.70)
    assert held(x, "T", way[-1:]).lacks == ("few",)
    assert held(x, "T", [Reading(START + timedelta(minutes=n), 3.13) for n in range(3)]).lacks == ("water",)
    assert held(x, "T", [Reading(START + timedelta(minutes=10 * n), 3.13, 12.0) for n in range(4)]).lacks == ("few",)
    assert held(x, "T", [Reading(START + timedelta(minutes=n), 3.13 - 0.001 * n, 12.0) for n in range(8)]).lacks == ("short",)
    assert "gained" in held(x, "T", [*way, *hold_after(way, -0.2, 0.0)]).lacks


@pytest.mark.practice
def test_a_hold_that_warms_up_is_judged_from_its_beginning(x: Exchanger) -> None:
    """1.7 bar up in 40 min: the first reading at test pressure is the first of the hold, not the first near the highest; what was still
    pumped is not in it."""
    way = up(1.0, 0.70)
    whole = [*way, *hold_after(way, -0.17, 1.2)]
    assert len(held(x, "T", whole).readings) == 9
    bare = [Reading(r.at, r.pressure, r.water, r.metal) for r in whole]
    assert held(x, "T", bare).readings[0].pressure == pytest.approx(3.13)
    leap = [*bare[:7], Reading(bare[6].at + timedelta(minutes=1), 3.105, 12.0), *bare[7:]]
    assert held(x, "T", leap).readings[0].pressure == pytest.approx(3.105)
    leap = [*bare[:7], *(Reading(r.at, r.pressure + 0.1, r.water) for r in bare[7:])]
    leap.insert(7, Reading(bare[6].at + timedelta(minutes=1), 3.105, 12.0))
    assert held(x, "T", leap).readings[0].pressure == pytest.approx(3.23)
