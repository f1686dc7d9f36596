import pytest

from boxup.job.rules import needs, rules
from boxup.job.scope import scope_of_lists
from boxup.job.steps import steps
from boxup.job.table import read_table


@pytest.fixture(scope="module")
def waits(aes):
    wanted = needs(aes)

    def of(code, step):
        return [need.step.partition(":")[2] for need in wanted[code] if need.step.partition(":")[0] == step]

    return of


@pytest.mark.practice
@pytest.mark.parametrize(
    ("code", "step", "items"),
    [
        ("GKT_FH:J4", "INSP_FACE", ["J4"]),  # its own face
        ("GKT_FH:J4", "GKT_RCV", ["GJ4"]),  # its own gasket
        ("GKT_SHELLTS:J3", "GKT_RCV", ["GJ3"]),
        ("INSERT", "INSP_FACE", ["J3"]),  # the shell face; the others can be reached later
        ("BLIND_OUT:B3", "ZERO_OUT", ["B3"]),  # the line behind that blind
        ("BLIND_OUT:B3", "BLIND_IN", ["B3"]),
        ("BLIND_OUT:B3", "GKT_RCV", ["GN3"]),  # the gasket of the nozzle the blind is in
        ("BREAK:J4", "BLIND_IN", ["B1", "B2", "B3", "B4"]),  # the plant is off on every line
        ("BREAK:J1", "SUPPORT_OFF", ["L1"]),
        ("BREAK:J2", "SUPPORT_OFF", ["L2"]),
        ("BREAK:J3", "SUPPORT_OFF", ["L2"]),  # one set of studs holds both
        ("BREAK:J2", "BREAK", ["J1", "N3", "N4"]),  # the channel's own pipes and its cover
        ("BREAK:J4", "BREAK", ["J5"]),  # nobody reaches it with the shell cover on
        ("BREAK:J1", "BREAK", []),
        ("SUPPORT_OFF:L4", "BREAK", ["J5"]),
        ("SUPPORT_OFF:L2", "BREAK", []),
        ("BREAK:N1", "SUPPORT_OFF", []),
        ("BREAK:J4", "MATCH", ["J4"]),
        ("PLUG:9-14", "PIERCE", ["9-14"]),
        ("STEST1:T1", "PLUG", ["9-14", "2-6"]),
        ("NOZ_TORQ:N1", "BLIND_OUT", []),  # its blind is at the far end of the spool
        ("BLIND_OUT:B1", "NOZ_TORQ", ["N1", "N2"]),  # no open nozzle on that side when the plant comes back
        ("ZERO_OUT:B1", "NOZ_TORQ", ["N1", "N2"]),
        ("BLIND_OUT:B3", "NOZ_TORQ", ["N3", "N4"]),
        ("NOZ_TORQ:N3", "BLIND_OUT", ["B4"]),  # B4 says only its side: it may be here
        ("BLIND_OUT:B4", "NOZ_TORQ", []),
        ("BLIND_OUT:B1", "SB_IN", ["D1", "D2", "V2"]),  # what else is open on that side
        ("NOZ_TORQ:N1", "SPOOL_ON", ["N1"]),
        ("SPOOL_ON:N1", "TBLIND_OUT", ["X1"]),
        ("SPOOL_ON:N1", "GIRTH_TORQ", []),
        ("SPOOL_ON:N3", "GIRTH_TORQ", ["J2"]),
        ("FILL_S2:T3", "SB_S2", ["D2"]),
        ("FILL_S1:T1", "SB_S", ["D1", "V2"]),
        ("RIG_PULL", "LIFTPLAN", ["LB"]),
        ("NOZ_TORQ:N1", "TBLIND_OUT", ["X1"]),
        ("NOZ_TORQ:N2", "TBLIND_OUT", []),
        ("NOZ_TORQ:N1", "BOLT_PREP", ["N1"]),
        ("GIRTH_SNUG:J2", "BOLT_PREP", ["J2", "J3"]),  # one set of studs
        ("BOLTREC:J3", "GIRTH_TORQ", ["J2"]),
        ("BOLTREC:J4", "GIRTH_TORQ", []),
        ("BOLTREC:J4", "FH_TORQ", ["J4"]),
        ("FH_TORQ:J4", "TOOLCAL", ["W4"]),  # the wrench of that joint
        ("SC_ON:J5", "TOOLCAL", ["W1", "W4"]),  # no wrench named for it: all of them
        ("TTEST:T2", "TOOLCAL", ["P1"]),  # gauges, not wrenches
        ("RV_S1:T1", "RV", ["T1"]),
        ("STEST2:T3", "FILL_S2", ["T3"]),
        ("TTEST:T2", "STEST1_DRAIN", ["T1"]),
        ("RIG", "LIFTPLAN", ["LB"]),
        ("PULL", "BREAK", ["J2", "J3", "J4", "J5", "N3", "N4"]),  # shell nozzles may stay up
        ("SB_S:D1", "SB_OUT", ["D1"]),
        ("TBLIND_S:X1", "BREAK", ["N1"]),
        ("LEAKTEST:shell", "RELIEF_IN", ["shell", "tube"]),  # an inside leak reaches the other side
        ("RELIEF_IN:shell", "BLIND_OUT", ["B1", "B2", "B3", "B4"]),
    ],
)
def test_which_item_waits_for_which(waits, code, step, items):
    assert sorted(waits(code, step)) == sorted(items)


def test_a_rule_is_not_lost_where_the_list_is_short():
    """No shell-side face listed, no gasket for the joint: everything that could be meant is asked for."""
    lists = {
        "joints": [{"id": "J1", "kind": "channel cover"}, {"id": "J4", "kind": "floating head"}],
        "gaskets": [{"id": "G1", "joint": "J1"}],
    }
    wanted = needs(scope_of_lists("AES", "", lists))
    assert {"INSP_FACE:J1", "INSP_FACE:J4"} <= {need.step for need in wanted["INSERT"]}
    assert "GKT_RCV:G1" in {need.step for need in wanted["GKT_FH:J4"]}


def test_a_gasket_that_names_no_joint_is_waited_for_by_all():
    lists = {"joints": [{"id": "J4", "kind": "floating head"}], "gaskets": [{"id": "G4", "joint": "J4"}, {"id": "G?"}]}
    wanted = needs(scope_of_lists("AES", "", lists))
    assert {need.step for need in wanted["GKT_FH:J4"]} >= {"GKT_RCV:G4", "GKT_RCV:G?"}


def test_need_as_json_has_the_public_shape(aes):
    need = next(need for need in needs(aes)["BREAK:J4"] if need.step == "ZERO:shell")
    assert need.as_json() == {"step": "ZERO:shell", "because": need.rule.because, "kind": "safety", "hold": True}


def test_every_rule_has_a_sentence_of_its_own_standing():
    """A reason is a clause a mechanic can read after `because`: no full stop, no capital opening, more than two words."""
    for rule in rules():
        first = rule.because.split()[0]
        assert first == first.lower() or first == "A", rule.name
        assert not rule.because.endswith("."), rule.name
        assert len(rule.because.split()) > 3, f"{rule.name}: {rule.because}"


def test_evidence_names_a_listed_incident():
    listed = {row["incident"] for row in read_table("incidents.csv", ("incident", "what"))}
    named = {one for rule in rules() for one in rule.evidence}
    assert named <= listed
    assert listed == named, "an incident that no rule stands on"


def test_there_is_something_to_read():
    assert len(rules()) > 400
    assert len(steps()) == 143
    assert sum(rule.hold for rule in rules()) > 100
