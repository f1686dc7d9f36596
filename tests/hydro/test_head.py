"""Head of water: how high a side stands, what a gauge and the lowest part see, and where a relief stands. Hydrostatics by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from boxup.core.finding import Missing
from boxup.core.quantity import quantity
from boxup.demo.fleet import files_of_the_demo
from boxup.exchanger.file import load
from boxup.exchanger.heights import side_height
from boxup.exchanger.model import Exchanger, Head
from boxup.hydro.plan import plan_of
from boxup.hydro.sheet import Conditions, TestAnswer
from boxup.hydro.sheet import test_sheet as sheet_of
from boxup.job.numbers import numbers

BAR = 1e5


def demo(tag: str) -> Exchanger:
    return load(files_of_the_demo()[tag])


def sheet(x: Exchanger, code: str, **known: object) -> TestAnswer:
    return sheet_of(x, next(t for t in plan_of(x) if t.code == code), volume=None, known=Conditions(**known))


def mm(size: float):
    return quantity(f"{size} mm", "mm")


@pytest.mark.computed
@pytest.mark.parametrize(
    ("tag", "code", "limit", "height", "low_end", "relief", "relief_low"),
    [
        # upright: 400 + 3048 + 450 mm between flat covers; 3.898 m is 0.3823 bar; 1.3 x 6.9 = 8.97; 10 - 0.3823
        ("31-E-305", "T", 10.0, 3.898, 9.3523, 9.6177, 10.0),
        # the shell between its tubesheets, 2948 mm: 0.2891 bar
        ("31-E-305", "S1", 10.0, 2.948, 9.2591, 9.7109, 10.0),
        # lying, shell of 1300 mm: 0.1275 bar; 1.3 x 3.5 = 4.55; 5.0 - 0.1275
        ("40-E-405", "S1", 5.0, 1.3, 4.6775, 4.8725, 5.0),
        # lying, 813 mm: 0.0797 bar; 1.3 x 24.1 = 31.33; 33.5 - 0.0797 is under a tenth more (34.46)
        ("14-E-103", "T", 33.5, 0.813, 31.4097, 33.4203, 33.5),
        # the shell cover of 927 mm stands wider than the shell of 813: 0.0909 bar
        ("14-E-103", "S2", 24.0, 0.927, 22.4509, 23.9091, 24.0),
        ("14-E-103", "S1", 24.0, 0.813, 22.4397, 23.9203, 24.0),  # with its cover off
        # a tenth more is the lower one: 1.1 x 1.3 x 10.3 = 14.729, and 0.0598 bar more at the low end of 610 mm
        ("14-E-104", "T", 15.0, 0.61, 13.4498, 14.729, 14.7888),
        # kettle: the wide shell of 1270 mm holds the water, not the port: 0.1245 bar
        ("14-E-106", "S2", 19.5, 1.27, 18.0645, 19.3755, 19.5),
    ],
)
def test_the_lowest_part_never_sees_more_than_its_limit(tag, code, limit, height, low_end, relief, relief_low):
    a = sheet(demo(tag), code)
    assert a.si("height") == pytest.approx(height)
    assert a.si("low_end_pressure") / BAR == pytest.approx(low_end, abs=2e-4)
    assert a.si("pump_relief") / BAR == pytest.approx(relief, abs=2e-4)
    assert a.si("low_end_pump_relief") / BAR == pytest.approx(relief_low, abs=2e-4)
    assert a.si("low_end_pump_relief") <= limit * BAR * (1 + 1e-12)
    assert a.si("standing_relief") / BAR + height * 0.0980665 <= limit + 1e-9


@pytest.mark.computed
def test_no_side_of_the_fleet_is_over_its_limit_at_the_relief():
    """By the conventional metre of water, 0.0980665 bar."""
    checked = 0
    for tag in files_of_the_demo():
        x = demo(tag)
        for t in numbers(x).tests:
            limit = x.side(t.test.side).test_limit
            assert limit is not None
            assert t.si("pump_relief") + t.si("height") * 9806.65 <= limit.si + 1, (tag, t.test.code)
            assert t.si("pump_relief") >= t.si("test_pressure"), (tag, t.test.code)
            checked += 1
    assert checked >= 40


@pytest.mark.computed
def test_a_gauge_that_hangs_low_reads_the_head_as_well():
    """At the bottom of 3.898 m: 8.97 + 0.3823 = 9.3523 bar; examined at 6.9 + 0.3823. What is given for this test goes before the file."""
    x = demo("31-E-305")
    low = replace(x, tube_side=replace(x.tube_side, test_gauge_below_top=quantity("3.898 m", "m")))
    a = sheet(low, "T")
    assert a.si("gauge_pressure") / BAR == pytest.approx(9.3523, abs=2e-4)
    assert a.si("examination_gauge_pressure") / BAR == pytest.approx(7.2823, abs=2e-4)
    assert a.si("pump_relief") == pytest.approx(sheet(x, "T").si("pump_relief"))  # where the gauge hangs does not move the limit
    assert sheet(low, "T", head=quantity("1 m", "m")).si("gauge_pressure") / BAR == pytest.approx(8.97 + 0.0981, abs=2e-4)


@pytest.mark.computed
def test_an_upright_one_warns_where_the_gauge_height_is_not_given_and_a_low_one_is_only_told():
    """0.382 bar is 4 % of 8.97, more than a dial can be read to; 0.080 bar is a quarter of a per cent of 31.33."""
    x = demo("31-E-305")
    said = {f.level: f.text for f in sheet(x, "T").findings if "low end must read" in f.text}
    assert "9.4 bar" in said["warn"]
    assert "taken at the top" in said["warn"]
    known = sheet(x, "T", head=quantity("3.9 m", "m"))
    assert {f.level for f in known.findings if "low end must read" in f.text} == {"note"}
    assert {f.level for f in sheet(demo("14-E-103"), "T").findings if "low end must read" in f.text} == {"note"}


@pytest.mark.computed
def test_a_side_whose_lowest_part_would_be_over_its_limit_is_a_stop(make):
    """Upright, 6 m of shell between its tubesheets: 0.588 bar; 30.0 at the top is over 30.5 at the bottom."""
    tall = replace(make("AEL").identity, position="vertical")
    x = make("AEL", identity=tall, shell_side=replace(make().shell_side, test_limit=quantity("30.5 bar", "MPa")))
    a = sheet(x, "S1", pressure=quantity("30 bar", "MPa"))
    assert a.si("low_end_pressure") / BAR == pytest.approx(30 + 6 * 0.0980665)
    stops = [f.text for f in a.findings if f.level == "stop"]
    assert any("30.6 bar" in s and "at the low end" in s and "30.5 bar" in s for s in stops)


@pytest.mark.computed
@pytest.mark.parametrize(
    ("type_", "shape", "metres"),
    [
        ("BEM", "", 0.5 + 6 + 0.4 + 2 * 0.2),  # bonnets, 2:1 ellipsoids of 800 mm: a quarter of it deep
        ("AEM", "", 0.5 + 6 + 0.4 + 0.2),
        ("BEM", "flat", 0.5 + 6 + 0.4),
        # a dish of crown radius 800 on 800: 800 - sqrt(800^2 - 400^2) = 107.18 mm deep
        ("BEM", "dished", 0.5 + 6 + 0.4 + 2 * 0.10718),
        ("AEU", "", 0.5 + 6 + 0.4),  # no bend is wider than the bore: 400 mm beyond the straight legs
    ],
)
def test_upright_lengths_add_up(make, type_, shape, metres):
    x = make(
        type_, identity=replace(make(type_).identity, position="vertical"),
        channel=Head(inside_diameter=mm(800), length=mm(500), shape=shape),
        rear_head=Head(inside_diameter=mm(800), length=mm(400), shape=shape),
    )  # fmt: skip
    got = side_height(x, "tube")
    assert not isinstance(got, Missing)
    assert got.si("height") == pytest.approx(metres, abs=1e-5)


def test_without_its_height_there_is_no_relief_and_it_is_asked_for(make):
    x = make("AEL", identity=replace(make("AEL").identity, position="vertical"))  # its channels have no lengths
    a = sheet(x, "T")
    assert not {"pump_relief", "low_end_pump_relief", "standing_relief", "height"} & set(a.values)
    assert any("channel.length" in m.do and "test_height" in m.do for m in a.missing)
    given = replace(x, tube_side=replace(x.tube_side, test_height=mm(7000)))
    assert sheet(given, "T").si("low_end_pressure") == pytest.approx(sheet(given, "T").si("test_pressure") + 7 * 9806.65)


@pytest.mark.computed
def test_a_stack_tested_together_asks_how_high_it_is(make):
    """Two shells and what is between them, 2.4 m: 0.2354 bar. Limit 30 bar, so 29.7646 at the top."""
    x = make(
        "AEU", options={"stacked": True, "pair_test": True}, shell_side=replace(make().shell_side, test_limit=quantity("27 bar", "MPa"))
    )
    a = sheet(x, "S1")
    assert "pump_relief" not in a.values
    assert any("top of the upper one" in m.do for m in a.missing)
    told = sheet(replace(x, shell_side=replace(x.shell_side, test_height=mm(2400))), "S1")
    assert told.si("pump_relief") / BAR == pytest.approx(27 - 0.23536, abs=1e-4)
    alone = sheet(replace(x, options={"stacked": True}), "S1")
    assert alone.si("height") == pytest.approx(0.8)


@pytest.mark.computed
def test_a_bundle_on_the_slab_lies_wherever_its_shell_stands():
    x = demo("14-E-106")
    stands = replace(x, identity=replace(x.identity, position="vertical"))
    assert sheet(stands, "B").si("height") == pytest.approx(0.762)


@pytest.mark.computed
def test_blinds_and_joints_bear_what_the_lowest_part_sees():
    """40-E-405, shell of 1300 mm: 4.55 bar at the top, 0.1275 more at the bottom. A blind of 4.6 bar does for the top only."""
    x = demo("40-E-405")
    shell = {n.id for n in x.nozzles if n.side == "shell"}
    thin = replace(x, blinds=tuple(replace(b, rated=quantity("4.6 bar", "MPa")) if b.nozzle in shell else b for b in x.blinds))
    text = " ".join(f.text for b in numbers(thin).test_blinds for f in b.findings if f.level == "stop")
    assert "4.7 bar" in text
    assert "rated 4.6 bar" in text
    wide = replace(x, blinds=tuple(replace(b, rated=quantity("4.7 bar", "MPa")) if b.nozzle in shell else b for b in x.blinds))
    assert not [f for b in numbers(wide).test_blinds for f in b.findings if f.level == "stop" and "rated" in f.text]
