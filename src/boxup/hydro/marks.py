"""What an exchanger has, of the things a phrase of the test tables may be marked with: `[bellows] stops in`, `[bonnet] bonnet on`."""

from __future__ import annotations

from collections.abc import Mapping

from boxup.exchanger.joints import has_shell_cover
from boxup.exchanger.letters import Letters


def marks_of(letters: Letters, said: Mapping[str, bool], plain: frozenset[str] = frozenset()) -> frozenset[str]:
    """The marks that hold for these letters and options; those that do not hold have their phrases left out."""
    return frozenset(name for name, holds in all_marks(letters, said, plain).items() if holds)


def all_marks(letters: Letters, said: Mapping[str, bool], plain: frozenset[str] = frozenset()) -> dict[str, bool]:
    """Every mark a table may use, and whether it holds. `plain`: the ends (front, rear) whose gasket has no pass rib."""
    return _front(letters) | _rear(letters, said) | _whole(letters, said) | _passes(plain, said)


def first_test(letters: Letters, said: Mapping[str, bool]) -> bool:
    """Whether a shell test with the tube ends bare is planned: not on a closure that is its maker's, nor behind a bonnet that stays on."""
    bared = letters.front != "D" and (letters.front != "B" or said.get("chan_off", True))
    return said.get("st1", bared)


def _front(letters: Letters) -> dict[str, bool]:
    return {
        "flat cover": letters.front in "ACN",
        "channel": letters.front == "A",
        "bonnet": letters.front == "B",
        "one piece": letters.front in "CD",
        "special closure": letters.front == "D",
        "channel joint": letters.front in "AB",
        "shared studs": letters.front in "AB" and not letters.fixed,
        "channel joint alone": letters.front in "AB" and letters.fixed,
    }


def _rear(letters: Letters, said: Mapping[str, bool]) -> dict[str, bool]:
    cover = has_shell_cover(letters, said)
    return {
        "shell cover": cover,
        "no shell cover": not cover,
        "rear in sight": cover or letters.rear != "T",
        "rear bonnet": letters.rear == "M",
        "rear cover": letters.rear in "LN",
        "rear channel off": letters.rear == "L" and said.get("rear_chan_off", False),
        "split ring": letters.rear == "S",
        "bent tubes": letters.rear == "U",
        "straight tubes": letters.rear != "U",
    }


def _passes(plain: frozenset[str], said: Mapping[str, bool]) -> dict[str, bool]:
    """More than one pass is what puts a plate into the channel; of two passes the rear has one chamber and no rib."""
    several, lying = "front" not in plain, not said.get("vertical", False)
    return {
        "passes": several,
        "rear ribs": "rear" not in plain,
        "lying passes": lying and several,
        "lying one pass": lying and not several,
    }


def _whole(letters: Letters, said: Mapping[str, bool]) -> dict[str, bool]:
    first, stacked, upright = first_test(letters, said), said.get("stacked", False), said.get("vertical", False)
    together = stacked and said.get("pair_test", False)
    return {
        "bellows": said.get("xj", letters.fixed),
        "removable": not letters.fixed,
        "first test": first,
        "no first test": not first,
        "lying": not upright,
        "upright": upright,
        "stacked": stacked and not together,
        "pair": together,
    }
