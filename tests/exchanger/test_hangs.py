"""Where a head or cover has its centre of gravity: a flat one by its shape, the others after the trial lift."""

from __future__ import annotations

import pytest
from tests.made_up import made_up, mm

from boxup.exchanger.hangs import TRIAL, hangs
from boxup.exchanger.model import Head


def test_a_flat_round_cover_by_symmetry():
    x = made_up("AES", channel_cover=Head(thickness=mm("90")))
    assert hangs(x, "channel_cover").place.si == pytest.approx(0.045)
    assert "45 mm" in hangs(x, "channel_cover").words
    assert hangs(made_up("AEL", rear_cover=Head(thickness=mm("60"))), "rear_cover").place.si == pytest.approx(0.030)


@pytest.mark.parametrize(("type_", "part", "said"), [
    ("AES", "channel", "heavier nozzle"), ("BEM", "channel", "nearer its flange"), ("AES", "floating_head", "nearer its flange"),
    ("AES", "shell_cover", "nearer its flange"), ("AEL", "rear_head", "heavier nozzle"), ("AES", "channel_cover", "on its axis"),
])  # fmt: skip
def test_the_others_are_not_known_before_the_trial_lift(type_, part, said):
    found = hangs(made_up(type_), part)
    assert found.place is None
    assert said in found.words
    assert TRIAL in found.words


def test_a_closure_is_its_makers():
    assert "maker" in hangs(made_up("DEU", channel_cover=Head(thickness=mm("200"))), "channel_cover").words
