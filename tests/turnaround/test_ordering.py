"""The order list: counted by hand from the invented files of the demo, and what it must not order."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from boxup.demo.fleet import files_of_the_demo
from boxup.exchanger.file import load
from boxup.exchanger.model import Exchanger
from boxup.turnaround.gasket_kind import made_of
from boxup.turnaround.ordering import Order, listings, one_table, order_of

AES, BEU, BEM = (load(files_of_the_demo()[tag]) for tag in ("14-E-103", "14-E-104", "14-E-108"))
LOWER, UPPER, UPRIGHT, SHEETS = (load(files_of_the_demo()[tag]) for tag in ("22-E-201A", "22-E-201B", "31-E-305", "40-E-405"))


def with_part(x: Exchanger, joint: str, what: str, **changes: Any) -> Exchanger:
    joints = tuple(replace(j, **{what: replace(getattr(j, what), **changes)}) if j.id == joint else j for j in x.joints)
    return replace(x, joints=joints)


def lacking(order: Order, words: str) -> list[str]:
    return [f"{k.tag} {k.what}: {k.lacks}; {k.do}" for k in order.lacking if words in k.what]


def test_gaskets_of_one_exchanger_as_counted_by_hand() -> None:
    order = order_of([AES])
    sizes = {(g.size, bool(g.ribs)): (g.fitted, g.spares, g.places) for g in order.gaskets if g.metal}
    assert sizes["861 / 829 x 3.2", True] == (2, 2, ("14-E-103 J1 (G1)", "14-E-103 J2 (G2)"))
    assert sizes["861 / 829 x 3.2", False] == (1, 1, ("14-E-103 J3 (G3)",)), "a plain ring is not the ribbed one"
    assert sizes["795 / 771 x 3.2", True] == (1, 2, ("14-E-103 J4 (G4)",))
    assert sum(g.fitted for g in order.gaskets if g.metal) == 5


def test_a_set_that_clamps_two_joints_is_bought_once() -> None:
    found = {(s.size, s.length): s.count for s in order_of([AES]).studs}
    assert found == {("1-8", "255 mm"): 32, ("1-8", "375 mm"): 36, ("7/8-9", "305 mm"): 36, ("7/8-9", "240 mm"): 36}


def test_spares_are_none_unless_said_and_rounded_up_line_by_line() -> None:
    assert all(s.spares == 0 for s in order_of([AES]).studs)
    assert [(s.count, s.spares) for s in order_of([AES], 5).studs] == [(32, 2), (36, 2), (36, 2), (36, 2)]
    assert [s.spares for s in order_of([AES], 100).studs] == [32, 36, 36, 36]


def test_two_exchangers_share_a_plain_ring_and_never_a_ribbed_one() -> None:
    other = replace(AES, identity=replace(AES.identity, tag="14-E-199"))
    lines = [g for g in order_of([AES, other]).gaskets if g.metal]
    assert {len({p.split()[0] for p in g.places}) for g in lines if g.ribs} == {1}
    assert {len({p.split()[0] for p in g.places}) for g in lines if not g.ribs} == {2}


@pytest.mark.parametrize(
    ("what", "changes", "lacks"),
    [
        ("gasket", {"od": None}, "size"), ("gasket", {"thickness": None}, "thickness"), ("gasket", {"kind": ""}, "kind"),
        ("gasket", {"metal": ""}, "metal"), ("gasket", {"facing": ""}, "facing"), ("gasket", {"rib_width": None}, "rib width"),
        ("studs", {"count": None}, "count"), ("studs", {"size": ""}, "size"), ("studs", {"grade": ""}, "grade"),
        ("studs", {"length": None}, "length"), ("studs", {"lubricant": ""}, "lubricant"),
    ],
)  # fmt: skip
def test_what_is_not_given_is_not_ordered_and_says_what_to_do(what: str, changes: dict[str, Any], lacks: str) -> None:
    order = order_of([with_part(AES, "J1", what, **changes)])
    told = lacking(order, "J1")
    assert any(lacks in line for line in told), told
    assert all(len(line.split("; ")[-1]) > 10 for line in told)
    places = " ".join(p for line in (*order.gaskets, *order.studs) for p in line.places)
    assert (("J1 (G1)" if what == "gasket" else "J1 (S1)") in places) == (lacks == "lubricant")


def test_a_joint_without_gasket_and_studs_lacks_all_of_them() -> None:
    bare = replace(AES, joints=tuple(replace(j, gasket=None, studs=None) for j in AES.joints))
    order = order_of([bare])
    assert order.studs == ()
    assert [g for g in order.gaskets if g.metal] == []
    assert len(lacking(order, "gasket of")) == 5
    assert [line.split(":")[0] for line in lacking(order, "studs of")] == [
        "14-E-103 studs of J1, channel cover to channel", "14-E-103 studs of J2, channel to tubesheet",
        "14-E-103 studs of J4, floating head cover to floating tubesheet, split backing ring", "14-E-103 studs of J5, shell cover to shell",
    ]  # fmt: skip


def test_passes_not_known_make_no_plain_ring() -> None:
    order = order_of([replace(AES, tubes=replace(AES.tubes, passes=None))])
    assert any("passes" in line for line in lacking(order, "gasket of J1"))


def test_a_nozzle_gasket_goes_by_size_and_class_and_its_studs_lack_their_length() -> None:
    order = order_of([BEU])
    assert [(g.size, g.fitted) for g in order.gaskets if not g.metal] == [
        ("10 in class 150, flange standard", 1), ("8 in class 150, flange standard", 3),
    ]  # fmt: skip
    assert [k.lacks for k in order.lacking] == ["stud length"] * 4
    assert [k.known for k in order.lacking][:2] == ["12 x 7/8-9 B7", "8 x 3/4-10 B7"]


def test_invented_exchangers_are_said_to_be() -> None:
    assert any("Invented" in line and "14-E-103" in line for line in order_of([AES, BEM]).about)


def test_the_one_table_has_every_row_of_the_sheets() -> None:
    order = order_of([AES, BEU, BEM], 5)
    sheets, table = listings(order), one_table(order)
    assert len(table.rows) == sum(len(s.rows) for s in sheets)
    assert {len(r) for r in table.rows} == {len(table.heads)}
    assert all(len(row) == len(s.heads) for s in sheets for row in s.rows)


@pytest.mark.practice
def test_a_ring_joint_needs_no_facing_and_a_sheet_no_metal() -> None:
    """22-E-201A J2: a solid octagonal ring of 5Cr; 40-E-405 J1, J2: fibre sheet, whose grade nobody gave, and that stands on its line."""
    rings = [g for g in order_of([LOWER]).gaskets if g.kind == "ring joint, octagonal"]
    assert [(g.metal, g.size, g.fitted, g.spares) for g in rings] == [("5Cr-0.5Mo, softer than the groove", "778 / 746 x 20.6", 1, 1)]
    sheets = [g for g in order_of([SHEETS]).gaskets if g.kind == "fibre sheet"]
    assert [(g.metal, g.size, g.fitted, g.spares) for g in sheets] == [("", "1352 / 1316 x 3.2", 2, 2)]
    assert "grade not given" in sheets[0].facing
    graded = with_part(SHEETS, "J1", "gasket", facing="aramid with nitrile")
    assert {g.facing for g in order_of([graded]).gaskets if g.kind == "fibre sheet"} == {"aramid with nitrile", sheets[0].facing}


@pytest.mark.practice
@pytest.mark.parametrize(
    ("kind", "metal", "facing"),
    [
        ("ring joint, oval", True, False), ("RTJ", True, False), ("lens ring", True, False), ("solid metal", True, False),
        ("fibre sheet", False, False), ("flexible graphite sheet", False, False), ("O-ring, EPDM", False, False),
        ("natural rubber", False, False), ("spiral wound, PTFE", True, True), ("kammprofile", True, True),
        ("double-jacketed, fibre", True, True), ("corrugated, graphite", True, True),
        ("O-ring, metal", True, True), ("a kind nobody knows", True, True), ("", True, True),
    ],
)  # fmt: skip
def test_what_a_kind_is_made_of(kind: str, metal: bool, facing: bool) -> None:
    assert made_of(kind) == (metal, facing)


def test_a_nozzle_bolted_to_its_neighbour_is_one_joint() -> None:
    """Drawn: the lower one's upper nozzles N2 and N3 meet the upper one's lower N1 and N4; four nozzles each, two joints in common: six."""
    for pair in ([LOWER, UPPER], [UPPER, LOWER]):
        order = order_of(pair)
        (rings,) = [g for g in order.gaskets if "flange standard" in g.size]
        assert rings.fitted == 6
        assert {p for p in rings.places if "=" in p} == {"22-E-201A N2 = 22-E-201B N1", "22-E-201A N3 = 22-E-201B N4"}
        assert len([k for k in order.lacking if k.what.startswith("nozzle")]) == 6
    alone = [g for g in order_of([LOWER]).gaskets if "flange standard" in g.size]
    assert [g.fitted for g in alone] == [4]


def test_neighbours_that_name_two_kinds_are_not_ordered_for() -> None:
    other = replace(UPPER, nozzles=tuple(replace(n, gasket="spiral wound") if n.id == "N1" else n for n in UPPER.nozzles))
    order = order_of([LOWER, other])
    assert sum(g.fitted for g in order.gaskets if "flange standard" in g.size) == 5
    assert any("two files differ" in k.lacks and "N2 = 22-E-201B N1" in k.what for k in order.lacking)


def test_nothing_is_ordered_for_a_joint_the_job_leaves_closed() -> None:
    """31-E-305: both flat covers come off, both channels stay, J2 and J3: two gaskets of four, 48 studs of 96."""
    order = order_of([UPRIGHT])
    (line,) = [g for g in order.gaskets if g.kind == "kammprofile"]
    assert (line.fitted, line.places) == (2, ("31-E-305 J1 (G1)", "31-E-305 J4 (G4)"))
    assert sum(s.count for s in order.studs) == 48
    assert order.closed == ("31-E-305 J2", "31-E-305 J3")
    assert any("31-E-305 J2" in line and "Not opened" in line for line in (*order.told, *order.about))
    assert order_of([AES]).closed == ()
