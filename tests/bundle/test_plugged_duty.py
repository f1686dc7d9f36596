"""What plugs cost: a worked table from elsewhere, what must always hold, what is told, what is refused. Single values: tests/evidence."""

from __future__ import annotations

from random import Random

import pytest

from boxup.core.calculation import Answer, BadInput
from boxup.job.calculations import find

# 400 tubes 3/4 in 14 BWG x 4.877 m, two passes, water 40 kg/s at 30 °C in the tubes, oil 30 kg/s of 2300 J/kg.K at 110 °C in the shell,
# film 900 W/m2.K outside and about 6285 inside, fouling 0.00035 either side: U 462 W/m2.K, 2680 kW, 15.2 kPa.
# Worked once with a public library.
CASE = {
    "holes": "200 200", "tube_od": "19.05 mm", "tube_wall": "2.108 mm", "tube_length": "4.877 m", "wall_conductivity": "50 W/m.K",
    "tube_flow": "40 kg/s", "tube_inlet": "30 degC", "tube_density": "993 kg/m3", "tube_viscosity": "0.715 mPa.s",
    "tube_heat_capacity": "4.18 kJ/kg.K", "tube_conductivity": "0.623 W/m.K", "tube_fouling": "0.00035 m2.K/W", "shell_flow": "30 kg/s",
    "shell_inlet": "110 degC", "shell_heat_capacity": "2.3 kJ/kg.K", "shell_fouling": "0.00035 m2.K/W", "shell_film": "900 W/m2.K",
    "roughness": "0.025 mm",
}  # fmt: skip
TABLE = ((2, 0.989, 1.038), (5, 0.973, 1.100), (10, 0.944, 1.216), (15, 0.913, 1.353), (20, 0.881, 1.515), (30, 0.812, 1.946))
OF_U = {2: 1.002, 5: 1.004, 10: 1.009, 15: 1.013, 20: 1.018, 30: 1.027}


def worked(name: str, **keys: str) -> Answer:
    c = find(name)
    return c.run(c.parse(keys))


@pytest.mark.computed
def test_the_worked_case_before_any_plug() -> None:
    got = worked("plugged-duty", **CASE, plugged="0 0")
    one = got.working.parts[0].parts[0]
    assert one["h_i"] == pytest.approx(6285, rel=0.005)  # properties were read from charts: not told to the last figure
    assert one["U"] == pytest.approx(462, abs=0.6)
    assert got.si("duty_before") == pytest.approx(2.680e6, rel=0.001)
    assert got.si("pressure_drop_before") == pytest.approx(15.2e3, rel=0.01)


@pytest.mark.computed
@pytest.mark.parametrize(("percent", "duty", "drop"), TABLE)
def test_the_worked_table(percent: int, duty: float, drop: float) -> None:
    """Area and velocity follow from the count; U and duty to a little more than the last printed figure, since the film was not told."""
    got = worked("plugged-duty", **CASE, plugged=f"{2 * percent} {2 * percent}")
    assert got.si("area_ratio") == pytest.approx(1 - percent / 100)
    assert got.si("velocity_ratio") == pytest.approx(1 / (1 - percent / 100))
    assert got.si("duty_ratio") == pytest.approx(duty, abs=0.0016)
    assert got.si("pressure_drop_ratio") == pytest.approx(drop, rel=0.007)  # the roughness was not told
    u = [part.parts[0]["U"] for part in got.working.parts]
    assert u[1] / u[0] == pytest.approx(OF_U[percent], abs=0.0016)


@pytest.mark.computed
@pytest.mark.parametrize(("share", "lost"), [("0.05", 0.009), ("0.1", 0.018), ("0.2", 0.039), ("0.4", 0.099)])
def test_a_share_past_both_passes_costs_what_was_worked_elsewhere(share: str, lost: float) -> None:
    got = worked("rib-duty", **CASE, plugged="0 0", share=share, past="1-2")
    assert 1 - got.si("duty_ratio") == pytest.approx(lost, abs=0.0025)  # worked there with the film as it was: ours falls with the flow


@pytest.mark.computed
@pytest.mark.parametrize(("spaces", "lost"), [("9", 0.068), ("13", 0.047), ("21", 0.029)])
def test_an_end_space_lost_costs_what_was_worked_elsewhere(spaces: str, lost: float) -> None:
    ntu, ratio = 462 * 116.75 / 167.2e3, 167.2 / 69
    got = worked("turned-bundle", passes="2", ntu=str(ntu), ratio=str(ratio), spaces=spaces)
    assert 1 - got.si("end_space_ratio") == pytest.approx(lost, abs=0.0008)
    assert got.si("reversed_ratio") == pytest.approx(1)


@pytest.mark.computed
def test_as_many_plugs_in_every_pass_never_raise_the_duty_in_turbulent_flow() -> None:
    """At given flows and inlets: the film rises with less than the first power of the velocity, the surface falls with the first."""
    chance = Random(5)
    for _ in range(60):
        passes = chance.choice([1, 2])  # four passes that are far too large for their flows gain a little by losing surface
        shut, more = sorted(chance.sample(range(150), 2))
        keys = CASE | {"holes": " ".join(["200"] * passes), "shell_film": f"{chance.uniform(200, 8000)} W/m2.K",
                       "tube_flow": f"{chance.uniform(25, 60)} kg/s", "shell_flow": f"{chance.uniform(5, 90)} kg/s",
                       "tube_inlet": f"{chance.choice([30, 160])} degC", "first": chance.choice(["with", "against"])}  # fmt: skip
        if passes == 1:
            keys["first"] = "against"
        fewer, least = (worked("plugged-duty", **keys, plugged=" ".join([str(s)] * passes)) for s in (shut, more))
        assert fewer.si("reynolds") > 1e4
        assert 0 < least.si("duty_ratio") <= fewer.si("duty_ratio") * (1 + 1e-12) <= 1 + 2e-12
        assert least.si("pressure_drop_ratio") > fewer.si("pressure_drop_ratio") >= 1
        assert not [f for f in least.findings if f.level == "warn"]


@pytest.mark.computed
def test_plugs_in_the_pass_that_runs_with_the_shell_fluid_may_even_help() -> None:
    """Far past what two passes can do, the pass along the shell fluid gives heat back; plugs there cost nothing, plugs against it do."""
    keys = CASE | {"shell_film": "8000 W/m2.K", "shell_flow": "8 kg/s", "tube_fouling": "0 m2.K/W", "shell_fouling": "0 m2.K/W"}
    against, along = (worked("plugged-duty", **keys, plugged=p).si("duty_ratio") for p in ("120 0", "0 120"))
    assert against < 1 < along


@pytest.mark.computed
def test_between_laminar_and_turbulent_the_change_is_called_a_guess() -> None:
    """Oil at Re 2900: fewer tubes are faster ones, and the film rises faster than the surface falls."""
    oil = {"tube_viscosity": "6 mPa.s", "tube_heat_capacity": "2.1 kJ/kg.K", "tube_conductivity": "0.13 W/m.K", "tube_density": "870 kg/m3"}
    got = worked("plugged-duty", **CASE | oil, plugged="20 50")
    assert got.si("duty_ratio") > 1
    assert [f.level for f in got.findings] == ["warn", "warn"]
    assert "Take the change of duty for a guess" in got.findings[0].text
    assert "never as a gain" in got.findings[1].text


@pytest.mark.computed
def test_unequal_passes_are_no_average() -> None:
    """As many plugs, all in one pass: the pressure drop and the velocity are worse than spread over both."""
    spread, heaped = (worked("plugged-duty", **CASE, plugged=p) for p in ("30 30", "60 0"))
    assert heaped.si("area_ratio") == pytest.approx(spread.si("area_ratio"))
    assert heaped.si("pressure_drop_ratio") > spread.si("pressure_drop_ratio")
    assert heaped.si("velocity_ratio") == pytest.approx(200 / 140)
    first, second = heaped.lists["pass_velocities"][0]
    assert first / second == pytest.approx(200 / 140)


@pytest.mark.computed
def test_the_film_worked_back_gives_the_design_duty_again() -> None:
    keys = {k: v for k, v in CASE.items() if k != "shell_film"}
    for kilowatts in (1, 500, 2680, 3700):
        got = worked("plugged-duty", **keys, plugged="3 0", design_duty=f"{kilowatts} kW")
        assert got.si("duty_before") == pytest.approx(kilowatts * 1e3, rel=1e-9)


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        ({"plugged": "1"}, "plugged: 1 passes where holes has 2"),
        ({"plugged": "200 0"}, "plugged: pass 1 has 200 holes and 200 plugged: nothing flows"),
        ({"plugged": "a 0"}, "a whole number for each of up to 16 passes"),
        ({"tube_wall": "10 mm"}, "leaves no bore"),
        ({"shell_film": ""}, "has no"),
        ({"design_duty": "2000 kW"}, "give it or design_duty, one of the two"),
        ({"shell_inlet": "30 degC"}, "is the tube inlet too: no heat passes"),
        ({"shell": "F"}, "each pass must lie wholly over or under the long baffle"),
        ({"shell": "F", "halves": "up down"}, "'up' is no half"),
        ({"shell": "X"}, "'X' is not accepted"),
    ],
)
def test_what_cannot_be_is_refused_with_the_reason(keys: dict[str, str], says: str) -> None:
    with pytest.raises(BadInput) as refused:
        worked("plugged-duty", **CASE | {"plugged": "0 0"} | keys)
    assert says in str(refused.value) or says == "has no"


def test_a_shell_flow_is_needed_unless_it_stays_at_one_temperature() -> None:
    keys = {k: v for k, v in CASE.items() if k not in ("shell_flow", "shell_heat_capacity")} | {"plugged": "0 0"}
    with pytest.raises(BadInput, match="shell_flow: give it with shell_heat_capacity"):
        worked("plugged-duty", **keys)
    assert worked("plugged-duty", **keys, holds="yes", shell="J12").si("duty") > 0


def test_a_duty_that_cannot_be_is_refused_with_the_most_there_is() -> None:
    keys = {k: v for k, v in CASE.items() if k != "shell_film"} | {"plugged": "0 0", "design_duty": "9000 kW"}
    with pytest.raises(BadInput, match="design duty 9000 kW cannot come of these flows"):
        worked("plugged-duty", **keys)


def test_the_passes_it_goes_past_must_be_there() -> None:
    with pytest.raises(BadInput, match="past: '1-3' where there are 2 passes"):
        worked("rib-duty", **CASE, plugged="0 0", share="0.1", past="1-3")
    with pytest.raises(BadInput, match="the first and the last pass"):
        worked("rib-duty", **CASE, plugged="0 0", share="0.1", past="2-1")


def test_more_than_the_flow_through_a_gap_is_told() -> None:
    got = worked("rib-bypass", gap="20 mm", length="1 m", pressure_difference="50 kPa", density="1000 kg/m3", flow="40 kg/s")
    assert "More than the whole flow would go past" in got.findings[0].text
    assert "No pressure test shows it" in got.findings[-1].text


HOT_SHELL = CASE | {
    "holes": "115 115 115 115", "tube_wall": "2.11 mm", "tube_length": "6 m", "tube_flow": "20 kg/s", "tube_density": "990 kg/m3",
    "tube_viscosity": "0.7 mPa.s", "shell_flow": "15 kg/s", "shell_inlet": "120 degC", "shell_film": "3000 W/m2.K",
    "tube_fouling": "0.0001 m2.K/W", "shell_fouling": "0.0001 m2.K/W",
}  # fmt: skip


@pytest.mark.computed
def test_a_duty_that_rises_with_the_plugs_is_counted_as_no_gain() -> None:
    """Temperatures cross in a large four-pass shell: two other solutions of the same zones gave a rise too."""
    got = worked("plugged-duty", **HOT_SHELL, plugged="6 39 41 67")
    assert got.si("duty_ratio") > 1.01
    assert any(f.level == "warn" and "Count it as no loss, never as a gain" in f.text for f in got.working.all_findings())
    none = worked("plugged-duty", **HOT_SHELL, plugged="0 0 0 0")
    assert none.si("duty_ratio") == 1
    assert not any("never as a gain" in f.text for f in none.working.all_findings())


@pytest.mark.practice
def test_flow_that_was_not_turbulent_before_the_plugs_is_told_too() -> None:
    """80 of 100 tubes plugged: Reynolds number 2 944 before is 14 718 after, and the comparison rests on the first as well."""
    got = worked("plugged-duty", **CASE | {"holes": "100 100", "tube_flow": "2.4 kg/s"}, plugged="80 80")
    assert got.working["Re_1"] < 10000 < got.working["Re_2"]
    assert any("not fully turbulent" in f.text for f in got.working.all_findings())


def test_a_shell_at_one_temperature_has_no_flow_of_its_own() -> None:
    with pytest.raises(BadInput, match="holds: with yes the shell stays at its inlet temperature; leave shell_flow"):
        worked("plugged-duty", **CASE | {"holds": "yes"}, plugged="0 0")


@pytest.mark.computed
@pytest.mark.parametrize(
    ("ntu", "ratio", "most"),
    [("50", "0.9999", 0.980440), ("10000", "0.9999", 0.999942), ("10000", "2", 0.5), ("3", "1", 0.75), ("2", "3", 0.329239)],
)
def test_counterflow_near_equal_flows_and_very_large(ntu: str, ratio: str, most: float) -> None:
    """(1 - e)/(1 - R e), e = exp(-N (1 - R)), by hand to six figures; N/(1 + N) where both flows are worth the same; 1/R at the end."""
    got = worked("effectiveness", passes="1", ntu=ntu, ratio=ratio)
    assert got.si("counterflow") == pytest.approx(most, abs=2e-6)
    assert got.si("effectiveness") <= got.si("counterflow") * (1 + 1e-7)
    if "correction" in got.values:
        assert got.si("correction") == pytest.approx(1, abs=1e-4)


def test_no_surface_has_nothing_to_lose() -> None:
    with pytest.raises(BadInput, match="accepted: over 0"):
        worked("turned-bundle", passes="2", ntu="0", ratio="1")
