"""What is said of the heads of an exchanger that stands upright: its lower end comes off downwards and hangs on no hook."""

from __future__ import annotations

import pytest

from boxup.demo.fleet import files_of_the_demo
from boxup.exchanger.file import load
from boxup.job.lists import scope_of
from boxup.job.order import order

MOVED = ("SUPPORT_OFF", "BREAK", "CC_ON", "REAR_LMN")


def sentences(tag: str, code: str) -> list[str]:
    x = load(files_of_the_demo()[tag])
    return [p.what for p in order(scope_of(x)) if p.instance.step.code == code]


@pytest.mark.parametrize("code", MOVED)
def test_the_lower_end_is_held_from_below_and_nobody_is_under_it(code: str) -> None:
    x = load(files_of_the_demo()["31-E-305"])
    said = [p.what for p in order(scope_of(x)) if p.instance.step.code == code and p.instance.item and p.instance.item.id[0] != "N"]
    assert said
    assert all("held or jacked from below, nobody underneath" in s for s in said), said


def test_a_nozzle_of_an_upright_exchanger_and_a_lying_one_keep_their_words() -> None:
    assert "far-side bottom nuts" in sentences("31-E-305", "BREAK")[0]
    assert not any("jacked" in s for code in MOVED for s in sentences("14-E-101", code))
