"""How long five thousand tubes take to lay out and to draw, each beside a plain thing of the same kind, taken in turn in one run.

python tools/layouts.py [RUNS]     prints medians, ms
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable, Iterator
from xml.etree import ElementTree

from boxup.drawing.tubesheet import TubesheetView, tubesheet
from boxup.exchanger.generate import generate
from boxup.exchanger.lattice import Lattice
from boxup.exchanger.layout import Tube, number

PITCH, OD, LIMIT, LANE = 25.4, 19.05, 1950.0, 38.1  # mm
LAY, DRAW = 50.0, 100.0  # goals, ms


def laid(passes: int, layout: str) -> tuple[Tube, ...]:
    """The layout of the bench, with its numbers."""
    return number(generate(Lattice(PITCH, 30), OD, LIMIT, passes, layout, LANE))


def grid() -> list[tuple[str, float, float]]:
    """The yardstick of a layout: two loops over a square of the same lattice, points in the circle kept, sorted and numbered."""
    reach, found = (LIMIT - OD) / 2, []
    rows = range(-int(reach / (PITCH * 0.866)) - 1, int(reach / (PITCH * 0.866)) + 2)
    for k in rows:
        for i in range(-int(reach / PITCH) - 1, int(reach / PITCH) + 2):
            x, y = (i + k % 2 / 2) * PITCH, k * PITCH * 0.8660254
            if x * x + y * y <= reach * reach:
                found.append((x, y))
    return [(f"{n}", x, y) for n, (x, y) in enumerate(sorted(found, key=lambda p: (-p[1], p[0])), start=1)]


def circles(tubes: tuple[Tube, ...]) -> str:
    """The yardstick of a drawing: as many circles, built and written by the standard library's ElementTree."""
    root = ElementTree.Element("svg", xmlns="http://www.w3.org/2000/svg")
    for t in tubes:
        ElementTree.SubElement(root, "circle", cx=f"{t.x:.1f}", cy=f"{-t.y:.1f}", r="9.5")
    return ElementTree.tostring(root, encoding="unicode")


def rows(runs: int) -> Iterator[str]:
    """The table of the bench."""
    tubes = laid(2, "band")
    view = TubesheetView("bench", tubes, OD, LIMIT / 2 + 40)
    yield f"{len(tubes)} tubes; medians of {runs} runs, ms."
    yield f"{'tubes':44}{'median':>8}{'least':>8}{'most':>8}{'goal':>7}  {'':11}{'yardstick':>9}{'ratio':>7}"
    yield timed("laid out and numbered, 1 pass", lambda: laid(1, "plain"), grid, LAY, runs)
    yield timed("laid out and numbered, 2 passes", lambda: laid(2, "band"), grid, LAY, runs)
    yield timed("laid out and numbered, 8 passes", lambda: laid(8, "two-column"), grid, LAY, runs)
    yield timed("laid out and numbered, 16 passes", lambda: laid(16, "band"), grid, LAY, runs)
    yield timed("drawn", lambda: tubesheet(view), lambda: circles(tubes), DRAW, runs)
    yield "Yardsticks: two loops over a lattice, points in the circle sorted and numbered, no passes; as many circles by xml.etree."


def timed(name: str, work: Callable[[], object], plain: Callable[[], object], goal: float, runs: int, pieces: int = 1) -> str:
    """One line of a table: our work beside a plain thing, taken in turn, ms for each of `pieces`."""
    work(), plain()
    pairs = [(_ms(work) / pieces, _ms(plain) / pieces) for _ in range(runs)]
    ours, theirs = ([pair[place] for pair in pairs] for place in (0, 1))
    verdict = "in goal" if statistics.median(ours) <= goal else "over goal"
    ratio = statistics.median(one / other for one, other in pairs)
    figures = f"{statistics.median(ours):8.1f}{min(ours):8.1f}{max(ours):8.1f}{goal:7.0f}"
    return f"{name:44}{figures}  {verdict:11}{statistics.median(theirs):9.1f}{ratio:7.2f}"


def _ms(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return (time.perf_counter() - start) * 1e3


if __name__ == "__main__":
    print("\n".join(rows(int(sys.argv[1]) if len(sys.argv) > 1 else 7)))
