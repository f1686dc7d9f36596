"""What comes off by `effects.csv` is a part of the drawing, and every step that changes the picture is seen to change it."""

from __future__ import annotations

from functools import cache

import pytest
from tests.made_up import made_up

from boxup.drawing.assembly import Assembly
from boxup.drawing.section import pair
from boxup.drawing.view import PARTS, RINGS, SectionView
from boxup.exchanger.letters import FRONTS, REARS
from boxup.job.lists import scope_of
from boxup.job.order import order
from boxup.job.picture import Change, Picture, changes, effects

TYPES = [f + "E" + r for f in FRONTS for r in REARS if f != "N" or r in "LMN"] + ["AKT", "AKU", "BKM", "CKP"]
SEEN = ["AE" + r for r in REARS] + ["BEP", "CEU", "DEU", "NEN", "AKT", "AKU", "CKP"]  # every letter that has a step of its own

# The trade: what lies on the slab when everything that is opened is open.
OFF = {
    "AEL": {"channel cover", "rear cover"},
    "AEL rear_chan_off": {"channel cover", "rear channel", "rear cover"},
    "NEN": {"channel cover", "rear cover"},
    "CEM": {"channel cover", "rear bonnet"},
    "CEU": {"channel cover", "bundle"},
    "DEU": {"closure", "bundle"},
    "BEP": {"bonnet", "bundle", "rear cover", "shear ring", "backing flange", "gland"},
    "AEW": {"channel cover", "channel", "bundle", "rear bonnet", "lantern ring"},
    "AET": {"channel cover", "channel", "bundle", "shell cover", "floating head"},
    "AKT": {"channel cover", "channel", "bundle", "floating head"},
}


@cache
def steps(type_: str) -> tuple[Change, ...]:
    """Of a type, with options after blanks."""
    letters, *options = type_.split()
    exchanger = made_up(letters, options=dict.fromkeys(options, True)) if options else made_up(letters)
    scope = scope_of(exchanger)
    return tuple(changes(exchanger, scope.flags, [one.instance for one in order(scope)]))


def view(p: Picture) -> SectionView:
    return SectionView(
        off=p.off, rings=p.rings, gaskets=p.gaskets, blinds=p.blinds, open=p.open, pressed=p.pressed, balloons=False, width=430
    )


def test_every_word_of_the_table_is_a_part() -> None:
    assert {e.what for e in effects() if e.does in ("off", "on")} == set(PARTS) - set(RINGS)
    assert {e.what for e in effects() if e.does.startswith("ring")} == set(RINGS)


@pytest.mark.practice
@pytest.mark.parametrize("type_", OFF)
def test_what_comes_off(type_: str) -> None:
    assert set().union(*(c.after.off for c in steps(type_))) == OFF[type_]


def test_what_is_off_is_drawn_and_all_of_it_goes_on_again() -> None:
    for type_ in TYPES:
        has = {p.name for end in Assembly(made_up(type_), SectionView()).ends for p in end.parts}
        for change in steps(type_):
            assert change.after.off | change.after.rings <= has, (type_, change.codes)
        assert not steps(type_)[-1].after.off | steps(type_)[-1].after.rings, type_


def test_before_and_after_are_seen_to_differ() -> None:
    seen = 0
    for type_ in SEEN:
        for change in steps(type_):
            first, second = pair(made_up(type_), view(change.before), view(change.after))
            assert first != second, (type_, change.codes)
            seen += 1
    assert seen > 250


@pytest.mark.practice
@pytest.mark.parametrize(("type_", "order_"), [
    ("BEP", ["P_GLAND", "P_SHEAR", "P_COVER:J3"]), ("AEW", ["W_LANTERN", "W_REAR:J4"]), ("AEL", ["REAR_LMN:J4"]),
    ("AEL rear_chan_off", ["REAR_LMN:J3"]), ("DEU", ["MAKER_D:J1"]),
])  # fmt: skip
def test_the_rear_goes_together_in_this_order(type_: str, order_: list[str]) -> None:
    wanted = {code.partition(":")[0] for code in order_}
    assert [c.codes[0] for c in steps(type_) if c.step in wanted] == order_


@pytest.mark.practice
def test_a_pull_through_head_behind_a_closed_end_is_put_on_outside() -> None:
    """It cannot be drawn inside a shell that nobody can open there: the drawing says in words how it lies on the ground."""
    on = next(c for c in steps("AKT") if c.step == "FH_ON_T")
    first, second = pair(made_up("AKT"), view(on.before), view(on.after))
    assert "its floating head off it" in first
    assert "its floating head bolted to it" in second
    assert 'data-part="floating head"' not in first + second
