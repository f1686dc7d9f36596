"""Ribs: which there are, and where they lie."""

from __future__ import annotations

from dataclasses import replace
from importlib.resources import files
from math import hypot, sqrt

import pytest

from boxup.core.calculation import Answer, BadInput
from boxup.core.finding import Missing
from boxup.core.quantity import quantity
from boxup.exchanger.file import load
from boxup.exchanger.layout import layout_of
from boxup.exchanger.letters import letters
from boxup.exchanger.model import Exchanger
from boxup.exchanger.passes import end_ribs, survives_half_turn, zones
from boxup.exchanger.ribs import RibLine, falls_on_itself, mirrored, rib_length, rib_lines, rib_pattern

# layout, passes | front ribs, same after half a turn | rear ribs, same after half a turn | front and rear alike.
# Drawn by hand from the chambers of each end; H is a level rib, V an upright one, between the two passes named.
PATTERNS = [
    ("plain", 1, "", True, "", True, True),
    ("band", 2, "H[1|2]", True, "", True, False),
    ("band", 3, "H[1|2]", False, "H[2|3]", False, False),
    ("band", 4, "H[1|2] H[3|4]", True, "H[2|3]", True, False),
    ("quadrant", 4, "V[1|4] H[1|2] H[4|3]", False, "V[1|4] V[2|3]", True, False),
    ("zigzag", 4, "V[1|2] H[1|4] V[4|3]", False, "H[1|4] H[2|3]", True, False),
    ("band", 6, "H[1|2] H[3|4] H[5|6]", True, "H[2|3] H[4|5]", True, False),
    ("two-column", 6, "V[1|6] H[1|2] H[6|5] V[2|5] V[3|4]", False, "V[1|6] V[2|5] H[2|3] H[5|4]", False, False),
    ("zigzag", 6, "V[1|2] H[1|4] V[4|3] H[3|6] V[5|6]", True, "H[1|4] H[2|3] H[4|5] H[3|6]", True, False),
    ("two-column", 8, "V[1|8] H[1|2] H[8|7] V[2|7] V[3|6] H[3|4] H[6|5]", False, "V[1|8] V[2|7] H[2|3] H[7|6] V[3|6] V[4|5]", True, False),
    ("zigzag", 8, "V[1|2] H[1|4] V[4|3] H[3|6] V[5|6] H[5|8] V[8|7]", False, "H[1|4] H[2|3] H[4|5] H[3|6] H[5|8] H[6|7]", True, False),
]


@pytest.fixture(scope="module")
def exchanger() -> Exchanger:
    return load(str(files("boxup.demo") / "data" / "14-E-103.toml"))


def run(passes: int, layout: str, **more: str) -> Answer:
    return rib_pattern.run(rib_pattern.parse({"passes": str(passes), "layout": layout, **more}))


@pytest.mark.computed
@pytest.mark.parametrize(("layout", "passes", "front", "front_turn", "rear", "rear_turn", "alike"), PATTERNS)
def test_patterns_drawn_by_hand(layout: str, passes: int, front: str, front_turn: bool, rear: str, rear_turn: bool, alike: bool) -> None:
    grid = zones(passes, layout)
    for end, drawn, turn in (("front", front, front_turn), ("rear", rear, rear_turn)):
        pieces = end_ribs(passes, layout, end)  # type: ignore[arg-type]
        assert sorted(map(str, pieces)) == sorted(drawn.split())
        assert survives_half_turn(grid, pieces) is turn
    answer = run(passes, layout)
    assert answer.values["front_count"].value == len(front.split())
    assert answer.values["rear_count"].value == len(rear.split())
    assert answer.lists["same_front_as_rear"][0] is alike
    assert answer.lists["survives_half_turn"][0] is (front_turn and rear_turn)


@pytest.mark.practice
def test_answers_are_pairs_of_passes() -> None:
    answer = run(4, "band").as_json()["answers"]
    assert answer["front"]["value"] == [[1, 2], [3, 4]]
    assert answer["rear"]["value"] == [[2, 3]]
    assert answer["front_count"] == {"value": 2, "unit": "count"}
    assert answer["survives_half_turn"]["value"] is True


@pytest.mark.practice
def test_a_turn_nobody_would_notice_is_said() -> None:
    assert [f.level for f in run(4, "band").findings] == ["warn"]
    assert run(4, "quadrant").findings == []
    assert run(1, "plain").findings == []


def test_u_tubes_have_a_plain_rear() -> None:
    answer = run(4, "quadrant", tubes="u")
    assert (answer.values["front_count"].value, answer.values["rear_count"].value) == (3, 0)
    assert answer.lists["rear_chambers"][0] == []


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({"passes": "4.5", "layout": "band"}, "not a whole number"),
        ({"passes": "4", "layout": "round"}, "accepted: plain, band"),
        ({"passes": "5", "layout": "two-column"}, "even number"),
        ({"passes": "3", "layout": "band", "tubes": "u"}, "even"),
        ({"passes": "40", "layout": "band"}, "at most 16"),
        ({"layout": "band"}, "passes: missing"),
    ],
)
def test_bad_input_names_the_key_and_what_is_accepted(typed: dict[str, str], says: str) -> None:
    with pytest.raises(BadInput, match=says):
        rib_pattern.parse(typed)


def lines(exchanger: Exchanger, end: str) -> tuple[RibLine, ...]:
    got = rib_lines(exchanger, end)  # type: ignore[arg-type]
    assert not isinstance(got, Missing)
    return got


@pytest.mark.computed
def test_front_ribs_lie_in_the_middle_of_the_lanes(exchanger: Exchanger) -> None:
    # By hand: rows 7 and 8 are at 163.6 and 122.2, so the rib is at 142.9; half chord of the 829 ring there: sqrt(414.5^2 - 142.9^2).
    upper, lower = lines(exchanger, "front")
    assert (upper.y1, upper.y2, upper.between) == (pytest.approx(142.9), pytest.approx(142.9), (1, 2))
    assert (lower.y1, lower.between) == (pytest.approx(-142.9), (3, 4))
    assert upper.x2 == -upper.x1 == pytest.approx(sqrt(414.5**2 - 142.9**2))


@pytest.mark.computed
def test_rear_rib_lies_across_the_middle(exchanger: Exchanger) -> None:
    (only,) = lines(exchanger, "rear")
    assert only.y1 == pytest.approx(0.0, abs=0.06)  # the file's rows are rounded to 0.1 mm
    assert only.between == (2, 3)
    assert only.length == pytest.approx(771, abs=0.01)


@pytest.mark.computed
def test_rib_length_is_the_sum_of_the_pieces(exchanger: Exchanger) -> None:
    answer = rib_length(exchanger, "front")
    assert isinstance(answer, Answer)
    assert answer.values["length"].value == pytest.approx(2 * 2 * sqrt(414.5**2 - 142.9**2))
    wider = rib_length(exchanger, "front", quantity("900 mm", "mm"))
    assert isinstance(wider, Answer)
    assert wider.values["length"].value == pytest.approx(4 * sqrt(450**2 - 142.9**2))


@pytest.mark.computed
@pytest.mark.parametrize(("layout", "passes"), [("quadrant", 4), *((v, n) for v in ("zigzag", "two-column", "band") for n in (4, 6, 8))])
def test_every_rib_ends_on_the_ring_or_on_another_rib(exchanger: Exchanger, layout: str, passes: int) -> None:
    tubes = replace(exchanger.tubes, rows=(), layout=layout, passes=quantity(str(passes), "count"), count=None)
    other = replace(exchanger, tubes=tubes)
    for end in ("front", "rear"):
        got = rib_lines(other, end, quantity("829 mm", "mm"))  # type: ignore[arg-type]
        assert not isinstance(got, Missing)
        assert len(got) == len(end_ribs(passes, layout, end))  # type: ignore[arg-type]
        for rib in got:
            for x, y in ((rib.x1, rib.y1), (rib.x2, rib.y2)):
                on_ring = hypot(x, y) == pytest.approx(414.5)
                assert on_ring or any(touches(x, y, o) for o in got if o is not rib), (end, rib)
        told = rib_length(other, end, quantity("829 mm", "mm"))  # type: ignore[arg-type]
        assert isinstance(told, Answer)
        assert told.values["length"].value == pytest.approx(sum(r.length for r in got), abs=1e-6)


def touches(x: float, y: float, rib: RibLine) -> bool:
    low, high = sorted((rib.x1, rib.x2)), sorted((rib.y1, rib.y2))
    return low[0] - 0.01 <= x <= low[1] + 0.01 and high[0] - 0.01 <= y <= high[1] + 0.01


def test_the_rear_view_is_a_mirror_image(exchanger: Exchanger) -> None:
    tubes = replace(exchanger.tubes, rows=(), layout="quadrant", count=None)
    got = rib_lines(replace(exchanger, tubes=tubes), "front")
    assert not isinstance(got, Missing)
    back = mirrored(got)
    assert [r.between for r in back] == [r.between for r in got]
    assert [(-r.x2, -r.x1) if r.way == "H" else (-r.x1, -r.x2) for r in got] == [(r.x1, r.x2) for r in back]
    assert mirrored(back) == got


def test_half_a_turn_of_the_ribs_as_they_lie(exchanger: Exchanger) -> None:
    assert falls_on_itself(lines(exchanger, "front"))  # four bands: nothing would catch it
    tubes = replace(exchanger.tubes, rows=(), layout="quadrant", count=None)
    got = rib_lines(replace(exchanger, tubes=tubes), "front")
    assert not isinstance(got, Missing)
    assert not falls_on_itself(got)


def test_what_is_missing_is_said(exchanger: Exchanger) -> None:
    no_gasket = replace(exchanger, joints=tuple(replace(j, gasket=None) for j in exchanger.joints))
    got = rib_lines(no_gasket, "front")
    assert isinstance(got, Missing)
    assert "inside diameter" in got.do
    small = rib_lines(exchanger, "front", quantity("200 mm", "mm"))
    assert isinstance(small, Missing)
    assert "do not fit" in small.do


@pytest.mark.computed
def test_a_middle_rib_off_the_centre(exchanger: Exchanger, monkeypatch: pytest.MonkeyPatch) -> None:
    """Tubes set 6 mm over to the right by hand: the upright rib stands at 6, and every piece still ends on the ring or on another one."""
    tubes = replace(exchanger.tubes, rows=(), layout="two-column", passes=quantity("6", "count"), count=None)
    x = replace(exchanger, tubes=tubes)
    straight = layout_of(x)
    assert not isinstance(straight, Missing)
    moved = replace(straight, tubes=tuple(t._replace(x=t.x + 6) for t in straight.tubes))
    monkeypatch.setattr("boxup.exchanger.ribs.layout_of", lambda _: moved)
    for end in ("front", "rear"):
        got = rib_lines(x, end, quantity("829 mm", "mm"))  # type: ignore[arg-type]
        told = rib_length(x, end, quantity("829 mm", "mm"))  # type: ignore[arg-type]
        assert not isinstance(got, Missing)
        assert isinstance(told, Answer)
        assert [r.x1 for r in got if r.way == "V"] == [pytest.approx(6)] * sum(r.way == "V" for r in got)
        ends = [(r.x1, r.y1, r) for r in got] + [(r.x2, r.y2, r) for r in got]
        for px, py, rib in ends:
            assert hypot(px, py) == pytest.approx(414.5) or any(touches(px, py, o) for o in got if o is not rib)
        assert told.values["length"].value == pytest.approx(sum(r.length for r in got), abs=1e-6)


def test_a_plain_ring_needs_no_measuring(exchanger: Exchanger) -> None:
    u = replace(exchanger, letters=letters("AEU"), joints=())
    assert rib_lines(u, "rear") == ()
    told = rib_length(u, "rear")
    assert isinstance(told, Answer)
    assert told.values["length"].value == 0
