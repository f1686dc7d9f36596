"""The energy a test holds ready, against the article's formulas worked here step by step, and its edges."""

from __future__ import annotations

import re
from math import log

import pytest
from click.testing import CliRunner

from boxup.cli.main import cli
from boxup.core.calculation import Answer, BadInput
from boxup.core.unit import UNITS
from boxup.hydro.stored_energy import stored_energy


def of(**typed: str) -> Answer:
    return stored_energy.run(stored_energy.parse(typed))


def value(answer: Answer, key: str, unit: str) -> float:
    return UNITS[unit].from_si(answer.si(key))


def said(answer: Answer, level: str) -> str:
    return " ".join(f.text for f in answer.findings if f.level == level)


@pytest.mark.computed
def test_air_of_the_reference_shell():
    """2.62 m3 at 22 bar: 8.902 MJ, 2.0875 kg of TNT, 20 (2 TNT)^1/3 = 32.2 m. Worked by hand from PCC-2 (2008) 5.1, App. II and III."""
    answer = of(volume="2.62 m3", pressure="22 bar")
    assert value(answer, "energy", "MJ") == pytest.approx(8.907, rel=0.001)
    assert value(answer, "tnt", "kg") == pytest.approx(2.0875, rel=0.001)
    assert value(answer, "stand_off", "m") == pytest.approx(32.2, abs=0.05)


@pytest.mark.computed
def test_air_is_between_what_an_isotherm_and_a_spring_would_give():
    """Bounds from elsewhere: less than the isothermal P V ln(P/Pa), more than (P - Pa) V / k."""
    volume, absolute, outside = 1.0, 5.101, 0.101
    energy = value(of(volume="1 m3", pressure="5 MPa"), "energy", "MJ")
    assert (absolute - outside) * volume / 1.4 < energy < absolute * volume * log(absolute / outside)


@pytest.mark.parametrize(("volume", "least"), [("0.1 m3", 30.0), ("2 m3", 30.0)])
def test_nobody_stands_nearer_than_thirty_metres(volume: str, least: float):
    assert value(of(volume=volume, pressure="2 bar"), "stand_off", "m") == least


def test_from_135_to_271_megajoules_the_least_is_sixty_metres_or_more():
    below, above = of(volume="30 m3", pressure="24 bar"), of(volume="60 m3", pressure="24 bar")
    assert value(below, "energy", "MJ") < 135.5 < value(above, "energy", "MJ") < 271
    assert value(above, "stand_off", "m") > 60
    assert "More than 271 MJ" not in said(above, "warn")
    assert "More than 271 MJ" in said(of(volume="90 m3", pressure="24 bar"), "warn")


def test_air_is_always_a_stop_with_its_reasons():
    assert "only where water cannot be used" in said(of(volume="1 m3", pressure="1 bar"), "stop")


@pytest.mark.computed
def test_water_alone_holds_a_three_hundredth_of_air():
    """By hand: 2.62 m3 at 20 degC, compressibility 0.457 /GPa at 1.2 MPa: half of 1.197e-9 m3/Pa times (2.2 MPa)^2 is 2.90 kJ."""
    answer = of(volume="2.62 m3", pressure="22 bar", medium="water", temperature="20 degC")
    assert value(answer, "energy", "MJ") == pytest.approx(0.5 * 0.457e-9 * 2.62 * 2.2e6**2 / 1e6, rel=0.005)
    assert "tnt" not in answer.values
    assert "The walls are not in it" in said(answer, "note")


def test_water_with_its_walls_is_half_of_volume_times_pressure():
    """By hand: 2604 mL/MPa at 2.6 MPa: 2604e-12 (2.6e6)^2 / 2 = 8.80 kJ."""
    answer = of(volume="2.6 m3", pressure="2.6 MPa", medium="water", volume_per_pressure="2604 mL/MPa")
    assert value(answer, "energy", "MJ") == pytest.approx(2604e-12 * 2.6e6**2 / 2 / 1e6, rel=1e-9)
    assert "The walls are not in it" not in said(answer, "note")


def test_water_is_never_called_harmless():
    assert "kills" in said(of(volume="1 m3", pressure="1 bar", medium="water"), "warn")


def test_water_past_its_equation_is_refused_unless_the_volume_per_pressure_is_given():
    with pytest.raises(BadInput, match="accepted: at most 100 MPa"):
        of(volume="1 m3", pressure="101 MPa", medium="water")
    given = of(volume="1 m3", pressure="101 MPa", medium="water", volume_per_pressure="400 mL/MPa")
    assert value(given, "energy", "MJ") == pytest.approx(400e-12 * 101e6**2 / 2 / 1e6)


@pytest.mark.computed
def test_the_distance_is_one_and_the_floor_is_called_a_floor():
    """2.6 m3 at 60 bar: 6.4 kg of TNT, 20 (2 x 6.414)^(1/3) = 46.8 m, over the 30 m of the least energies."""
    text = CliRunner().invoke(cli, ["calc", "stored-energy", "volume=2.6 m3", "pressure=60 bar"], catch_exceptions=False).output
    assert "Everybody stays 46.8 m away: the larger of 30.0 m, the floor, and 46.8 m by the TNT." in text
    assert re.search(r"stand off floor +30 m", text)
    assert "least distance" not in text


@pytest.mark.practice
def test_frost_is_refused_with_where_it_is_handled():
    got = CliRunner().invoke(
        cli, ["calc", "shut-in", "diameter=800 mm", "wall=10 mm", "length=6 m", "temperature=-3 degC", "pressure=2 bar"]
    )
    assert got.exit_code == 2
    assert "accepted: at least 0 °C. Ice is not worked here: what it wants of room, and when a side is drained for frost" in got.output


@pytest.mark.computed
def test_the_floor_of_the_distance_has_its_first_key_too_and_is_printed_once():
    """Keys are not renamed: whoever asked for `least_distance` still finds it. People read one line, that of now."""
    got = of(medium="air", pressure="24 bar", volume="50 m3")
    assert value(got, "least_distance", "m") == value(got, "stand_off_floor", "m") == 60
    text = CliRunner().invoke(cli, ["calc", "stored-energy", "medium=air", "pressure=24 bar", "volume=50 m3"]).output
    assert "stand off floor" in text
    assert "least distance" not in text
