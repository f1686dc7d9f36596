"""What a rigger must meet on the lift sheet, the page and the terminal: bending, the channel that hangs along, metric eyebolts."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from click.testing import CliRunner

from boxup.cli.main import cli
from boxup.core.calculation import BadInput
from boxup.core.quantity import quantity
from boxup.drawing.lift import BundleLift, bundle_lift
from boxup.exchanger.file import load
from boxup.exchanger.lifting import Crane, Gear
from boxup.job.numbers import numbers
from boxup.lift.eyebolt import eyebolt
from boxup.lift.hold import bends_too_far
from boxup.lift.zone import zone

DEMO = Path(__file__).parents[2] / "src" / "boxup" / "demo" / "data"


@cache
def demo(tag):
    return numbers(load(DEMO / f"{tag}.toml"))


@pytest.mark.demo
def test_tubes_that_bend_too_far_as_slung_name_their_cure():
    """22-E-201A in two slings on its tubes: 125 MPa where a third of yield is allowed. On its channel, as its file has it: nothing."""
    assert bends_too_far(demo("22-E-201A").holding) == []
    x = load(DEMO / "22-E-201A.toml")
    tubes = replace(x.bundle, sling_points_m=quantity("0.91 m", "m"), sling_points_far_m=quantity("4.65 m", "m"))
    said = bends_too_far(numbers(replace(x, bundle=tubes)).holding)
    assert said
    assert said[0].level == "warn"
    assert all(word in said[0].text for word in ("bend too far", "least with one", "spreader", "cradle"))
    assert bends_too_far(None) == []


@pytest.mark.computed
def test_the_channel_is_drawn_to_scale_in_front_of_the_tubesheet():
    view = BundleLift("X", 6.0, 1.3, 4.7, 2.9, 3.0)
    without, drawn = bundle_lift(view), bundle_lift(BundleLift("X", 6.0, 1.3, 4.7, 2.9, 3.0, channel=1.2))
    assert ">channel<" not in without
    assert ">channel<" in drawn
    assert "The channel, 1.20 m, hangs in front of the tubesheet" in drawn


def test_a_sling_on_the_channel_is_drawn_there_and_said_so():
    view = BundleLift("X", 6.0, -0.45, 4.3, 1.9, 4.3, channel=0.9)
    assert "first sling on the channel, 0.45 m in front" in bundle_lift(view)
    assert "first sling 0.45 m in front" in bundle_lift(replace(view, width=360))
    assert "\N{MINUS SIGN}0.45" not in bundle_lift(view) + bundle_lift(replace(view, width=360))
    with pytest.raises(ValueError, match="picks must lie along the bundle"):
        bundle_lift(replace(view, channel=0.4))


@pytest.mark.computed
def test_the_zone_counts_what_rides_along():
    """Half of 6 and 1.2 m, half of 8 m, and 2 m."""
    crane = Crane(name="C", highest=quantity("8 m", "m"))
    length = quantity("6 m", "m")
    assert zone(length, crane).step("z").si == pytest.approx(3 + 4 + 2)
    assert zone(length, crane, quantity("1.2 m", "m")).step("z").si == pytest.approx(3.6 + 4 + 2)
    x = load(DEMO / "22-E-201A.toml")
    assert demo("22-E-201A").zone.step("L_r").si == x.channel.length.si


@pytest.mark.parametrize("size", ["M18", "m27", "M 6"])
def test_a_metric_eyebolt_of_no_row_is_told_which_table_it_needs(size):
    with pytest.raises(BadInput, match=r"in no row of DIN 580: take its capacity.*M8, M10, M12, M16, M20, M24"):
        eyebolt.parse({"size": size, "angle": "45 deg"})


def metric(size, degrees):
    return eyebolt.run(eyebolt.parse({"size": size, "angle": f"{degrees} deg"}))


@pytest.mark.practice
@pytest.mark.parametrize(
    ("size", "line", "aside"),
    [
        ("M8", 140, 100), ("M10", 230, 170), ("M12", 340, 240), ("M16", 700, 500), ("M20", 1200, 860), ("M24", 1800, 1290),
        ("M30", 3200, 2300), ("M36", 4600, 3300), ("M42", 6300, 4500), ("M48", 8600, 6100), ("M56", 11500, 8200), ("M64", 16000, 11000),
        ("M72x6", 20000, 14000), ("M80x6", 28000, 20000), ("m 100 x 6", 40000, 29000),
    ],
)  # fmt: skip
def test_a_metric_eyebolt_by_the_trade_sheets_of_its_standard(size, line, aside):
    """kg for each eyebolt in line and up to 45 degrees, as three sheets of the fastener trade print it; no more than the makers' share."""
    assert metric(size, 0).si("capacity") == pytest.approx(line * 9.80665)
    assert metric(size, 10).si("capacity") == pytest.approx(min(aside, 0.8 * line) * 9.80665)
    assert metric(size, 30).si("capacity") == pytest.approx(min(aside, 0.65 * line) * 9.80665)
    assert metric(size, 45).si("capacity") == pytest.approx(0.3 * line * 9.80665)
    assert metric(size, 30).si("engagement") == pytest.approx(1.5e-3 * float(re.sub(r"\D.*", "", size[1:].strip())))


def test_a_metric_eyebolt_is_not_pulled_further_than_its_table_goes():
    a = metric("M24", 46)
    assert "capacity" not in a.values
    assert any(f.level == "stop" and "further than 45" in f.text for f in a.findings)


@pytest.mark.computed
def test_a_metric_eyebolt_on_the_gear_list_is_held_against_its_table():
    """M24 at 45 degrees: 0.3 of 1800 kg, 540 kg, whatever it is marked with."""
    x = load(DEMO / "14-E-103.toml")
    bolt = Gear(
        id="EB1", kind="eyebolt", use="channel cover", size="M24", capacity=quantity("1800 kg", "kg"), pull_angle=quantity("45 deg", "deg")
    )
    cover = numbers(replace(x, gear=(*x.gear, bolt))).heads["channel_cover"]
    (on,) = [g for g in cover.gear if g.id == "EB1"]
    assert on.may_carry.si == pytest.approx(540)


def test_the_note_on_tags_is_said_once():
    said = CliRunner().invoke(cli, ["lift", str(DEMO / "22-E-201A.toml")]).output
    assert said.count("The lift plan and the person in charge of the lift decide") == 1
