"""Gear in a use for which nothing is printed, or which nobody told: no capacity, no share, and never a traceback."""

from __future__ import annotations

import math
import random

import pytest
from tests.lift.test_crane import deg, hung, levels

from boxup.core.calculation import BadInput
from boxup.core.quantity import quantity
from boxup.demo.fleet import files_of_the_demo
from boxup.exchanger.check import check_text
from boxup.exchanger.masses import lifted_parts
from boxup.job.lifting import bundle_answer, stops_of
from boxup.lift.heads import head_lift
from boxup.lift.hitch import sling_capacity
from boxup.paper.lift_words import gear_rows, of_tag

DEMO = files_of_the_demo()["14-E-101"].read_text("utf-8")


def with_gear(text: str) -> str:
    """The demo file with the keys of SL1 replaced."""
    before, rest = DEMO.split("[gear.SL1]")
    return f"{before}[gear.SL1]\n{text}\n\n[gear.SL2]{rest.split('[gear.SL2]')[1]}"


def test_legs_at_no_angle_are_refused_at_their_line():
    text = with_gear('kind = "sling"\nuse = "covers"\nlegs = 2\nleg_angle = "0 deg"')
    [problem] = check_text(text, "x.toml").errors
    assert text.splitlines()[problem.line - 1].startswith("leg_angle")
    assert "more than 0" in problem.text
    assert not check_text(text.replace('leg_angle = "0 deg"', 'leg_angle = "29 deg"'), "x.toml").errors  # told as a stop of the lift


def mm(number):
    return quantity(f"{number} mm", "mm")


TWO = {"legs": quantity("2", "count")}
NOTHING_PRINTED = [
    {"hitch": "basket", "made": "wire", "leg_angle": deg(90), "wrapped": mm(20), "rope": mm(30)},
    {"hitch": "basket", "made": "web", "leg_angle": deg(20)},
    {"hitch": "basket", "tag_hitch": "choker", "made": "web", "leg_angle": deg(60)},
    {"kind": "eyebolt", "size": "1/4", "pull_angle": deg(40), "capacity": 15000},
    {"kind": "eyebolt", "size": "M18", "pull_angle": deg(30), "capacity": 15000},
    {"kind": "eyebolt", "size": "M24", "pull_angle": deg(50), "capacity": 15000},
    {**TWO, "leg_angle": deg(29)},
    *({"hitch": h, "made": "wire", "choke_angle": deg(130) if h == "choker" else None, "wrapped": mm(20), "rope": mm(30)}
      for h in ("choker", "vertical")),
]  # fmt: skip


@pytest.mark.parametrize("keys", NOTHING_PRINTED)
def test_where_nothing_is_printed_there_is_no_capacity_and_no_share(keys):
    a = hung(**keys)
    assert levels(a) == ["stop"]
    [g] = a.gear
    assert g.may_carry is None
    assert g.share is None
    line = of_tag(g)
    assert line.endswith("on it, no capacity in this use")
    assert "%" not in line
    assert "may carry" not in line
    [row] = gear_rows([a], ())
    assert (row["may"], row["share"]) == ("no capacity in this use", "")


def test_a_tag_for_a_basket_says_nothing_before_somebody_says_how_it_is_hung():
    for keys in ({"tag_hitch": "basket"}, {"tag_hitch": "vertical"}, {"choke_angle": deg(120)}):
        a = hung(**keys)
        assert not a.gear
        assert any("say how it is hung" in x.text and "SL1" in x.text for x in a.missing)
        assert not hung(hitch="choker" if "choke_angle" in keys else keys["tag_hitch"], made="web", **keys).missing
    text = with_gear('kind = "wire sling"\ncapacity = "8 t"\nuse = "bundle, front pick"\ntag_hitch = "basket"')
    told = check_text(text, "x.toml")
    assert [x.number for x in told.missing] == ["capacity of SL1 (wire sling) as it is used"]
    [row] = gear_rows([], tuple(g for g in told.exchanger.gear if g.id == "SL1"))
    assert (row["gear"], row["may"], row["share"]) == ("SL1 wire sling", "not said how it is hung: no lift", "")


def capacity(**keys):
    return sling_capacity.run(sling_capacity.parse({"tag": "10 t", "made": "wire"} | keys))


@pytest.mark.practice
@pytest.mark.parametrize(("ratio", "kept"), [("6", 0.79), ("10", 0.86), ("24.9", 0.91), ("25", 1)])
def test_a_bend_takes_from_a_choker_and_a_straight_leg_too(ratio, kept):
    """The same printed losses as of a basket; a choker has 75 % of its vertical tag."""
    assert capacity(hitch="choker", choke_angle="130 deg", bend_ratio=ratio).si("capacity") == pytest.approx(7500 * kept)
    assert capacity(hitch="vertical", bend_ratio=ratio).si("capacity") == pytest.approx(10000 * kept)
    rope = {"made": "wire", "wrapped": mm(float(ratio) * 20), "rope": mm(20)}
    assert hung(hitch="vertical", **rope).gear[0].may_carry.si == pytest.approx(2000 * kept)
    assert hung(hitch="choker", choke_angle=deg(130), **rope).gear[0].may_carry.si == pytest.approx(1500 * kept)


def test_a_bend_sharper_than_any_printed_one_leaves_no_capacity():
    for keys in ({"hitch": "choker", "choke_angle": "130 deg"}, {"hitch": "vertical"}):
        a = capacity(bend_ratio="0.5", **keys)
        assert [f.level for f in a.findings if f.level != "note"] == ["stop"]
        assert not a.values
    assert any("choked round" in f.text for f in capacity(hitch="choker", choke_angle="130 deg").findings)
    assert not any("choked round" in f.text for f in capacity(hitch="choker", made="web", choke_angle="130 deg").findings)


def test_an_angle_that_the_hitch_has_no_use_for_is_told():
    with pytest.raises(BadInput, match="choke_angle"):
        capacity(hitch="basket", choke_angle="100 deg", leg_angle="60 deg", bend_ratio="30")
    with pytest.raises(BadInput, match="leg_angle"):
        capacity(hitch="choker", leg_angle="60 deg")
    for keys, what in (
        ({"hitch": "basket", "leg_angle": deg(60), "choke_angle": deg(100)}, "choke angle"),
        ({"hitch": "choker", "leg_angle": deg(60), "choke_angle": deg(100)}, "leg angle"),
        ({"leg_angle": deg(60)}, "leg angle"),
    ):
        told = [f.text for f in hung(made="web", **keys).findings if "is not used" in f.text]
        assert [t.split(" of SL1")[0] for t in told] == [f"The {what}"]
    for keys in ({"hitch": "choker", "choke_angle": deg(100), "leg_angle": deg(60), **TWO}, {"hitch": "basket", "leg_angle": deg(60)}):
        assert not any("is not used" in f.text for f in hung(made="web", **keys).findings)


# any table of gear


CHOICES: dict[str, tuple[object, ...]] = {
    "capacity": ("8 t", "15 t", "250 kg", "0.001 kg", "1/2 t"),
    "made": ("wire", "web", "round"),
    "hitch": ("vertical", "choker", "basket"),
    "tag_hitch": ("vertical", "choker", "basket"),
    "choke_angle": tuple(f"{x} deg" for x in (0, 1e-9, 29, 29.5, 59.5, 90, 105, 119.5, 120, 180)),
    "leg_angle": tuple(f"{x} deg" for x in (0, 1e-300, 0.001, 20, 29.999, 30, 45, 60, 89.9999, 90)),
    "wrapped": tuple(f"{x} mm" for x in (1e-9, 20, 300, 2e4)),
    "rope": tuple(f"{x} mm" for x in (1e-300, 8, 30, 200)),
    "legs": (1, 2, 3, 4),
    "size": ("1/4", "3/4", "1", "M24", "2 in", ""),
    "pull_angle": tuple(f"{x} deg" for x in (0, 1e-9, 15, 40, 60, 90)),
}
KINDS = ("sling", "wire sling", "round sling", "bow shackle", "eyebolt", "hoist ring", "chain hoist", "spreader", "")
USES = ("covers", "channel", "bundle, front pick", "bundle, rear pick", "bundle", "pull and insert", "heads", "")


def any_gear(r: random.Random, n: int) -> str:
    keys = {"kind": r.choice(KINDS), "use": r.choice(USES)} | {k: r.choice(v) for k, v in CHOICES.items() if r.random() < 0.55}
    return f"[gear.F{n}]\n" + "".join(f"{k} = {v}\n" if isinstance(v, int) else f'{k} = "{v}"\n' for k, v in keys.items())


@pytest.mark.parametrize("seed", range(25))
def test_no_table_of_gear_breaks_a_lift_and_none_carries_more_than_its_tag(seed):
    r = random.Random(seed)
    text = with_gear("\n".join(any_gear(r, n) for n in range(3)))
    told = check_text(text, "x.toml")
    if told.errors:
        assert all("leg_angle" in p.key for p in told.errors)  # only no degrees at all are refused
        return
    x = told.exchanger
    for p in lifted_parts(x):
        a = bundle_answer(x, p) if p.id == "bundle" else head_lift(p.what, p.mass, x.gear, lift_mass=p.lift_mass, crane=x.crane)
        for part in (q for q in a.working.parts if q.name.startswith("gear ")):
            assert all(math.isfinite(s.si) for s in part.steps.values())
            stopped = any(f.level == "stop" for f in part.all_findings())
            assert stopped == ("c" not in part.steps or part["c"] > 1 + 1e-9)
            assert "C_u" not in part.steps or part["C_u"] <= part["C"]
        assert "nan" not in " ".join(f"{row['may']} {row['share']}" for row in gear_rows([a], x.gear)).lower()
    assert stops_of(x) is not None
