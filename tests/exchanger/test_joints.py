"""The joints of a type, as the drawings of its letters show them."""

from __future__ import annotations

import pytest

from boxup.exchanger.joints import group_of, has_shell_cover, joints_of
from boxup.exchanger.letters import FRONTS, REARS, SHELLS, BadLetters, letters

# Common practice: what a mechanic counts on each type, front to rear: kind, side held in, end whose ribs the gasket has.
COUNTED = {
    "AES": "channel cover/tube/front channel/tubesheet/tube/front tubesheet/shell/shell/- floating head/tube/rear shell cover/shell/-",
    "AET": "channel cover/tube/front channel/tubesheet/tube/front tubesheet/shell/shell/- floating head/tube/rear shell cover/shell/-",
    "AEU": "channel cover/tube/front channel/tubesheet/tube/front tubesheet/shell/shell/-",
    "BEU": "channel/tubesheet/tube/front tubesheet/shell/shell/-",
    "BEM": "channel/tubesheet/tube/front rear head/tube/rear",
    "AEM": "channel cover/tube/front channel/tubesheet/tube/front rear head/tube/rear",
    "AEL": "channel cover/tube/front channel/tubesheet/tube/front rear head/tube/rear rear cover/tube/rear",
    "NEN": "channel cover/tube/front rear cover/tube/rear",
    "CFU": "channel cover/tube/front tubesheet/shell/shell/-",
    "AEP": "channel cover/tube/front channel/tubesheet/tube/front tubesheet/shell/shell/- rear head/tube/rear stuffing box/shell/-",
    "BEW": "channel/tubesheet/tube/front tubesheet/shell/shell/- shell packing/shell/- channel packing/tube/-",
    "AKT": "channel cover/tube/front channel/tubesheet/tube/front tubesheet/shell/shell/- floating head/tube/rear",
    "DEU": "special closure/tube/- tubesheet/shell/shell/-",
}


@pytest.mark.practice
@pytest.mark.parametrize("type_", COUNTED)
def test_joints_are_those_counted_on_the_drawing(type_: str) -> None:
    got = " ".join(f"{j.kind}/{'+'.join(j.sides)}/{j.ribs_end or '-'}" for j in joints_of(letters(type_)))
    assert got == COUNTED[type_]


def test_numbers_run_from_the_front_to_the_rear() -> None:
    assert [j.id for j in joints_of(letters("AES"))] == ["J1", "J2", "J3", "J4", "J5"]
    assert [j.between for j in joints_of(letters("BEU"))] == ["bonnet to tubesheet", "tubesheet to shell"]
    assert joints_of(letters("AKU"))[2].between == "tubesheet to kettle flange"


@pytest.mark.practice
def test_only_u_and_t_have_a_choice_of_shell_cover() -> None:
    assert has_shell_cover(letters("AES"), {"sc": False}), "S cannot be put together without one"
    assert has_shell_cover(letters("AET"))
    assert not has_shell_cover(letters("AKT"))
    assert has_shell_cover(letters("AKT"), {"sc": True})
    assert not has_shell_cover(letters("BEU"))
    assert has_shell_cover(letters("BEU"), {"sc": True})
    assert not has_shell_cover(letters("BEM"), {"sc": True})


def test_one_set_of_studs_has_one_group() -> None:
    assert group_of("channel/tubesheet") == group_of("tubesheet/shell") == "channel/shell joint"
    assert group_of("shell packing") == group_of("channel packing")
    assert group_of("floating head") == "floating head"


def test_every_type_there_is_has_joints_and_each_joint_once() -> None:
    seen = 0
    for type_ in (f + s + r for f in FRONTS for s in SHELLS for r in REARS):
        try:
            called = joints_of(letters(type_))
        except BadLetters:
            continue
        seen += 1
        assert called
        assert len({j.kind for j in called}) == len(called), type_
        assert sum(j.kind == "tubesheet/shell" for j in called) == (not letters(type_).fixed), type_
    assert seen == 5 * 7 * 8 - 7 * 5, "an N front leaves out five rears"
