"""The demo exchangers: their orders read as a crew would do them, and their vents stand in the pass that is written beside them."""

import itertools
import re
from dataclasses import replace
from importlib import resources
from math import cos, radians, sin
from pathlib import Path

import pytest

from boxup.exchanger.file import load
from boxup.exchanger.joints import joints_of
from boxup.exchanger.letters import FRONTS, REARS, BadLetters, letters
from boxup.exchanger.model import Joint
from boxup.job.flags import FlagError
from boxup.job.lists import scope_of
from boxup.job.order import all_needs, order
from boxup.job.picture import changes

FOLDER = Path(str(resources.files("boxup.demo") / "data"))
TAGS = ("14-E-103", "14-E-104", "14-E-108")


@pytest.fixture(scope="module")
def demo():
    return {tag: load(FOLDER / f"{tag}.toml") for tag in TAGS}


@pytest.fixture(scope="module")
def lines(demo):
    return {tag: [one.instance for one in order(scope_of(x))] for tag, x in demo.items()}


def codes(line, *steps):
    return [one.code for one in line if one.step.code in steps]


@pytest.mark.practice
def test_a_floating_head_is_stripped_from_the_outside_in(lines):
    """Pipes off the channel, then each part in its turn with its own weight on the hook."""
    stripped = codes(lines["14-E-103"], "BREAK", "SUPPORT_OFF")
    assert stripped[stripped.index("BREAK:N3") :] == [
        "BREAK:N3", "BREAK:N4",
        "SUPPORT_OFF:channel-cover", "BREAK:J1",
        "SUPPORT_OFF:channel", "BREAK:J2", "BREAK:J3",
        "SUPPORT_OFF:shell-cover", "BREAK:J5",
        "SUPPORT_OFF:floating-head", "BREAK:J4",
    ]  # fmt: skip


@pytest.mark.practice
@pytest.mark.parametrize("tag", TAGS)
def test_the_plant_comes_back_to_closed_nozzles(lines, tag):
    """Process blinds of the demo hang at the far end of their spools: every nozzle and drain of the side is shut before one is pulled."""
    line = [one.code for one in lines[tag]]
    for blind, nozzle in (("B1", "N1"), ("B2", "N2"), ("B3", "N3"), ("B4", "N4")):
        wanted = [f"TBLIND_OUT:T{blind}", f"SPOOL_ON:{nozzle}", f"NOZ_TORQ:{nozzle}", f"ZERO_OUT:{blind}", f"BLIND_OUT:{blind}"]
        assert [code for code in line if code in wanted] == wanted
    assert max(line.index(code) for code in line if code.startswith("SB_IN")) < line.index("BLIND_OUT:B1")


@pytest.mark.practice
def test_rig_stands_before_the_pull(lines):
    line = [one.code for one in lines["14-E-103"]]
    assert line.index("BREAK:J4") < line.index("RIG_PULL") < line.index("EXCL_PULL") < line.index("PULL")


@pytest.mark.practice
def test_the_drain_of_the_shell_cover_is_not_ticked_for_the_ring_test(lines):
    line = lines["14-E-103"]
    assert "SB_S:D2" not in codes(line, "SB_S")
    assert codes(line, "SC_ON", "SB_S2", "FILL_S2") == ["SC_ON:J5", "SB_S2:D2", "FILL_S2:S2"]


@pytest.mark.practice
def test_hot_check_is_of_joints_somebody_can_see(lines):
    checked = codes(lines["14-E-103"], "HOTCHK")
    assert "HOTCHK:J4" not in checked, "the floating head is inside the shell"
    assert {"HOTCHK:J1", "HOTCHK:J2", "HOTCHK:J5", "HOTCHK:N1"} <= set(checked)


@pytest.mark.practice
@pytest.mark.parametrize(
    ("tag", "look", "gasket", "close"),
    [
        ("14-E-103", "FME_CHAN", "GKT_CC", "CC_ON"),
        ("14-E-103", "FME_REAR", "GKT_FH", "FH_ON"),
        ("14-E-103", "FME_SC", "GKT_SC", "SC_ON"),
        ("14-E-104", "FME_CHAN", "GKT_CHTS", "CHAN_ON"),
        ("14-E-108", "FME_CHAN", "GKT_CHTS", "CHAN_ON"),
    ],
)
def test_look_then_gasket_then_close(lines, tag, look, gasket, close):
    assert [one.step.code for one in lines[tag] if one.step.code in (look, gasket, close)] == [look, gasket, close]


@pytest.mark.computed
@pytest.mark.parametrize(("tag", "most"), [("14-E-103", 14), ("14-E-104", 9), ("14-E-108", 8)])
def test_phases_are_not_left_and_come_back_to_for_nothing(lines, tag, most):
    """Counted in the order itself. Each return that is left is a test between two pieces of boxing up, or lagging after the hot check."""
    assert sum(one.step.phase != other.step.phase for one, other in itertools.pairwise(lines[tag])) <= most


@pytest.mark.practice
def test_staying_in_a_phase_brings_no_test_preparation_forward(lines):
    """The test ring comes out at once after its test, but nobody sets a relief valve or blanks a channel hours before that fill."""
    line = [one.step.code for one in lines["14-E-103"]]
    assert line[line.index("STEST1_DRAIN") + 1] == "TRING_OFF"
    for early, late in (("CC_ON", "TBLIND_T"), ("FH_TORQ", "RV_T"), ("TTEST_DRAIN", "RV_S2")):
        assert line.index(early) < line.index(late)


def test_every_type_of_the_room_has_a_legal_order_with_its_items(demo):
    """Joints of all letters under the names the exchanger's own list gives them, blinds at either place: nothing floats past the file."""
    base, tried = demo["14-E-103"], 0
    for front, shell, rear in itertools.product(FRONTS, "EFK", REARS):
        try:
            type_ = letters(front + shell + rear)
        except BadLetters:
            continue
        joints = tuple(Joint(id=j.id, kind=j.kind, between=j.between, sides=j.sides, ribs_end=j.ribs_end) for j in joints_of(type_, {}))
        for at in ("far end", "nozzle"):
            blinds = tuple(replace(b, at=at) for b in base.blinds if at == "far end" or b.use == "process")
            x = replace(base, letters=type_, options={}, joints=joints, blinds=blinds)
            try:
                scope = scope_of(x)
            except FlagError:
                continue
            placed = order(scope)
            seen = set()
            for one in placed:
                assert {need.step for need in one.needs} <= seen
                seen.add(one.instance.code)
            assert all_needs(scope, "FILE") == set(scope.instances) - {"FILE"}, (type_, at)
            assert list(changes(x, scope.flags, [one.instance for one in placed]))
            tried += 1
    assert tried > 150


PASSES = re.compile(r"top of pass(?:es)? (\d)(?: and (\d))?")


def pass_at(exchanger, opening):
    """The pass whose tube row lies nearest in height to a vent in the channel wall; of two rows at one height, the one on its side."""
    angle = radians(30 * opening.clock.si)  # a clock hand: 12 is up, 3 is to the right as seen from the front
    x, y = sin(angle), exchanger.channel.inside_diameter.si / 2 * cos(angle)
    nearest = min(abs(row.y.si - y) for row in exchanger.tubes.rows)
    rows = [row for row in exchanger.tubes.rows if abs(abs(row.y.si - y) - nearest) < 1e-9]
    return rows[0 if x < 0 or len(rows) == 1 else 1].tube_pass


@pytest.mark.demo
@pytest.mark.parametrize("tag", TAGS)
def test_a_vent_stands_in_the_pass_its_place_names(demo, tag):
    """A vent above the pass plate does not vent the pass below it."""
    told = [(o, PASSES.search(o.place)) for o in demo[tag].openings if o.kind == "vent"]
    named = [(o, {int(n) for n in found.groups() if n}) for o, found in told if found]
    assert named
    for opening, passes in named:
        assert pass_at(demo[tag], opening) in passes, f"{opening.id} at {opening.clock.typed} o'clock: {opening.place}"


@pytest.mark.demo
def test_the_vent_check_can_fail(demo):
    """The positions that were wrong before: 9.25 and 2.75 are over the middle plate."""
    for tag, id_, was in (("14-E-104", "V4", 9.25), ("14-E-108", "V3", 2.75)):
        opening = next(o for o in demo[tag].openings if o.id == id_)
        wrong = replace(opening, clock=replace(opening.clock, si=was))
        assert pass_at(demo[tag], wrong) != pass_at(demo[tag], opening)
