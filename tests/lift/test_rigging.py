"""Which gear hangs where on the bundle: a sling on each pick, alone on the way, at the tubesheet end; lean, length, metal, year."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path

import pytest
from click.testing import CliRunner

from boxup.cli.main import cli
from boxup.core.quantity import quantity
from boxup.exchanger.file import load
from boxup.exchanger.lifting import Gear
from boxup.exchanger.model import BundleParts
from boxup.job.lists import scope_of
from boxup.job.numbers import numbers
from boxup.lift.alone import AloneLoads, Heaviest
from boxup.lift.bundle_lift import bundle_lift
from boxup.lift.looked_over import looked_over
from boxup.lift.rigging import length_of
from boxup.paper.lift import lift_sheets
from boxup.paper.sheet import Material
from boxup.paper.steps import step_sheet

DEMO = Path(__file__).parents[2] / "src" / "boxup" / "demo" / "data"
G = 9.80665


def q(text, unit):
    return quantity(text, unit)


def piece(id, kind, use, kg=8000, **more):
    return Gear(id=id, kind=kind, use=use, capacity=q(f"{kg} kg", "kg"), **more)


BUNDLE = BundleParts(sling_points_m=q("1.34 m", "m"), sling_points_far_m=q("4.75 m", "m"), hook_height=q("3 m", "m"))
FRONT, REAR = piece("SL1", "web sling", "bundle, front pick"), piece("SL2", "web sling", "bundle, rear pick")


def lift(*gear, bundle=BUNDLE, mass=4294, **more):
    return bundle_lift(bundle, gear, mass=q(f"{mass} kg", "kg"), cg=q("2.95 m", "m"), **more)


def texts(answer, level):
    return [f.text for f in answer.findings if f.level == level]


def part(answer, id):
    return next(p for p in answer.working.parts if p.name.startswith(f"gear {id}"))


@cache
def demo(tag):
    return numbers(load(DEMO / f"{tag}.toml"))


# a sling on each pick


@pytest.mark.parametrize("kind", ["bow shackle", "eyebolt", "hoist ring", "sling shackle"])
def test_a_shackle_alone_is_no_sling(kind):
    asked = [x.number for x in lift(FRONT, piece("SH2", kind, "bundle, rear pick")).missing]
    assert "capacity of the slings on the rear pick" in asked


@pytest.mark.parametrize("instead", [piece("C", "lined cradle", "bundle, rear pick"), piece("W", "W 4", "bundle, rear pick", made="web")])
def test_what_takes_the_place_of_a_sling_counts(instead):
    assert not [x for x in lift(FRONT, instead).missing if "rear pick" in x.number]


def test_two_slings_on_one_pick_are_said():
    """The rear sling typed as front: the rear pick is asked for, and the front has two."""
    a = lift(FRONT, replace(REAR, use="bundle, front pick"))
    assert any(t.startswith("SL1 and SL2 are both listed on the front pick") for t in texts(a, "warn"))
    assert any("rear pick" in x.number for x in a.missing)
    assert not any("both listed" in t for t in texts(lift(FRONT, REAR), "warn"))


# alone on the way


@pytest.mark.computed
def test_the_front_sling_alone_is_held_against_its_tag():
    """36 of 40 kN on the hook, for a bundle of 42.11 kN with its allowance: 37.9 kN, over the 25 kN of its leg."""
    alone = AloneLoads(Heaviest(36e3, 2.0, "the bundle coming out", 40e3), Heaviest(20e3, 5.5, "the bundle going in", 40e3))
    a = lift(FRONT, REAR, alone=alone)
    by_hand = 0.9 * 4294 * G
    assert a.step("T_a").si == pytest.approx(by_hand)
    assert part(a, "SL1")["U"] == pytest.approx(by_hand)
    assert part(a, "SL2")["U"] == a.step("T_2").si
    small = replace(FRONT, capacity=q("3500 kg", "kg"))
    assert any(t.startswith("SL1") for t in texts(lift(small, REAR, alone=alone), "stop"))
    assert not any(t.startswith("SL1") for t in texts(lift(small, REAR), "stop"))
    leg = lift(FRONT, REAR, alone=AloneLoads(Heaviest(20e3, 2.0, "the bundle coming out", 40e3)))
    assert part(leg, "SL1")["U"] == leg.step("T_1").si


@pytest.mark.computed
def test_the_heaviest_of_the_way_of_22_e_201a():
    """No place of the way with the front sling alone has more on the hook for its weight.

    Home, and held at the channel with the last of 16 baffles, 5.695 m, resting: 8495.5 kg g (5.695 - 1.822)/(5.695 + 0.45), 52.5 kN.
    """
    n = demo("22-E-201A")
    got = n.sling.step("T_a").si
    weight = n.sling.step("W").si
    for way in n.ways:
        stands = [way.stand(m) for m in way.places() if way.stage(m) == "front"]
        assert stands
        assert all(s.hook[1] * weight / way.working["W"] <= got * (1 + 1e-9) for s in stands)
    held = n.sling.step("T_e").si
    assert held == pytest.approx(8495.5 * G * (5.695 - 1.822) / (5.695 + 0.45), rel=1e-3)
    assert held > got, "the harder of the two on the same bridle"
    assert part(n.sling, "SL1")["U"] == pytest.approx(held)


# the tubesheet end


@pytest.mark.computed
def test_what_holds_the_tubesheet_end_is_asked_for_and_held_against_its_tag():
    alone = AloneLoads(end=Heaviest(20e3, 5.5, "the bundle going in", 40e3))
    asked = [x for x in lift(FRONT, REAR, alone=alone).missing if "tubesheet end" in x.number]
    assert len(asked) == 1
    assert "21.5 kN" in asked[0].do, "half of 42.1 kN, rounded up"
    lug = piece("LG1", "eyebolt", "bundle, tubesheet end", 3000)
    a = lift(FRONT, REAR, lug, alone=alone)
    assert not [x for x in a.missing if "tubesheet end" in x.number]
    assert part(a, "LG1")["U"] == pytest.approx(0.5 * 4294 * G)
    assert any(t.startswith("LG1") for t in texts(lift(FRONT, REAR, replace(lug, capacity=q("2 t", "kg")), alone=alone), "stop"))
    assert not any("held against no load" in f.text for f in a.findings)
    x = load(DEMO / "14-E-101.toml")
    bare = replace(x, gear=tuple(g for g in x.gear if "tubesheet end" not in g.use))
    assert not any("tubesheet end" in m.number for m in demo("14-E-101").missing())
    assert any("tubesheet end" in m.number for m in numbers(bare).missing())


# lean and length


@pytest.mark.practice
@pytest.mark.parametrize(("height", "said"), [("3 m", True), ("3.2 m", False)])
def test_baskets_that_lean_under_sixty_degrees_slide_together(height, said):
    """The rear pick is 1.80 m off: 59 degrees with the hook 3 m up, 60.6 with 3.2 m."""
    baskets = [replace(g, hitch="basket") for g in (FRONT, REAR)]
    a = lift(*baskets, bundle=replace(BUNDLE, hook_height=q(height, "m")))
    assert any("slide together" in t for t in texts(a, "warn")) == said
    assert not any("slide together" in t for t in texts(lift(FRONT, REAR), "warn"))


@pytest.mark.computed
def test_the_flatter_of_typed_and_worked_lean_counts():
    typed = [replace(g, hitch="basket", made="web", leg_angle=q("75 deg", "deg")) for g in (FRONT, REAR)]
    a = lift(*typed)
    assert part(a, "SL2")["theta"] == pytest.approx(math.atan2(3, 1.8))
    flat = lift(replace(typed[0], leg_angle=q("45 deg", "deg")), typed[1])
    assert part(flat, "SL1")["theta"] == pytest.approx(math.radians(45))


@pytest.mark.computed
@pytest.mark.parametrize(("hitch", "need"), [("basket", 2 * math.hypot(1.8, 3) + math.pi * 0.4), ("", math.hypot(1.8, 3))])
def test_a_sling_that_cannot_reach(hitch, need):
    """Two legs of 3.50 m and half way round 0.8 m, or one leg."""

    def rear(metres):
        a = lift(FRONT, replace(REAR, hitch=hitch, length=q(f"{metres:.4f} m", "m")), diameter=q("800 mm", "mm"))
        return [t for t in texts(a, "stop") if "cannot reach" in t]

    assert rear(need + 0.01) == []
    assert len(rear(need - 0.01)) == 1


@pytest.mark.parametrize(("kind", "metres"), [("wide web sling, 4 m", 4), ("web sling 13,5 m", 13.5), ("web sling 300 mm", None),
                                              ("sling, 20 ft", 6.096), ("bow shackle 4 m", None), ("web sling", None)])  # fmt: skip
def test_the_length_in_the_kind(kind, metres):
    got = length_of(piece("X", kind, ""))
    assert (got.si if got else None) == (pytest.approx(metres) if metres else None)


def test_every_sling_of_the_demo_reaches():
    for path in DEMO.glob("*.toml"):
        n = demo(path.stem)
        assert not [f for f in (n.sling.findings if n.sling else []) if "cannot reach" in f.text]


# metal, hitch, year


@pytest.mark.practice
def test_wire_and_chain_go_round_no_tubes():
    round_it = replace(FRONT, made="wire", hitch="basket")
    assert any("never round tubes" in t for t in texts(lift(round_it, REAR), "stop"))
    assert any("never round tubes" in t for t in texts(lift(replace(FRONT, kind="chain sling"), REAR), "warn"))
    end = piece("LG1", "wire sling", "bundle, tubesheet end")
    assert not any(
        "never round tubes" in f.text for f in lift(FRONT, REAR, end, alone=AloneLoads(end=Heaviest(1e3, 5, "in", 4e4))).findings
    )


def test_no_hitch_given_is_said():
    assert sum("taken as vertical" in t for t in texts(lift(FRONT, replace(REAR, hitch="vertical")), "note")) == 1


@pytest.mark.practice
def test_a_tag_read_over_a_year_ago():
    old = replace(FRONT, inspected="2026-04-06")
    assert len(list(looked_over((old,), "2027-04-07"))) == 1
    assert list(looked_over((old, REAR), "2027-04-06")) == []
    x = load(DEMO / "14-E-103.toml")
    assert any("over a year ago" in f.text for f in numbers(x).all_findings(scope_of(x), "2028-06-01"))


@pytest.mark.practice
def test_a_tag_read_on_a_day_still_to_come_is_questioned():
    """A day ahead is another zone; a made-up exchanger lives in its own time, not a year off."""
    ahead = replace(FRONT, inspected="2027-04-09")
    assert ["still to come" in f.text for f in looked_over((ahead,), "2027-04-07")] == [True]
    assert list(looked_over((ahead,), "2027-04-08")) == []
    assert list(looked_over((ahead,), "2027-01-08", made_up=True)) == []
    assert len(list(looked_over((ahead,), "2026-04-09", made_up=True))) == 1


@pytest.mark.practice
def test_a_tag_of_a_leap_day_is_a_year_old_with_february():
    leap = replace(FRONT, inspected="2028-02-29")
    assert list(looked_over((leap,), "2029-02-28")) == []
    assert len(list(looked_over((leap,), "2029-03-01"))) == 1


def with_tag(inspected):
    text = DEMO.joinpath("14-E-103.toml").read_text("utf-8")
    return re.sub(r'^inspected = "[^"]*"', f'inspected = "{inspected}"', text, count=1, flags=re.M)


@pytest.mark.parametrize(("inspected", "says"), [("2024-01-10", "over a year ago"), ("2028-05-01", "still to come")])
def test_an_old_tag_reaches_everybody_who_lifts(tmp_path, inspected, says):
    """Check, lift, the sheet of the lift, the row of the pull, and first among the Looks of the sheet Read first."""
    file = tmp_path / "14-E-103.toml"
    file.write_text(with_tag(inspected), "utf-8")
    for command in ("check", "lift"):
        out = CliRunner().invoke(cli, [command, str(file), "--date", "2027-04-12"])
        assert out.exit_code == 0, out.output
        assert says in out.output, command
    assert says in CliRunner().invoke(cli, ["lift", str(file), "--json", "--date", "2027-04-12"]).output
    m = Material(load(file), file, date(2027, 4, 12))
    assert says in " ".join(f["text"] for s in lift_sheets(m) for f in s["findings"])
    rows = [r for phase in step_sheet(m)["phases"] for part in phase["parts"] if part["kind"] == "rows" for r in part["rows"]]
    assert says in next(r["because"] for r in rows if r["code"] == "PULL")
    assert says in next(f.text for f in m.findings if f.level == "warn")


def test_a_day_that_is_none_is_refused():
    out = CliRunner().invoke(cli, ["lift", str(DEMO / "14-E-103.toml"), "--date", "12 April"])
    assert out.exit_code == 2
    assert "year-month-day" in out.output
