"""Studs looked at: one grade a set, the listed one, lengths alike, those rejected changed, and whose metal is tested."""

from __future__ import annotations

import pytest

from boxup.core.quantity import quantity
from boxup.joint.stud_check import Seen, Wanted, against, asked_for, judge, reuse_rules, stamped

LIST = Wanted(count=36, grade="B7", length=quantity("235 mm", "mm"), service="cooling water", coldest=quantity("-10 degC", "degC"))


def seen(**more) -> Seen:
    return Seen(**{"looked_at": 36, "stamps": ("B7",)} | more)


def told(found) -> list[tuple[str, str]]:
    return [(f.level, f.text) for f in found]


@pytest.mark.practice
def test_a_set_as_listed_leaves_nothing_to_say():
    assert judge(seen(lengths=(235.0, 236.5)), LIST) == ()


@pytest.mark.practice
@pytest.mark.parametrize(
    ("what", "level", "words"),
    [
        ({"stamps": ("B7", "B16")}, "stop", "more than one grade"),
        ({"stamps": ("B16",)}, "stop", "stamped B16, the list says B7"),
        ({"stamps": ("XQ9",)}, "stop", "stamp 'XQ9' on the studs is in no table"),
        ({"stamps": ("none",)}, "stop", "in no table"),
        ({"lengths": (230.0, 235.0)}, "stop", "from 230 to 235 mm"),
        ({"lengths": (230.0, 231.0)}, "warn", "the list says 235 mm"),
        ({"was": "mixed"}, "warn", "new studs and used ones"),
        ({"rejected": (3, 17)}, "stop", "studs 3, 17 rejected: change them"),
        ({"rejected": (3,)}, "stop", "stud 3 rejected: change it"),
        ({"looked_at": 30}, "warn", "30 of 36"),
        ({"pmi": "does not agree"}, "stop", "not what their stamp says"),
    ],
)
def test_each_thing_that_is_wrong(what: dict, level: str, words: str):
    found = told(judge(seen(**what), LIST))
    assert [at for at, text in found if words in text] == [level]
    assert bool(against(judge(seen(**what), LIST))) == (level == "stop")


@pytest.mark.practice
def test_a_thread_more_or_less_is_no_other_length():
    assert judge(seen(lengths=(233.5, 236.5)), LIST) == ()
    assert [f.level for f in judge(seen(lengths=(233.4, 236.5)), LIST)] == ["stop"]


@pytest.mark.practice
def test_spellings_of_one_stamp_are_one_grade():
    """B8 is stamped on both its classes; what a person adds of the specification changes nothing."""
    assert stamped("SA-193 B7") == stamped("b7") == ("B7",)
    assert set(stamped("B8")) == {"B8-1", "B8-2"}
    assert judge(seen(stamps=("B8",)), Wanted(grade="B8-2")) == ()
    assert [f.level for f in judge(seen(stamps=("B8M",)), Wanted(grade="B8-2"))] == ["stop"]
    assert stamped("B7X") == ()


@pytest.mark.practice
@pytest.mark.parametrize(
    ("service", "coldest", "asked"),
    [
        ("splitter feed, naphtha; H2S possible", "-10 degC", True),
        ("reactor effluent, hydrogen", "-10 degC", True),
        ("sour water", "-10 degC", True),
        ("cooling water", "-46 degC", True),
        ("cooling water", "-29 degC", False),
        ("cooling water", "-10 degC", False),
    ],
)
def test_the_metal_is_asked_for_where_h2s_hydrogen_or_cold_may_be(service: str, coldest: str, asked: bool):
    wanted = Wanted(grade="L7", service=service, coldest=quantity(coldest, "degC"))
    assert bool(asked_for(wanted)) == asked
    found = judge(seen(stamps=("L7",)), wanted)
    assert [f.level for f in found] == (["warn"] if asked else [])
    assert judge(seen(stamps=("L7",), pmi="agrees"), wanted) == ()
    assert len(judge(seen(stamps=("L7",), pmi="not done"), wanted)) == asked


def test_with_no_grade_listed_nothing_is_compared():
    assert judge(seen(stamps=("B16",)), Wanted(service="H2S possible")) == ()


def test_every_rule_of_reuse_says_do_not_or_ask():
    rules = reuse_rules()
    assert len(rules) >= 10
    assert all(row.text("say").startswith(("do not reuse", "ask the engineer")) for row in rules.values())
