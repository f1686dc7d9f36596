"""Which tests, in which order, and what each proves: for every pair of letters, with AES, BEU and BEM line by line."""

from __future__ import annotations

import itertools

import pytest

from boxup.exchanger.joints import joints_of
from boxup.exchanger.letters import FRONTS, REARS, SHELLS, BadLetters, letters
from boxup.hydro.plan import STEPS, plan, plan_of


def planned(type_: str, **options: bool):
    return plan(letters(type_), options)


def every_type():
    for a, b, c in itertools.product(FRONTS, SHELLS, REARS):
        try:
            yield letters(a + b + c)
        except BadLetters:
            continue


# ---- the three that need full care ----------------------------------------------------------------------------------------------------


@pytest.mark.practice
def test_aes_ring_test_then_tube_side_then_last_shell_test():
    """Sequence of three for a floating head: ring test, floating-head test, last shell test (inspectors' slides; common practice)."""
    ring, tube, last = planned("AES")
    assert [t.code for t in (ring, tube, last)] == ["S1", "T", "S2"]
    assert [t.step for t in (ring, tube, last)] == ["STEST1", "TTEST", "STEST2"]
    assert [t.side for t in (ring, tube, last)] == ["shell", "tube", "shell"]
    assert ring.needs_ring
    assert ring.end_push
    assert any("split ring" in part for part in ring.off)
    assert "both tube ends bare" in ring.open
    assert tube.off == ("shell cover",)
    assert any("split ring" in part for part in tube.on)
    assert "shell empty" in tube.open
    assert last.off == ("nothing",)
    assert "tube side empty" in last.open
    assert not last.needs_ring
    # J1 channel cover, J2 channel to tubesheet, J3 tubesheet to shell, J4 floating head, J5 shell cover
    assert (ring.proves, tube.proves, last.proves) == (("J3",), ("J1", "J2", "J4"), ("J3", "J4", "J5"))
    assert (ring.final, tube.final, last.final) == (("J3",), ("J1", "J2", "J4"), ("J3", "J5"))


@pytest.mark.practice
def test_beu_needs_a_front_ring_and_so_a_last_shell_test():
    ring, tube, last = planned("BEU")
    assert [t.code for t in (ring, tube, last)] == ["S1", "T", "S2"]
    assert any("front test ring" in g for g in ring.gear)
    assert not any("rear test ring" in g for g in ring.gear)
    assert not ring.end_push
    assert ring.proves == ("J2",)
    assert ring.final == ()  # the ring comes off again and the gasket loses its load
    assert last.final == ("J2",)
    assert tube.proves == ("J1",)


@pytest.mark.practice
def test_bem_needs_no_ring_and_no_third_test():
    shell, tube = planned("BEM")
    assert [t.code for t in (shell, tube)] == ["S1", "T"]
    assert not shell.gear
    assert not shell.end_push
    assert shell.proves == ()  # both sheets are welded in: no bolted joint on the shell side
    assert any("tube joints" in a for a in shell.also)
    assert tube.proves == tube.final == ("J1", "J2")
    assert any("expansion joint" in part for part in shell.on)


# ---- the rest -------------------------------------------------------------------------------------------------------------------------


@pytest.mark.practice
@pytest.mark.parametrize(
    ("type_", "codes"),
    [("BES", "S1 T S2"), ("AET", "S1 T S2"), ("AKT", "B S1 T S2"), ("AEP", "S1 T"), ("BEP", "S1 T S2"), ("AEW", "S1 T S2"), ("AEU", "S1 T"),
     ("CEU", "S1 T"), ("NEN", "S1 T"), ("AEL", "S1 T"), ("DEU", "T S2"), ("DEM", "T"), ("DES", "T S2"), ("DKT", "B T S2")],
)  # fmt: skip
def test_order_of_the_tests(type_: str, codes: str):
    assert [t.code for t in planned(type_)] == codes.split()


@pytest.mark.practice
@pytest.mark.parametrize(
    ("type_", "rings"), [("AES", 1), ("BES", 2), ("AEP", 0), ("BEP", 1), ("AEW", 1), ("AEU", 0), ("BEU", 1), ("BEM", 0)]
)
def test_rings(type_: str, rings: int):
    first = planned(type_)[0]
    assert sum(g.startswith(("front test ring", "rear test ring")) for g in first.gear) == rings


@pytest.mark.practice
@pytest.mark.parametrize(("type_", "free"), [("AES", True), ("AET", True), ("AEP", True), ("AEW", True), ("AEU", False), ("BEM", False)])
def test_where_the_rear_is_free_to_move(type_: str, free: bool):
    assert planned(type_)[0].end_push is free


def test_options_are_heeded():
    assert [t.code for t in planned("AES", st1=False)] == ["T", "S2"]
    assert [t.code for t in planned("AEU", st1=False)] == ["T", "S2"]  # without a first shell test there is a last one
    assert [t.code for t in planned("AEU", st2=True)] == ["S1", "T", "S2"]
    assert [t.code for t in planned("AET", sc=False)] == ["B", "S1", "T", "S2"]
    assert [t.code for t in planned("AET", sc=False, pulled=False)] == ["S1", "T", "S2"]


def test_every_joint_of_every_type_is_proved_with_its_last_gasket():
    """No joint the letters call for may be left without a test that is final for it."""
    seen = 0
    for kind in every_type():
        final = {j for t in plan(kind) for j in t.final}
        proved = {j for t in plan(kind) for j in t.proves}
        left = {j.id for j in joints_of(kind)} - final
        assert final <= proved, kind
        assert not left, f"{kind}: {left}"
        seen += 1
    assert seen > 200


def test_every_type_has_a_tube_side_test_with_the_shell_open():
    for kind in every_type():
        tube = [t for t in plan(kind) if t.code == "T"]
        assert len(tube) == 1, kind
        assert tube[0].side == "tube"
        assert "shell empty" in tube[0].open


def test_the_other_side_is_always_said_to_be_open_and_every_test_has_a_vent():
    for kind in every_type():
        for t in plan(kind):
            assert t.step == STEPS[t.code]
            assert any(w in t.open for w in ("empty", "sight")), (kind, t.code)
            assert t.vent
            assert t.shows
            assert t.on


def test_no_test_claims_a_pass_rib():
    for kind in every_type():
        assert not any("rib" in part for t in plan(kind) for part in t.also)
    assert all(any("pass ribs" in c for c in t.cannot_prove) for t in planned("AES")[:2])


def test_own_joint_numbers_are_used(make):
    x = make("AES")
    assert [t.proves for t in plan_of(x)] == [t.proves for t in planned("AES")]


@pytest.mark.practice
def test_where_water_shows_is_told_for_that_test_only():
    ring, tube, last = planned("AES")
    assert {"bore", "ring-of-end", "ring-packing", "front-edge-1"} <= {leak.id for leak in ring.leaks}
    assert {"head", "shell-drain", "front-edge-t", "cover-edge", "ribs"} <= {leak.id for leak in tube.leaks}
    assert {"shell-cover", "tube-drain", "front-edge-2", "other-gauge"} <= {leak.id for leak in last.leaks}
    assert "shell-cover" not in {leak.id for leak in ring.leaks}
    assert "ring-packing" not in {leak.id for leak in planned("AEU")[0].leaks}
    assert "bellows" in {leak.id for leak in planned("BEM")[0].leaks}


def test_nothing_is_tightened_with_pressure_on():
    for kind in (letters(t) for t in ("AES", "BEU", "BEM", "AEP", "AEW", "AKT")):
        for t in plan(kind):
            for leak in t.leaks:
                if any(word in leak.do for word in ("tighten", "nip", "take up", "gasket")) and "before closing" not in leak.do:
                    assert leak.do.startswith("gauge at 0, vent open"), leak.id


def test_a_sheet_speaks_only_of_what_the_exchanger_has():
    """Common practice: a crew that reads of an expansion joint that is not there stops trusting the sheet."""

    def whole(letters_, options):
        tests = plan(letters(letters_), options)
        return " ".join(str(t) for t in tests)

    assert "expansion joint" not in whole("BEM", {"xj": False})
    assert "expansion joint" in whole("BEM", {"xj": True})
    assert "channel cover" not in whole("BEM", {"xj": False})
    assert "edge of the stationary tubesheet" not in whole("BEM", {"xj": False})
    assert "channel cover" in whole("AES", {})
    assert "edge of the stationary tubesheet" in whole("AES", {})
    assert "[" not in whole("AES", {}).replace("PlannedTest(", "").split("cite")[0]
