"""A torque typed for a pass beside the torque of the card: slips are told, a wrench's own steps are not."""

from __future__ import annotations

import pytest

from boxup.job.set_torque import off_the_card


@pytest.mark.practice
@pytest.mark.parametrize(
    ("name", "torque"),
    [
        ("all snug", 80),
        ("pass 1", 120),
        ("pass 1", 150),
        ("pass 2", 205),
        ("pass 2", 288),
        ("pass 3", 411),
        ("verify", 410),
        ("round", 400),
    ],
)
def test_what_a_crew_sets_is_taken(name: str, torque: float) -> None:
    """20 to 30 % first, 50 to 70 % next, then all of it; a wrench whose least is 150 N·m does its first pass with that."""
    assert off_the_card("J4", name, torque, 410) is None


@pytest.mark.practice
@pytest.mark.parametrize(
    ("name", "torque", "word"),
    [
        ("pass 2", 2450, "598%"),  # a nought too many
        ("pass 3", 556, "is the unit lbf·ft, and the figure one of N·m"),  # 410 lbf·ft are 556 N·m
        ("pass 3", 302, "is the unit N·m, and the figure one of lbf·ft"),  # 302 lbf·ft are 410 N·m
        ("pass 3", 165, "40%"),
        ("pass 1", 410, "100%"),
        ("four snug", 410, "at most"),
        ("round", 440, "107%"),
    ],
)
def test_a_slip_is_told(name: str, torque: float, word: str) -> None:
    found = off_the_card("J4", name, torque, 410)
    assert found is not None
    assert found.level == "stop"
    assert word in found.text


def test_without_a_torque_on_the_card_nothing_is_said() -> None:
    assert off_the_card("J4", "pass 1", 9999, None) is None
