"""A file that reads gives numbers or says what is missing: it never raises, however odd its values are."""

from __future__ import annotations

from dataclasses import replace
from importlib.resources import files

import pytest

from boxup.core.quantity import quantity
from boxup.exchanger.file import load, read
from boxup.job.lifting import heaviest, places_in
from boxup.job.numbers import numbers

DATA = files("boxup.demo") / "data"
TAGS = ("14-E-103", "14-E-104", "14-E-108")


def changed(tag: str, section: str, key: str, value: str) -> str:
    """The demo's text with one value replaced."""
    lines, inside = (DATA / f"{tag}.toml").read_text("utf-8").split("\n"), False
    for n, line in enumerate(lines):
        if line.startswith("["):
            inside = line.split("]")[0] == f"[{section}"
        elif inside and line.split("=")[0].strip() == key:
            lines[n] = f'{key} = "{value}"'
    return "\n".join(lines)


@pytest.mark.parametrize(
    ("tag", "section", "key", "value"),
    [
        ("14-E-103", "shell", "length", "500 mm"),  # no room left: it raised for a volume below nothing
        ("14-E-103", "shell_side", "stress_test", "1300 MPa"),  # a ratio of 9.4: 211 bar
        ("14-E-103", "shell_side", "mawp", "99 MPa"),  # past the water equation once multiplied
        ("14-E-103", "shell_side", "mdmt", "240 degC"),  # water that would be steam
        ("14-E-103", "channel", "length", "1e150 mm"),
        ("14-E-103", "channel_cover", "outside_diameter", "1e300 mm"),
        ("14-E-103", "shell", "inside_diameter", "1e300 mm"),
        ("14-E-104", "shell", "wall", "1e-200 mm"),
        ("14-E-104", "shell", "length", "1e-9 mm"),
        ("14-E-108", "tubes", "length", "1e200 mm"),
        ("14-E-108", "rear_head", "length", "1e250 mm"),
    ],
)
def test_odd_values_are_missing_and_no_error(tag: str, section: str, key: str, value: str) -> None:
    x, problems = read(changed(tag, section, key, value))
    if x is None:
        assert [p for p in problems if p.level == "error"]
        return
    n = numbers(x)
    assert all(len(m.text) > 20 for m in n.missing())


def test_blinds_of_a_job_are_judged_and_a_thin_one_stops_it() -> None:
    x = load(str(DATA / "14-E-103.toml"))
    good = numbers(x)
    assert not [m for m in good.missing() if "blind" in m.number]
    assert not [f for f in good.findings() if f.level == "stop" and "blind" in f.text]
    thin = replace(x, blinds=tuple(replace(b, thickness=quantity("6 mm", "mm")) if b.id == "TB1" else b for b in x.blinds))
    stops = [f.text for f in numbers(thin).findings() if f.level == "stop"]
    assert any("Test blind TB1" in t and "6 mm" in t and "25.4 mm" in t for t in stops)


@pytest.mark.computed
@pytest.mark.parametrize("tag", ["14-E-103", "14-E-104", "22-E-201A"])
def test_the_hook_carries_most_at_the_ends_of_a_stage(tag: str) -> None:
    """Two places of a stage are worked for its gear; no other row of the table asks for more."""
    x = load(DATA / f"{tag}.toml")
    n = numbers(x)
    for stage in ("front", "held"):
        most = max(way.stand(m).hook[1] / way.working["W"] for way in n.ways for m in places_in(way, stage))  # of its weight on that way
        found = heaviest(n.ways, stage)
        assert found.load / found.weight == pytest.approx(most, rel=1e-9)
