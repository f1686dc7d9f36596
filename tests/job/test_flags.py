import itertools

import pytest

from boxup.job.flags import FlagError, flag_rows, option_names, read_letters, read_options, settle

LETTERS = [front + shell + rear for front in "ABCND" for shell in "EFGHJKX" for rear in "LMNPSTUW"]


def said(letters, options=""):
    with pytest.raises(FlagError) as wrong:
        settle(letters, read_options(options))
    return wrong.value.problems


@pytest.mark.practice
@pytest.mark.parametrize(
    ("letters", "options", "flag", "value"),
    [
        ("AES", "", "pulled", True),  # a removable bundle is taken out
        ("BEM", "", "pulled", False),  # welded tubesheets
        ("NEN", "", "removable", False),
        ("AES", "", "sc", True),
        ("AKT", "", "sc", False),  # a kettle usually has no shell cover
        ("AET", "", "sc", True),
        ("AKT", "", "bench", True),
        ("AET", "", "bench", False),
        ("BEU", "", "fring", True),
        ("AEU", "", "fring", False),
        ("AES", "", "tring", True),
        ("AES", "no-st1", "tring", False),
        ("AES", "no-pulled", "chan_off", False),  # tube ends are reached by the cover alone
        ("BEU", "no-pulled", "chan_off", True),  # a bonnet hides them
        ("CFU", "", "chan_with_bundle", True),
        ("DEU", "", "chan_with_bundle", True),  # drawn in one piece with its tubesheet
        ("DEU", "", "girth", True),
        ("DEU", "no-pulled", "girth", False),
        ("AEL", "", "rear_chan_off", False),  # tube ends are reached by the cover alone, as at an A front
        ("NEN", "", "entry", True),  # a head in the channel with tube ends at the back of it
        ("AEM", "", "entry", True),
        ("DEM", "", "entry", True),
        ("BEL", "", "entry", True),
        ("AES", "no-pulled", "entry", True),
        ("BEM", "", "entry", False),  # bonnets off: the tube ends stand in the open
        ("CFU", "", "longbaf", True),
        ("DEU", "", "st1", False),  # inside the maker's procedure
        ("BEM", "", "xj", True),
        ("BEM", "no-xj", "xj", False),
        ("BEM", "", "st2", False),
        ("BEU", "", "st2", True),
        ("AEU", "", "st2", False),
        ("AEU", "no-st1", "st2", True),
        ("AES", "", "hot", True),
        ("AES", "no-hot", "hot", False),
        ("aes", "", "front", "A"),
    ],
)
def test_flags_of_well_known_types(letters, options, flag, value):
    assert settle(letters, read_options(options))[flag] == value


@pytest.mark.parametrize("letters", ["AXQ", "QES", "AQS", "ZZZ"])
def test_unknown_letters_are_refused_with_what_is_accepted(letters):
    text = "\n".join(said(letters))
    for place, accepted in (("front", "A B C N D"), ("shell", "E F G H J K X"), ("rear", "L M N P S T U W")):
        wrong = letters[["front", "shell", "rear"].index(place)] not in accepted
        assert (f"{place} letter" in text) is wrong
        assert (f"accepted are {accepted}" in text) is wrong


@pytest.mark.parametrize("letters", ["", "AE", "AESX", "A E S"])
def test_not_three_letters(letters):
    assert "front A B C N D; shell E F G H J K X; rear L M N P S T U W" in said(letters)[0]


def test_welded_front_needs_a_fixed_rear():
    for shell, rear in itertools.product("EFGHJKX", "LMNPSTUW"):
        if rear in "LMN":
            assert read_letters("N" + shell + rear)["rear"] == rear
        else:
            assert "an N front is welded to the shell" in said("N" + shell + rear)[0]


@pytest.mark.parametrize(
    ("letters", "options", "words"),
    [
        ("AES", "no-st2", "no-st2 is refused for AES: it must be yes when"),
        ("AES", "no-sc", "no-sc is refused for AES"),
        ("AES", "no-chan_off", "no-chan_off is refused for AES"),
        ("BEM", "pulled", "pulled is refused for BEM: it may be yes only when removable. pulled means: the bundle comes out of the shell"),
        ("BEM", "st2", "st2 is refused for BEM"),
        ("DEU", "st1", "st1 is refused for DEU"),
        ("AEL", "sc", "sc is refused for AEL"),
        ("CFU", "chan_off", "chan_off is refused for CFU"),
        ("AES", "rear_chan_off", "rear_chan_off is refused for AES"),
        ("AES", "pair_test", "pair_test is refused for AES: it may be yes only when stacked"),
        ("BEM", "no-chan_off,st1", "st1 is refused for BEM"),
    ],
)
def test_options_that_cannot_be_are_refused_with_their_meaning(letters, options, words):
    text = "\n".join(said(letters, options))
    assert words in text
    assert " means: " in text


def test_every_refusal_is_told_at_once():
    assert len(said("BEM", "pulled,st2,sc,pair_test")) == 4


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ("plug", "there is no option plug; accepted, each with or without no-, are pulled, chan_off"),
        ("plug", "Did you mean plugs"),
        ("girth", "girth follows from the letters and the other options and cannot be set"),
        ("front_ribs", "front_ribs is read off the drawing"),
        ("rear", "is one of the three letters"),
        ("plugs,no-plugs", "plugs and no-plugs are both given"),
    ],
)
def test_options_that_are_not_options(options, words):
    with pytest.raises(FlagError, match=words):
        read_options(options)


def test_options_are_read():
    assert dict(read_options(" plugs, hot,no-st1 ,plugs,")) == {"plugs": True, "hot": True, "st1": False}
    assert dict(read_options("")) == {}


def test_defaults_are_never_refused():
    """Letters alone always settle, and so does any one option turned to what it is already."""
    settled = 0
    for letters in LETTERS:
        if letters[0] == "N" and letters[2] not in "LMN":
            continue
        flags = settle(letters)
        assert settle(letters, {name: bool(flags[name]) for name in option_names()}) == flags
        settled += 1
    assert settled == 7 * (4 * 8 + 3)


def test_every_flag_has_its_meaning():
    assert all(row.meaning for row in flag_rows())
    assert len(flag_rows()) == 38
