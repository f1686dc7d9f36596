"""What a rigger must meet on the lift sheet, the page and the terminal: bending, the channel that hangs along, metric eyebolts."""

from __future__ import annotations

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
from boxup.exchanger.lifting import Crane
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


@pytest.mark.computed
def test_the_zone_counts_what_rides_along():
    """Half of 6 and 1.2 m, half of 8 m, and 2 m."""
    crane = Crane(name="C", highest=quantity("8 m", "m"))
    length = quantity("6 m", "m")
    assert zone(length, crane).step("z").si == pytest.approx(3 + 4 + 2)
    assert zone(length, crane, quantity("1.2 m", "m")).step("z").si == pytest.approx(3.6 + 4 + 2)
    x = load(DEMO / "22-E-201A.toml")
    assert demo("22-E-201A").zone.step("L_r").si == x.channel.length.si


@pytest.mark.parametrize("size", ["M24", "m36", "M 24"])
def test_a_metric_eyebolt_is_told_which_table_it_needs(size):
    with pytest.raises(BadInput, match=r"is metric.*ISO 3266 or DIN 580"):
        eyebolt.parse({"size": size, "angle": "45 deg"})


def test_the_note_on_tags_is_said_once():
    said = CliRunner().invoke(cli, ["lift", str(DEMO / "22-E-201A.toml")]).output
    assert said.count("The lift plan and the person in charge of the lift decide") == 1
