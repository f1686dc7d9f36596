import pytest

from boxup.job.scope import ScopeError, scope_of_letters, scope_of_lists
from boxup.job.steps import StepError


def codes(scope, step):
    return [one.code for one in scope.by_step[step]]


def test_bare_letters_give_bare_codes():
    scope = scope_of_letters("AES")
    assert "BLIND_OUT" in scope.instances
    assert not any(":" in code for code in scope.instances)
    assert scope.findings == ()
    assert [one.code for one in scope.named("GKT_FH")] == ["GKT_FH"]


def test_steps_that_do_not_exist_are_not_there():
    assert {"SPLIT", "TRING", "SC_ON"} <= set(scope_of_letters("AES").instances)
    assert not {"SPLIT", "TRING", "SC_ON", "CC_ON", "PULL"} & set(scope_of_letters("BEM").instances)
    assert "PIERCE" not in scope_of_letters("AES", "no-plugs").instances
    assert "PIERCE" in scope_of_letters("AES", {"plugs": True}).instances


def test_items_become_instances(aes):
    assert codes(aes, "BLIND_OUT") == ["BLIND_OUT:B1", "BLIND_OUT:B2", "BLIND_OUT:B3", "BLIND_OUT:B4"]
    assert codes(aes, "TBLIND_S") == ["TBLIND_S:X1"]
    assert codes(aes, "TBLIND_OUT") == ["TBLIND_OUT:X1", "TBLIND_OUT:X3"]
    assert codes(aes, "GKT_FH") == ["GKT_FH:J4"]
    assert codes(aes, "GKT_CHTS") == ["GKT_CHTS:J2"]
    assert codes(aes, "GKT_SHELLTS") == ["GKT_SHELLTS:J3"]
    assert codes(aes, "GIRTH_TORQ") == ["GIRTH_TORQ:J2"], "one set of studs is pulled once"
    assert codes(aes, "NOZ_SLACK") == ["NOZ_SLACK:N3", "NOZ_SLACK:N4"]
    assert codes(aes, "SB_S") == ["SB_S:D1", "SB_S:V2"], "the cover is off in the ring test, and its drain with it"
    assert codes(aes, "SB_S2") == ["SB_S2:D2"]
    assert codes(aes, "STEST1") == ["STEST1:T1"]
    assert codes(aes, "RV") == ["RV:T1", "RV:T2", "RV:T3"]
    assert codes(aes, "SUPPORT_OFF") == [f"SUPPORT_OFF:L{n}" for n in (1, 2, 4, 5)], "the hook does not hold the bundle at the break"
    assert codes(aes, "PLUG") == ["PLUG:9-14", "PLUG:2-6"]
    assert codes(aes, "ZERO") == ["ZERO:shell", "ZERO:tube"], "both sides, though nobody listed them"
    assert codes(aes, "INSERT") == ["INSERT"]
    assert len(codes(aes, "BREAK")) == 9, "process nozzles are joints too"
    assert len(codes(aes, "SPOOL_ON")) == 4, "every spool was dropped"
    assert aes.findings == ()


def test_one_girth_joint_without_a_side_takes_both_gaskets():
    scope = scope_of_lists("AES", "", {"joints": [{"id": "J2", "kind": "channel/shell joint"}]})
    assert codes(scope, "GKT_CHTS") + codes(scope, "GKT_SHELLTS") + codes(scope, "GIRTH_SNUG") == [
        "GKT_CHTS:J2",
        "GKT_SHELLTS:J2",
        "GIRTH_SNUG:J2",
    ]


@pytest.mark.practice
def test_a_joint_that_is_left_alone_has_no_work(listed):
    """With the bundle left in, an A channel stays on: its joint is not broken, and nobody slings channel or bundle."""
    scope = listed("floating_head", "no-pulled")
    assert not {"BREAK:J2", "BREAK:J3", "INSP_FACE:J2", "BOLT_PREP:J2", "BOLTREC:J2", "SUPPORT_OFF:L2", "LIFTPLAN:LB"} & set(
        scope.instances
    )
    assert {"BREAK:J1", "BREAK:J5", "BREAK:J4", "SUPPORT_OFF:L1"} <= set(scope.instances)


@pytest.mark.practice
def test_a_nozzle_with_its_blind_in_its_own_joint_is_not_dropped(listed):
    scope = listed("blinds_at_the_nozzle")
    assert codes(scope, "BREAK")[:2] == ["BREAK:N3", "BREAK:J1"], "breaking N1 would drop the blind that is in it"
    assert codes(scope, "SPOOL_ON") == ["SPOOL_ON:N3"]
    assert codes(scope, "NOZ_TORQ") == ["NOZ_TORQ:N1", "NOZ_TORQ:N2", "NOZ_TORQ:N3"]
    assert not [finding for finding in scope.findings if finding.level == "stop"]


@pytest.mark.practice
@pytest.mark.parametrize(("blind", "nozzle"), [("B3", "N3"), ("B1", "N1")])
def test_a_blind_that_would_drop_is_a_stop(blind, nozzle):
    """The channel comes off with N3; a test blind is listed for N1: either way the joint with the spade in it is broken."""
    lists = {
        "nozzles": [{"id": "N1", "side": "shell"}, {"id": "N3", "side": "tube"}],
        "blinds": [{"id": blind, "kind": "process", "nozzle": nozzle}, {"id": "X1", "kind": "test", "nozzle": "N1"}],
    }
    stops = [finding.text for finding in scope_of_lists("AES", "", lists).findings if finding.level == "stop"]
    assert len(stops) == 1
    assert f"Process blind {blind} sits at nozzle {nozzle}" in stops[0]
    assert 'at = "far end"' in stops[0]


@pytest.mark.practice
def test_a_shell_cover_that_is_on_in_every_test_closes_its_openings_with_the_rest():
    """U-tubes: the cover is on for each shell test, so its drain is shut for the first one."""
    lists = {"openings": [{"id": "D1", "side": "shell"}, {"id": "D2", "side": "shell", "on": "shell cover"}]}
    scope = scope_of_lists("AEU", "sc,st2", lists)
    assert codes(scope, "SB_S") == ["SB_S:D1", "SB_S:D2"]
    assert "SB_S2" not in scope.by_step


def test_no_opening_on_the_shell_cover_is_not_an_opening_somewhere():
    scope = scope_of_lists("AES", "", {"openings": [{"id": "D1", "side": "shell"}]})
    assert "SB_S2" not in scope.by_step
    assert scope_of_lists("AES", "", {}).by_step["SB_S2"][0].item is None, "with no list, the step stands once"


def test_absent_is_not_none():
    """A list nobody gave leaves its steps standing; `tubes` and `openings` that are given and empty say none."""
    scope = scope_of_lists("AES", "", {"joints": [{"id": "J4", "kind": "floating head"}], "blinds": [], "tubes": []})
    assert codes(scope, "BLIND_IN") == ["BLIND_IN"]
    assert codes(scope, "SB_IN") == ["SB_IN"]
    assert "PIERCE" not in scope.instances
    assert codes(scope, "GKT_SC") == ["GKT_SC"]
    texts = [finding.text for finding in scope.findings]
    assert any("No joint of kind shell cover is listed, so GKT_SC, SC_ON stand without an item" in text for text in texts)
    with pytest.raises(StepError, match="its list is empty"):
        scope.named("PLUG")


def test_bare_code_means_all_its_items(aes):
    assert [one.code for one in aes.named("zero")] == ["ZERO:shell", "ZERO:tube"]
    assert [one.code for one in aes.named("BLIND_OUT:b3")] == ["BLIND_OUT:B3"]


def test_unknown_codes_are_told_with_near_ones(aes):
    with pytest.raises(StepError, match="There is no step 'GKT_FX'; did you mean GKT_FH"):
        aes.named("GKT_FX")
    with pytest.raises(StepError, match=r"There is no step 'BLIND_OUT:B9'; did you mean BLIND_OUT:B"):
        aes.named("BLIND_OUT:B9")
    with pytest.raises(StepError, match=r'REAR_LMN does not exist for AES .*: it is there only when rear in "LMN"'):
        aes.named("REAR_LMN")
    with pytest.raises(StepError) as wrong:
        aes.named_all(["ISO", "NONSENSE", "REAR_LMN", "INSERT:B3"])
    assert len(str(wrong.value).splitlines()) == 3


@pytest.mark.parametrize(
    ("lists", "words"),
    [
        ({"bolts": []}, "There is no list 'bolts'; the lists are joints, nozzles"),
        ({"joints": [{"id": "J1", "kind": "lid"}]}, "joints, J1: kind 'lid' is not known; accepted are channel cover"),
        ({"joints": [{"id": "J1"}]}, "joints, J1: kind '' is not known"),
        ({"joints": [{"id": "J 1", "kind": "shell cover"}]}, "'J 1' cannot be an item's name"),
        ({"joints": [{"id": "", "kind": "shell cover"}]}, "'' cannot be an item's name"),
        ({"nozzles": [{"id": "N1", "side": "top"}]}, "nozzles, N1: side 'top' is not known"),
        ({"nozzles": [{"id": "N1"}, {"id": "n1"}]}, "nozzles: n1 stands twice"),
        ({"nozzles": [{"id": "N1"}], "joints": [{"id": "N1", "kind": "shell cover"}]}, "stands twice"),
        ({"nozzles": [{"id": "N1"}], "gaskets": [{"id": "G1", "joint": "N7"}]}, r"gaskets, G1: joint 'N7' is not in the list of joints"),
        ({"blinds": [{"id": "B1", "kind": "process", "at": "valve"}]}, "blinds, B1: at 'valve' is not known; accepted are nozzle, far end"),
        ({"openings": [{"id": "V1", "on": "lid"}]}, "openings, V1: on 'lid' is not known; accepted are shell, channel, shell cover"),
        ({"tools": [{"id": "W1", "kind": "bolting", "colour": "red"}]}, "colour is not known; accepted are id, kind, side, joint"),
    ],
)
def test_wrong_lists_are_told(lists, words):
    with pytest.raises(ScopeError, match=words):
        scope_of_lists("AES", "", lists)


def test_wrong_lists_are_told_all_at_once():
    with pytest.raises(ScopeError) as wrong:
        scope_of_lists("AES", "", {"joints": [{"id": "J1", "kind": "lid"}, {"id": "", "kind": "shell cover"}], "bolts": []})
    assert len(wrong.value.problems) == 3
