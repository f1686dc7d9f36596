"""Long lines at a terminal: what goes on stands where the eye looks for it, and no figure loses its unit."""

from __future__ import annotations

import pytest

from boxup.cli.fit import fitted

pytestmark = pytest.mark.practice
LEG = "  53.5 kN (12 000 lbf)     front sling alone, the rear one off: the bundle going in, 1.20 m in, without allowance"
FOUND = "  NOTE: A tag's capacity holds for the hitch, the angle and the bend printed with it.  [rigging practice, tag on the gear]"


def test_words_behind_a_figure_go_on_under_the_words() -> None:
    first, second = fitted(LEG, 80).split("\n")
    assert len(first) <= 80
    assert len(second) - len(second.lstrip()) == LEG.index("front")


def test_a_sentence_goes_on_set_in_by_two() -> None:
    assert [line[:5] for line in fitted(FOUND, 80).split("\n")[1:]] == ["    w"]


@pytest.mark.parametrize("width", range(60, 121, 5))
def test_a_number_keeps_its_unit_and_nothing_is_lost(width: int) -> None:
    text = "  EX1 bundle extractor B: 3 360 kg (7 410 lb) on it, may carry 40 000 kg (88 100 lb), 9 % of it; 1.20 m in and 45 ft out " * 2
    lines = fitted(text, width).split("\n")
    assert " ".join(" ".join(lines).split()) == " ".join(text.split())
    assert all(len(line) <= width for line in lines)
    assert [line for line in lines if line.split()[0].rstrip("),;") in ("kg", "lb", "%", "m", "ft")] == []


def test_where_nobody_looks_a_line_stays_whole() -> None:
    assert fitted(LEG, 0) == fitted(LEG, 30) == LEG
