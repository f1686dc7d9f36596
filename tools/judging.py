"""How long an hour of readings takes to judge, beside a straight line through the same readings by numpy, taken in turn in one run.

python tools/judging.py [RUNS]     prints medians, ms
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np

from boxup.hydro.hold import hold
from boxup.hydro.hold_estimate import estimate
from boxup.hydro.hold_log import Doubt
from boxup.hydro.log_file import read_log

RISE, VOLUME = 0.1552, 2604.0  # MPa/K, mL/MPa
USUAL = Doubt(0.1 * RISE, 0.07, 0.05, 0.001, 0.01)
ESTIMATE, WHOLE = 5.0, 100.0  # goals, ms, of the least: what else runs on the machine is no part of it
EACH = 5  # of a run, the least taken

Array = np.ndarray[Any, np.dtype[np.float64]]


def log(readings: int) -> tuple[Array, Array, Array]:
    """Minutes, degC and MPa of an invented hour: 4 mL/min, 0.6 K/h, noise, graduations of 0.01 bar and 0.01 K."""
    rng, t = np.random.default_rng(7), np.linspace(0.0, 60.0, readings)
    kelvin = 18 + 0.01 * t + rng.normal(0, 0.01, readings)
    pressure = 2.6 + RISE * 0.01 * t - 4 / VOLUME * t + rng.normal(0, 0.001, readings)
    return t, np.round(kelvin, 2), np.round(pressure, 3)


def rows(rounds: int) -> Iterator[str]:
    """The table."""
    yield f"A hold judged; medians of {rounds} runs, each the least of {EACH}, ms. The goal is for the least of all."
    yield f"{'hold':44}{'median':>8}{'least':>8}{'most':>8}{'goal':>7}  {'':10}{'polyfit':>10}{'ratio':>7}"
    for readings in (31, 3600):
        yield _row(f"estimate, {readings} readings", rounds, ESTIMATE, readings, _estimate(readings))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "hold.csv"
        _write(path, 3600)
        yield _row("file of 3600 readings read", rounds, WHOLE, 3600, lambda: read_log(str(path), ("time", "temperature", "pressure")))
        yield _row("calculation hold, file and working with it", rounds, WHOLE, 3600, _whole(path))
    yield "Polyfit: numpy.polyfit(t, p - g*T, 1) on the same readings, which gives no doubt beyond scatter."


def _estimate(readings: int) -> Callable[[], object]:
    t, kelvin, pressure = log(readings)
    return lambda: estimate(t, kelvin, pressure, RISE, VOLUME, USUAL)


def _whole(path: Path) -> Callable[[], object]:
    given = hold.parse({"file": str(path), "rise_per_degree": f"{RISE} MPa/K", "volume_per_pressure": f"{VOLUME} mL/MPa"})
    return lambda: hold.run(given)


def _write(path: Path, readings: int) -> None:
    lines = (f"{t!r},{k!r},{p!r}" for t, k, p in zip(*(x.tolist() for x in log(readings)), strict=True))
    path.write_text("\n".join(["t_min,T_water_C,P_MPa_gauge", *lines]) + "\n", "utf-8")


def _row(name: str, rounds: int, goal: float, readings: int, work: Callable[[], object]) -> str:
    t, kelvin, pressure = log(readings)
    work()
    pairs = [(_least(work), _least(lambda: np.polyfit(t, pressure - RISE * kelvin, 1))) for _ in range(rounds)]
    ours = [one for one, _ in pairs]
    plain = statistics.median(other for _, other in pairs)
    verdict = "over goal" if min(ours) > goal else "in goal"
    median = statistics.median(ours)
    return f"{name:44}{median:8.2f}{min(ours):8.2f}{max(ours):8.2f}{goal:7.1f}  {verdict:10}{plain:10.2f}{median / plain:7.1f}"


def _least(work: Callable[[], object]) -> float:
    """Milliseconds."""
    times = []
    for _ in range(EACH):
        begun = time.perf_counter()
        work()
        times.append(time.perf_counter() - begun)
    return min(times) * 1e3


if __name__ == "__main__":
    for text in rows(int(sys.argv[1]) if len(sys.argv) > 1 else 7):
        print(text, flush=True)
