"""Which time round comes next, told joint by joint in plain events of a crew; the expected answers are what a foreman would say."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from boxup.job.state import JointState, Round
from boxup.job.turn import last_in_order, next_turn, order_of, wait_ends

EIGHT = (1, 5, 3, 7, 2, 6, 4, 8)  # the order across of eight studs, as any card has it
START = datetime(2027, 4, 12, 8, 0, tzinfo=UTC)
NAMES = ("four snug", "all snug", "pass 1", "pass 2", "pass 3", "round")


def joint(*names: str, studs: int = 8) -> JointState:
    """A joint of eight studs on which these times round are whole, half an hour each."""
    made = JointState("J4", "floating head", ("tube",), ("J4",), studs, word="in")
    for n, name in enumerate(names):
        began = START + timedelta(minutes=30 * n)
        whole = {1, 5, 3, 7} if name == "four snug" else set(range(1, studs + 1))
        made.rounds[name] = Round(name, whole, by="A", hands={"A"}, began=began, ended=began + timedelta(minutes=20))
    return made


@pytest.mark.parametrize(("done", "wanted"), [(n, NAMES[n]) for n in range(len(NAMES))])
def test_one_after_the_other(done: int, wanted: str) -> None:
    turn = next_turn(joint(*NAMES[:done]))
    assert turn is not None
    assert (turn.name, turn.because, turn.broken_off) == (wanted, "", False)


def test_the_order_across_of_eight_studs() -> None:
    assert order_of("pass 1", 8) == EIGHT
    assert order_of("round", 8) == (1, 2, 3, 4, 5, 6, 7, 8)
    assert set(order_of("four snug", 8)) == {1, 3, 5, 7}


def test_broken_off_it_goes_on_where_it_stopped() -> None:
    one = joint(*NAMES[:4])
    one.rounds["pass 2"].studs = {1, 5, 3}
    turn = next_turn(one)
    assert turn is not None
    assert (turn.name, turn.left, turn.broken_off) == ("pass 2", (7, 2, 6, 4, 8), True)


def test_a_bad_tool_means_the_pass_again_and_all_after_it() -> None:
    one = joint(*NAMES)
    one.rounds["pass 2"].faults = ["W3 was 3 days out of calibration"]
    turn = next_turn(one)
    assert turn is not None
    assert (turn.name, turn.left, turn.because) == ("pass 2", EIGHT, "W3 was 3 days out of calibration")
    later = one.rounds["round"].ended
    assert later is not None
    one.rounds["pass 2"].faults, one.rounds["pass 2"].ended = [], later + timedelta(hours=1)
    after = next_turn(one)
    assert after is not None
    assert (after.name, after.because) == ("pass 3", "it was made before pass 2")


def test_dry_studs_alone_are_pulled_again() -> None:
    one = joint(*NAMES[:5])
    one.rounds["pass 3"].dry = {4, 2}
    turn = next_turn(one)
    assert turn is not None
    assert (turn.name, turn.left) == ("pass 3", (2, 4))


def test_the_wait_is_four_hours_from_the_end_of_the_round() -> None:
    one = joint(*NAMES)
    assert wait_ends(one) == datetime(2027, 4, 12, 14, 50, tzinfo=UTC)  # the round ended 10:50
    assert wait_ends(joint(*NAMES[:5])) is None


@pytest.mark.parametrize(("minutes", "good"), [(239, False), (240, True)])
def test_a_round_too_early_after_the_wait_is_made_again(minutes: int, good: bool) -> None:
    one = joint(*NAMES)
    began = datetime(2027, 4, 12, 10, 50, tzinfo=UTC) + timedelta(minutes=minutes)
    one.rounds["round after the wait"] = Round("round after the wait", set(range(1, 9)), began=began, ended=began + timedelta(minutes=10))
    turn = next_turn(one)
    assert turn is not None
    assert turn.name == ("verify" if good else "round after the wait")
    assert bool(turn.because) is not good


def test_after_a_weep_one_corrective_pass_for_a_joint_that_was_pulled_up() -> None:
    one = joint(*NAMES)
    began = datetime(2027, 4, 12, 15, 0, tzinfo=UTC)
    one.rounds["round after the wait"] = Round("round after the wait", set(range(1, 9)), hands={"A"}, began=began, ended=began)
    one.rounds["verify"] = Round("verify", set(range(1, 9)), by="B", began=began, ended=began + timedelta(minutes=5))
    assert next_turn(one) is None
    one.weeping, one.weeps = True, 1
    turn = next_turn(one)
    assert turn is not None
    assert turn.name == "corrective"
    one.weeps = 2
    assert next_turn(one) is None


def test_no_corrective_pass_on_a_joint_that_was_never_pulled_up() -> None:
    one = joint(*NAMES[:5])
    one.weeping, one.weeps = True, 1
    assert next_turn(one) is None


@pytest.mark.parametrize(
    ("name", "said", "stopped"),
    [
        ("pass 2", (1, 5, 3), 3), ("pass 2", (7, 2), 2), ("pass 2", (1, 2, 3), 0), ("pass 2", EIGHT, 0), ("round", (1, 2, 3), 3),
        ("pass 2", (), 0), ("pass 2", (9,), 0),
    ],
)  # fmt: skip
def test_where_a_time_round_stopped(name: str, said: tuple[int, ...], stopped: int) -> None:
    assert last_in_order(name, said, 8) == stopped


def test_studs_that_are_not_counted() -> None:
    turn = next_turn(joint("four snug", studs=0))
    assert turn is not None
    assert (turn.name, turn.left) == ("all snug", ())
