"""The hold, judged: what must never happen, values worked another way, and a small study of how often the answer is right.

The holds are simulated by `simulated_hold`, which shares nothing with the estimator; all are invented. tools/holds.py is the whole study.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tests.hydro import simulated_hold as sim

import holds
from boxup.core.calculation import Answer, BadInput
from boxup.core.quantity import BadValue
from boxup.core.unit import UNITS
from boxup.hydro.hold import hold, is_still, rise_doubt, verdict_of
from boxup.hydro.hold_estimate import Estimate, estimate
from boxup.hydro.hold_log import Doubt, graduation_of, steps_seen

LOGS = Path(__file__).parent / "logs"
SHELL = {"rise_per_degree": "0.1552 MPa/K", "volume_per_pressure": "2604 mL/MPa"}
DIAL = {"rise_per_degree": "0.1771 MPa/K", "volume_per_pressure": "2596 mL/MPa"}
CERTAIN = {"rise_uncertainty": "0", "volume_uncertainty": "0", "thermometer_place": "0 K"}
G, C = sim.RISE, sim.VOLUME


def of(file: Path, **typed: str) -> Answer:
    return hold.run(hold.parse({"file": str(file)} | SHELL | typed))


def value(answer: Answer, key: str, unit: str = "mL/min") -> float:
    return UNITS[unit].from_si(answer.si(key))


def verdict(answer: Answer) -> str:
    return str(answer.lists["verdict"][0])


def text_of(answer: Answer) -> str:
    return "; ".join(answer.lists["doubts"][0])


def passes(answer: Answer) -> bool:
    return verdict(answer).startswith("no leak")


def minutes(n: int = 3600, whole: float = 60.0) -> np.ndarray:
    return np.linspace(0.0, whole, n)


def line(leak: float, warming: float, n: int = 3600, noise: float = 0.0005, seed: int = 1, wave: float = 0.0) -> tuple[np.ndarray, ...]:
    """Minutes, degC and MPa of a leak on a straight warming, with white noise (MPa; 5 mK)."""
    rng, t = np.random.default_rng(seed), minutes(n)
    warm = warming * t / 60 + wave * np.sin(t / 7)
    kelvin = 18 + warm + rng.normal(0, 0.005 if noise else 0, n)
    return t, kelvin, 2.6 + G * warm - leak / C * t + rng.normal(0, noise, n)


def written(folder: Path, t: Any, kelvin: Any, pressure: Any, heads: str = "t_min,T_water_C,P_MPa_gauge", form: str = "") -> Path:
    path = folder / "log.csv"
    rows = (",".join(f"{float(x):{form}}" if form else repr(float(x)) for x in row) for row in zip(t, kelvin, pressure, strict=True))
    path.write_text("\n".join([heads, *rows]) + "\n", "utf-8")
    return path


def straight(file: Path, rise: float, volume: float) -> float:
    """The classical corrected decay: least squares of a line through the corrected pressure."""
    t, kelvin, pressure = np.loadtxt(file, delimiter=",", skiprows=1).T
    return float(-np.polyfit(t, pressure - rise * kelvin, 1)[0] * volume)


# values worked another way


@pytest.mark.computed
@pytest.mark.parametrize(("file", "vessel", "leak", "off"), [
    ("warming_no_leak.csv", SHELL, -0.05, 0.01), ("warming_leak_4.csv", SHELL, 3.96, 0.05), ("dial_leak_4.csv", DIAL, 4.7, 0.1),
])  # fmt: skip
def test_with_nothing_in_doubt_it_is_the_classical_decay(file: str, vessel: dict[str, str], leak: float, off: float):
    """Expected: worked by whoever made the logs, by another program; and a straight line by numpy."""
    answer = of(LOGS / file, **vessel, **CERTAIN)
    assert value(answer, "leak") == pytest.approx(leak, abs=off)
    rise, volume = (float(text.split()[0]) for text in vessel.values())
    assert value(answer, "leak") == pytest.approx(straight(LOGS / file, rise, volume), abs=0.001)


@pytest.mark.computed
@pytest.mark.parametrize("n", [6, 13, 31, 47, 1000, 3600, 3601])
def test_the_classical_decay_whatever_the_number_of_readings(n: int, tmp_path: Path):
    file = written(tmp_path, *line(4.0, 1.2, n))
    assert value(of(file, **CERTAIN), "leak") == pytest.approx(straight(file, G, C), abs=0.05)


@pytest.mark.demo
def test_the_invented_logs_get_the_right_verdicts():
    """The gauge rose by 0.94 bar in both of the warming ones; in one of them 4 mL/min leaked."""
    tight, leaking, dial = of(LOGS / "warming_no_leak.csv"), of(LOGS / "warming_leak_4.csv"), of(LOGS / "dial_leak_4.csv", **DIAL)
    assert passes(tight)
    assert [verdict(one) for one in (leaking, dial)] == ["leak shown", "leak shown"]
    for answer in (tight, leaking):
        assert value(answer, "raw_drop", "MPa") == pytest.approx(-0.094, abs=1e-9)
    for answer, leak in ((tight, 0.0), (leaking, 4.0), (dial, 4.0)):
        assert value(answer, "lower_bound") < leak < value(answer, "upper_bound")
        assert abs(value(answer, "leak") - leak) < value(answer, "leak_uncertainty")


@pytest.mark.computed
def test_each_part_of_the_doubt_against_its_own_sum(tmp_path: Path):
    """By hand: u_g x ramp x C; 0.6 d / H for a scale that stood still; rise x place / H x C; leak x 7 %."""
    t, kelvin, pressure = line(4.0, 1.2)
    answer = of(written(tmp_path, t, kelvin, pressure))
    parts = answer.lists["leak_uncertainty_parts"][0]
    assert parts["rise"] / 1.96 == pytest.approx(0.1 * G * 1.2 / 60 * C, rel=0.05)
    assert parts["thermometer place"] / 1.96 == pytest.approx(G * 0.05 / 60 * C, rel=1e-6)
    assert parts["volume"] / 1.96 == pytest.approx(0.07 * value(answer, "leak"), rel=1e-6)
    assert answer.lists["largest_part"][0] == max(parts, key=parts.get) == "rise"
    still = of(written(tmp_path, t, 18 + 0 * t, pressure), thermometer_step="0.5 K")
    assert still.lists["leak_uncertainty_parts"][0]["graduation"] / 1.96 == pytest.approx(0.6 * G * 0.5 / 60 * C, rel=0.01)
    whole = sum((value_ / 1.96) ** 2 for value_ in parts.values()) ** 0.5
    assert value(answer, "smallest_detectable") == pytest.approx(3.29 * whole, rel=1e-6)
    assert value(answer, "leak_uncertainty") == pytest.approx(1.96 * whole, rel=0.03)


# what must never happen


@pytest.mark.parametrize("told", [1.0, 1.15, 0.85])
@pytest.mark.parametrize("must", ["2 mL/min", ""])
@pytest.mark.parametrize("step", ["0.05 MPa", "0.001 MPa", ""])
def test_a_leak_that_warming_masks_is_never_passed(told: float, must: str, step: str, tmp_path: Path):
    """4 mL/min, and water that warms just so much that the needle stands."""
    t = minutes(61)
    file = written(tmp_path, t, 18 + 4.0 / C / G * t, 2.6 + 0 * t)
    more = {k: v for k, v in (("limit", must), ("gauge_step", step)) if v}
    answer = of(file, rise_per_degree=f"{told * G} MPa/K", **more)
    assert not passes(answer)
    assert value(answer, "upper_bound") > 4.0


@pytest.mark.parametrize("limit", ["1 mL/min", "2 mL/min", "50 mL/min", ""])
@pytest.mark.parametrize("step", ["0.05 MPa", ""])
@pytest.mark.parametrize("n", [13, 31, 3601])
def test_a_gauge_that_never_moves_cannot_be_judged(limit: str, step: str, n: int, tmp_path: Path):
    """And what a dial of 0.5 bar may hide is in the bound."""
    t = minutes(n)
    more = {k: v for k, v in (("limit", limit), ("gauge_step", step)) if v}
    answer = of(written(tmp_path, t, 18 + 0 * t, 2.6 + 0 * t), **more)
    assert verdict(answer) == "cannot judge"
    assert value(answer, "upper_bound") > 0.6 * 0.05 / 60 * C


def test_a_needle_read_to_a_tenth_of_its_graduation_has_not_moved(tmp_path: Path):
    t = minutes(13)
    answer = of(written(tmp_path, t, 18 + 0 * t, 2.6 + 0.01 * (np.arange(13) % 3)), gauge_step="0.05 MPa", limit="50 mL/min")
    assert verdict(answer) == "cannot judge"
    assert "did not move" in answer.lists["doubts"][0][0]


@pytest.mark.parametrize("leak", [0.0, 4.0])
def test_air_that_dissolves_cannot_be_judged(leak: float, tmp_path: Path):
    t, kelvin, pressure = line(leak, 0.3)
    answer = of(written(tmp_path, t, kelvin, pressure - 0.1 * (1 - np.exp(-t / 30))), limit="2 mL/min")
    assert verdict(answer) == "cannot judge"
    assert "rate not steady" in answer.lists["doubts"][0]


def test_pressure_that_is_gained_cannot_be_judged(tmp_path: Path):
    answer = of(written(tmp_path, *line(-4.0, 0.2)))
    assert (verdict(answer), answer.lists["doubts"][0]) == ("cannot judge", ["pressure gained"])


@pytest.mark.parametrize("wave", [0.0, 0.05])
def test_the_rise_is_never_learned_from_the_log(wave: float, tmp_path: Path):
    """A rise told 10 % higher moves the leak by all of 0.1 g x ramp x C, however much the temperature waves and whatever its doubt."""
    file = written(tmp_path, *line(0.0, 1.2, wave=wave))
    for doubt in ("0.01", "0.5"):
        low, high = (value(of(file, rise_per_degree=f"{g} MPa/K", rise_uncertainty=doubt), "leak") for g in (G, 1.1 * G))
        assert high - low == pytest.approx(0.1 * G * 1.2 / 60 * C, rel=0.1)


def test_worse_inputs_make_more_doubt(tmp_path: Path):
    file = written(tmp_path, *line(1.0, 1.2))
    for key, texts in (("rise_uncertainty", ("0", "5 %", "0.1", "0.03 MPa/K")), ("volume_uncertainty", ("0", "0.03", "0.07", "0.3")),
                       ("thermometer_place", ("0 K", "0.05 K", "0.2 K", "1 K")), ("gauge_step", ("0 MPa", "0.05 MPa", "0.5 MPa")),
                       ("thermometer_step", ("0 K", "0.5 K", "2 K"))):  # fmt: skip
        found = [value(of(file, **{key: text}), "leak_uncertainty") for text in texts]
        assert found == sorted(found)
        assert found[-1] > 1.02 * found[0]


def test_near_six_degrees_the_wall_still_counts(tmp_path: Path):
    """Where water hardly moves, the rise is a small difference: its doubt and the place are held to what the wall does, 0.035 MPa/K."""
    file = written(tmp_path, *line(0.0, 0.0))
    answer = of(file, rise_per_degree="0 MPa/K")
    parts = answer.lists["leak_uncertainty_parts"][0]
    assert parts["thermometer place"] / 1.96 == pytest.approx(0.035 * 0.05 / 60 * C, rel=1e-6)
    assert UNITS["MPa/K"].from_si(answer.working["u_g"]) == pytest.approx(0.0035)


@pytest.mark.parametrize("text", ["10 %", "0.1"])
def test_a_share_said_is_no_less_than_the_same_share_left_unsaid(text: str):
    assert UNITS["MPa/K"].from_si(rise_doubt(text, 0.0)) == pytest.approx(0.0035)
    assert rise_doubt("0", 0.0) == 0.0


@pytest.mark.parametrize("between", [600.0, 760.0, 1440.0])
def test_readings_a_day_apart_show_their_leak(between: float, tmp_path: Path):
    """Eight readings that lose 0.1 mL/min: by hand 0.1 / 2604 MPa/min, whatever the time between readings."""
    t = np.arange(8) * between
    answer = of(written(tmp_path, t, 18 + 0 * t, np.round(2.6 - 0.1 / 2604 * t, 3)), thermometer_step="0.01 K")
    assert verdict(answer) == "leak shown"
    assert value(answer, "leak") == pytest.approx(0.1, rel=0.03)


def test_no_figure_is_no_verdict():
    nothing = Estimate(0.0, 0.0, (0.0, 0.0), 0.0, 0.0, {"fit": 0.0}, ())
    assert verdict_of(nothing, None)[0] == "cannot judge"


def test_a_gauge_at_nothing_holds_nothing(tmp_path: Path):
    t = np.arange(10) * 5.0
    with pytest.raises(BadInput, match="the gauge never stands above 0"):
        of(written(tmp_path, t, 18 + 0 * t, 0 * t))
    with pytest.raises(BadInput, match="all readings within a second"):
        of(written(tmp_path, t / 1e6, 18 + 0 * t, 2.6 + 0 * t))


@pytest.mark.parametrize(("row", "said"), [
    ("99,18,1e300", "line 8: pressure is beyond what any test has; accepted: 0 to 1000 MPa, gauge"),
    ("99,1e200,2.6", "line 8: temperature is beyond what any test has; accepted: -30 to 150 °C"),
    ("1e300,18,2.6", "line 8: time is beyond what any test has"),
    ("99,18,-2.6", "line 8: pressure is beyond"),
    ("99,18,\"" + "9" * 200_000 + "\"", "cannot be read as a table"),
])  # fmt: skip
def test_a_number_no_test_has_is_refused(row: str, said: str, tmp_path: Path):
    file = written(tmp_path, np.arange(6) * 5.0, 18 + np.zeros(6), 2.6 + np.zeros(6))
    file.write_text(file.read_text("utf-8").rstrip() + "\n" + row + "\n", "utf-8")
    with pytest.raises(BadInput, match=said):
        of(file)


def test_it_asks_where_the_thermometer_sits_unless_that_is_said():
    def asked(answer: Answer) -> bool:
        return any("Where does the thermometer sit?" in f.text for f in answer.findings)

    assert asked(of(LOGS / "warming_no_leak.csv"))
    assert not asked(of(LOGS / "warming_no_leak.csv", thermometer_place="0.2 K"))


@pytest.mark.parametrize("file", ["warming_no_leak.csv", "warming_leak_4.csv"])
def test_looking_stays_the_acceptance_and_no_number_says_tight_or_safe(file: str):
    answer = of(LOGS / file)
    text = " ".join(f.text for f in answer.findings)
    assert "Looking at every joint" in text
    assert not {"tight.", "safe", "passed"} & set(text.replace("never says tight.", "").lower().split())


# the leak one must see


def test_a_bound_over_the_leak_one_must_see_cannot_be_judged_and_says_what_would_help():
    answer = of(LOGS / "warming_no_leak.csv", limit="0.5 mL/min")
    assert verdict(answer) == "cannot judge"
    assert "rise is the largest part of the doubt: wait until the temperature stands" in answer.lists["doubts"][0][0]
    assert passes(of(LOGS / "warming_no_leak.csv", limit="2 mL/min"))


def made(leak: float, lower: float, upper: float, *doubts: str) -> Estimate:
    return Estimate(leak, 1.0, (lower, upper), lower, upper, {"fit": 1.0}, doubts)


@pytest.mark.parametrize(("e", "more", "begins"), [
    (made(0.2, -1.0, 1.4), {}, "no leak larger than 1.4 mL/min"),
    (made(0.2, -1.0, 1.4), {"must": 1.4}, "no leak larger than 1.4 mL/min"),
    (made(0.2, -1.0, 1.4), {"must": 1.3}, "cannot judge"),
    (made(-0.5, -1.7, 0.7), {}, "no leak larger than 1.2 mL/min"),  # not sharper for a line that happens to rise
    (made(-0.5, -1.7, 0.7), {"must": 1.0}, "cannot judge"),
    (made(3.0, 0.1, 5.9), {"must": 9.0}, "leak shown"),
    (made(3.0, 0.1, 5.9), {"short": "5 readings", "still": "still"}, "leak shown"),
    (made(0.2, -1.0, 1.4), {"short": "5 readings"}, "cannot judge"),
    (made(0.2, -1.0, 1.4), {"still": "still", "must": 9.0}, "cannot judge"),
    (made(3.0, 0.1, 5.9, "rate not steady"), {}, "cannot judge"),
    (made(3.0, 0.1, 5.9), {"still": "the thermometer did not move"}, "leak shown"),
    (made(0.2, -1.0, 1.4), {"still": "the thermometer did not move"}, "cannot judge"),
])  # fmt: skip
def test_the_order_of_the_verdicts(e: Estimate, more: dict[str, Any], begins: str):
    assert verdict_of(e, **({"must": None} | more))[0].startswith(begins)


# what is told beside the verdict


def test_it_says_from_when_on_it_lost_more_and_how_much(tmp_path: Path):
    t, kelvin, pressure = line(0.0, 0.2)
    said = of(written(tmp_path, t, kelvin, pressure - np.maximum(t - 50, 0) * 12 / C))
    assert not passes(said)
    words = r"from about minute (\d+) on it lost about (\d+) mL/min, more than before: a leak may have begun; look, and hold on"
    found = re.fullmatch(words, text_of(said))
    assert found
    assert abs(int(found[1]) - 50) <= 2.5  # a mean of readings lasts 2.5 min
    assert abs(int(found[2]) - 12) <= 2.4


@pytest.mark.parametrize(("jump", "words"), [
    (0.03, "the pressure rose by 0.3 bar (4 psi) at once, which no warming does: was it pumped? Begin the hold anew"),
    (-0.03, "the pressure fell by 0.3 bar (4 psi) at once: find out what moved or let go, then begin the hold anew"),
])  # fmt: skip
def test_it_says_when_the_pressure_jumped(tmp_path: Path, jump: float, words: str):
    t, kelvin, pressure = line(0.0, 0.2)
    said = of(written(tmp_path, t, kelvin, pressure + np.where(t > 30, jump, 0.0)))
    assert not passes(said)
    assert re.search(r"about minute (29|30|31) " + re.escape(words), text_of(said))


def test_a_stretch_that_nobody_read_crosses_no_graduations(tmp_path: Path):
    """Between two readings the scale was not seen: 0.05 MPa of graduation over the hold, 0.6 of it, whatever is drawn between them."""
    t = np.array([0, 1, 2, 3, 4, 5, 50, 51, 53, 55, 57, 60.0])
    said = of(written(tmp_path, t, 18 + 0.0005 * t, 2.6 - 0.05 * (t > 20)), gauge_step="0.05 MPa", thermometer_step="0.0001 K")
    parts = said.lists["leak_uncertainty_parts"][0]
    assert parts["graduation"] / 1.96 == pytest.approx(0.6 * 0.05 * C / 60, rel=0.01)


def test_with_nothing_in_doubt_it_says_that_another_line_is_drawn(tmp_path: Path):
    file = written(tmp_path, *line(4.0, 1.2, 61))
    said = [f.text for f in of(file, **CERTAIN).findings]
    assert any(text.startswith("With every uncertainty 0 this is the straight line") for text in said)
    assert not any("straight line through" in f.text for f in of(file, **(CERTAIN | {"thermometer_place": "0.01 K"})).findings)


def test_a_thermometer_that_never_moved_rules_nothing_out_and_hides_no_large_leak(tmp_path: Path):
    t, _, pressure = line(0.2, 0.0, 61)
    for step in ("0.5 K", "0.01 K", ""):
        more = {"thermometer_step": step} if step else {}
        still = of(written(tmp_path, t, 18 + 0 * t, pressure), limit="50 mL/min", **more)
        assert verdict(still) == "cannot judge"
        assert still.lists["doubts"][0][0].startswith("the thermometer did not move at all through the hold")
        large = of(written(tmp_path, t, 18 + 0 * t, pressure - 40 / C * t), **more)
        assert verdict(large) == "leak shown"
    moved = of(written(tmp_path, t, 18 + 0.01 * (t > 30), pressure), thermometer_step="0.01 K")
    assert passes(moved)


@pytest.mark.parametrize(("gap", "told"), [(14.0, False), (20.0, True)])
def test_a_long_stretch_that_nobody_read_is_told(gap: float, told: bool, tmp_path: Path):
    """A quarter of a 60 min hold is 15 min."""
    t, kelvin, pressure = line(0.2, 0.2, 121)
    kept = (t <= 20) | (t >= 20 + gap)
    said = [f.text for f in of(written(tmp_path, t[kept], kelvin[kept], pressure[kept])).findings]
    assert any(text.startswith(f"No reading for {gap:.0f} min of a hold of 60 min, from minute 20 on") for text in said) is told


@pytest.mark.parametrize("text", ["1.01", "150 %", "0.2 MPa/K"])
def test_more_doubt_than_rise_is_refused_with_why(text: str):
    with pytest.raises(BadInput, match="not even the sign of the correction is known") as bad:
        of(LOGS / "warming_no_leak.csv", rise_uncertainty=text)
    assert "accepted: up to 1, 100 % or 0.1552 MPa/K" in str(bad.value)


# too short


@pytest.mark.parametrize("n", [1, 2])
def test_one_or_two_readings_give_their_drops_and_nothing_more(n: int, tmp_path: Path):
    t = np.array([0.0, 60.0])[:n]
    answer = of(written(tmp_path, t, 18 + 0.01 * t, 2.6 - 0.001 * t))
    assert verdict(answer) == "cannot judge"
    assert "leak" not in answer.values
    assert value(answer, "raw_drop", "MPa") == pytest.approx(0.06 * (n - 1), abs=1e-12)
    assert value(answer, "corrected_drop", "MPa") == pytest.approx((0.06 + G * 0.6) * (n - 1), abs=1e-12)


@pytest.mark.parametrize(("n", "whole", "said"), [(5, 60.0, "5 readings; at least 6"), (19, 18.0, "18 min; at least 20 min")])
def test_a_short_log_shows_a_large_leak_and_never_rules_one_out(n: int, whole: float, said: str, tmp_path: Path):
    t, rng = minutes(n, whole), np.random.default_rng(4)
    noise = rng.normal(0, 0.0003, n)
    none = of(written(tmp_path, t, 18 + 0 * t + 0.001 * np.arange(n), 2.6 + noise), limit="9 mL/min")
    assert (verdict(none), none.lists["doubts"][0]) == ("cannot judge", [f"{said} are needed to rule a leak out"])
    large = of(written(tmp_path, t, 18 + 0 * t + 0.001 * np.arange(n), 2.6 + noise - 40 / C * t))
    assert verdict(large) == "leak shown"


# how it is written down


def test_units_and_clock_do_not_matter(tmp_path: Path):
    t, kelvin, pressure = line(4.0, 1.2)
    one = of(written(tmp_path, t, kelvin, pressure))
    two = of(written(tmp_path, t * 60 + 500, kelvin * 1.8 + 32, pressure * 10, "t_s,T_water_F,P_bar_gauge"))
    for key in ("leak", "leak_uncertainty", "upper_bound"):
        assert value(two, key) == pytest.approx(value(one, key), rel=1e-4)
    pick = np.sort(np.random.default_rng(2).choice(3600, 1200, replace=False))
    three = of(written(tmp_path, t[pick], kelvin[pick], pressure[pick]))
    assert value(three, "leak") == pytest.approx(value(one, "leak"), abs=0.1)


@pytest.mark.parametrize(("round_to", "gauge", "thermometer"), [((9, 9), 0.0, 0.0), ((3, 2), 0.001, 0.01), ((2, 1), 0.01, 0.1)])
def test_the_graduation_is_the_smallest_step_of_the_log(round_to: tuple[int, int], gauge: float, thermometer: float, tmp_path: Path):
    t, kelvin, pressure = line(4.0, 1.2)
    answer = of(written(tmp_path, t, np.round(kelvin, round_to[1]), np.round(pressure, round_to[0])))
    assert UNITS["MPa"].from_si(answer.working["d_p"]) == pytest.approx(gauge, abs=2e-7)
    assert answer.working["d_T"] == pytest.approx(thermometer, abs=1e-5)


@pytest.mark.parametrize("n", [31, 3600, 3601])
def test_rounded_or_not_it_is_the_same_leak(n: int, tmp_path: Path):
    t, kelvin, pressure = line(4.0, 1.2, n)
    whole = of(written(tmp_path, t, kelvin, pressure))
    short = of(written(tmp_path, t, kelvin, pressure, form=".3f"))
    assert value(short, "leak") == pytest.approx(value(whole, "leak"), abs=0.05)
    assert value(short, "leak_uncertainty") == pytest.approx(value(whole, "leak_uncertainty"), rel=0.05)


def test_steps_crossed():
    levels = np.array([0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2, 2], float)
    assert steps_seen(levels.reshape(6, 2)) == 2
    assert steps_seen(np.zeros((6, 2))) == 1
    assert steps_seen(np.arange(12.0).reshape(6, 2)) == 6
    assert steps_seen(np.array([0, 1, 0, 1, 0, 1, 0, 1, 0, 1, 0, 0.0]).reshape(6, 2)) == 6  # noise that dithers a coarse scale
    assert graduation_of(np.array([2.6, 2.65, 2.55, 2.6])) == pytest.approx(0.05)
    assert graduation_of(np.full(5, 2.6)) == 0.0


def test_still_is_less_than_a_graduation():
    assert is_still([2.6, 2.6], 0.0)
    assert is_still([2.6, 2.64], 0.05)
    assert not is_still([2.6, 2.65], 0.05)
    assert not is_still([2.6, 2.601], 0.0)


@pytest.mark.parametrize("bad", [([0, 1], [1, 1], [1, 1]), ([0, 1, 1], [1, 1, 1], [1, 1, 1]), ([0, 1, 2], [1, np.nan, 1], [1, 1, 1]),
                                 ([0, 1, 2], [1, 1], [1, 1, 1])])  # fmt: skip
def test_readings_that_are_no_log_are_refused_by_the_estimator(bad: tuple[list[float], ...]):
    with pytest.raises(ValueError, match="at least 3 readings"):
        estimate(*(np.array(x, float) for x in bad), G, C, Doubt(0.1, 0.07, 0.05, 0.001, 0.01))


@pytest.mark.parametrize(("text", "share"), [("0.1", 0.1), ("10 %", 0.1), ("10%", 0.1), ("0", 0.0), ("0.01552 MPa/K", 0.1)])
def test_the_doubt_of_the_rise_as_a_share_or_as_itself(text: str, share: float):
    rise = UNITS["MPa/K"].to_si(-0.1552)
    assert rise_doubt(text, rise) == pytest.approx(share * abs(rise))


@pytest.mark.parametrize("text", ["-0.1", "-0.01 MPa/K", "much", "3 K"])
def test_a_doubt_that_is_none_is_refused(text: str):
    with pytest.raises(BadValue):
        rise_doubt(text, 1.0)


# mistakes in the file


@pytest.mark.parametrize(("text", "said"), [
    ("", "is empty; accepted: a first line t_min,T_water_C,P_MPa_gauge, then numbers; or as on the page of the test: time, gauge bar"),
    ("\n , ,\n", "is empty"),
    ("t_min,T_water_C\n0,18\n", "no column for pressure; the first line is 't_min,T_water_C'; accepted:"),
    ("time,T,P\n0,18,2.6\n", "the column 'T' is not known"),
    ("time,T,P\n0,18,2.6\n", "no column for temperature, pressure; the first line is 'time,T,P'"),
    ("t_min,T_water_C,P_MPa_gauge\n0,12,5,3,1\n", "line 2: more cells than the first line has columns; accepted: 31.4 with a point"),
    ("time,T_water_C,P_MPa_gauge\n05:00,18,2.6\nsoon,18,2.6\n", "line 3: time is 'soon'; accepted: 06:20, or 2027-04-12 06:20"),
    ("t_min,T_water_C,P_MPa_gauge\n", "has no reading under its first line"),
    ("t_min,T_water_C,P_MPa_gauge\n0,18,2.6\n1,warm,2.6\n", "line 3: temperature is 'warm', not a number"),
    ("t_min,T_water_C,P_MPa_gauge\n0,18,2.6\n1,18\n", "line 3: pressure is '', not a number"),
    ("t_min,T_water_C,P_MPa_gauge\n0,18,2.6\n1,nan,2.6\n", "line 3: temperature is 'nan', not a number"),
    ("t_min,T_water_C,P_MPa_gauge\n0,18,2.6\n1,18,inf\n", "line 3: pressure is 'inf', not a number"),
    ("t_min,T_water_C,P_MPa_gauge\n0,18,2.6\n2,18,2.6\n2,18,2.6\n", "the time of reading 3 is not after the one before it"),
    ("t_min,T_water_C,P_MPa_gauge\n5,18,2.6\n2,18,2.6\n9,18,2.6\n", "the time of reading 2 is not after"),
])  # fmt: skip
def test_each_mistake_is_a_sentence(text: str, said: str, tmp_path: Path):
    path = tmp_path / "log.csv"
    path.write_text(text, "utf-8")
    with pytest.raises(BadInput) as bad:
        of(path)
    assert said in str(bad.value)
    assert str(bad.value).startswith("file: log.csv")


def test_ten_mistakes_are_told_and_the_rest_counted(tmp_path: Path):
    path = tmp_path / "log.csv"
    path.write_text("t_min,T_water_C,P_MPa_gauge\n" + "x,18,2.6\n" * 13, "utf-8")
    with pytest.raises(BadInput) as bad:
        of(path)
    assert len(bad.value.problems) == 11
    assert bad.value.problems[-1] == "and 3 more"


def test_a_file_that_is_none_and_one_that_is_too_large(tmp_path: Path):
    for path, content in ((tmp_path / "absent.csv", None), (tmp_path / "picture.csv", b"\xff\xfe\x00"), (tmp_path, None)):
        if content is not None:
            path.write_bytes(content)
        with pytest.raises(BadInput, match="cannot be read as text"):
            of(path)
    large = tmp_path / "large.csv"
    large.write_bytes(b"0" * 5_000_001)
    with pytest.raises(BadInput, match="is larger than 5 MB"):
        of(large)


def test_a_comma_for_the_point_blank_lines_other_columns_and_a_mark_at_the_start(tmp_path: Path):
    t, kelvin, pressure = line(4.0, 1.2, 31)
    plain = of(written(tmp_path, t, kelvin, pressure, form=".4f"))
    rows = [f'"{a:.4f}",dry,"{b:.4f}","{c:.4f}"'.replace(".", ",") for a, b, c in zip(t, kelvin, pressure, strict=True)]
    path = tmp_path / "other.csv"
    path.write_text("\n\n".join(["t_min,note, T_water_C ,P_MPa_gauge", *rows]), "utf-8-sig")
    assert value(of(path), "leak") == value(plain, "leak")


# how often it is right: a small study with fixed seeds; limits are the goals, widened by three times what chance does to so few


HOLDS = 300


@cache
def found(row: holds.Row, number: int = HOLDS) -> holds.Found:
    return holds.found(row, number, (101, 102))


def least(goal: float) -> float:
    """What chance leaves of a goal."""
    return float(goal - 3 * (goal * (1 - goal) / HOLDS) ** 0.5)


CALIBRATED = [r for r in holds.rows() if r.goal == "calibrated" and (r.scene.warming, r.leak) in ((0.2, 1), (0.6, 4), (1.2, 0), (-0.8, 4))]
COVERED = [
    holds.Row(scene, leak, "cover", width)
    for scene, leak, width in (
        (sim.UNIFORM[2], 4.0, 2.09), (sim.POCKET, 4.0, 1.29), (sim.DIAL, 0.0, 3.22), (sim.DIAL, 1.0, 3.34), (sim.COARSE, 4.0, 1.55),
        (sim.STANDING, 4.0, 5.29), (sim.RESTLESS[2], 4.34, 9.66), (sim.RESTLESS[4], 4.34, 6.33), (sim.RESTLESS[5], 4.34, 5.87),
        (sim.BARE, 4.0, None), (sim.SKIN, 4.0, None),
    )
]  # fmt: skip


@pytest.mark.computed
@pytest.mark.parametrize("row", [pytest.param(r, id=f"{r.scene.name}, leak {r.leak:g}") for r in CALIBRATED])
def test_on_what_it_is_told_it_neither_boasts_nor_pads(row: holds.Row):
    f = found(row)
    assert least(0.93) <= f.cover <= 1 - 0.03 + 3 * (0.03 * 0.97 / HOLDS) ** 0.5
    assert f.over >= least(0.92)
    assert f.under >= least(0.92)
    chance = 3 / (2 * HOLDS) ** 0.5
    assert 0.90 * (1 - chance) <= f.ratio <= 1.10 * (1 + chance)
    assert f.passed_wrongly <= 0.01 or row.leak < 4
    assert (
        f.share("leak shown") >= least(0.95)
        if row.leak >= 4
        else f.share("leak shown") <= 0.08 + 3 * (0.08 * 0.92 / HOLDS) ** 0.5 or row.leak
    )


@pytest.mark.computed
@pytest.mark.parametrize("row", [pytest.param(r, id=f"{r.scene.name}, leak {r.leak:g}") for r in COVERED])
def test_where_the_truth_is_otherwise_it_still_covers(row: holds.Row):
    f = found(row)
    assert f.cover >= least(0.95)
    assert f.over >= least(0.95)
    assert row.width is None or f.half <= row.width * 1.03


@pytest.mark.computed
@pytest.mark.parametrize("scene", [pytest.param(s, id=s.name) for s in sim.MASKED])
def test_no_masked_leak_of_four_passes(scene: sim.Scene):
    assert found(holds.Row(scene, 4.0), 100).share("no leak") == 0


@pytest.mark.computed
@pytest.mark.parametrize(("scene", "leak"), [pytest.param(s, q, id=s.name) for s, q in (*sim.LATE, *((s, 4.0) for s in sim.TOPPED))])
def test_a_leak_that_begins_late_and_a_hold_pumped_up_in_between_are_not_passed(scene: sim.Scene, leak: float):
    assert found(holds.Row(scene, leak), 100).share("no leak") <= 0.02


@pytest.mark.computed
@pytest.mark.parametrize(("scene", "most"), [(sim.CALIBRATED[0], 0.03), (sim.CALIBRATED[2], 0.03), (sim.COARSE, 0.03), (sim.DIAL, 0.03)])
def test_a_hold_that_goes_on_as_it_began_is_seldom_called_broken(scene: sim.Scene, most: float):
    logs, doubt = sim.simulated(scene, 0.0, 100, 7), holds.told(scene)
    broken = [
        e.breaks
        for e in (estimate(logs.minutes, k, p, scene.told_rise, C, doubt) for k, p in zip(logs.degrees, logs.pressure, strict=True))
    ]
    assert sum(map(bool, broken)) <= 100 * most


@pytest.mark.computed
def test_the_textbook_does_fail_on_the_same_holds():
    """Least squares on every reading: with the rise fitted it covers in under 5 of 100, with the rise as told in under 20."""
    free, told = np.concatenate([found(row).rivals for row in CALIBRATED]).mean(0)
    assert free < 0.05
    assert told < 0.20


@pytest.mark.computed
def test_the_calculation_gives_what_the_study_counts(tmp_path: Path):
    """Through the file and the working, or straight into the estimator."""
    row = CALIBRATED[1]
    logs = sim.simulated(row.scene, row.leak, 3, 101)
    for kelvin, pressure in zip(logs.degrees, logs.pressure, strict=True):
        e = estimate(logs.minutes, kelvin, pressure, G, C, holds.told(row.scene))
        file = written(tmp_path, logs.minutes, kelvin, pressure)
        answer = of(file, gauge_step="0.001 MPa", thermometer_step="0.01 K", limit="2 mL/min")
        assert value(answer, "leak") == pytest.approx(e.leak, abs=1e-6)
        assert value(answer, "upper_bound") == pytest.approx(e.upper, abs=1e-6)
        assert verdict(answer) == verdict_of(e, holds.MUST)[0]
