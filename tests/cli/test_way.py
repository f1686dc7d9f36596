"""`boxup lift` on where to hold a bundle and on its way: a place by metres in or out, the tables, refusals."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from boxup.cli.main import cli
from boxup.demo.fleet import FOCUS, files_of_the_demo

FILE = str(files_of_the_demo()[FOCUS])


def run(*words: str) -> tuple[int, str]:
    result = CliRunner().invoke(cli, ["lift", *words])
    return result.exit_code, result.output


@pytest.mark.demo
def test_a_place_going_in_and_the_same_place_coming_out() -> None:
    """3.8 m in is 6.096 - 3.8 = 2.296 m out."""
    code, said = run(FILE, "--in", "3.8 m")
    assert code == 0
    assert said.startswith("the bundle going in: 3.80 m (12.5 ft) in, 2.30 m (7.5 ft) out")
    assert "STOP and look at; also at a quarter over what it was" in said
    assert "the person in charge of the lift decide" in said
    code, out = run(FILE, "--out", "2.296 m")
    assert out.startswith("the bundle coming out: 3.80 m (12.5 ft) in")
    assert "Never pressure, steam, air or water behind a bundle." in out


@pytest.mark.demo
def test_one_place_for_machines() -> None:
    code, said = run(FILE, "--in", "2 m", "--json")
    found = json.loads(said)
    assert code == 0
    assert found["metres_in"] == pytest.approx(2.0)
    assert found["slings"] == "front"
    assert found["values"]["R_h"]["value"] == pytest.approx(17.48, abs=0.01)  # 42.096 kN x (4.096 - 2.952)/(4.096 - 1.34)


@pytest.mark.demo
def test_tables_of_both_ways_and_of_holding() -> None:
    _, said = run(FILE)
    assert "two slings as planned" in said
    assert "rear sling off before 1.09 m" in said
    assert "front sling on with 1.59 m" in said
    assert "clear, all of it at the top: 5.0 mm (0.196 in) by the drawing" in said
    _, raw = run(FILE, "--json")
    found = json.loads(raw)
    assert [p["metres_in"] for p in found["going_in"]["places"]][:3] == [0.5, 1.0, 1.5]
    assert {p["name"] for p in found["holding"]["parts"]} >= {"one narrow sling", "one saddle", "two slings as planned"}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--in", "7 m"), "not on its way"),
        (("--in", "0 m"), "not on its way"),
        (("--out", "0 m"), "not on its way"),
        (("--in", "3 kg"), "--in"),
        (("--in", "3"), "--in"),
        (("--in", "3 m", "--out", "2 m"), "one of the two"),
    ],
)
def test_a_place_that_is_none_is_refused(words: tuple[str, ...], said: str) -> None:
    code, out = run(FILE, *words)
    assert code == 2, out
    assert said in out


def test_a_fixed_bundle_has_no_way() -> None:
    code, out = run(str(files_of_the_demo()["14-E-108"]), "--in", "2 m")
    assert code == 2
    assert "no bundle" in out


@pytest.mark.demo
@pytest.mark.parametrize(
    ("tag", "rides", "lift", "alone"),
    [("22-E-201A", "channel", "8 500 kg", "6 190 kg"), ("14-E-106", "floating head", "5 500 kg", "5 310 kg")],
)
def test_what_hangs_is_one_set_of_figures(tag, rides, lift, alone):
    """The lift is planned on the bundle with what rides on it: `bundle` and `lift` say the same mass and centre of gravity."""
    file = str(files_of_the_demo()[tag])
    bundle, slings = (CliRunner().invoke(cli, [c, file]).output.replace("\u202f", " ") for c in ("bundle", "lift"))
    assert f"lift mass    {lift}" in bundle
    assert alone not in bundle
    assert lift in slings.partition("\n\n")[0]
    assert f"bundle with its {rides}, dry" in bundle
    assert "of that the bundle alone" in bundle
    centre = next(line.split()[2] for line in bundle.splitlines() if line.startswith("  fouled cg"))
    assert f"  {centre} m" in slings.partition("\n\n")[0]
