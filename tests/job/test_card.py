import json

import pytest

from boxup.job.card import explain
from boxup.job.scope import scope_of_letters
from boxup.job.steps import StepError, steps


def test_the_card_says_what_who_and_why():
    card = explain("SPLIT")
    shown = card.as_json()
    assert {"step", "what", "who", "looks_at", "number_needed", "paper", "time", "stops", "needs", "source", "label"} <= set(shown)
    assert {one["step"] for one in shown["needs"]} >= {"INSERT", "TRING_OFF", "STEST1"}
    text = "\n".join(card.lines())
    assert "Split backing ring halves" in text
    assert 'TRING_OFF (physical) [when rear == "S" and st1]: the test ring is in the same gap' in text
    assert "larger than the shell bore" in text


def test_with_an_exchanger_only_what_counts_there(aes):
    card = explain("BLIND_OUT:B3", aes)
    assert "ZERO_OUT:B3" in [one.step for one in card.needs]
    assert "ZERO_OUT:B1" not in [one.step for one in card.needs]
    assert "INSERT" not in {one.step for one in explain("SPLIT", scope_of_letters("AES", "no-pulled")).needs}
    with pytest.raises(StepError, match="SPLIT does not exist for BEU"):
        explain("SPLIT", scope_of_letters("BEU"))


def test_unknown_code():
    with pytest.raises(StepError, match="There is no step 'SPLITT'; did you mean SPLIT"):
        explain("SPLITT")


def test_every_card_can_be_read():
    for code in steps():
        card = explain(code)
        json.dumps(card.as_json())
        assert len(card.lines()) > 5
        assert all(len(line) < 400 for line in card.lines())


def test_what_happened_stands_beside_the_rule():
    card = explain("PLUG")
    assert "shot out" in next(one for one in card.as_json()["needs"] if one["step"] == "PIERCE")["evidence"][0]["what"]
    assert any("it has happened: a tube was plugged without being opened first" in line for line in card.lines())
