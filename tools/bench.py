"""How long a person waits: processes, an entry, the state of a job, a tube layout, a hold, a page; medians, beside goal and yardstick.

    python3 run.py bench [RUNS]     RUNS of each, 7 unless told; always exit 0: this measures, it does not judge

A yardstick is a plain thing of the same kind on the same machine, taken in turn with the command, so that a slow machine slows both.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import appends
import entries
import judging
import layouts
import pages
import sections
from pictures import exchanger_files

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from run import program  # noqa: E402 (run.py stands at the root, which is not a package)

START_PYTHON = "import click"
BLANK_PAGE = "import typst; typst.compile(b'#set page(paper: \"a4\")\\n.')"


@dataclass(frozen=True)
class Wait:
    """One command a person waits for."""

    name: str
    words: list[str]
    goal: float  # seconds
    yardstick: str  # Python for the crew's environment


def main(runs: int) -> None:
    """Measure everything and print the table."""
    python = program(".venv", "python")
    print(f"Medians of {runs} runs, whole process, warm, s.")
    print(f"{'command':44}{'median':>8}{'least':>8}{'most':>8}{'goal':>7}  {'':10}{'yardstick':>10}{'ratio':>7}")
    with tempfile.TemporaryDirectory() as folder:
        for wait in waits(Path(folder)):
            print(row(wait, python, runs), flush=True)
    print("Yardsticks: python -c 'import click' for help and calc; one blank A4 page by typst for the rest.\n")
    build = ROOT / "build"
    build.mkdir(exist_ok=True)
    for line in (
        *appends.rows(runs, build),
        "",
        *entries.rows(runs),
        "",
        *layouts.rows(runs),
        "",
        *judging.rows(runs),
        "",
        *sections.rows(runs),
        "",
        *pages.rows(runs),
    ):
        print(line, flush=True)


def waits(folder: Path) -> Iterator[Wait]:
    """What is measured; its products go into `folder`."""
    boxup = program(".venv", "boxup")
    python = sys._base_executable  # type: ignore[attr-defined]  # what a person starts run.py with
    calc = ["calc", "torque", "size=1-8", "load=100 kN", "nut_factor=0.18"]
    yield Wait("boxup --help", [boxup, "--help"], 0.3, START_PYTHON)
    yield Wait("boxup calc torque ...", [boxup, *calc], 0.3, START_PYTHON)
    yield Wait("run.py boxup calc torque ...", [python, str(ROOT / "run.py"), "boxup", *calc], 0.4, START_PYTHON)
    for file in exchanger_files():
        yield Wait(f"boxup pack {file.stem}", [boxup, "pack", str(file), "-o", str(folder / f"{file.stem}.pdf")], 1.5, BLANK_PAGE)
        yield Wait(f"boxup pack {file.stem}, HTML", [boxup, "pack", str(file), "-o", str(folder / f"{file.stem}.html")], 1.5, BLANK_PAGE)
    yield Wait("boxup pack, all of them", [boxup, "pack", *map(str, exchanger_files()), "-o", str(folder / "packs")], 20.0, BLANK_PAGE)
    yield Wait("run.py demo --once", [python, str(ROOT / "run.py"), "demo", "--once"], 5.0, BLANK_PAGE)


def row(wait: Wait, python: str, runs: int) -> str:
    """One line of the table; a command that fails has no time, and its last line says why."""
    trial = subprocess.run(wait.words, capture_output=True, text=True, check=False)
    if trial.returncode:
        why = (trial.stderr or trial.stdout).strip().splitlines()[-1:] or ["it said nothing"]
        return f"{wait.name:44}did not run: exit {trial.returncode}: {why[0]}"
    seconds(python, "-c", wait.yardstick)
    pairs = [(seconds(*wait.words), seconds(python, "-c", wait.yardstick)) for _ in range(runs)]
    times = [ours for ours, _ in pairs]
    median, plain = statistics.median(times), statistics.median(theirs for _, theirs in pairs)
    verdict = "over goal" if median > wait.goal else "in goal"
    return f"{wait.name:44}{median:8.3f}{min(times):8.3f}{max(times):8.3f}{wait.goal:7.1f}  {verdict:10}{plain:10.3f}{median / plain:7.1f}"


def seconds(*words: str) -> float:
    """How long one process takes from start to end."""
    start = time.perf_counter()
    subprocess.run(words, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=True)
    return time.perf_counter() - start


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 7)
