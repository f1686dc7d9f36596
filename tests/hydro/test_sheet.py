"""The test sheet: its figures by hand, what it lacks, what it refuses, and what it says about limits."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import pytest

from boxup.core.calculation import BadInput
from boxup.core.quantity import quantity
from boxup.hydro.caution import all_cautions
from boxup.hydro.circuit import Limit, full_scale
from boxup.hydro.plan import plan_of
from boxup.hydro.sheet import KEYS, Conditions
from boxup.hydro.sheet import test_sheet as sheet_of

M3 = quantity("1.9 m3", "m3")
HEAD = 0.8 * 1000 * 9.80665  # Pa: the shell and channel of `make` are 800 mm and lie


def q(text: str, like: str = "MPa"):
    return quantity(text, like)


def sheet(exchanger, code: str, volume=M3, **known):
    planned = next(t for t in plan_of(exchanger) if t.code == code)
    return sheet_of(exchanger, planned, volume=volume, known=Conditions(**known))


def texts(answer, level: str) -> str:
    return " | ".join(f.text for f in answer.findings if f.level == level)


def lacks(answer) -> str:
    return " | ".join(m.text for m in answer.missing)


@pytest.mark.memory
def test_pressures_by_hand(make):
    """UG-99: 1.3 x 20 bar; examined at the MAWP; at a gauge 4 m down 0.392 bar more; gauge 1.5 to 4 times; -10 + 17 °C; 30 min."""
    a = sheet(make(), "S2", head=q("4 m", "m"))
    assert a.si("test_pressure") == pytest.approx(26e5)
    assert a.si("examination_pressure") == pytest.approx(20e5)
    assert a.si("gauge_pressure") == pytest.approx(26e5 + 39227, abs=80)
    assert a.si("gauge_low") == pytest.approx(1.5 * a.si("gauge_pressure"))
    assert a.si("gauge_high") == pytest.approx(4 * a.si("gauge_pressure"))
    assert a.si("least_temperature") - 273.15 == pytest.approx(7)
    assert a.si("hold") == 1800


@pytest.mark.memory
@pytest.mark.parametrize(("mdmt", "least", "engineer"), [(-10, 7, False), (31, 48, False), (40, 48, True), (48, 48, True), (60, 60, True)])
def test_metal_need_not_be_warmer_than_48_and_never_colder_than_the_mdmt(make, mdmt: int, least: int, engineer: bool):
    a = sheet(make(shell_side=replace(make().shell_side, mdmt=q(f"{mdmt} degC", "degC"))), "S2")
    assert a.si("least_temperature") - 273.15 == pytest.approx(least)
    assert ("engineer decides how warm" in texts(a, "warn")) == engineer


def test_cold_metal_is_a_stop_with_both_numbers(make):
    text = texts(sheet(make(), "S2", metal=q("4 degC", "degC")), "stop")
    assert "4 °C" in text
    assert "7 °C" in text
    assert not texts(sheet(make(), "S2", metal=q("8 degC", "degC"), water=q("9 degC", "degC")), "stop")


@pytest.mark.computed
def test_the_end_push_of_the_ring_test_by_hand(make):
    """26 bar on (800 mm bore less 500 tubes of 19.05): 936.4 kN; shared by 500 tubes of 112.3 mm2: 16.7 MPa."""
    a = sheet(make(), "S1")
    push = 2.6e6 * pi / 4 * (0.8**2 - 500 * 0.01905**2)
    assert a.si("end_push") == pytest.approx(push)
    assert push == pytest.approx(936.4e3, abs=100)
    assert a.si("tube_pull") == pytest.approx(push / (500 * pi / 4 * (0.01905**2 - 0.01483**2)))
    assert "engineer's figure" in lacks(a)
    assert "push" in {c.when for c in a.cautions}
    assert "end_push" not in sheet(make(), "S2").values
    assert "end_push" not in sheet(make("BEU"), "S1").values


def test_a_plugged_tube_pushes_too(make):
    x = replace(make(), plugged=("1-1", "1-2"))
    assert sheet(x, "S1").si("end_push") - sheet(make(), "S1").si("end_push") == pytest.approx(2.6e6 * 2 * pi / 4 * 0.01905**2)


def test_the_engineers_figure_is_held_against_the_push(make):
    under = sheet(make(), "S1", push_allowed=q("950 kN", "kN"))
    over = sheet(make(), "S1", push_allowed=q("900 kN", "kN"))
    assert "engineer's figure" not in lacks(under)
    assert "900 kN" in texts(over, "stop")
    assert "936" in texts(over, "stop")


@pytest.mark.computed
@pytest.mark.parametrize(("code", "volume"), [("S2", "1.9 m3"), ("T", "0.9 m3")])
def test_litres_by_a_second_route(make, code: str, volume: str):
    """IAPWS-95 water, thin shell and Lamé tubes by hand; half a per cent for the two water equations."""
    coolprop = pytest.importorskip("CoolProp.CoolProp")
    a = sheet(make(), code, volume=q(volume, "m3"), water=q("12 degC", "degC"))
    v, p, e, nu = q(volume, "m3").si, a.si("test_pressure"), 200e9, 0.3
    b2, a2 = 0.01905**2, 0.01483**2
    if code == "S2":
        tubes = 500 * pi / 4 * b2 * 6
        shell, tube = 0.8 / (0.014 * e) * 0.95, (1.2 * b2 + 2.6 * a2) / (e * (b2 - a2))
        give = ((v + tubes) * shell + tubes * tube) / v
    else:
        bores = 500 * pi / 4 * a2 * 6
        give = (bores * (2.6 * b2 + 1.2 * a2) / (e * (b2 - a2)) + (v - bores) * 0.8 / (0.014 * e) * (1.25 - nu)) / v
    w = {part.name: part for part in a.working.parts}["water"]
    assert w["C"] == pytest.approx(give, rel=1e-12, abs=0)
    assert w["T_2"] - w["T"] == pytest.approx(10)
    low, high = (coolprop.PropsSI("D", "T", 285.15, "P", 101325 + x, "Water") for x in (0, p))
    litres = v * ((1 + give * p) * high / low - 1)
    assert a.si("pump_in") == pytest.approx(litres, rel=5e-3)
    assert a.si("pump_in_with_air") - a.si("pump_in") == pytest.approx(0.002 * v * (1 - 0.101325 / (0.101325 + p / 1e6)), rel=1e-9)
    alpha = coolprop.PropsSI("isobaric_expansion_coefficient", "T", 285.15, "P", 101325 + p, "Water")
    kappa = coolprop.PropsSI("isothermal_compressibility", "T", 285.15, "P", 101325 + p, "Water")
    assert a.si("rise_per_degree") == pytest.approx((alpha - 3 * 11.7e-6) / (kappa + give), rel=0.01)


def test_the_water_is_assumed_and_said_so(make):
    w = {p.name: p for p in sheet(make(), "S2").working.parts}["water"]
    assert w.steps["T"].value == pytest.approx(15)
    assert "not measured" in w.steps["T"].origin.reason
    measured = {p.name: p for p in sheet(make(), "S2", water=q("9 degC", "degC")).working.parts}["water"]
    assert measured.steps["T"].value == pytest.approx(9)


@pytest.mark.parametrize(("mdmt", "water"), [("-10 degC", 15), ("-2.5 degC", 15), ("-1.5 degC", 16), ("20 degC", 37), ("40 degC", 48)])
def test_water_nobody_measured_is_no_colder_than_it_must_be(make, mdmt: str, water: int):
    """MDMT and 17, in whole degrees upwards; the rise at 37 degC is more than twice that at 15."""
    a = sheet(make(shell_side=replace(make().shell_side, mdmt=q(mdmt, "degC"))), "S2")
    w = {p.name: p for p in a.working.parts}["water"]
    assert w.steps["T"].value == pytest.approx(water)
    assert ("no colder than" in w.steps["T"].origin.reason) == (water > 15)
    if water == 37:
        assert a.si("rise_per_degree") > 2 * sheet(make(), "S2").si("rise_per_degree")


def test_water_that_would_be_steam_gives_no_litres(make):
    a = sheet(make(shell_side=replace(make().shell_side, mdmt=q("140 degC", "degC"))), "S2")
    assert "over 100 °C" in lacks(a)
    assert "pump_in" not in a.values


@pytest.mark.memory
def test_swapped_stresses_never_set_a_pressure_under_the_multiple_of_mawp(make):
    """1.3 x 20 bar x 118/138 = 22.2 bar by the line; 26 bar is the least in force, and the swap is a stop."""
    a = sheet(make(shell_side=replace(make().shell_side, stress_test=q("118 MPa"))), "S2")
    assert a.si("code_pressure") == pytest.approx(26e5 * 118 / 138)
    assert a.si("test_pressure") == pytest.approx(26e5)
    assert a.si("examination_pressure") == pytest.approx(20e5)
    assert "look swapped" in texts(a, "stop")
    low = sheet(make(shell_side=replace(make().shell_side, stress_test=q("118 MPa"))), "S2", pressure=q("23 bar"))
    assert "the code figure is 26.0 bar" in texts(low, "warn")


def test_a_pressure_below_the_code_figure_is_a_finding_with_both_numbers(make):
    text = texts(sheet(make(), "S2", pressure=q("22 bar")), "warn")
    assert "22.0 bar" in text
    assert "26.0 bar" in text
    assert "tightness test" in text
    assert "tightness test" not in texts(sheet(make(), "S2", pressure=q("26 bar")), "warn")


def test_a_pressure_over_a_limit_is_a_stop_with_both_numbers(make):
    """0.8 m of water is 0.078 bar (9.80665 x 1000 x 0.8): 31.0 at the top is 31.1 at the bottom, and 29.95 is 30.03, over 30."""
    text = texts(sheet(make(), "S2", pressure=q("31 bar")), "stop")
    assert "31.1 bar" in text
    assert "30.0 bar" in text
    assert "shell flange" in text
    assert "30.1 bar" in texts(sheet(make(), "S2", pressure=q("29.95 bar")), "stop")  # the bottom bears the head too
    assert not texts(sheet(make(), "S2", pressure=q("29.9 bar")), "stop")


def test_what_hangs_with_a_low_gauge_bears_the_head_down_to_it_and_the_shell_does_not(make):
    """3 m down is 0.294 bar: 30.2 there and 29.98 at the bottom of a shell of 0.8 m that may see 30.0."""
    low = {"pressure": q("29.9 bar"), "head": q("3 m", "m")}
    assert not texts(sheet(make(), "S2", **low), "stop")
    hose = sheet(make(), "S2", gear=(Limit("hose H1", q("30 bar")),), **low)
    assert "30.2 bar" in texts(hose, "stop")
    assert "hose H1" in texts(hose, "stop")


def test_every_part_of_the_circuit_counts(make):
    x = make()
    hose = sheet(x, "S2", gear=(Limit("hose H1", q("25 bar")),))
    assert "hose H1" in texts(hose, "stop")
    assert hose.si("pump_relief") == pytest.approx(25e5 - HEAD)
    tubes = sheet(x, "S2", outside_limit=q("10 bar"))
    assert "outside" in texts(tubes, "stop")
    assert "outside" not in texts(sheet(x, "T", outside_limit=q("10 bar")), "stop")
    thin = make(blinds=tuple(replace(b, rated=q("20 bar")) for b in x.blinds))
    assert "test blind T1" in texts(sheet(thin, "S2"), "stop")


def test_the_pump_relief_is_never_over_the_lowest_limit(make):
    a = sheet(make(), "S2")
    assert a.si("pump_relief") == pytest.approx(1.1 * 26e5)
    close = make(shell_side=replace(make().shell_side, test_limit=q("27 bar")))
    assert sheet(close, "S2").si("pump_relief") == pytest.approx(27e5 - HEAD)
    assert sheet(close, "S2").si("low_end_pump_relief") == pytest.approx(27e5)
    wide = make(shell_side=replace(make().shell_side, test_limit=q("40 bar")))
    assert sheet(wide, "S2").si("standing_relief") == pytest.approx(4 / 3 * 26e5)


def test_the_standing_relief_is_never_over_the_lowest_limit_either(make):
    """4/3 of 26 bar is 34.7; the shell flange may see 30."""
    a = sheet(make(), "S2")
    assert a.si("standing_relief") == pytest.approx(30e5 - HEAD)
    assert "34.7 bar" in texts(a, "warn")
    assert "shell flange may see 30.0 bar" in texts(a, "warn")
    assert "no relief on this side stands above 29.9 bar" in texts(a, "warn")
    hose = sheet(make(), "S2", gear=(Limit("hose H1", q("27 bar")),))
    assert hose.si("standing_relief") == hose.si("pump_relief") == pytest.approx(27e5 - HEAD)


def test_a_rated_blind_is_not_the_limit_of_the_side(make):
    x = make(shell_side=replace(make().shell_side, test_limit=None))
    a = sheet(x, "S2")
    assert "[shell_side] test_limit" in lacks(a)
    assert "hoses" in lacks(a)
    assert "test blind T1 in N1" in lacks(a)
    assert not {"pump_relief", "standing_relief"} & set(a.values)
    thin = replace(x, blinds=tuple(replace(b, rated=q("20 bar")) for b in x.blinds))
    assert "test blind T1" in texts(sheet(thin, "S2"), "stop")  # what is known is still held against the test
    assert "pump, its hoses" in texts(sheet(make(), "S2"), "note")


def test_over_150_per_cent_is_the_inspectors_to_decide(make):
    assert "150 %" in texts(sheet(make(), "S2", pressure=q("30.5 bar")), "warn")
    assert "150 %" not in texts(sheet(make(), "S2", pressure=q("29 bar")), "warn")


@pytest.mark.parametrize(
    ("field", "says", "key"),
    [("mawp", "mawp", "code_pressure"), ("stress_test", "stress_test", "code_pressure"), ("mdmt", "MDMT", "least_temperature")],
)
def test_what_may_not_be_assumed_is_missing_and_asked_for(make, field: str, says: str, key: str):
    x = make(shell_side=replace(make().shell_side, **{field: None}))
    a = sheet(x, "S2")
    assert says in lacks(a)
    assert key not in a.values


def test_no_limit_at_all_means_no_relief_setting(make):
    x = make(shell_side=replace(make().shell_side, test_limit=None), blinds=())
    a = sheet(x, "S2")
    assert "relief setting" in lacks(a)
    assert "pump_relief" not in a.values


def test_without_a_code_figure_the_pressure_set_by_the_engineer_still_stands(make):
    x = make(shell_side=replace(make().shell_side, stress_design=None))
    a = sheet(x, "S2", pressure=q("24 bar"))
    assert a.si("test_pressure") == pytest.approx(24e5)
    assert "pump_in" in a.values
    assert "code test pressure" in lacks(a)


def test_no_volume_no_litres(make):
    a = sheet(make(), "S2", volume=None)
    assert "pump_in" not in a.values
    assert "litres" in lacks(a)


@pytest.mark.parametrize("volume", ["0 m3", "-0.4 m3"])
def test_a_volume_of_nothing_is_missing_and_no_error(make, volume: str):
    a = sheet(make(), "S2", volume=q(volume, "m3"))
    assert "litres" in lacks(a)
    assert not {"fill", "pump_in"} & set(a.values)
    assert a.si("test_pressure") == pytest.approx(26e5)


@pytest.mark.parametrize(
    ("field", "value", "gone"),
    [
        ("stress_test", "1e306 MPa", {"code_pressure", "test_pressure"}),
        ("stress_test", "1e300 MPa", {"code_pressure", "test_pressure"}),
        ("stress_test", "1000 MPa", {"test_pressure", "pump_in"}),
        ("mawp", "90 MPa", {"test_pressure", "pump_in"}),
    ],
)
def test_figures_that_cannot_be_worked_are_missing_with_a_sentence(make, field: str, value: str, gone: set[str]):
    """From a model built by hand: the file's own bounds stop these before."""
    x = make(shell_side=replace(make().shell_side, **{"mawp": q("100 MPa"), field: q(value)}))
    for code in ("S1", "S2"):
        a = sheet(x, code)
        assert not gone & set(a.values)
        assert any("shell side" in m.number and len(m.do) > 40 for m in a.missing)


def test_tubes_too_many_to_count_are_missing(make):
    x = make(tubes=replace(make().tubes, od=q("1e200 mm", "mm")))
    assert "cannot be worked together" in lacks(sheet(x, "S1"))


@pytest.mark.computed
def test_tubes_are_taken_as_their_metal(make):
    """Admiralty brass by hand: E 110 GPa, 0.34, growth 20.2 in a million (handbook, from memory), Lamé; steel 200, 0.3, 11.7."""
    brass = make(tubes=replace(make().tubes, material="admiralty brass"))
    steel = {c: sheet(make(tubes=replace(make().tubes, material="carbon steel")), c) for c in ("S2", "T")}
    w = {p.name: p for p in sheet(brass, "S2").working.parts}["water"]
    assert (w["E_t"], w["nu_t"], w["a_t"]) == (110e9, 0.34, pytest.approx(20.2e-6))
    b2, a2, nu, e = 0.01905**2, 0.01483**2, 0.34, 110e9
    assert w["C_t"] == pytest.approx((3 * (1 - 2 * nu) * b2 + 2 * (1 + nu) * a2) / (e * (b2 - a2)), rel=1e-12, abs=0)
    v, tubes = 1.9, 500 * pi / 4 * b2 * 6
    assert w["s"] == pytest.approx(3 * (11.7e-6 * (v + tubes) - 20.2e-6 * tubes) / v, rel=1e-12, abs=0)
    assert sheet(brass, "S2").si("rise_per_degree") > 1.03 * steel["S2"].si("rise_per_degree")  # they grow into the water
    assert sheet(brass, "T", volume=q("0.9 m3", "m3")).si("rise_per_degree") < 0.95 * sheet(make(), "T", volume=q("0.9 m3", "m3")).si(
        "rise_per_degree"
    )


def test_a_metal_nobody_named_is_assumed_and_said(make):
    def origin(x, symbol: str = "E_t") -> str:
        return {p.name: p for p in sheet(x, "S2").working.parts}["water"].steps[symbol].origin

    assert "no material in the file" in origin(make()).reason
    odd = make(tubes=replace(make().tubes, material="unobtainium"), tube_side=replace(make().tube_side, material="titanium"))
    assert "that of carbon steel: 'unobtainium'" in origin(odd).reason
    side = make(tube_side=replace(make().tube_side, material="titanium"))
    assert "that of titanium: no material in the file for the tubes" in origin(side).reason
    shell = make(shell_side=replace(make().shell_side, material="SA-240 316L"))
    assert origin(shell, "E").row == "austenitic stainless steel"


def test_no_tubes_on_file_no_rise(make):
    x = make(tubes=replace(make().tubes, wall=None))
    a = sheet(x, "S2")
    assert "rise_per_degree" not in a.values
    assert "tube wall" in lacks(a)
    assert a.si("fill") == pytest.approx(1.9)


def test_a_volume_smaller_than_the_tubes_hold_is_a_stop(make):
    assert "less than the tubes" in texts(sheet(make(), "T", volume=q("0.3 m3", "m3")), "stop")


def test_gauges_on_the_list(make):
    assert not texts(sheet(make(), "S2"), "stop")
    small = make(tools=tuple(replace(t, range="0-25 bar") for t in make().tools))
    assert "25.0 bar" in texts(sheet(small, "S2"), "stop")
    assert full_scale("0 to 60 bar") == pytest.approx(60e5)
    assert full_scale("0-1000 psi") == pytest.approx(1000 * 6894.757, rel=1e-6)
    assert full_scale("see sticker") is None


def with_ranges(make, *ranges: str):
    """The exchanger with these test gauges and no other; 26.39 bar at the gauge: 39.6 to 105.6 bar of full scale."""
    first = next(t for t in make().tools if t.kind == "test gauge")
    return make(tools=tuple(replace(first, id=f"G{chr(65 + n)}", range=text) for n, text in enumerate(ranges)))


@pytest.mark.practice
def test_each_gauge_is_judged_by_itself(make):
    one = texts(sheet(with_ranges(make, "0-60 bar", "0-400 bar"), "S2"), "stop")
    assert "Only gauge GA fits, not GB to 400.0 bar" in one
    assert "is needed of both" in one
    none = texts(sheet(with_ranges(make, "0-25 bar", "0-400 bar"), "S2"), "stop")
    assert "No listed gauge fits: GA to 25.0 bar" in none
    assert "GB to 400.0 bar" in none
    more = sheet(with_ranges(make, "0-60 bar", "0-100 bar", "0-25 bar"), "S2")
    assert not texts(more, "stop")
    assert "Not for this test: gauges GC to 25.0 bar" in texts(more, "note")
    assert "gauge" not in texts(sheet(with_ranges(make, "0-60 bar", "0-60 bar"), "S2"), "stop")


@pytest.mark.practice
def test_a_range_that_cannot_be_read_is_said_by_name_with_what_is_accepted(make):
    said = texts(sheet(with_ranges(make, "60", "60"), "S2"), "warn")
    for name in ("GA", "GB"):
        assert f'The range of gauge {name}, "60", cannot be read: write it with its unit, as "0 to 60 bar" or "0 to 870 psi"' in said
    assert "The range of gauge GB is not given" in texts(sheet(with_ranges(make, "0-60 bar", ""), "S2"), "warn")
    assert "The range of" not in texts(sheet(with_ranges(make, "0-60 bar", "0-870 psi"), "S2"), "warn")


def test_chloride(make):
    ss = make(options={"ss": True})
    assert "chloride" in lacks(sheet(ss, "S2"))
    assert "78 mg/L" in texts(sheet(ss, "S2", chloride=q("78", "count")), "stop")
    assert not texts(sheet(ss, "S2", chloride=q("30", "count")), "stop")
    assert "chloride" not in lacks(sheet(make(), "S2"))


def test_a_kinder_mdmt_on_the_other_side_is_asked_about(make):
    x = make(tube_side=replace(make().tube_side, mdmt=q("5 degC", "degC")))
    assert "5 °C" in texts(sheet(x, "S2"), "warn")


@pytest.mark.parametrize(
    ("known", "word"),
    [({"pressure": q("-5 bar")}, "pressure"), ({"pressure": q("0 bar")}, "pressure"), ({"head": q("-1 m", "m")}, "head"),
     ({"water": q("-2 degC", "degC")}, "water"), ({"outside_limit": q("0 bar")}, "outside_limit"), ({"pressure": q("2000 bar")}, "at most"),
     ({"gear": (Limit("hose", q("-1 bar")),)}, "hose")],
)  # fmt: skip
def test_bad_conditions_are_refused(make, known: dict[str, object], word: str):
    with pytest.raises(BadInput, match=word):
        sheet(make(), "S2", **known)


def test_both_unit_systems_give_the_same_sheet(make):
    one = sheet(make(), "S2", pressure=q("26 bar"), head=q("3 m", "m"), water=q("12 degC", "degC"))
    us = {"pressure": q("377.0981197 psi"), "head": q("9.842519685 ft", "m"), "water": q("53.6 degF", "degC")}
    two = sheet(make(), "S2", volume=q("501.9269 gal", "m3"), **us)
    for key in one.values:
        assert two.si(key) == pytest.approx(one.si(key), rel=1e-7), key


@pytest.mark.parametrize("type_", ["AES", "BEU", "BEM", "AEP", "AEW", "AKT", "DEU", "NEN", "CEU", "AEL", "BET"])
def test_a_sheet_for_every_test_of_many_types(make, type_: str):
    x = make(type_)
    for planned in plan_of(x):
        a = sheet_of(x, planned, volume=M3)
        assert a.test.code == planned.code
        assert {"test_pressure", "fill", "pump_in", "rise_per_degree"} <= set(a.values) <= set(KEYS)
        assert len(a.cautions) >= 15


def test_cautions_have_sources_and_say_the_things_that_kill():
    said = {c.id: c.sentence for c in all_cautions()}
    assert all(c.cite.source.label in ("practice", "memory") for c in all_cautions())
    must = ["line-of-fire", "gauge-zero", "vent-first", "never-shut-in", "cold-metal", "plugs", "other-side", "temporary"]
    for id_ in [*must, "code-decides"]:
        assert said[id_]
    assert "No tightening" in said["gauge-zero"]
