"""Passes, chambers and zones."""

from __future__ import annotations

import pytest

from boxup.exchanger.passes import LAYOUTS, BadPasses, chambers, end_ribs, survives_half_turn, usual_layout, why_not, zones


@pytest.mark.practice
@pytest.mark.parametrize(
    ("passes", "front", "rear"),
    [
        (1, ((1,),), ((1,),)),
        (2, ((1,), (2,)), ((1, 2),)),
        (3, ((1,), (2, 3)), ((1, 2), (3,))),
        (4, ((1,), (2, 3), (4,)), ((1, 2), (3, 4))),
        (6, ((1,), (2, 3), (4, 5), (6,)), ((1, 2), (3, 4), (5, 6))),
        (8, ((1,), (2, 3), (4, 5), (6, 7), (8,)), ((1, 2), (3, 4), (5, 6), (7, 8))),
    ],
)
def test_passes_that_turn_share_a_chamber(passes: int, front: object, rear: object) -> None:
    # Common practice: water goes in at pass 1 alone, turns at the rear from 1 to 2, at the front from 2 to 3, and so on.
    assert chambers(passes, "front") == front
    assert chambers(passes, "rear") == rear


@pytest.mark.practice
def test_u_tubes_have_no_rear_chambers() -> None:
    assert chambers(4, "rear", u_tubes=True) == ()
    assert end_ribs(4, "band", "rear", u_tubes=True) == ()
    assert len(end_ribs(4, "band", "front", u_tubes=True)) == 2


@pytest.mark.practice
def test_every_pass_lies_once_and_touches_the_next_one() -> None:
    for passes in range(1, 13):
        for layout in ("plain", "band", "quadrant", "two-column", "zigzag"):
            try:
                grid = zones(passes, layout)
            except BadPasses:
                continue
            home = {p: (r, c) for r, row in enumerate(grid) for c, p in enumerate(row)}
            assert sorted(home) == list(range(1, passes + 1)), (passes, layout)
            steps = [abs(home[p][0] - home[p + 1][0]) + abs(home[p][1] - home[p + 1][1]) for p in range(1, passes)]
            assert set(steps) <= {1}, f"{passes} {layout}: a turn jumps over another pass"


@pytest.mark.practice
def test_the_two_quadrant_paths() -> None:
    assert zones(4, "quadrant") == ((1, 4), (2, 3))  # down one side, up the other
    assert zones(4, "zigzag") == ((1, 2), (4, 3))
    assert zones(6, "two-column") == ((1, 6), (2, 5), (3, 4))


@pytest.mark.parametrize(
    ("passes", "layout", "says"),
    [
        (3, "two-column", "even number"),
        (2, "quadrant", "4 passes"),
        (2, "plain", "1 pass"),
        (4, "spiral", "accepted: plain"),
        (0, "band", "1 to"),
    ],
)
def test_a_layout_that_does_not_exist_is_refused_with_what_is_accepted(passes: int, layout: str, says: str) -> None:
    with pytest.raises(BadPasses, match=says):
        zones(passes, layout)


@pytest.mark.parametrize("passes", range(1, 17))
@pytest.mark.parametrize("layout", LAYOUTS)
def test_what_a_refusal_offers_is_accepted_and_nothing_is_left_out(passes: int, layout: str) -> None:
    wrong = why_not(passes, layout)
    if wrong:
        offered = wrong.partition(f"accepted for {passes}: ")[2].split(", ")
        assert offered == [one for one in LAYOUTS if not why_not(passes, one)], wrong


@pytest.mark.practice
def test_a_plain_layout_of_two_and_of_four_passes_is_led_to_what_there_is() -> None:
    """Two passes lie one above the other and in no other way; four also in quadrants, both paths, and in two columns."""
    assert why_not(2, "plain").endswith("accepted for 2: band")
    assert why_not(4, "plain").endswith("accepted for 4: band, quadrant, two-column, zigzag")
    assert why_not(3, "zigzag").endswith("accepted for 3: band")


def test_usual_layouts() -> None:
    assert [usual_layout(n) for n in (1, 2, 4, 6, 8)] == ["plain", "band", "band", "two-column", "two-column"]


def test_half_a_turn_is_caught_by_one_rib_off_the_middle() -> None:
    grid = zones(3, "band")
    assert not survives_half_turn(grid, end_ribs(3, "band", "front"))
    assert survives_half_turn(zones(2, "band"), end_ribs(2, "band", "front"))
