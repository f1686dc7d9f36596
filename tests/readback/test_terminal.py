"""What `boxup calc` prints, read back: every formula of every calculation, on the inputs of the outside checks."""

from __future__ import annotations

from functools import cache

import pytest
from tests.readback.layout import Seen, terminal
from tests.readback.reader import check_numbers, check_result, reasons

from boxup.core.calculation import Answer
from boxup.core.printing import working_text
from boxup.core.working import Computed
from boxup.job.calculations import HOMES, find
from evidence import FOLDER, checks

# Calculations that no outside check reaches yet, with sensible inputs: enough to read their print, no evidence for their values.
OWN = {"blank": [{"diameter": "273 mm", "pressure": "3.13 MPa", "stress": "138 MPa", "corrosion": "1.5 mm"}]}


@cache
def answers(name: str) -> tuple[Answer, ...]:
    """The calculation worked once for each set of inputs that an outside check gives it."""
    calculation = find(name)
    given = {tuple(sorted(c.inputs.items())) for c in checks() if c.calculation == name}
    typed = OWN.get(name, []) + [{k: str(FOLDER / v) if k == "file" else v for k, v in keys} for keys in sorted(given)]
    return tuple(calculation.run(calculation.parse(keys)) for keys in typed)


def read(answer: Answer) -> Seen:
    return terminal(working_text(answer.working))


@pytest.mark.parametrize("name", HOMES)
def test_every_formula_is_read_and_its_middle_line_gives_its_result(name: str):
    assert answers(name)
    for answer in answers(name):
        seen = read(answer)
        steps = [s for _, s in answer.working.all_steps()]
        assert len(seen.formulas) == sum(isinstance(s.origin, Computed) for s in steps)
        assert len(seen.formulas) + seen.given == len(steps)
        for formula, known in seen.formulas:
            check_result(formula)
            check_numbers(formula, known)


@pytest.mark.parametrize("name", HOMES)
def test_every_reason_for_a_branch_is_true(name: str):
    false = set()
    for answer in answers(name):
        for formula, known in read(answer).formulas:
            found = reasons(formula.said.partition("because ")[2], known)
            assert bool(found) == ("because" in formula.said)
            false |= {r.text for r in found if not r.true}
    assert false == set()
