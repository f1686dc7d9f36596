"""The pull and the force to stop at: level, uphill, downhill, and where the bundle goes by itself."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boxup.core.calculation import BadInput
from boxup.lift.pull import insertion_pull


def work(**keys):
    return insertion_pull.run(insertion_pull.parse({"weight": "17.05 kN"} | {k: str(v) for k, v in keys.items()}))


@given(st.floats(0.01, 2), st.integers(-450, 450).map(lambda tenths: tenths / 10))
def test_never_stops_above_half_the_weight_nor_a_quarter_over_the_pull(mu, slope):
    a = work(friction=mu, slope=f"{slope} deg")
    pull, stop = a.si("pull"), a.si("stop_at")
    assert pull == pytest.approx(17050 * (mu * math.cos(math.radians(slope)) + math.sin(math.radians(slope))), abs=1e-6)
    assert stop == pytest.approx(max(0, min(1.25 * pull, 0.5 * 17050)), abs=1e-6)
    levels = {f.level for f in a.findings}
    assert ("stop" in levels) == (pull <= 0 or pull > 0.5 * 17050)
    assert ("warn" in levels) == (pull > 0 and (slope < 0 or 0.95 * stop <= pull <= 0.5 * 17050))


@pytest.mark.parametrize(("friction", "levels"), [(0.47, []), (0.48, ["warn"]), (0.5, ["warn"]), (0.51, ["stop"])])
def test_a_pull_that_reaches_the_stop_says_clean_first(friction, levels):
    """0.475 of the weight is 95 % of the stop at half the weight."""
    found = work(friction=friction).findings
    assert [f.level for f in found] == levels
    assert all("clean and grease" in f.text for f in found)


def test_no_slope_is_level_and_says_assumed():
    a, level = work(friction=0.2), work(friction=0.2, slope="0 deg")
    assert a.si("pull") == level.si("pull")
    assert [s["kind"] for s in a.as_json()["steps"] if s["symbol"] == "alpha"] == ["assumed"]


def test_downhill_past_friction_runs_away():
    a = work(friction=0.1, slope="-10 deg")
    assert a.si("pull") < 0
    assert a.si("stop_at") == 0
    assert any("runs away" in f.text and f.level == "stop" for f in a.findings)


def test_downhill_with_friction_to_spare_still_warns():
    assert [f.level for f in work(friction=0.3, slope="-5 deg").findings] == ["warn"]


def test_no_friction_at_all_holds_nothing():
    assert [f.level for f in work(friction=0).findings] == ["stop"]


def test_up_and_down_average_to_the_level_pull():
    up, down, level = (work(friction=0.3, slope=f"{s} deg").si("pull") for s in (4, -4, 0))
    assert (up + down) / 2 == pytest.approx(level * math.cos(math.radians(4)))


@pytest.mark.parametrize(
    "keys",
    [
        {"friction": "-0.1"},
        {"friction": "3"},
        {"friction": "0.2", "slope": "60 deg"},
        {"friction": "0.2", "slope": "5"},
        {"friction": "0.2", "weight": "4290 m"},
    ],
)
def test_wrong_input(keys):
    with pytest.raises(BadInput, match=list(keys)[-1]):
        work(**keys)
