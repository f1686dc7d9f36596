"""Every stud once; the opposite one next; quarters next; the lists people know come out of the rule."""

from __future__ import annotations

import itertools

import pytest

from boxup.core.calculation import BadInput
from boxup.joint.crossover import by_rule, crossover, farthest_first, tightening_order, working_groups
from boxup.reference.load import table

LISTED = {int(r.key): [int(s) for s in r.text("order").split()] for r in table("crossover_orders").values()}
COUNTS = range(2, 129)


def ask(bolts, tools="1"):
    return crossover.run(crossover.parse({"bolts": str(bolts), "tools": tools})).lists


@pytest.mark.memory
@pytest.mark.parametrize("studs", LISTED)
def test_the_lists_people_know(studs):
    assert ask(studs)["order"][0] == LISTED[studs]


@pytest.mark.computed
@pytest.mark.parametrize("studs", sorted(set(LISTED) - {28}))
def test_the_rule_gives_the_known_lists(studs):
    assert by_rule(studs) == LISTED[studs]


@pytest.mark.computed
def test_for_28_the_rule_swaps_the_last_two_quarters_only():
    assert by_rule(28)[:20] == LISTED[28][:20]
    assert by_rule(28)[20:24] == LISTED[28][24:]
    assert by_rule(28)[24:] == LISTED[28][20:24]


@pytest.mark.parametrize("studs", COUNTS)
def test_every_stud_once(studs):
    assert sorted(tightening_order(studs)) == list(range(1, studs + 1))
    assert tightening_order(studs)[0] == 1


@pytest.mark.parametrize("studs", [n for n in COUNTS if n % 2 == 0])
def test_the_opposite_stud_follows_at_once(studs):
    order = tightening_order(studs)
    assert all(abs(a - b) == studs // 2 for a, b in zip(order[::2], order[1::2], strict=True))


@pytest.mark.parametrize("studs", [n for n in COUNTS if n % 4 == 0])
def test_each_four_stand_a_quarter_apart_and_touch_every_quadrant(studs):
    order = tightening_order(studs)
    for i in range(0, studs, 4):
        four = sorted(order[i : i + 4])
        assert {b - a for a, b in itertools.pairwise(four)} == {studs // 4}


@pytest.mark.parametrize("places", range(2, 60))
def test_each_next_place_is_as_far_as_can_be_from_all_used(places):
    order = farthest_first(places)

    def near(p, used):
        return min(min((p - u) % places, (u - p) % places) for u in used)

    for i in range(1, places):
        used = order[:i]
        assert near(order[i], used) == max(near(p, used) for p in range(places) if p not in used)


@pytest.mark.parametrize("tools", [1, 2, 4])
@pytest.mark.parametrize("studs", [n for n in COUNTS if n >= 4])
def test_groups_hold_every_stud_once_and_are_full(studs, tools):
    groups = working_groups(studs, tools)
    assert sorted(s for g in groups for s in g) == list(range(1, studs + 1))
    assert all(len(g) == tools for g in groups[:-1])
    assert 1 <= len(groups[-1]) <= tools


@pytest.mark.parametrize("studs", [n for n in COUNTS if n % 4 == 0])
def test_where_the_count_divides_the_groups_are_the_order_cut_up(studs):
    order = tightening_order(studs)
    for tools in (1, 2, 4):
        assert working_groups(studs, tools) == [order[i : i + tools] for i in range(0, studs, tools)]


@pytest.mark.parametrize("studs", [10, 14, 18, 22, 9, 13])
def test_tools_stand_as_evenly_as_the_count_allows(studs):
    for group in working_groups(studs, 2)[:-1]:
        apart = abs(group[0] - group[1])
        assert min(apart, studs - apart) >= studs // 2 - 1


def test_a_count_that_does_not_divide_is_said():
    answer = crossover.run(crossover.parse({"bolts": "10", "tools": "4"}))
    assert [f.level for f in answer.findings] == ["note", "warn"]


@pytest.mark.parametrize("bolts", ["0", "1", "-4", "2.5", "1001", "1e9", "36 mm", "many", ""])
def test_counts_that_are_refused(bolts):
    with pytest.raises(BadInput, match="bolts"):
        ask(bolts)


@pytest.mark.parametrize("tools", ["0", "3", "8", "two"])
def test_tools_that_are_refused(tools):
    with pytest.raises(BadInput, match="tools"):
        ask("36", tools)


def test_more_tools_than_studs_is_refused():
    with pytest.raises(BadInput, match="no more tools than studs"):
        ask("3", "4")


def test_the_largest_count_still_has_every_stud_once():
    assert sorted(ask("999", "4")["order"][0]) == list(range(1, 1000))
