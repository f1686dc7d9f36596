"""The finished PDF, read back: every formula of the Workings, worked from its middle line by a reader of its own."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from pathlib import Path

import pypdfium2
import pytest
from tests.readback.alter import altered
from tests.readback.layout import Seen, appendix
from tests.readback.reader import Printed, Unreadable, Wrong, check_numbers, check_result, reasons

from boxup.core.working import Computed, Step, Working
from boxup.exchanger.file import load
from boxup.job.numbers import numbers
from boxup.paper.pack import pack

FOLDER = Path(str(files("boxup.demo"))) / "data"
TAGS = ("14-E-103", "14-E-104", "14-E-108")  # a floating head, a U-tube bundle, fixed tubesheets: the whole fleet takes too long here
FILES = [FOLDER / f"{tag}.toml" for tag in TAGS]


@dataclass(frozen=True)
class Pack:
    """The text of the Workings pages, and the workings they were printed from (used to count, never to compare values)."""

    pages: tuple[str, ...]
    workings: tuple[Working, ...]

    @property
    def formulas(self) -> int:
        return sum(isinstance(s.origin, Computed) for s in self.steps)

    @property
    def steps(self) -> list[Step]:
        """Those that are printed: what stands aside for the engineer is only named."""
        return [s for w in self.workings for s in (*w.steps.values(), *_of_parts(w))]

    @property
    def others(self) -> int:
        return len(self.steps) - self.formulas


def _of_parts(w: Working) -> list[Step]:
    return [s for part in w.parts if not part.aside for s in (*part.steps.values(), *_of_parts(part))]


@cache
def printed(path: Path) -> Pack:
    with pypdfium2.PdfDocument(pack(path)) as pdf:
        pages = [page.get_textpage().get_text_range().replace("\r", "") for page in pdf]
    found = numbers(load(path)).workings.values()
    return Pack(tuple(p for p in pages if "\nsheet\nWorkings\n" in p), tuple(w for _, w in found))


@cache
def read(path: Path) -> Seen:
    return appendix(printed(path).pages)


def check(seen: Seen) -> None:
    for formula, known in seen.formulas:
        check_result(formula)
        check_numbers(formula, known)


def noticed(formula: Printed, seen: Seen, known) -> bool:
    try:
        check_result(formula)
        check_numbers(formula, known)
    except (Wrong, Unreadable, ArithmeticError, ValueError):
        return True
    return False


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_every_formula_is_read_and_its_middle_line_gives_its_result(path: Path):
    seen = read(path)
    assert len(seen.formulas) == printed(path).formulas > 150
    assert seen.given == printed(path).others
    check(seen)


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_every_reason_for_a_branch_is_true(path: Path):
    told = 0
    for formula, known in read(path).formulas:
        _, because, why = formula.said.partition("because ")
        found = reasons(why, known)
        assert bool(found) == bool(because), formula.said
        assert [r.text for r in found if not r.true] == []
        told += len(found)
    assert told >= 5


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_one_wrong_figure_anywhere_in_a_formula_is_noticed(path: Path):
    missed, tried = [], 0
    for formula, known in read(path).formulas:
        wrong = [replace(formula, result=r) for r in altered(formula.result)]
        wrong += [replace(formula, numbers=n) for n in altered(formula.numbers)]
        tried += len(wrong)
        missed += [str(w) for w in wrong if not noticed(w, read(path), known)]
    assert tried > 2000
    assert not missed, f"{len(missed)} of {tried}: " + "; ".join(missed[:5])


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_one_wrong_figure_in_the_text_of_the_page_is_noticed(path: Path):
    pages = printed(path).pages
    tried = 0
    for number in range(0, len(pages), 3):
        lines = pages[number].split("\n")
        for at in [i for i, line in enumerate(lines) if line.startswith("= ")][::11]:
            for wrong in list(altered(lines[at]))[:1]:
                tried += 1
                text = "\n".join([*lines[:at], wrong, *lines[at + 1 :]])
                with pytest.raises((Wrong, Unreadable)):
                    check(appendix([*pages[:number], text, *pages[number + 1 :]]))
    assert tried >= 8


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_a_lost_line_is_noticed(path: Path):
    pages = printed(path).pages
    lines = pages[0].split("\n")
    last = [i for i, line in enumerate(lines) if line.startswith("= ")][1]
    text = "\n".join(lines[:last] + lines[last + 1 :])
    with pytest.raises((Wrong, Unreadable)):
        check(appendix([text, *pages[1:]]))
