"""Flatness of a face: each limit just within and at it, hard and soft, what is asked for, and the finish by kind of gasket."""

from __future__ import annotations

import pytest

from boxup.core.calculation import BadInput
from boxup.core.quantity import quantity
from boxup.repair.flatness import face_flatness, flatness_verdict

FLAT = "0 0 0 0 mm"


def run(readings: str = FLAT, gasket: str = "hard", **more: str):
    return face_flatness.run(face_flatness.parse({"readings": readings, "gasket": gasket, **more}))


def levels(answer) -> list[str]:
    return [f.level for f in answer.findings if not f.text.startswith(("Finish", "Machine"))]


# ASME PCC-1 Appendix D, Tables D-1M and D-1, from memory: round and across to stay under, the pass plate surface from ... to 0.
TABLE = [("hard", 0.15, -0.25), ("soft", 0.25, -0.5)]


@pytest.mark.memory
@pytest.mark.parametrize(("gasket", "most", "lowest"), TABLE)
def test_each_limit_just_within_and_at_it(gasket: str, most: float, lowest: float):
    assert levels(run(f"0 0 {most - 0.001} 0 mm", gasket)) == ["note"]
    assert levels(run(f"0 0 {most} 0 mm", gasket)) == ["stop"]
    assert levels(run(gasket=gasket, radial_drop=f"{most - 0.001} mm")) == ["note"]
    assert levels(run(gasket=gasket, radial_drop=f"{most} mm")) == ["stop"]
    assert levels(run(gasket=gasket, rib_position=f"{lowest} mm")) == ["note"]
    assert levels(run(gasket=gasket, rib_position=f"{lowest - 0.001} mm")) == ["stop"]
    assert levels(run(gasket=gasket, rib_position="0 mm")) == ["note"]
    assert levels(run(gasket=gasket, rib_position="0.01 mm")) == ["stop"]


def test_everything_wrong_is_told_at_once_and_says_which():
    said = " ".join(f.text for f in run("0 0.4 0 0 mm", radial_drop="0.4 mm", rib_position="0.2 mm").findings)
    assert all(words in said for words in ("round the face", "across the land", "proud", "the inspector says"))


@pytest.mark.memory
@pytest.mark.parametrize(
    ("gasket", "finish"),
    [("spiral wound", "3.2 to 6.3"), ("kammprofile", "3.2 to 6.3"), ("double-jacketed", "2.5"), ("solid metal", "1.6"), ("hard", "")],
)
def test_the_finish_is_told_by_kind_and_never_where_the_kind_was_not_said(gasket: str, finish: str):
    said = [f.text for f in run(gasket=gasket, thickness="3.2 mm").findings if f.text.startswith("Finish")]
    assert (finish in said[0]) if finish else said == []


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"readings": "0 0 0 mm", "gasket": "hard"}, ["3 readings", "4 to 72"]),
        ({"readings": "0 0 0 0", "gasket": "hard"}, ["readings", "no unit"]),
        ({"readings": "0 0 0 200 mm", "gasket": "hard"}, ["200 mm", "100 mm"]),
        ({"readings": FLAT, "gasket": "felt"}, ["gasket", "'felt'", "hard", "soft"]),
        ({"readings": FLAT, "gasket": "hard", "radial_drop": "-0.1 mm"}, ["radial_drop", "at least 0"]),
    ],
)
def test_refused_with_the_key_and_what_is_accepted(typed: dict[str, str], words: list[str]):
    with pytest.raises(BadInput) as bad:
        face_flatness.parse(typed)
    assert all(word in str(bad.value) for word in words), str(bad.value)


@pytest.mark.memory
def test_a_kind_that_does_not_tell_is_asked_for_unless_it_does_not_matter():
    between, over, within = (flatness_verdict((0, 0, r, 0), "corrugated") for r in (0.2, 0.3, 0.1))
    assert (between.within, over.within, within.within) == (None, False, True)
    assert "ask the maker" in between.text
    assert over.text.startswith("Over under any gasket")
    assert flatness_verdict((0, 0, 0.2, 0), "spiral wound", quantity("4.5 mm", "mm")).within
    assert not flatness_verdict((0, 0, 0, 0), "kammprofile", rib_mm=0.1).within
