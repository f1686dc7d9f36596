"""Orders argued from the trade: the rules give the verdict that was argued, and a rule that is taken away is missed by some order.

`wrong_orders.json` and `order_tests.toml` hold the orders with their arguments. `not_yet_witnessed.txt` lists the rules that no order
would miss: nobody has argued for them from outside yet. Written again by BOXUP_WRITE_WITNESSES=1 pytest tests/job.
"""

import json
import os
import tomllib
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest

from boxup.job.may import may
from boxup.job.order import all_needs
from boxup.job.rules import rules
from boxup.job.scope import Scope, scope_of_letters, scope_of_lists

HERE = Path(__file__).parent
LISTED = tomllib.loads((HERE / "listed.toml").read_text(encoding="utf-8"))
UNWITNESSED = HERE / "not_yet_witnessed.txt"


class Claim(NamedTuple):
    exchanger: str
    first: str
    second: str
    refused: bool
    label: str
    why: str
    lists: str = ""

    @property
    def name(self):
        where = " ".join(filter(None, (self.exchanger.replace(" ", "+"), self.lists)))
        return f"{where}: {self.first} {'not before' if self.refused else 'need not wait for'} {self.second}"


@cache
def claims():
    """Every claim of both files, one for each exchanger and pair."""
    old = json.loads((HERE / "wrong_orders.json").read_text(encoding="utf-8"))
    found = [Claim(one["letters"], one["first"], one["second"], one["refused"], old["label"], one["why"]) for one in old["orders"]]
    new = tomllib.loads((HERE / "order_tests.toml").read_text(encoding="utf-8"))
    for verdict in ("refused", "allowed"):
        for one in new[verdict]:
            found += [
                Claim(exchanger, first, second, verdict == "refused", one["label"], one["why"], one.get("lists", ""))
                for exchanger in one["exchangers"]
                for first in one["first"]
                for second in one["second"]
            ]
    return tuple(found)


@cache
def scope_of(exchanger: str, name: str = "") -> Scope:
    letters, _, options = exchanger.partition(" ")
    if not name:
        return scope_of_letters(letters, options)
    lists = dict(LISTED[name])
    assert lists.pop("letters") == letters
    return scope_of_lists(letters, options, lists)


def with_labels(chosen):
    return [pytest.param(one, id=one.name, marks=getattr(pytest.mark, one.label)) for one in chosen]


def refused_by_name(claim, table=None):
    """With all else ticked, may the first step not start, and is the second named as what is missing?"""
    scope = scope_of(claim.exchanger, claim.lists)
    done = [code for code in scope.instances if code not in (claim.first, claim.second)]
    answer = may(scope, done, claim.first, table)
    return not answer.may and claim.second in [one.need.step for one in answer.missing]


@pytest.mark.parametrize("claim", with_labels(one for one in claims() if one.refused))
def test_refused_until_the_second_is_done(claim):
    scope = scope_of(claim.exchanger, claim.lists)
    assert refused_by_name(claim), claim.why
    assert may(scope, [code for code in scope.instances if code != claim.first], claim.first).may, "refused although all else is done"
    assert claim.first not in all_needs(scope, claim.second), "each waits for the other"


@pytest.mark.parametrize("claim", with_labels(one for one in claims() if not one.refused))
def test_allowed_without_the_second(claim):
    scope = scope_of(claim.exchanger, claim.lists)
    before = all_needs(scope, claim.first)
    assert claim.second not in before, claim.why
    assert may(scope, before, claim.first).may


def test_no_claim_stands_twice_with_two_verdicts():
    verdicts = {}
    for one in claims():
        assert verdicts.setdefault((one.exchanger, one.lists, one.first, one.second), one.refused) is one.refused, one.name
        assert len(one.why) > 10, f"{one.name}: an order without its argument is no evidence"


def test_rules_not_yet_witnessed_are_the_ones_listed():
    """A rule is witnessed when taking it away turns the verdict of at least one argued order; the others are listed, openly."""
    arguments = {}
    for one in claims():
        if one.refused:
            arguments.setdefault(one.first.partition(":")[0], []).append(one)
    alone = {}  # a need of `first` comes only from rules whose `after` is `first`, so only those claims can turn
    for rule in rules():
        table = [other for other in rules() if other is not rule and other.after == rule.after]
        alone[rule.name] = not any(not refused_by_name(one, table) for one in arguments.get(rule.after, ()))
    unwitnessed = sorted(name for name, lonely in alone.items() if lonely)
    if os.environ.get("BOXUP_WRITE_WITNESSES"):
        UNWITNESSED.write_text(_head(len(unwitnessed), len(alone)) + "".join(f"{name}\n" for name in unwitnessed), encoding="utf-8")
    listed = [line for line in UNWITNESSED.read_text(encoding="utf-8").splitlines() if line and not line.startswith("#")]
    assert unwitnessed == listed, "rules are witnessed that are listed as not, or the other way round; see the top of this file"


def test_every_hold_point_and_safety_rule_is_witnessed():
    listed = set(UNWITNESSED.read_text(encoding="utf-8").splitlines())
    assert not [rule.name for rule in rules() if (rule.hold or rule.kind == "safety") and rule.name in listed]


def _head(count, total):
    return (
        f"# {count} of {total} rules (before>after) that no argued order would miss yet; see test_orders_from_the_trade.py.\n"
        "# They stand on common practice alone: argue an order for one and it leaves this list.\n"
    )
