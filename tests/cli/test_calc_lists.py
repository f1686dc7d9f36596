"""Answers that are not one number, as `boxup calc` prints them."""

from __future__ import annotations

import pytest

from boxup.cli.calc import _listed


@pytest.mark.parametrize(("value", "said"), [
    ([1, 7, 4, 10], "1-7-4-10"),
    (["hold on", "look again"], "hold on; look again"),
    ({"fit": 0.834160287230669, "rise": 0.25}, "fit 0.8342, rise 0.25"),
    ([[1, 2], [3, 4]], "1-2; 3-4"),
    (True, "yes"),
    ("cannot judge", "cannot judge"),
    ([], ""),
])  # fmt: skip
def test_a_person_reads_no_brackets(value: object, said: str) -> None:
    assert _listed(value) == said
