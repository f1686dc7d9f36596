"""How long the exchanger files of the demo take to be read, and to be drawn in section, each beside a plain thing of the same kind.

python tools/sections.py [RUNS]     prints medians, ms
"""

from __future__ import annotations

import sys
import tomllib
from collections.abc import Iterator
from xml.etree import ElementTree

from boxup.demo.fleet import files_of_the_demo
from boxup.drawing.section import section
from boxup.drawing.view import SectionView
from boxup.exchanger.file import read
from layouts import timed

READ, DRAWN = 20.0, 20.0  # goals, ms for one exchanger


def rows(runs: int) -> Iterator[str]:
    """The table of the bench; every time is that of all files of the fleet, divided by their number."""
    texts = [path.read_text("utf-8") for path in files_of_the_demo().values()]
    exchangers = [x for x, _ in map(read, texts) if x is not None]
    drawings = [section(x, SectionView()) for x in exchangers]
    n = len(texts)
    yield f"{n} exchangers; medians of {runs} runs, ms an exchanger."
    yield f"{'file and drawing':44}{'median':>8}{'least':>8}{'most':>8}{'goal':>7}  {'':11}{'yardstick':>9}{'ratio':>7}"
    yield timed("file read", lambda: [*map(read, texts)], lambda: [*map(tomllib.loads, texts)], READ, runs, n)
    yield timed(
        "drawn in section",
        lambda: [section(x, SectionView()) for x in exchangers],
        lambda: [ElementTree.tostring(ElementTree.fromstring(d)) for d in drawings],
        DRAWN, runs, n,
    )  # fmt: skip
    yield "Yardsticks: the same text read by tomllib alone; the same drawing read and written by xml.etree."


if __name__ == "__main__":
    print("\n".join(rows(int(sys.argv[1]) if len(sys.argv) > 1 else 7)))
