"""A reading against the place where it was taken: stop there, quarter-rise, hook range; by hand."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from boxup.core.quantity import quantity
from boxup.exchanger.file import load
from boxup.job.on_its_way import not_read, pulls_of
from boxup.lift.reading import judged

DEMO = Path(__file__).parents[2] / "src" / "boxup" / "demo" / "data"


@cache
def bundle(tag="14-E-103"):
    return load(DEMO / f"{tag}.toml")


def found(way, metres, kn, before=(), hook=None, x=None):
    pulls = pulls_of(x or bundle(), way)
    return list(judged(pulls, metres, kn * 1e3, [b * 1e3 for b in before], None if hook is None else hook * 1e3))


@pytest.mark.computed
def test_the_stop_of_the_place_and_never_that_of_the_whole_way():
    """2 m in 24.62 kN rest in the shell: 0.5 x 24.62 x 1.25 = 15.4 kN, shown 15.0; the whole way has 21.0, half the weight."""
    pulls = pulls_of(bundle(), "insert")
    assert pulls.stop(2.0) == pytest.approx(15.0e3)
    assert pulls.never == pytest.approx(0.5 * 4292.58 * 9.80665, rel=1e-4)
    assert pulls.stop(6.0) == pulls.stop(0.0) == pytest.approx(21.0e3)
    assert [f.level for f in found("insert", 2.0, 15.0)] == ["stop"]
    assert found("insert", 2.0, 14.9) == []
    assert found("insert", 6.0, 20.9) == []
    assert "15.0 kN" in found("insert", 2.0, 16)[0].text


@pytest.mark.demo
def test_a_bundle_that_comes_out_stops_at_its_place():
    """22-E-207, 1.4 m in: the table has less than 21 kN there, the whole way 35.5."""
    x = bundle("22-E-207")
    assert pulls_of(x, "pull").stop(1.4) < 21e3 < pulls_of(x, "pull").never
    assert [f.level for f in found("pull", 1.4, 21, x=x)] == ["stop"]
    assert "engineer" in found("pull", 1.4, 21, x=x)[0].text
    assert "back it out" not in found("pull", 1.4, 21, x=x)[0].text


@pytest.mark.practice
def test_a_rise_of_a_quarter_is_a_stop_under_the_stop():
    assert [f.level for f in found("insert", 3.8, 14, (7.5, 8, 9.5))] == ["stop"]
    assert "8.3 kN" in found("insert", 3.8, 14, (7.5, 8, 9.5))[0].text  # 25/3 kN
    assert found("insert", 3.8, 10.4, (7.5, 8, 9.5)) == []


@pytest.mark.computed
def test_the_hook_against_its_range():
    """2 m in, 17.5 to 23.0 kN; a twentieth of 42.1 kN is 2.1 kN beside it: under 15.4 and over 25.1 it is told."""
    bare = replace(bundle(), crane=replace(bundle().crane, slings=None, spreader=None))
    for kn, level in ((15.3, ["warn"]), (15.5, []), (24.9, []), (25.4, ["stop"])):
        assert [f.level for f in found("insert", 2.0, 9, hook=kn, x=bare)] == level, kn
    heavy = replace(bare, crane=replace(bare.crane, use="bundle", slings=quantity("150 kg", "kg"), spreader=quantity("350 kg", "kg")))
    assert found("insert", 2.0, 9, hook=29, x=heavy) == []  # 500 kg more under the cell: 4.9 kN
    assert [f.level for f in found("insert", 2.0, 9, hook=31, x=heavy)] == ["stop"]


@pytest.mark.parametrize(
    ("position", "force", "hook", "wrong"),
    [(6.1, 9e3, None, 0), (6.2, 9e3, None, 1), (-0.1, 9e3, None, 1), (2, 0, None, 0), (2, 99, None, 1), (2, 100, None, 0), (2, -5, None, 1),
     (2, 9e3, 9e5, 1), (2, 9e3, 3e4, 0), (7, 15, 15, 3)],
)  # fmt: skip
def test_what_is_no_reading(position, force, hook, wrong):
    payload = {"way": "insert", "position_m": position, "force_n": force} | ({"hook_n": hook} if hook is not None else {})
    said = list(not_read("bundle.force_read", payload, bundle()))
    assert len(said) == wrong
    assert all("ccepted:" in s for s in said)
