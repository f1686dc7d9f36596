"""The finished HTML page, read back: the same formulas and figures as the finished PDF, each formula worked from its middle line."""

from __future__ import annotations

import re
from collections import Counter
from functools import cache
from importlib.resources import files
from pathlib import Path

import pypdfium2
import pytest
from tests.readback.alter import altered
from tests.readback.html import lines, sheet
from tests.readback.layout import Seen, appendix
from tests.readback.reader import Printed, Unreadable, Wrong, check_numbers, check_result, folded, reasons

from boxup.paper.pack import html_pack, pack

FOLDER = Path(str(files("boxup.demo"))) / "data"
FILES = [FOLDER / f"{tag}.toml" for tag in ("14-E-103", "14-E-104", "14-E-108")]
IDS = [p.stem for p in FILES]


@cache
def page(path: Path) -> str:
    return html_pack(path).decode()


@cache
def paper(path: Path) -> tuple[str, ...]:
    with pypdfium2.PdfDocument(pack(path)) as pdf:
        return tuple(p.get_textpage().get_text_range().replace("\r", "") for p in pdf)


@cache
def workings(path: Path) -> str:
    return "\n".join(lines(sheet(page(path), "Workings")))


@cache
def read(path: Path) -> Seen:
    return appendix([workings(path)])


def check(seen: Seen) -> None:
    for formula, known in seen.formulas:
        check_result(formula)
        check_numbers(formula, known)


def same(p: Printed) -> tuple[str, ...]:
    return folded(p.symbol), *(re.sub(r"\s", "", text) for text in (p.symbols.replace("_", ""), p.numbers, p.result))


@pytest.mark.parametrize("path", FILES, ids=IDS)
def test_every_formula_of_the_page_gives_its_result(path: Path) -> None:
    seen = read(path)
    assert len(seen.formulas) > 150
    check(seen)
    for formula, known in seen.formulas:
        found = reasons(formula.said.partition("because ")[2], known)
        assert bool(found) == ("because" in formula.said)
        assert [r.text for r in found if not r.true] == []


@pytest.mark.parametrize("path", FILES, ids=IDS)
def test_page_and_paper_have_the_same_formulas(path: Path) -> None:
    printed = appendix(p for p in paper(path) if "\nsheet\nWorkings\n" in p)
    assert [same(f) for f, _ in read(path).formulas] == [same(f) for f, _ in printed.formulas]
    assert read(path).given == printed.given
    assert {k: n.si for k, n in read(path).known.items()} == {k: n.si for k, n in printed.known.items()}


@pytest.mark.parametrize("path", FILES, ids=IDS)
def test_one_wrong_figure_on_the_page_is_noticed(path: Path) -> None:
    said = workings(path).split("\n")
    tried = 0
    for at in [i for i, line in enumerate(said) if line.startswith("= ")][::29]:
        wrong = next(altered(said[at]), None)
        if wrong:
            tried += 1
            with pytest.raises((Wrong, Unreadable)):
                check(appendix(["\n".join([*said[:at], wrong, *said[at + 1 :]])]))
    assert tried >= 8


@pytest.mark.parametrize("path", FILES, ids=IDS)
def test_a_lost_line_of_the_page_is_noticed(path: Path) -> None:
    said = workings(path).split("\n")
    last = next(i + 1 for i, line in enumerate(said[:-1]) if line.startswith("= ") and said[i + 1].startswith("= "))
    with pytest.raises((Wrong, Unreadable)):
        check(appendix(["\n".join(said[:last] + said[last + 1 :])]))


FIGURE = re.compile(r"\d+(?:[.\u202f\u2009]\d+)*")


def figures(text: str) -> Counter[str]:
    """Every figure of a text; a thin space within one is no end."""
    return Counter(re.sub(r"[\u202f\u2009 ]", "", f) for f in FIGURE.findall(text))


def on_paper(path: Path, title: str) -> str:
    """The pages of that sheet, each without its title block and the head of a page that goes on."""
    own = [p for p in paper(path) if re.sub(r"\s", "", p).count(re.sub(r"\s", "", f"sheet{title}sheet no.")) == 1]
    return "\n".join(p[: p.rindex("\nplant\n")] for p in own)


SHEETS = [
    ("14-E-103", "J4 floating head"),
    ("14-E-103", "J1 channel cover"),
    ("14-E-103", "Tube-side test, floating head in sight"),
    ("14-E-103", "Nozzle joints"),
    ("14-E-103", "Blind list"),
    ("14-E-104", "Shell test with the front ring, tube ends bare"),
    ("14-E-108", "Stud list"),
]


@pytest.mark.parametrize(("tag", "title"), SHEETS)
def test_page_and_paper_say_the_same_figures(tag: str, title: str) -> None:
    path = FOLDER / f"{tag}.toml"
    one = sheet(page(path), title)
    said = figures("\n".join(lines(one[: one.rindex("<footer")])))
    printed = figures(on_paper(path, title))
    assert sum(said.values()) > 15
    drawn = figures(re.sub(r"<[^>]+>", " ", " ".join(re.findall(r"<svg.*?</svg>", one, flags=re.DOTALL))))
    assert set(said) - set(printed) == set(), "on the page and not on paper"
    assert set(printed) - set(said) - set(drawn) == set(), "on paper and not on the page"
