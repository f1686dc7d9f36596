"""What every layout must keep, over a thousand shells drawn by lot (the seed is fixed, so that a failure comes back)."""

from __future__ import annotations

import random
from dataclasses import dataclass
from math import hypot

import pytest

from boxup.exchanger.bends import partners, radius
from boxup.exchanger.generate import generate
from boxup.exchanger.lattice import ANGLES, Lattice, NoLayout, Placed
from boxup.exchanger.layout import Layout, Tube, number
from boxup.exchanger.passes import LAYOUTS, MOST_PASSES, chambers, end_ribs, legs_why_not, one_tube, why_not, zones
from boxup.exchanger.taken import Inlet, Obstacles, escape, take_away

HOW_MANY = 1000
NEAR = 1e-5  # mm


@dataclass(frozen=True)
class Case:
    """One bundle drawn by lot."""

    lattice: Lattice
    od: float
    limit: float
    passes: int
    layout: str
    lane: float
    u_tubes: bool

    def laid(self) -> list[Placed]:
        return generate(self.lattice, self.od, self.limit, self.passes, self.layout, self.lane, self.u_tubes)


def drawn(lot: random.Random) -> Case:
    od = lot.choice((15.875, 19.05, 25.4, 31.75, lot.uniform(10, 60)))
    lattice = Lattice(od * lot.uniform(1.2, 1.6), lot.choice(ANGLES))
    passes = lot.randint(1, MOST_PASSES)
    layout = lot.choice([way for way in LAYOUTS if not why_not(passes, way)])
    limit = lot.uniform(3, 24 if lot.random() < 0.9 else 50) * lattice.pitch
    return Case(lattice, od, limit, passes, layout, max(lattice.pitch, od + lot.uniform(6, 30)), lot.random() < 0.3 and passes % 2 == 0)


@pytest.fixture(scope="module")
def cases() -> list[tuple[Case, list[Placed]]]:
    """A thousand that can be laid out; those that cannot are counted, each with its reason."""
    lot, found, refused = random.Random(20), [], list[str]()
    while len(found) < HOW_MANY:
        case = drawn(lot)
        try:
            found.append((case, case.laid()))
        except NoLayout as bad:
            refused.append(str(bad))
    reasons = ("do not fit inside", "no mirror images", "lies inside")
    assert [why for why in refused if not any(reason in why for reason in reasons)] == []
    assert len(refused) > 50
    return found


def test_they_are_of_every_kind(cases: list[tuple[Case, list[Placed]]]) -> None:
    assert {c.passes for c, _ in cases} == set(range(1, MOST_PASSES + 1))
    assert {c.layout for c, _ in cases} == set(LAYOUTS)
    assert {c.lattice.angle for c, _ in cases} == set(ANGLES)
    assert sum(c.u_tubes for c, _ in cases) > 30
    assert max(len(holes) for _, holes in cases) > 1000


def test_no_two_tubes_are_nearer_than_a_pitch(cases: list[tuple[Case, list[Placed]]]) -> None:
    for case, holes in cases:
        assert nearest(holes, case.lattice.pitch) >= case.lattice.pitch - NEAR, case


def nearest(holes: list[Placed], within: float) -> float:
    """The least distance of two holes, as far as it is less than `within`."""
    boxes: dict[tuple[int, int], list[Placed]] = {}
    for h in holes:
        boxes.setdefault((int(h.x // within), int(h.y // within)), []).append(h)
    least = within
    for (i, k), own in boxes.items():
        around = [o for di in (0, 1) for dk in (-1, 0, 1) if (di, dk) != (0, -1) for o in boxes.get((i + di, k + dk), ())]
        least = min([least, *(hypot(a.x - b.x, a.y - b.y) for a in own for b in around if a is not b)])
    return least


def test_no_tube_is_outside_the_limit(cases: list[tuple[Case, list[Placed]]]) -> None:
    for case, holes in cases:
        assert max(hypot(h.x, h.y) for h in holes) + case.od / 2 <= case.limit / 2 + NEAR, case


def test_no_tube_is_in_a_lane_of_either_end(cases: list[tuple[Case, list[Placed]]]) -> None:
    """Every rib of the front and of the rear has its lane clear between the rows or columns on its two sides."""
    seen = 0
    for case, holes in cases:
        grid = zones(case.passes, case.layout)
        for end in ("front", "rear"):
            for rib in end_ribs(case.passes, case.layout, end, case.u_tubes):
                a, b = rib.between
                if rib.way == "H":
                    above, below = grid[rib.row], grid[rib.row + 1]
                    assert gap(holes, above, below, 1) >= case.lane - NEAR, (case, str(rib))
                else:
                    left, right = ([row[i] for row in grid] for i in (0, 1))
                    assert gap(holes, right, left, 0) >= case.lane - NEAR, (case, str(rib))
                assert {a, b} <= {h.tube_pass for h in holes}
                seen += 1
    assert seen > 5000


def gap(holes: list[Placed], high: object, low: object, axis: int) -> float:
    """From the foot of one set of passes to the top of the other."""
    return min(h[axis] for h in holes if h.tube_pass in high) - max(h[axis] for h in holes if h.tube_pass in low)  # type: ignore[operator]


def test_u_bends_have_room_and_both_legs(cases: list[tuple[Case, list[Placed]]]) -> None:
    bent = 0
    for case, holes in cases:
        if case.u_tubes:
            other = partners(holes)
            assert set(other) == set(holes), case
            assert all(other[b] == a for a, b in other.items())
            assert min(radius(a, b) for a, b in other.items()) >= 1.5 * case.od - NEAR, case
            assert all((min(a.tube_pass, b.tube_pass) % 2, abs(a.tube_pass - b.tube_pass)) == (1, 1) for a, b in other.items())
            bent += len(holes)
    assert bent > 2000


def test_numbers_are_unique_and_the_mirror_of_the_mirror_is_the_original(cases: list[tuple[Case, list[Placed]]]) -> None:
    for case, holes in cases:
        layout = Layout(number(holes), None, "generated")
        assert len({t.id for t in layout.tubes}) == len(holes), case
        rear = layout.from_rear()
        assert [(t.id, -t.x, t.y) for t in rear] == [(t.id, t.x, t.y) for t in layout.tubes]
        assert Layout(rear, None, "generated").from_rear() == layout.tubes
        rows: dict[int, list[Tube]] = {}
        for t in layout.tubes:
            rows.setdefault(t.row, []).append(t)
        for own in rows.values():
            assert [t.col for t in own] == list(range(1, len(own) + 1))
            assert [t.x for t in own] == sorted(t.x for t in own)
            assert max(t.y for t in own) - min(t.y for t in own) < 0.05
        assert list(rows) == list(range(1, len(rows) + 1))
        heights = [own[0].y for own in rows.values()]
        assert heights == sorted(heights, reverse=True)


def test_counts_by_pass_add_up_and_mirror_passes_are_alike(cases: list[tuple[Case, list[Placed]]]) -> None:
    for case, holes in cases:
        layout = Layout(number(holes), None, "generated")
        assert sum(layout.by_pass.values()) == layout.count == len(holes)
        assert sorted(layout.by_pass) == list(range(1, case.passes + 1))
        grid = zones(case.passes, case.layout)
        for row, mirror in zip(grid, reversed(grid), strict=True):
            assert sum(layout.by_pass[p] for p in row) == sum(layout.by_pass[p] for p in mirror)


def test_what_is_taken_away_leaves_room(cases: list[tuple[Case, list[Placed]]]) -> None:
    """Tie rods stand on tube places; nothing is left in the room of the impingement plate; a U-tube goes with both legs."""
    lot, taken = random.Random(3), 0
    for case, holes in cases[:300]:
        shell = case.limit + 30
        inlet = Inlet("N1", lot.choice((12.0, 3.0, 6.0, 1.5)), lot.uniform(0.1, 0.5) * shell)
        left = take_away(holes, case.od, Obstacles(shell, 4, (inlet,)), case.u_tubes)
        assert set(left.holes) < set(holes)
        assert set(left.rods) <= set(holes) - set(left.holes)
        assert len(set(left.rods)) == min(4, len(holes) - left.under[0][1])
        edge = shell / 2 - escape(inlet.bore) - case.od / 2
        up = {12.0: (0, 1), 3.0: (1, 0), 6.0: (0, -1), 1.5: (0.5**0.5, 0.5**0.5)}[inlet.clock]
        assert all(h.x * up[0] + h.y * up[1] <= edge for h in left.holes)
        if case.u_tubes:
            other = partners(holes)
            assert {other[h] for h in left.holes} == set(left.holes)
        taken += left.under[0][1]
    assert taken > 1000


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"angle": 50}, "pattern angle 50; accepted: 30, 45, 60, 90"),
        ({"pitch": 18.0}, "a pitch of 18 mm is less than the tube outside diameter 19.05 mm"),
        ({"lane": 20.0}, "a lane of 20 mm between tube centres is less than the pitch"),
        ({"limit": 19.0}, "no tube of 19.05 mm lies inside"),
        ({"passes": 12, "limit": 200.0}, "12 passes do not fit inside an outer tube limit of 200 mm"),
        ({"passes": 3, "layout": "zigzag"}, "an even number of passes"),
        ({"passes": 17}, "17 tube passes; accepted: 1 to 16"),
        ({"passes": 4, "u": True}, "U-tubes in a band layout of 4 passes: the two legs of a tube are no mirror images; accepted: quadrant"),
        ({"passes": 3, "u": True}, "3 passes of U-tubes: they go there and back"),
    ],
)
def test_a_layout_that_cannot_be_is_refused_with_the_reason(change: dict[str, object], says: str) -> None:
    wish = {"pitch": 25.4, "angle": 30, "limit": 500.0, "passes": 2, "layout": "band", "lane": 38.1, "u": False} | change
    with pytest.raises(NoLayout) as refused:
        generate(Lattice(wish["pitch"], wish["angle"]), 19.05, wish["limit"], wish["passes"], wish["layout"], wish["lane"], wish["u"])  # type: ignore[arg-type]
    assert says in str(refused.value)


@pytest.mark.practice
def test_ribs_of_the_far_end_have_lanes_too() -> None:
    """Three passes in bands: the front parts 1 from 2, only the rear parts 2 from 3; both lanes are there."""
    assert chambers(3, "front") == ((1,), (2, 3))
    holes = generate(Lattice(25.4, 90), 19.05, 600, 3, "band", 38.1)
    assert gap(holes, [1], [2], 1) == pytest.approx(38.1)
    assert gap(holes, [2], [3], 1) == pytest.approx(38.1)


@pytest.mark.computed
def test_every_two_passes_one_above_the_other_have_a_plate_or_a_bend_between_them() -> None:
    """Counted through: so a lane under every row of passes is never one too many, and never one too few."""
    for passes in range(2, MOST_PASSES + 1):
        for layout in (way for way in LAYOUTS if not why_not(passes, way)):
            for u_tubes in (False, True):
                if u_tubes and legs_why_not(passes, layout):
                    continue
                grid = zones(passes, layout)
                plates = {r.row for end in ("front", "rear") for r in end_ribs(passes, layout, end, u_tubes) if r.way == "H"}
                bends = {
                    r for r in range(len(grid) - 1) if u_tubes and any(one_tube(*pair) for pair in zip(grid[r], grid[r + 1], strict=True))
                }
                assert plates | bends == set(range(len(grid) - 1)), (passes, layout, u_tubes)
