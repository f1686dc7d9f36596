"""The sentence of a step speaks of the exchanger it is printed for, and of no other."""

import re

import pytest

from boxup.job.card import explain
from boxup.job.order import order
from boxup.job.scope import scope_of_letters
from boxup.job.steps import steps
from boxup.job.wording import step_here, wording

TYPES = ("AES", "BES", "BEU", "AEU sc", "BEM", "AEL", "NEN", "AEM", "AET", "AKT", "AEP", "AEW", "CFU", "DEU", "BEU no-pulled")
LETTER = re.compile(r"\((?:[A-Z]|[LMN])\)|\([A-Z]:|\b[A-Z] front\b|U-tube")


def scope(text):
    letters, _, options = text.partition(" ")
    return scope_of_letters(letters, options)


def said(text, code):
    here = scope(text)
    (one,) = here.named(code)
    return one.what(here.flags)


@pytest.mark.practice
@pytest.mark.parametrize(
    ("exchanger", "code", "begins"),
    [
        ("AES", "CHAN_ON", "Channel lifted on to match marks"),
        ("BEU", "CHAN_ON", "Bonnet lifted on to match marks"),
        ("BEM", "REAR_LMN", "Rear bonnet: gasket in"),
        ("NEN", "REAR_LMN", "Rear cover: gasket in"),
        ("AEL", "REAR_LMN", "Rear cover: gasket in"),
        ("AEL rear_chan_off", "REAR_LMN", "Rear channel and its cover: gasket in"),
        ("BEM", "GIRTH_TORQ", "Bonnet/tubesheet joint: passes"),
        ("BEU", "GIRTH_TORQ", "Bonnet/shell joint: passes"),
        ("AES", "GIRTH_TORQ", "Channel/shell joint: passes"),
        ("AES", "FME_REAR", "Floating head and rear tube ends"),
        ("BEM", "FME_REAR", "Rear head and rear tube ends"),
        ("BEU", "PLUG", "Plugs in at both legs of the U-tube"),
        ("AES", "PLUG", "Plugs in at both ends, plug map"),
        ("AES no-pyro", "RIG_PULL", "Extractor or crane level"),
        ("AES", "ISO", "Operations isolate"),  # no line: the general sentence
    ],
)
def test_a_part_has_the_name_it_has_here(exchanger, code, begins):
    assert said(exchanger, code).startswith(begins)


@pytest.mark.parametrize("exchanger", TYPES)
def test_no_sentence_speaks_of_another_type(exchanger):
    for one in order(scope(exchanger)):
        text = one.what
        if "U" not in exchanger[:3]:
            assert not LETTER.search(text), (one.instance.code, text)
        if exchanger[0] not in "B" and "M" not in exchanger[:3]:
            assert "bonnet" not in text.casefold() or exchanger[2] == "W", (one.instance.code, text)
        if exchanger[0] == "B":
            assert "channel lifted" not in text.casefold()
        if exchanger[2] not in "ST":
            assert "floating head" not in text.casefold(), (one.instance.code, text)


@pytest.mark.practice
def test_water_is_said_only_where_iron_sulphide_is_possible():
    assert "water on it" in said("AES", "RIG_PULL")
    assert "water" not in said("AES no-pyro", "RIG_PULL")


@pytest.mark.practice
def test_a_blind_is_pulled_where_it_is(listed):
    here = listed("blinds_at_the_nozzle")
    told = {code: here.instances[f"BLIND_OUT:{code}"].what(here.flags) for code in ("B1", "B3")}
    assert told["B1"].startswith("Blind pulled at the nozzle, faces looked at")
    assert told["B3"].startswith("Blind pulled at the far end of the spool")


@pytest.mark.practice
def test_cautions_stand_in_the_sentence():
    for exchanger in TYPES:
        assert "nobody in line with the tube ends" in said(exchanger, "CLEAN")
    for exchanger in ("AES", "AEP", "AEW"):
        assert "No water until the engineer has written the push" in said(exchanger, "THRUST_OK")
        assert "no water until the engineer has written the push" in "\n".join(explain("THRUST_OK", scope(exchanger)).lines())


def test_the_card_of_an_exchanger_uses_its_words():
    assert explain("CHAN_ON", scope("BEU")).step.what.startswith("Bonnet lifted on")
    assert "(A) or bonnet (B)" in explain("CHAN_ON").step.what


def test_every_line_can_be_reached():
    """A line behind one that always fits would never be read."""
    for code, lines in wording().items():
        always = [n for n, one in enumerate(lines) if one.when.text == "always" and not one.only]
        assert always in ([], [len(lines) - 1]), code
        for one in lines:
            assert one.what[0].isupper()
            assert not one.what.endswith(".")
            assert one.what != steps()[code].what


def test_without_flags_of_that_kind_the_general_sentence_stands():
    assert step_here(steps()["PACK"], {}) == steps()["PACK"]
