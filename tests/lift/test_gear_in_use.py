"""Gear in a use for which nothing is printed, or which nobody told: no capacity, no share, and never a traceback."""

from __future__ import annotations

import pytest

from boxup.demo.fleet import files_of_the_demo
from boxup.exchanger.check import check_text

DEMO = files_of_the_demo()["14-E-101"].read_text("utf-8")


def with_gear(text: str) -> str:
    """The demo file with the keys of SL1 replaced."""
    before, rest = DEMO.split("[gear.SL1]")
    return f"{before}[gear.SL1]\n{text}\n\n[gear.SL2]{rest.split('[gear.SL2]')[1]}"


def test_legs_at_no_angle_are_refused_at_their_line():
    text = with_gear('kind = "sling"\nuse = "covers"\nlegs = 2\nleg_angle = "0 deg"')
    [problem] = check_text(text, "x.toml").errors
    assert text.splitlines()[problem.line - 1].startswith("leg_angle")
    assert "more than 0" in problem.text
    assert not check_text(text.replace('leg_angle = "0 deg"', 'leg_angle = "29 deg"'), "x.toml").errors  # told as a stop of the lift
