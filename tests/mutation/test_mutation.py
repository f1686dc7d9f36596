"""A wrong formula is noticed from outside: no wrong line survives unlisted, and none at all of a number that can hurt."""

from __future__ import annotations

import pytest

import limits
from boxup.core.formula import INSTEAD, formula
from mutant import mutants
from mutate import PAGE, page
from trial import LABELS, SAME, SURVIVES, Fate, Mutant, Trial, instead, reasons, trial, variants


@pytest.fixture(scope="module")
def tried() -> Trial:
    """Every wrong line, judged once: nothing is sampled."""
    return trial()


def listed(fates: list[Fate]) -> set[tuple[str, str]]:
    return {(f.use.line, f.mutant.wrong) for f in fates}


def test_a_line_is_made_wrong_in_every_small_way():
    found = {m.wrong for m in mutants("f = 2*a**2 - min(b, 1.5*c)/cos(d) if e <= 6 else -g")}
    assert "f = 2 * a ** 2 + min(b, 1.5 * c) / cos(d) if e <= 6 else -g" in found
    assert "f = 2 / a ** 2 - min(b, 1.5 * c) / cos(d) if e <= 6 else -g" in found
    assert "f = 2 * a ** 3 - min(b, 1.5 * c) / cos(d) if e <= 6 else -g" in found
    assert "f = 2 * a ** 2 - max(b, 1.5 * c) / cos(d) if e <= 6 else -g" in found
    assert "f = 2 * a ** 2 - min(b, 1.65 * c) / cos(d) if e <= 6 else -g" in found
    assert "f = 2 * a ** 2 - min(b, 1.5 * c) * cos(d) if e <= 6 else -g" in found
    assert "f = 2 * a ** 2 - min(b, 1.5 * c) / sin(d) if e <= 6 else -g" in found
    assert "f = 2 * a ** 2 - min(b, 1.5 * c) / cos(d) if e >= 6 else -g" in found
    assert "f = 2 * a ** 2 - min(b, 1.5 * c) / cos(d) if e <= 7 else -g" in found
    assert "f = 2 * a ** 2 - min(b, 1.5 * c) / cos(d) if e <= 6 else g" in found
    assert len(found) == 15


def test_a_wrong_line_stands_in_only_while_it_is_tried():
    wrong = Mutant("T = K*D*F", "T = K / D * F", "* to /")
    with instead(wrong):
        assert formula("T = K*D*F").text == "K / D * F"
    assert formula("T = K*D*F").text == "K*D*F"
    assert not INSTEAD


def test_lines_and_labels_are_really_tried(tried: Trial):
    assert len(tried.uses) > 150
    assert len(tried.fates) > 800
    assert all(tried.counts[label] for label in LABELS)


def test_every_survivor_is_listed_with_its_reason_and_no_other(tried: Trial):
    assert listed(tried.of(SURVIVES)) == set(reasons("survivor"))


def test_no_survivor_is_a_number_that_can_hurt(tried: Trial):
    assert [f.mutant.wrong for f in tried.of(SURVIVES) if f.use.serious] == []


def test_every_line_that_matters_is_told_from_its_wrong_ones_by_some_use_or_listed(tried: Trial):
    assert listed([f for f in tried.of(SAME) if f.use.serious]) == set(reasons("untold"))


@pytest.mark.computed
@pytest.mark.parametrize("variant", variants(), ids=lambda v: v.name)
def test_a_variant_of_a_demo_exchanger_gives_what_was_worked_by_hand(variant):
    from boxup.job.numbers import numbers

    assert variant.wrong(numbers(variant.exchanger())) == [], variant.why


def test_every_limit_of_the_program_has_numbers_on_both_sides_of_it():
    assert limits.untried() == []


@pytest.mark.parametrize("limit", limits.limits(), ids=lambda one: f"{one.line}: {one.holds}")
def test_a_limit_says_what_was_set_by_hand(limit):
    assert limit.fits(limit.line)
    assert limit.as_said(limit.line), limit.why


def test_no_wrong_limit_goes_unnoticed():
    refused, told, missed = limits.judged()
    assert len(refused) + len(told) > 50
    assert missed == []


def test_the_page_is_up_to_date(tried: Trial):
    assert PAGE.read_text("utf-8") == page(tried), "run: python tools/mutate.py"
