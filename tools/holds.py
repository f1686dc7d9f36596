"""How often the hold of a test is judged rightly: holds whose leak is known, simulated by something that knows nothing of the estimator.

python tools/holds.py [HOLDS]     so many for each row (calibrated rows twice as many), 1000 unless told; writes docs/holds.md
python tools/holds.py 200 dial    only the rows with that in their name, printed and not written
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

ROOT = Path(__file__).resolve().parents[1]
if str(ROOT) not in sys.path:
    sys.path.insert(0, str(ROOT))

from tests.hydro import simulated_hold as sim  # noqa: E402 (the simulator stands with the tests, which are no package)

from boxup.hydro.hold import FROZEN, STILL, WALL, is_frozen, is_still, verdict_of  # noqa: E402
from boxup.hydro.hold_estimate import estimate  # noqa: E402
from boxup.hydro.hold_log import Doubt  # noqa: E402

PAGE = ROOT / "docs" / "holds.md"
MUST = 2.0  # mL/min one must be able to see
LEAKS = (0.0, 1.0, 4.0)
SEEDS = (11, 12, 13, 14)  # the holds of a row are shared among them
Array = np.ndarray[Any, np.dtype[np.float64]]


@dataclass(frozen=True)
class Row:
    """One row of the study. `goal`: `calibrated`, `cover` (at least 0.95), `broken`, `masked`, `unsteady`, or none.

    `width`: the half-width it may not pass, mL/min.
    """

    scene: sim.Scene
    leak: float
    goal: str = ""
    width: float | None = None
    times: int = 1


@dataclass(frozen=True)
class Found:
    """What the holds of a row gave; arrays over holds. `rivals`: whether least squares covered, rise free and rise fixed."""

    low: Array
    high: Array
    lower: Array
    upper: Array
    verdicts: list[str]
    leak: Array
    seconds: Array
    rivals: Array

    @property
    def cover(self) -> float:
        return float(((self.low <= self.leak) & (self.leak <= self.high)).mean())

    @property
    def over(self) -> float:
        """Share of holds whose upper bound is not under the leak."""
        return float((self.leak <= self.upper).mean())

    @property
    def under(self) -> float:
        return float((self.lower <= self.leak).mean())

    @property
    def half(self) -> float:
        return float(np.median(self.high - self.low)) / 2

    @property
    def ratio(self) -> float:
        """Half-width over 1.96 actual sd: 1 neither boasts nor pads."""
        return self.half / (1.96 * float(np.std((self.low + self.high) / 2 - self.leak)))

    def share(self, begins: str) -> float:
        return sum(v.startswith(begins) for v in self.verdicts) / len(self.verdicts)

    @property
    def passed_wrongly(self) -> float:
        """Share passed with an X under the leak there was, or with one of at most 2 while 4 or more leaked."""
        leak = float(self.leak[0])
        passed = [float(v.split()[4]) for v in self.verdicts if v.startswith("no leak")]
        return sum(x <= MUST if leak >= 4 else x < leak for x in passed) / len(self.verdicts)


# --- the rows ---


def rows() -> Iterator[Row]:
    """Every row that has a goal, then those shown for what they teach. Widths: 1.15 of what a first prototype reached."""
    widths = {0.2: (0.72, 0.73, 0.91), 0.6: (1.05, 1.06, 1.18), 1.2: (1.73, 1.73, 1.82), -0.8: (1.26, 1.27, 1.37)}
    for scene in sim.CALIBRATED:
        yield from (Row(scene, q, "calibrated", None, 2) for q in LEAKS)
    for scene in sim.UNIFORM:
        yield from (Row(scene, q, "cover", 1.15 * w) for q, w in zip(LEAKS, widths[scene.warming], strict=True))
    yield from _rows(sim.POCKET, LEAKS, (0.98, 0.99, 1.12))
    yield from _rows(sim.DIAL, LEAKS, (2.8, 2.9, 2.5))
    yield from _rows(sim.COARSE, (0, 4), (1.14, 1.35))
    yield from _rows(sim.STANDING, (0, 4), (4.5, 4.6))
    for scene, w in zip(sim.RESTLESS, (4.9, 4.9, 8.4, 4.8, 5.5, 5.1), strict=True):
        yield from _rows(scene, (sim.RESTLESS_LEAK,), (w,))
    for scene in (sim.BARE, sim.SKIN):
        yield from (Row(scene, q, "cover") for q in (0.0, 4.0))
    yield from (Row(scene, 4.0, "masked") for scene in sim.MASKED)
    yield from (Row(scene, q, "broken") for scene, q in (*sim.LATE, *((scene, 4.0) for scene in sim.TOPPED)))
    yield from (Row(scene, q, "unsteady") for scene in sim.DISSOLVING[:1] for q in (0.0, 4.0))
    yield from (Row(scene, q) for scene in (*sim.FEW, sim.WARM_DIAL, sim.DISSOLVING[1]) for q in (0.0, 4.0))
    for scene in (sim.CALIBRATED[1], sim.CALIBRATED[3]):
        behind = scene.but(f"{scene.name}, thermometer behind from the start", behind=True)
        yield from (Row(behind, q) for q in (0.0, 4.0))


def _rows(scene: sim.Scene, leaks: tuple[float, ...], widths: tuple[float, ...]) -> Iterator[Row]:
    yield from (Row(scene, q, "cover", 1.15 * w) for q, w in zip(leaks, widths, strict=True))


# --- one row ---


def told(scene: sim.Scene) -> Doubt:
    """What the estimator is told of a scene: the usual doubts, the graduations, and the place as it is declared."""
    drift = scene.told_place * max(0.0, WALL**2 - scene.told_rise**2) ** 0.5
    return Doubt(0.1 * scene.told_rise, 0.07, scene.told_place, scene.gauge_step, scene.thermometer_step, drift)


def found(row: Row, holds: int, seeds: tuple[int, ...] = SEEDS) -> Found:
    """Simulate and judge the holds of a row, shared among the seeds."""
    scene, doubt, got, rivals, said = row.scene, told(row.scene), [], [], []
    for i, seed in enumerate(seeds):
        logs = sim.simulated(scene, row.leak, len(range(i, holds, len(seeds))), seed)
        for degrees, pressure in zip(logs.degrees, logs.pressure, strict=True):
            begun = time.perf_counter()
            e = estimate(logs.minutes, degrees, pressure, scene.told_rise, sim.VOLUME, doubt)
            took = time.perf_counter() - begun
            said.append(verdict_of(e, MUST, "", _still(pressure, degrees, doubt))[0])
            got.append((*e.interval, e.lower, e.upper, took))
            rivals.append(_rivals(logs.minutes, degrees, pressure, scene.told_rise, row.leak))
    low, high, lower, upper, took = np.array(got).T
    return Found(low, high, lower, upper, said, np.full(len(low), row.leak), took, np.array(rivals, float))


def _still(pressure: Array, degrees: Array, doubt: Doubt) -> str:
    return STILL if is_still(pressure.tolist(), doubt.gauge_step) else FROZEN if is_frozen(degrees.tolist()) else ""


def _rivals(t: Array, degrees: Array, p: Array, rise: float, leak: float) -> tuple[bool, bool]:
    """Whether textbook least squares on every reading covers the leak: with the rise fitted too, and with it as told."""
    one = np.ones_like(t)
    free = _covers(np.column_stack([-t, one, degrees - degrees.mean()]), p, leak)
    return free, _covers(np.column_stack([-t, one]), p - rise * degrees, leak)


def _covers(x: Array, y: Array, leak: float) -> bool:
    gram = np.linalg.pinv(x.T @ x)
    fitted = gram @ (x.T @ y)
    left = y - x @ fitted
    sd = (float(left @ left) / max(len(y) - x.shape[1], 1) * gram[0, 0]) ** 0.5
    return bool(abs(fitted[0] * sim.VOLUME - leak) <= 1.96 * sd * sim.VOLUME)


# --- goals ---


def missed(row: Row, f: Found) -> list[str]:
    """The goals of the row that were missed."""
    goals: dict[str, bool] = {}
    if row.goal == "calibrated":
        goals = {"two-sided": 0.93 <= f.cover <= 0.97, "upper": f.over >= 0.92, "lower": f.under >= 0.92, "ratio": 0.9 <= f.ratio <= 1.1,
                 "rival, rise free": f.rivals[:, 0].mean() < 0.05, "rival, rise told": f.rivals[:, 1].mean() < 0.20}  # fmt: skip
    if row.goal == "cover":
        goals = {"two-sided": f.cover >= 0.95, "upper": f.over >= 0.95}
    if row.width is not None:
        goals["width"] = f.half <= row.width
    if row.goal in ("calibrated", "cover") and row.scene.kind == "ramp" and row.scene.readings == 3600:
        goals |= _verdict_goals(row, f)
    if row.goal == "broken":
        goals = {"passed": f.share("no leak") <= 0.01}
    if row.goal == "masked":
        goals = {"never passed": f.share("no leak") == 0}
    if row.goal == "unsteady":
        goals = {"cannot judge": f.share("cannot judge") == 1}
    return [name for name, reached in goals.items() if not reached]


def _verdict_goals(row: Row, f: Found) -> dict[str, bool]:
    fine = row.scene.thermometer_step < 0.1
    if row.leak >= 4:
        return {"passed": f.passed_wrongly <= 0.01} | ({"shown": f.share("leak shown") >= 0.95} if fine else {})
    return {"called a leak": f.share("leak shown") <= 0.08} if row.leak == 0 else {}


HEADS = ("scene", "leak", "two-sided", "upper", "lower", "half-width", "of at most", "ratio", "leak shown / none larger / cannot judge",
         "passed wrongly", "least squares, rise free / told", "ms", "goals")  # fmt: skip
HEAD = f"| {' | '.join(HEADS)} |\n{'|---' * len(HEADS)}|"


def line(row: Row, f: Found) -> str:
    """One line of the table."""
    wrong = missed(row, f)
    cells = (
        row.scene.name,
        f"{row.leak:g}",
        *(f"{share:.3f}" for share in (f.cover, f.over, f.under)),
        f"{f.half:.2f}",
        f"{row.width:.2f}" if row.width is not None else "",
        f"{f.ratio:.2f}",
        " / ".join(f"{f.share(v):.3f}" for v in ("leak shown", "no leak", "cannot judge")),
        f"{f.passed_wrongly:.3f}",
        " / ".join(f"{x:.3f}" for x in f.rivals.mean(0)),
        f"{np.median(f.seconds) * 1e3:.1f}",
        f"missed: {', '.join(wrong)}" if wrong else "reached" if row.goal else "",
    )
    return f"| {' | '.join(cells)} |"


INTRODUCTION = """# Holds

Made by `python tools/holds.py {holds}`: {holds} holds for each row, the calibrated ones {twice}; seeds {seeds}. Everything is invented: a
shell of 2.6 m³ full of water, {rise} MPa/K and {volume:g} mL/MPa as told, 60 min at 1 Hz unless said, a thermometer in a pocket that lags
3 min, slow noise of 0.01 bar. The simulator (`tests/hydro/simulated_hold.py`) shares nothing with the estimator.

*Calibrated*: the rise is off by N(0, 10 %), the volume for each pressure by N(0, 7 %), the thermometer's place by N(0, 0.05 K), as it is
declared. Elsewhere the rise is off by anything up to 15 %. Leak and half-width in mL/min. *Two-sided*, *upper*, *lower*: how often the
95 % interval and each 95 % bound hold. *Ratio*: median half-width over 1.96 actual sd: 1 neither boasts nor pads. The leak one must see is
2 mL/min. *Passed wrongly*: "no leak larger than X" with X under the leak there was; with 4 mL/min, X of 2 or less. Rivals: textbook least
squares on every reading, and how seldom it covers. *ms*: median, while other things ran; `python tools/judging.py` measures the time.

A row without a goal is shown for what it teaches. Where a little air dissolves, or where the rise is always off the same way, the numbers
are bad: what was declared is not so, and no log can tell.

Where a leak begins late, or somebody pumps up and says nothing, there is no one rate: the bounds are of a mean, and what counts is that
such a hold is not passed.

With every uncertainty 0 the estimate is the straight line through the corrected pressure instead, and says so: over the scenes below, 25
holds each, its bar was 0.4 to 14 times that with a doubt of a millionth of a kelvin. A gauge or a thermometer that never moved rules
nothing out; a leak that stands over all its doubt is shown all the same.

"""


def main(holds: int, part: str) -> None:
    """Print every line as it comes; write the page when no part was asked for."""
    print(HEAD, flush=True)
    lines = []
    for row in rows():
        if part in row.scene.name:
            lines.append(line(row, found(row, holds * row.times)))
            print(lines[-1], flush=True)
    if not part:
        begin = INTRODUCTION.format(holds=holds, twice=2 * holds, seeds=", ".join(map(str, SEEDS)), rise=sim.RISE, volume=sim.VOLUME)
        PAGE.write_text(begin + "\n".join([HEAD, *lines]) + "\n", "utf-8")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000, sys.argv[2] if len(sys.argv) > 2 else "")
