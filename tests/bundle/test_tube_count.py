"""Counts of tubes, and the wall of a bend before bending. Printed counts: tests/evidence."""

from __future__ import annotations

import pytest

from boxup.core.calculation import Answer, BadInput
from boxup.job.calculations import find

SHELL = {"shell_id": "590.55 mm", "tube_od": "19.05 mm", "pitch": "25.4 mm", "pattern": "90", "passes": "4", "clearance": "43 mm"}


def worked(name: str, **keys: str) -> Answer:
    c = find(name)
    return c.run(c.parse(keys))


def test_answers_are_the_promised_ones() -> None:
    got = worked("tube-count", **SHELL).as_json()["answers"]
    assert set(got) == {"tubes", "imbalance", "outer_limit", "lane", "by_pass"}
    counts = got["by_pass"]["value"]
    assert sum(counts) == got["tubes"]["value"]
    assert len(counts) == 4
    assert got["imbalance"]["value"] == pytest.approx((max(counts) - min(counts)) * 4 / sum(counts))
    assert (got["tubes"]["unit"], got["imbalance"]["unit"], got["lane"]["unit"]) == ("count", "-", "mm")


def test_one_pass_has_no_lane() -> None:
    got = worked("tube-count", **SHELL | {"passes": "1"})
    assert "lane" not in got.as_json()["answers"]
    assert got.lists["by_pass"][0] == [got.si("tubes")]


@pytest.mark.practice
@pytest.mark.parametrize(("rear", "clearance"), [("S", 35.0), ("M", 10.0), ("T", 135.0), ("W", 38.0)])
def test_the_usual_clearance_of_the_rear_head_is_told(rear: str, clearance: float) -> None:
    got = worked("tube-count", **{k: v for k, v in SHELL.items() if k != "clearance"} | {"rear": rear})
    assert got.si("outer_limit") * 1e3 == pytest.approx(590.55 - clearance)
    assert any(f"rear head {rear}" in f.text for f in got.findings)


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        ({"passes": "2.5"}, "passes: '2.5' is not a whole number"),
        ({"passes": "17"}, "passes: '17' is out of range"),
        ({"passes": "3", "layout": "two-column"}, "layout: a two-column layout has an even number"),
        ({"pattern": "50"}, "pattern: '50' is not accepted; accepted: 30, 45, 60, 90"),
        ({"pitch": "19 mm"}, "pitch: 19 mm is less than the tube diameter"),
        ({"lane": "20 mm"}, "lane: 20 mm is less than the pitch"),
        ({"clearance": "600 mm"}, "clearance: 600 mm leaves nothing"),
        ({"clearance": "580 mm"}, "no tube of 19.05 mm lies inside"),
        ({"passes": "16", "clearance": "480 mm"}, "16 passes do not fit inside an outer tube limit of 110.55 mm"),
    ],
)
def test_what_cannot_be_is_refused_with_the_reason(keys: dict[str, str], says: str) -> None:
    with pytest.raises(BadInput) as refused:
        worked("tube-count", **SHELL | keys)
    assert says in str(refused.value)


def test_the_largest_shell_accepted_is_laid_out() -> None:
    got = worked("tube-count", shell_id="9000 mm", tube_od="50 mm", pitch="70 mm", pattern="30", passes="2")
    assert got.si("tubes") > 10000


def test_a_tight_bend_is_said() -> None:
    assert worked("bend-wall", tube_od="20 mm", bend_radius="30 mm", wall="2 mm").findings == []
    tight = worked("bend-wall", tube_od="20 mm", bend_radius="29 mm", wall="2 mm")
    assert [f.level for f in tight.findings] == ["warn"]


@pytest.mark.parametrize(
    ("keys", "says"), [({"wall": "10 mm"}, "wall: 10 mm is half"), ({"bend_radius": "10 mm"}, "bend_radius: 10 mm is half")]
)
def test_a_bend_that_cannot_be_is_refused(keys: dict[str, str], says: str) -> None:
    with pytest.raises(BadInput) as refused:
        worked("bend-wall", **{"tube_od": "20 mm", "bend_radius": "30 mm", "wall": "2 mm"} | keys)
    assert says in str(refused.value)


@pytest.mark.computed
def test_u_tubes_have_room_for_their_bends() -> None:
    """Rows laid by hand in another program: 590.55 mm, 10 mm clearance, 19.05 on 23.8125 mm, 30 degrees, two passes: 488 holes with 38.1 mm
    between the legs; 464 with 57.15 mm, which is a bend of 1.5 tube diameters."""
    shell = {"shell_id": "23.25 in", "tube_od": "0.75 in", "pitch": "0.9375 in", "pattern": "30", "passes": "2", "clearance": "10 mm"}
    assert worked("tube-count", **shell, rear="M").si("tubes") == 488
    bent = worked("tube-count", **shell, rear="U")
    assert bent.si("tubes") == 464
    assert bent.working["lane_u"] * 1e3 == pytest.approx(57.15)
    assert bent.si("lane") * 1e3 == pytest.approx(38.1)  # of the pass plate, as before
    assert worked("tube-count", **shell, rear="U", lane="70 mm").working["lane_u"] * 1e3 == pytest.approx(70)


@pytest.mark.practice
@pytest.mark.parametrize(
    ("keys", "says"),
    [
        ({"passes": "3"}, "so the number is even"),
        ({"passes": "1"}, "so the number is even"),
        ({"passes": "4", "layout": "band"}, "no mirror images; accepted: quadrant"),
    ],
)
def test_u_tubes_lie_so_that_their_legs_face_each_other(keys: dict[str, str], says: str) -> None:
    with pytest.raises(BadInput) as refused:
        worked("tube-count", **SHELL | keys, rear="U")
    assert says in str(refused.value)
    assert len(worked("tube-count", **SHELL | {"passes": "4"}, rear="U").lists["by_pass"][0]) == 4


@pytest.mark.practice
def test_a_lane_that_eats_the_bundle_is_said() -> None:
    """400 mm for 40: a third of a limit of 547.55 mm is 182.5."""
    two = SHELL | {"passes": "2"}
    wide = worked("tube-count", **two, lane="183 mm")
    assert [f.level for f in wide.findings if "third of the bundle" in f.text] == ["warn"]
    assert not [f for f in worked("tube-count", **two, lane="182 mm").findings if "third of the bundle" in f.text]
