import json

import pytest

from boxup.job.may import may, next_steps
from boxup.job.order import all_needs, order
from boxup.job.scope import scope_of_letters
from boxup.job.steps import StepError


def test_shell_cover_before_the_tube_test_is_refused():
    scope = scope_of_letters("AES")
    done = all_needs(scope, "TTEST")
    answer = may(scope, done, "SC_ON").as_json()
    assert list(answer) == ["may", "missing", "findings"]
    assert answer["may"] is False
    missing = {one["step"]: one for one in answer["missing"]}
    assert {"TTEST", "TTEST_DRAIN", "GKT_SC", "FME_SC"} == set(missing)
    assert set(missing["TTEST"]) == {"step", "because", "kind", "hold", "ready"}
    assert missing["TTEST"]["ready"] is True
    assert missing["TTEST"]["hold"] is True
    assert missing["TTEST"]["kind"] == "physical"
    assert missing["TTEST_DRAIN"]["ready"] is False
    assert answer["findings"] == []
    json.dumps(answer)


def test_all_needs_done_is_yes():
    scope = scope_of_letters("AES")
    assert may(scope, all_needs(scope, "SC_ON"), "SC_ON").as_json() == {"may": True, "missing": [], "findings": []}


def test_walking_down_the_order_every_step_may_start():
    scope = scope_of_letters("BEU", "alloy,ss")
    done = []
    for one in order(scope):
        code = one.instance.code
        assert code in [ready.code for ready in next_steps(scope, done)]
        answer = may(scope, done, code)
        assert answer.may
        assert answer.findings == ()
        done.append(code)
    assert next_steps(scope, done) == ()


def test_a_tick_that_stands_on_nothing_is_a_finding():
    scope = scope_of_letters("AES")
    done = all_needs(scope, "CLEAN")
    answer = may(scope, done - {"ZERO", "MATCH"}, "CLEAN")
    levels = {finding.text.partition(":")[0]: finding.level for finding in answer.findings}
    assert levels["BREAK is ticked as done, but ZERO is not"] == "stop"
    assert levels["BREAK is ticked as done, but MATCH is not"] == "warn"
    assert all(finding.source for finding in answer.findings)
    assert answer.may is True, "the rule speaks of direct needs; what lies behind them is a finding"


def test_a_step_done_already_is_said():
    scope = scope_of_letters("AES")
    answer = may(scope, all_needs(scope, "ZERO") | {"ZERO"}, "ZERO")
    assert answer.may
    assert [finding.level for finding in answer.findings] == ["note"]


def test_items_one_by_one(aes):
    done = [code for code in aes.instances if code not in ("ZERO_OUT:B3", "BLIND_OUT:B3", "BLIND_OUT:B1", "BLIND_OUT")]
    assert [one.need.step for one in may(aes, done, "BLIND_OUT:B3").missing] == ["ZERO_OUT:B3"]
    assert may(aes, done, "BLIND_OUT:B1").may
    whole = may(aes, done, "BLIND_OUT")
    assert [one.need.step for one in whole.missing] == ["ZERO_OUT:B3"], "the bare code asks for all its items"


def test_a_bare_code_in_done_means_all_its_items(aes):
    done = {code.partition(":")[0] for code in all_needs(aes, "INSERT")}
    assert may(aes, done, "INSERT").may
    assert not may(aes, [*(code for code in done if code != "BREAK"), "BREAK:J1"], "CLEAN").may


def test_four_blinds_in_three_out(aes):
    done = [code for code in aes.instances if code not in ("BLIND_OUT:B4", "HANDOVER", "STARTUP")]
    answer = may(aes, done, "HANDOVER")
    assert [one.need.step for one in answer.missing] == ["BLIND_OUT:B4"]
    assert answer.missing[0].need.rule.hold


def test_unknown_codes_are_told_all_at_once():
    scope = scope_of_letters("AES")
    with pytest.raises(StepError) as wrong:
        may(scope, ["ISO", "ZEROO", "REAR_LMN"], "INSERT")
    assert "There is no step 'ZEROO'; did you mean" in str(wrong.value)
    assert "REAR_LMN does not exist for AES" in str(wrong.value)
    with pytest.raises(StepError, match="did you mean INSERT"):
        may(scope, [], "INSRT")


def test_nothing_done_yet():
    assert [one.code for one in next_steps(scope_of_letters("AES"), [])] == ["PACK", "TOOLCAL", "RV", "ISO"]


def test_missing_is_direct_needs_only():
    scope = scope_of_letters("AES")
    answer = may(scope, [], "BREAK")
    missing = {one.need.step: one.ready for one in answer.missing}
    assert missing["ZERO"] is False
    assert "PACK" not in missing
    assert "ISO" not in missing
