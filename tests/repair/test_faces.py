"""Marks on gasket faces: every band and its edges, hard and soft, both unit systems, kinds of gasket, and what is asked for."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boxup.core.calculation import BadInput
from boxup.core.finding import Missing
from boxup.core.quantity import Quantity, quantity
from boxup.repair.faces import face_mark, face_verdict
from boxup.repair.hardness import Hardness, hardness, kinds


def mm(text: str) -> Quantity:
    return quantity(text, "mm")


def run(depth: str, span: str, land: str = "12 mm", gasket: str = "hard", **more: str):
    return face_mark.run(face_mark.parse({"depth": depth, "span": span, "land": land, "gasket": gasket, **more}))


def levels(answer) -> list[str]:
    return [f.level for f in answer.findings]


# ASME PCC-1 Appendix D, Tables D-2M and D-2, from memory: span of a 12 mm land, depth to stay under in mm and in inches, 0 for none.
TABLE = [
    ("hard", "0.1 mm", 0.76, 0.030),
    ("hard", "2.99 mm", 0.76, 0.030),
    ("hard", "3 mm", 0.25, 0.010),
    ("hard", "5.99 mm", 0.25, 0.010),
    ("hard", "6 mm", 0, 0),
    ("hard", "8.99 mm", 0, 0),
    ("hard", "9 mm", 0, 0),
    ("hard", "12 mm", 0, 0),
    ("soft", "0.1 mm", 1.27, 0.050),
    ("soft", "2.99 mm", 1.27, 0.050),
    ("soft", "3 mm", 0.76, 0.030),
    ("soft", "5.99 mm", 0.76, 0.030),
    ("soft", "6 mm", 0.13, 0.005),
    ("soft", "8.99 mm", 0.13, 0.005),
    ("soft", "9 mm", 0, 0),
    ("soft", "12 mm", 0, 0),
]
SOME = [row for row in TABLE if row[2]]


@pytest.mark.memory
@pytest.mark.parametrize(("gasket", "span", "limit", "inches"), TABLE)
def test_every_band_and_its_edges(gasket: str, span: str, limit: float, inches: float):
    answer = run("0.05 mm", span, gasket=gasket)
    assert answer.si("allowed_depth") * 1000 == pytest.approx(limit, rel=1e-12)
    assert levels(answer) == (["note"] if limit else ["stop"])


@pytest.mark.memory
@pytest.mark.parametrize(("gasket", "span", "limit", "inches"), SOME)
def test_a_depth_equal_to_the_limit_is_not_under_it(gasket: str, span: str, limit: float, inches: float):
    assert levels(run(f"{limit} mm", span, gasket=gasket)) == ["stop"]
    assert "stop" not in levels(run(f"{limit - 0.001} mm", span, gasket=gasket))


@pytest.mark.memory
@pytest.mark.parametrize(("gasket", "span", "limit", "inches"), SOME)
def test_the_limit_of_either_print_typed_in_inches_is_seen(gasket: str, span: str, limit: float, inches: float):
    """The inch print is 0.127 mm where the metric one is 0.13: a depth of just that much is not passed without a word."""
    assert {"stop", "warn"} & set(levels(run(f"{inches} in", span, gasket=gasket)))
    assert levels(run(f"{inches - 0.001} in", span, gasket=gasket)) == ["note"]


@pytest.mark.computed
def test_the_share_by_hand_in_inches():
    """5/16 of 1/2 is 0.625."""
    assert run("0.001 in", "5/16 in", "1/2 in", "soft").si("span_share") == pytest.approx(0.625, rel=1e-12)


@pytest.mark.computed
@pytest.mark.parametrize("land", ["8 mm", "9.6 mm", "12.7 mm", "15.9 mm", "1/2 in", "0.47 in", "5/8 in"])
@pytest.mark.parametrize(("quarters", "limit"), [(1, 0.76), (2, 0.13), (3, 0)])
def test_an_edge_belongs_to_the_worse_band_whatever_the_land(land: str, quarters: int, limit: float):
    """Typed as quarters of the land in its own unit, a comparison must not hang on the last bit of a float."""
    unit = land.rpartition(" ")[2]
    width = quantity(land, "mm").to(unit)
    answer = run("0.05 mm", f"{width * quarters / 4!r} {unit}", land, "soft")
    assert answer.si("allowed_depth") * 1000 == pytest.approx(limit)


@pytest.mark.demo
def test_the_scored_land_of_the_demo():
    """0.30 mm deep, 9 mm of a 12 mm land, kammprofile: three quarters, none allowed; nor were it soft."""
    for kind in ("kammprofile", "soft"):
        said = face_verdict(mm("0.30 mm"), mm("9 mm"), mm("12 mm"), kind)
        assert said.within is False
        assert said.allowed_depth is not None
        assert said.allowed_depth.si == 0
        for words in ("0.3 mm deep over 9 mm of 12 mm", "Machine the face", "new gasket", "inspector"):
            assert words in said.text
        assert "from memory" in said.source
        assert said.working is not None


def test_within_is_never_more_than_a_note_from_memory():
    said = face_verdict(mm("0.1 mm"), mm("1 mm"), mm("12 mm"), "kammprofile")
    assert said.within is True
    assert "from memory" in said.text
    assert "the inspector says" in said.text
    for word in ("safe", "accepted", "acceptable", " good", " fit "):
        assert word not in said.text.lower()


def test_a_mark_longer_than_the_land_crosses_all_of_it():
    answer = run("0.01 mm", "13 mm", gasket="soft")
    assert levels(answer) == ["warn", "stop"]
    assert "measure" not in answer.findings[1].text
    assert answer.si("span_share") > 1


@pytest.mark.parametrize("key", ["depth", "span", "land", "thickness"])
@pytest.mark.parametrize("size", ["0 mm", "-1 mm", "0 in"])
def test_no_size_of_nothing_or_less(key: str, size: str):
    typed = {"depth": "0.1 mm", "span": "3 mm", "land": "12 mm", "gasket": "hard", "thickness": "3 mm"} | {key: size}
    with pytest.raises(BadInput, match=rf"{key}: '{size}' is out of range"):
        face_mark.parse(typed)


@pytest.mark.parametrize("at", [0, 1, 2])
@pytest.mark.parametrize("si", [0.0, -0.001, float("nan"), float("inf")])
@pytest.mark.parametrize("kind", ["kammprofile", "who knows"])
def test_a_size_from_the_record_is_looked_at_too(at: int, si: float, kind: str):
    sizes = [mm("0.1 mm"), mm("3 mm"), mm("12 mm")]
    sizes[at] = Quantity(si, "mm")
    with pytest.raises(BadInput, match="is no size"):
        face_verdict(*sizes, kind)


@pytest.mark.parametrize(
    ("kind", "thickness", "name"),
    [
        ("kammprofile", "", "hard"),
        ("Kammprofile 316L-graphite", "", "hard"),
        ("grooved metal", "", "hard"),
        ("double-jacketed", "", "hard"),
        ("double-jacketed soft iron / graphite", "", "hard"),
        ("solid metal", "", "hard"),
        ("ring joint", "", "hard"),
        ("RTJ R-45", "", "hard"),
        ("spiral wound", "3.2 mm", "hard"),
        ("spiral wound", "0.125 in", "hard"),
        ("spiral wound with ribs", "4.5 mm", "soft"),
        ("spiral wound", "0.175 in", "soft"),
        ("fibre sheet", "1.5 mm", "hard"),
        ("flexible graphite sheet", "1/16 in", "hard"),
        ("hard", "", "hard"),
        (" Soft ", "", "soft"),
    ],
)
def test_kinds_and_how_they_are_taken(kind: str, thickness: str, name: str):
    found = hardness(kind, mm(thickness) if thickness else None)
    assert isinstance(found, Hardness)
    assert found.name == name


@pytest.mark.parametrize(
    ("kind", "thickness", "asked"),
    [
        ("", "", "not named"),
        ("diaphragm", "", "'diaphragm' is not a kind"),
        ("corrugated metal", "", "maker"),
        ("corrugated jacketed", "", "more than one kind"),
        ("spiral wound", "", "measure the gasket's thickness"),
        ("spiral wound", "3.8 mm", "maker"),
        ("flexible graphite sheet", "", "measure the gasket's thickness"),
        ("PTFE sheet", "3 mm", "maker"),
    ],
)
def test_what_a_kind_does_not_tell_is_asked_for(kind: str, thickness: str, asked: str):
    size = mm(thickness) if thickness else None
    found = hardness(kind, size)
    assert isinstance(found, Missing)
    assert asked in found.text
    said = face_verdict(mm("0.30 mm"), mm("4 mm"), mm("12 mm"), kind, size)
    assert said.within is None
    assert said.allowed_depth is None
    assert asked in said.text
    assert "Under a soft gasket the mark is within the table, under a hard one not" in said.text
    with pytest.raises(BadInput, match="Accepted: hard, soft, kammprofile"):
        run("0.1 mm", "1 mm", gasket=kind, **({"thickness": thickness} if thickness else {}))


def test_an_unknown_gasket_does_not_hide_what_is_too_much_under_any():
    said = face_verdict(mm("0.30 mm"), mm("9 mm"), mm("12 mm"), "who knows")
    assert said.within is False
    assert said.text.startswith("Too much under any gasket")
    both = face_verdict(mm("0.1 mm"), mm("1 mm"), mm("12 mm"), "who knows")
    assert both.within is None
    assert "Under a hard gasket and under a soft one" in both.text


@pytest.mark.practice
@pytest.mark.parametrize(("depth", "within"), [("0.15 mm", False), ("0.074 mm", True)])
def test_a_ring_groove_goes_by_the_stricter_handbook(depth: str, within: bool):
    """Bloch and Geitner, vol. 3, p. 151, Table 4-1, read as a library copy: 3 mils for a smooth hollow. The table would pass 0.76 mm."""
    said = face_verdict(mm(depth), mm("1 mm"), mm("6 mm"), "ring joint")
    assert said.within is within
    assert "0.025 to 0.05 mm" in said.text
    assert "common practice" in said.source


@pytest.mark.practice
@pytest.mark.parametrize(("span", "warned"), [("5.9 mm", False), ("6 mm", True), ("8 mm", True)])
def test_a_wide_mark_under_a_spiral_wound_gasket_shows_the_stricter_handbook(span: str, warned: bool):
    answer = run("0.05 mm", span, gasket="spiral wound", thickness="4.5 mm")
    assert ("warn" in levels(answer)) is warned


def test_every_kind_says_why_and_is_taken_in_a_known_way():
    for row in kinds().values():
        assert row.text("taken") in ("hard", "soft", "by thickness", "ask")
        assert row.text("why")
        assert row.cite.source.label in ("memory", "practice")


RANK = {True: 0, None: 1, False: 2}
SIZES = st.floats(0.01, 30)
KIND = st.sampled_from(["hard", "soft", "kammprofile", "ring joint", "spiral wound", "sheet", "who knows"])


@given(depth=SIZES, span=SIZES, land=SIZES, deeper=st.floats(1, 5), wider=st.floats(1, 5), kind=KIND)
def test_deeper_or_wider_is_never_better(depth: float, span: float, land: float, deeper: float, wider: float, kind: str):
    def rank(d: float, s: float) -> tuple[int, float]:
        said = face_verdict(*(Quantity(x / 1000, "mm") for x in (d, s, land)), kind)
        return RANK[said.within], -said.allowed_depth.si if said.allowed_depth else 0.0

    one, worse = rank(depth, span), rank(depth * deeper, span * wider)
    assert worse[0] >= one[0]
    if kind not in ("spiral wound", "sheet", "who knows"):
        assert worse[1] >= one[1]


@given(depth=SIZES, span=SIZES, land=SIZES)
def test_hard_is_never_easier_than_soft(depth: float, span: float, land: float):
    hard, soft = (face_verdict(*(Quantity(x / 1000, "mm") for x in (depth, span, land)), kind).within for kind in ("hard", "soft"))
    assert not (hard and not soft)
