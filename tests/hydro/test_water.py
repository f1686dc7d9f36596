"""Water against the release's own check values, another library's water, and the zero and edges of its range."""

from __future__ import annotations

from collections.abc import Callable
from math import ceil, log10

import pytest

from boxup.core.calculation import BadInput
from boxup.hydro import if97
from boxup.hydro.water import water

CELSIUS = 273.15


def at(temperature: str, pressure: str):
    return water.run(water.parse({"temperature": temperature, "pressure": pressure}))


def test_the_table_has_34_rows_and_three_columns_of_numbers():
    rows = if97.coefficients()
    assert len(rows) == 34
    assert (rows[0][0], rows[0][1], rows[-1][0], rows[-1][1]) == (0, -2, 32, -41)


@pytest.mark.memory
@pytest.mark.parametrize(("kelvin", "mpa", "volume"), [(300, 3, 0.100215168e-2), (300, 80, 0.971180894e-3), (500, 3, 0.120241800e-2)])
def test_table_5_of_the_release(kelvin: float, mpa: float, volume: float):
    """IAPWS R7-97(2012), Table 5, specific volume; half of the ninth figure printed. Seen quoted; the page itself was not read."""
    half = 0.51e-9 * 10 ** ceil(log10(volume))
    assert 1 / if97.water(kelvin, mpa * 1e6).density == pytest.approx(volume, abs=half)


@pytest.mark.computed
@pytest.mark.parametrize("celsius", [0.0, 4.0, 7.0, 20.0, 50.0, 99.0])
@pytest.mark.parametrize("mpa", [0.101325, 2.6, 10.0, 60.0, 100.0])
def test_same_equation_in_another_library(celsius: float, mpa: float):
    """CoolProp's own IF97: density to 1e-9."""
    coolprop = pytest.importorskip("CoolProp.CoolProp")
    t, p = celsius + CELSIUS, mpa * 1e6
    assert if97.water(t, p).density == pytest.approx(coolprop.PropsSI("D", "T", t, "P", p, "IF97::Water"), rel=1e-9)


@pytest.mark.computed
@pytest.mark.parametrize("celsius", [1.0, 5.0, 10.0, 20.0, 30.0, 40.0, 60.0, 95.0])
@pytest.mark.parametrize("mpa", [0.101325, 1.0, 2.6, 5.0, 15.0])
def test_against_the_scientific_equation(celsius: float, mpa: float):
    """IAPWS-95 through CoolProp. IF97 is a fit to it: compressibility within 0.5 %, expansion within 1e-6 per K, density within 0.003 %."""
    coolprop = pytest.importorskip("CoolProp.CoolProp")
    t, p = celsius + CELSIUS, mpa * 1e6
    got = if97.water(t, p)
    assert got.density == pytest.approx(coolprop.PropsSI("D", "T", t, "P", p, "Water"), rel=3e-5)
    assert got.compressibility == pytest.approx(coolprop.PropsSI("isothermal_compressibility", "T", t, "P", p, "Water"), rel=5e-3, abs=0)
    expansion = coolprop.PropsSI("isobaric_expansion_coefficient", "T", t, "P", p, "Water")
    assert got.expansion == pytest.approx(expansion, abs=1e-6)


@pytest.mark.computed
def test_the_whole_range_of_a_test_against_the_scientific_equation():
    """1 to 60 °C by a degree, 0 to 200 bar gauge by ten: density within 0.02 %, compressibility within 0.5 % (IAPWS-95, CoolProp)."""
    coolprop = pytest.importorskip("CoolProp.CoolProp")
    for celsius in range(1, 61):
        for bar in range(0, 201, 10):
            t, p = celsius + CELSIUS, 101325 + bar * 1e5
            got, at = if97.water(t, p), ("T", t, "P", p, "Water")
            assert got.density == pytest.approx(coolprop.PropsSI("D", *at), rel=2e-4), (celsius, bar)
            squeezed = coolprop.PropsSI("isothermal_compressibility", *at)
            assert got.compressibility == pytest.approx(squeezed, rel=5e-3, abs=0), (celsius, bar)


STEEL = 3 * 11.7e-6  # growth of a space in carbon steel, 1/K


@pytest.mark.computed
@pytest.mark.parametrize("bar", [0, 10, 26, 50, 75, 100, 125, 150, 175, 200])
@pytest.mark.parametrize("grows", [0.0, STEEL])
def test_expansion_crosses_zero_where_the_scientific_equation_has_it(grows: float, bar: int):
    """Within 0.05 °C, over all of 1 to 60 °C: where that equation grows as fast as the space, ours does; ours crosses nowhere else."""
    coolprop = pytest.importorskip("CoolProp.CoolProp")
    p = 101325 + bar * 1e5

    def theirs(t: float) -> float:
        return coolprop.PropsSI("isobaric_expansion_coefficient", "T", t, "P", p, "Water") - grows

    def ours(t: float) -> float:
        return if97.water(t, p).expansion - grows

    low, high = 1 + CELSIUS, 60 + CELSIUS
    if theirs(low) > 0:  # such a pressure has no crossing in the range: neither may ours, but for 0.05 °C at its edge
        assert bar > 100
        assert ours(low + 0.05) > 0
        return
    assert crossing(ours, low, high) == pytest.approx(crossing(theirs, low, high), abs=0.05)


def crossing(f: Callable[[float], float], low: float, high: float) -> float:
    assert f(low) <= 0 < f(high)
    while high - low > 1e-6:
        middle = (low + high) / 2
        low, high = (low, middle) if f(middle) > 0 else (middle, high)
    return low


@pytest.mark.practice
@pytest.mark.parametrize(("fahrenheit", "factor"), [(40, 0.9990357), (48, 0.9992168), (70, 1.0010364), (80, 1.0024178)])
def test_a_handbooks_volume_of_water_against_60_degrees(fahrenheit: int, factor: float):
    """Pipeline Rules of Thumb Handbook, p. 142, Table 1, in a library copy: volume at 1 atm against 60 °F, within 2e-5."""
    here, sixty = (at(f"{f} degF", "0 bar").si("density") for f in (fahrenheit, 60))
    assert sixty / here == pytest.approx(factor, abs=2e-5)


@pytest.mark.published
def test_a_university_data_page_at_20_degrees():
    """London South Bank University, water data: 0.4589 per GPa (IF97 differs by up to 0.35 %), 0.207e-3 per K, 998.2 kg/m3, at 1 atm."""
    a = at("20 degC", "0 bar").as_json()["answers"]
    assert a["density"] == {"value": pytest.approx(998.2, abs=0.05), "unit": "kg/m3"}
    assert a["compressibility"] == {"value": pytest.approx(0.4589, rel=4e-3), "unit": "1/GPa"}
    assert a["expansion"] == {"value": pytest.approx(0.207e-3, abs=6e-7), "unit": "1/K"}


def test_the_derivatives_are_those_of_the_density():
    """Second route: small differences of the density itself (central, so the error goes with the square of the step)."""
    for celsius in (2.0, 20.0, 80.0):
        t, p, dt, dp = celsius + CELSIUS, 5e6, 0.01, 1e3
        here = if97.water(t, p)
        by_p = (if97.density(t, p + dp) - if97.density(t, p - dp)) / (2 * dp * here.density)
        by_t = (if97.density(t + dt, p) - if97.density(t - dt, p)) / (2 * dt * here.density)
        assert here.compressibility == pytest.approx(by_p, rel=1e-5, abs=0)
        assert here.expansion == pytest.approx(-by_t, rel=1e-5)


def test_expansion_changes_sign_near_four_degrees_and_pressure_moves_it():
    assert at("3 degC", "0 bar").si("expansion") < 0 < at("5 degC", "0 bar").si("expansion")
    assert at("3 degC", "100 bar").si("expansion") > 0


def test_both_unit_systems_give_the_same():
    us, si = at("68 degF", "377.0981197 psi"), at("20 degC", "2.6 MPa")
    assert us.si("density") == pytest.approx(si.si("density"), rel=1e-10)  # psi typed to ten figures


@pytest.mark.parametrize(("t", "p"), [("0 degC", "0 bar"), ("32 degF", "0 bar"), ("100 degC", "1000 bar"), ("212 degF", "0 bar")])
def test_the_edges_are_accepted(t: str, p: str):
    assert 950 < at(t, p).si("density") < 1050


@pytest.mark.parametrize(
    ("given", "key", "accepted"),
    [
        ({"temperature": "-1 degC", "pressure": "1 bar"}, "temperature", "at least 0 °C"),
        ({"temperature": "101 degC", "pressure": "1 bar"}, "temperature", "at most 100 °C"),
        ({"temperature": "20 degC", "pressure": "-1 bar"}, "pressure", "at least 0 MPa"),
        ({"temperature": "20 degC", "pressure": "1001 bar"}, "pressure", "at most 100 MPa"),
        ({"temperature": "20 degC", "pressure": "26"}, "pressure", "no unit"),
        ({"temperature": "20 degC"}, "pressure", "missing"),
    ],
)
def test_out_of_range_is_refused(given: dict[str, str], key: str, accepted: str):
    with pytest.raises(BadInput, match=key) as bad:
        water.parse(given)
    assert accepted in str(bad.value)


def test_gauge_becomes_absolute_by_a_step():
    w = at("20 degC", "26 bar").working
    assert w.steps["p"].line == "p = P + p_atm"
    assert w["p"] == pytest.approx(2.701325e6)
