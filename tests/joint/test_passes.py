"""The passes of a joint: all studs in every full pass, torque as it is set, time by the planning figure."""

from __future__ import annotations

import pytest

from boxup.core.quantity import quantity
from boxup.joint.passes import first_four, schedule

TORQUE = quantity("616 N.m", "N.m")


@pytest.mark.parametrize("tools", [1, 2, 4])
@pytest.mark.parametrize("studs", [4, 8, 10, 13, 24, 36, 64])
def test_every_stud_in_every_pass(studs, tools):
    passes = schedule(studs, TORQUE, tools=tools).passes
    everyone = list(range(1, studs + 1))
    assert sorted(passes[0].order + passes[1].order) == everyone
    assert all(sorted(p.order) == everyone for p in passes[2:])
    assert [p.fraction for p in passes] == [None, None, 0.3, 0.6, 1.0, 1.0, 1.0]
    assert passes[-1].order == passes[-2].order == tuple(everyone)
    assert [p.wait_hours for p in passes] == [0, 0, 0, 0, 0, 0, 4.0]


@pytest.mark.practice
def test_four_studs_first():
    assert first_four(36) == (1, 19, 10, 28)  # 1, 1 + n/2, 1 + n/4, 1 + 3n/4
    assert first_four(8) == (1, 5, 3, 7)
    assert set(first_four(10)) == {1, 6, 3, 9}
    assert first_four(3) == (1, 3, 2)
    assert first_four(2) == (1, 2)


def test_torque_is_rounded_as_it_is_set():
    assert [p.torque for p in schedule(36, TORQUE).passes[2:]] == [
        "185 N·m (135 lbf·ft)", "370 N·m (275 lbf·ft)", "615 N·m (455 lbf·ft)", "615 N·m (455 lbf·ft)", "615 N·m (455 lbf·ft)",
    ]  # fmt: skip


def test_no_torque_leaves_the_order():
    passes = schedule(36, None).passes
    assert {p.torque for p in passes} == {""}
    assert passes[2].order[:4] == (1, 19, 10, 28)


def test_gaps_are_read_until_the_joint_is_pulled_up():
    assert [bool(p.gaps) for p in schedule(36, TORQUE).passes] == [True] * 5 + [False] * 2


@pytest.mark.practice
@pytest.mark.parametrize(("studs", "one", "two"), [(24, 152, 86), (36, 229, 130), (64, 406, 230)])
def test_time_by_the_planning_figure(studs, one, two):
    """n (1.2/2 + 0.5/2) + n (1.3 x 3 + 0.8 x 2) / tools, in minutes, to the minute."""
    assert schedule(studs, None).minutes == pytest.approx(one, abs=0.6)
    assert schedule(studs, None, tools=2).minutes == pytest.approx(two, abs=0.6)


def test_the_time_says_it_is_common_practice():
    step = schedule(36, None).time.steps["t"]
    assert step.cite.source.label == "practice"


@pytest.mark.parametrize(("studs", "tools"), [(1, 1), (0, 1), (3, 4), (36, 3), (36, 0)])
def test_what_cannot_be_worked_is_refused(studs, tools):
    with pytest.raises(ValueError, match="accepted"):
        schedule(studs, TORQUE, tools=tools)
