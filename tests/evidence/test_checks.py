"""Every outside check, under the mark of its label; and how many there must be."""

from collections import Counter

import pytest

from evidence import PAGE, Check, checks, page, run

CHECKS = checks()
NAMED = """bolt-area torque torque-friction preload yield-load gasket-loads girth-joint crossover test-pressure water shut-in ribs
sling-legs block-load insertion-pull"""


@pytest.mark.parametrize("check", [pytest.param(c, marks=getattr(pytest.mark, c.label), id=c.id) for c in CHECKS])
def test_agrees_with_the_outside_value(check: Check):
    verdict = run(check)
    assert verdict.agrees, f"{check.title}, {check.where}: expected {check.expected} ± {check.tolerance} ({check.why}), got {verdict.got}"


def test_enough_outside_checks_from_enough_sources():
    outside = [c for c in CHECKS if c.label != "computed"]
    counted = sum(min(n, 10) for n in Counter((c.source_id, c.where) for c in outside).values())
    assert counted >= 60
    assert len({c.source_id for c in outside}) >= 15


@pytest.mark.parametrize("name", NAMED.split())
def test_every_calculation_has_a_check_that_is_not_our_own(name: str):
    assert [c for c in CHECKS if c.calculation == name and c.label != "computed"]


def test_the_evidence_page_is_up_to_date():
    assert PAGE.read_text("utf-8") == page(), "run: python tools/evidence.py"
