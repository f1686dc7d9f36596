"""The picture that a step leaves behind, from the demo floating head (invented)."""

import itertools
from dataclasses import replace
from importlib import resources
from pathlib import Path

import pytest

from boxup.exchanger.file import load
from boxup.job.lists import scope_of
from boxup.job.order import order
from boxup.job.picture import changes

TUBE, SHELL = {"V1", "V3", "V4", "D3"}, {"V2", "D1", "D2"}  # vents and drains of 14-E-103, by side
PROCESS = {"B1", "B2", "B3", "B4"}


@pytest.fixture(scope="module")
def shown():
    exchanger = load(Path(str(resources.files("boxup.demo") / "data" / "14-E-103.toml")))
    scope = scope_of(exchanger)
    return list(changes(exchanger, scope.flags, [one.instance for one in order(scope)]))


def after(shown, code):
    return next(one for one in shown if code in one.codes).after


@pytest.mark.practice
@pytest.mark.parametrize(
    ("code", "opened"),
    [
        ("SB_OUT:V1", TUBE | SHELL),
        ("PULL", TUBE | SHELL),
        ("SB_S:V2", TUBE | {"D2"}),  # the cover with D2 in it lies on the slab
        ("STEST1:S1", TUBE | {"D2"}),
        ("STEST1_DRAIN:S1", TUBE | SHELL),
        ("SB_T:V1", SHELL),
        ("TTEST:T", SHELL),
        ("TTEST_DRAIN:T", TUBE | SHELL),
        ("SB_S2:D2", TUBE | {"V2", "D1"}),
        ("STEST2:S2", TUBE),
        ("DRAINDRY:shell", TUBE | SHELL),
        ("SB_IN:V1", set()),
    ],
)
def test_what_stands_open(shown, code, opened):
    """Vents and drains stand open from the strip to the test that needs them shut, and from draining until they are back for service."""
    assert after(shown, code).open == opened


@pytest.mark.practice
@pytest.mark.parametrize(
    ("code", "blinds"),
    [
        ("BLIND_IN:B1", PROCESS),
        ("BREAK:J2", PROCESS),  # the channel is off; its blinds hang in their lines
        ("PULL", PROCESS),
        ("TBLIND_S:TB1", PROCESS | {"TB1", "TB2"}),
        ("STEST1:S1", PROCESS | {"TB1", "TB2"}),
        ("FH_ON:J4", PROCESS | {"TB1", "TB2"}),
        ("TBLIND_T:TB3", PROCESS | {"TB1", "TB2", "TB3", "TB4"}),
        ("TBLIND_OUT:TB1", PROCESS),
        ("BLIND_OUT:B1", set()),
    ],
)
def test_which_blinds_are_in(shown, code, blinds):
    assert after(shown, code).blinds == blinds


def test_each_part_comes_off_in_its_turn(shown):
    off = [(one.codes[0], sorted(one.after.off - one.before.off)) for one in shown if one.step == "BREAK"]
    assert off == [
        ("BREAK:J1", ["channel cover"]),
        ("BREAK:J2", ["channel"]),
        ("BREAK:J5", ["shell cover"]),
        ("BREAK:J4", ["floating head", "split ring"]),
    ]
    assert [one.mover for one in shown if one.step == "BREAK"] == ["channel cover", "channel", "shell cover", ""]


def test_nothing_is_left_behind(shown):
    last = shown[-1].after
    assert (last.off, last.rings, last.blinds, last.open, last.pressed) == (frozenset(), frozenset(), frozenset(), frozenset(), "")


def test_a_picture_follows_from_the_one_before(shown):
    assert all(one.after == other.before for one, other in itertools.pairwise(shown))


@pytest.mark.practice
def test_rear_channel_and_its_cover_come_off_each_at_its_own_joint():
    """An L rear: J3 holds the channel to the tubesheet, J4 the cover to the channel."""
    exchanger = load(Path(str(resources.files("boxup.demo") / "data" / "31-E-305.toml")))
    both = replace(exchanger, options={**exchanger.options, "rear_chan_off": True})
    scope = scope_of(both)
    steps = list(changes(both, scope.flags, [one.instance for one in order(scope)]))
    off = {one.codes: (set(one.after.off - one.before.off), one.mover) for one in steps if one.step == "BREAK"}
    assert list(off).index(("BREAK:J4",)) < list(off).index(("BREAK:J3",)), "the cover first"
    assert off["BREAK:J3",] == ({"rear channel"}, "rear channel")
    assert off["BREAK:J4",] == ({"rear cover"}, "rear cover")
    on = next(one for one in steps if one.step == "REAR_LMN")
    assert on.before.off - on.after.off == {"rear channel", "rear cover"}


@pytest.mark.practice
def test_rear_channel_stays_on_when_only_its_cover_is_asked_for():
    exchanger = load(Path(str(resources.files("boxup.demo") / "data" / "31-E-305.toml")))
    scope = scope_of(exchanger)
    steps = list(changes(exchanger, scope.flags, [one.instance for one in order(scope)]))
    assert {part for one in steps for part in one.after.off} == {"channel cover", "rear cover"}
