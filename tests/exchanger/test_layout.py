"""Tube layouts: the file's rows, and the generator against printed counts."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from importlib.resources import files
from math import hypot, pi

import pytest

from boxup.core.finding import Missing
from boxup.core.quantity import quantity
from boxup.exchanger.assumed import assume
from boxup.exchanger.file import load
from boxup.exchanger.fits import fits
from boxup.exchanger.generate import generate
from boxup.exchanger.lattice import Lattice, Placed
from boxup.exchanger.layout import Layout, layout_of, number, numbered_layout, u_pairs
from boxup.exchanger.letters import letters
from boxup.exchanger.model import Exchanger, TubeRow
from boxup.exchanger.passes import usual_layout
from boxup.job.plugs import plug_list

INCH = 25.4


@pytest.fixture(scope="module")
def exchanger() -> Exchanger:
    return load(str(files("boxup.demo") / "data" / "14-E-103.toml"))


def laid(exchanger: Exchanger) -> Layout:
    got = layout_of(exchanger)
    assert not isinstance(got, Missing)
    return got


@pytest.mark.demo
def test_the_files_rows(exchanger: Exchanger) -> None:
    layout = laid(exchanger)
    assert (layout.count, len(layout.tubes), layout.origin) == (592, 592, "rows of the file")
    assert layout.by_pass == {1: 152, 2: 144, 3: 144, 4: 152}
    assert layout.findings == ()


@pytest.mark.demo
def test_a_hole_is_found_by_row_and_column_from_the_front(exchanger: Exchanger) -> None:
    # 9-14: row 9 from the top, 14th from the left of 28, pass 2; so half a pitch left of the middle.
    tube = laid(exchanger).tube("9-14")
    assert (tube.row, tube.col, tube.tube_pass, tube.y) == (9, 14, 2, pytest.approx(96.8))
    assert tube.x == pytest.approx(-12.7)
    rear = next(t for t in laid(exchanger).from_rear() if t.id == "9-14")
    assert (rear.x, rear.y, rear.row, rear.col) == (pytest.approx(12.7), tube.y, 9, 14)
    with pytest.raises(KeyError, match="row 9 has 28 holes"):
        laid(exchanger).tube("9-29")


def test_the_drawings_count_is_the_truth_and_the_difference_is_told(exchanger: Exchanger) -> None:
    short = replace(exchanger, tubes=replace(exchanger.tubes, count=quantity("590", "count")))
    layout = laid(short)
    assert (layout.count, len(layout.tubes)) == (590, 592)
    assert [f.level for f in layout.findings] == ["warn"]
    assert "592" in layout.findings[0].text
    assert "590" in layout.findings[0].text
    assert "-2" in layout.findings[0].text
    sketch = laid(replace(exchanger, tubes=replace(exchanger.tubes, rows=())))
    assert (sketch.count, sketch.origin) == (592, "generated")
    assert "the file counts 592" in sketch.findings[0].text


def test_two_entries_at_one_height_lie_left_and_right_of_the_lane(exchanger: Exchanger) -> None:
    y = quantity("100 mm", "mm")
    tubes = replace(exchanger.tubes, rows=(TubeRow(y=y, holes=3, tube_pass=1), TubeRow(y=y, holes=2, tube_pass=4)), count=None)
    layout = laid(replace(exchanger, tubes=tubes))
    assert [(t.id, t.tube_pass) for t in layout.tubes] == [("1-1", 1), ("1-2", 1), ("1-3", 1), ("1-4", 4), ("1-5", 4)]
    lane = exchanger.tubes.lane
    assert lane is not None
    assert layout.tubes[3].x - layout.tubes[2].x == pytest.approx(lane.to("mm"))


def test_what_is_missing_is_named(exchanger: Exchanger) -> None:
    got = layout_of(replace(exchanger, tubes=replace(exchanger.tubes, rows=(), outer_limit=None, passes=None)))
    assert isinstance(got, Missing)
    assert "outer_limit" in got.do
    assert "passes" in got.do


# Printed counts, 3/4 in tube on 15/16 in triangles: Ray and Das, Process Equipment and Plant Design, Table 4.8b, p. 93 (a Kern-type
# table). Such a table leaves a free path under the inlet nozzle and a split-ring head's clearance: the shell less 43 mm is the circle
# chosen to fit the whole family, so this compares the shape of the counts, not their level; our layout takes no rows out. Bands: wide
# enough for a table whose own neighbours jump by some per cent, narrow enough to see a missing lane (about 12 % at 4 passes).
RAY_DAS = {
    15.25: (170, 160, 140, 136, 128),
    19.25: (301, 282, 252, 244, 234),
    21.25: (361, 342, 314, 306, 290),
    23.25: (442, 420, 386, 378, None),
}
ALLOWED = {1: 0.06, 2: 0.06, 4: 0.10, 6: 0.12, 8: 0.12}


@pytest.mark.practice
@pytest.mark.parametrize("shell", RAY_DAS)
def test_counts_of_ray_and_das_table_4_8b(shell: float) -> None:
    for passes, printed in zip(ALLOWED, RAY_DAS[shell], strict=True):
        if printed is None:
            continue
        holes = generate(Lattice(15 / 16 * INCH, 30), 0.75 * INCH, shell * INCH - 43, passes, usual_layout(passes), 0.75 * INCH + 19.05)
        assert len(holes) == pytest.approx(printed, rel=ALLOWED[passes]), f"{passes} passes"


@pytest.mark.practice
def test_count_of_ludwig_table_10_9() -> None:
    # Ludwig, Applied Process Design, Table 10-9: fixed tubesheets, 23.25 in, 3/4 in on 1 in triangles, one pass: 423. The circle,
    # 32 mm less than the shell, was chosen to fit that table: this holds the level, and proves little.
    assert len(generate(Lattice(INCH, 30), 0.75 * INCH, 23.25 * INCH - 32, 1, "plain", 0)) == pytest.approx(423, rel=0.05)


@pytest.mark.computed
@pytest.mark.parametrize(("r", "points"), [(1, 5), (2, 13), (3, 29), (4, 49), (5, 81), (6, 113), (7, 149), (8, 197)])
def test_square_lattice_against_the_gauss_circle_counts(r: int, points: int) -> None:
    # Lattice points in a circle round one of them; another centring may hold more, never fewer.
    counted = sum(1 for i in range(-r, r + 1) for k in range(-r, r + 1) if i * i + k * k <= r * r)
    assert counted == points
    assert len(generate(Lattice(10, 90), 2, 2 * 10 * r + 2, 1, "plain", 0)) >= points


BANDS = [(n, "band") for n in (2, 3, 4, 5, 6, 8)]
COLUMNS = [(4, "quadrant"), *((n, way) for n in (4, 6, 8) for way in ("zigzag", "two-column"))]
CASES = [(angle, passes, layout) for angle in (30, 45, 60, 90) for passes, layout in ((1, "plain"), *BANDS, *COLUMNS)]


@pytest.mark.computed
@pytest.mark.parametrize(("angle", "passes", "layout"), CASES)
def test_holes_keep_their_distance_their_circle_and_their_lanes(angle: int, passes: int, layout: str) -> None:
    pitch, od, limit, lane = 25.4, 19.05, 700.0, 38.1
    holes = generate(Lattice(pitch, angle), od, limit, passes, layout, lane)
    assert set(Counter(h.tube_pass for h in holes)) == set(range(1, passes + 1))
    assert all(hypot(h.x, h.y) + od / 2 <= limit / 2 + 1e-5 for h in holes)
    close = pairs_nearer_than(holes, lane)
    assert all(d >= pitch - 1e-6 for d, _, _ in close)
    # Tube rows on either side of a pass plate stand a lane apart.
    assert [pair for pair in close if pair[1].tube_pass != pair[2].tube_pass] == []
    # No more than the circle has room for: one tube takes a cell of the lattice.
    cell = pitch**2 * (0.8660254 if angle in (30, 60) else 1.0)
    assert len(holes) <= pi / 4 * (limit - od + pitch) ** 2 / cell


def pairs_nearer_than(holes: list[Placed], distance: float) -> list[tuple[float, Placed, Placed]]:
    boxes: dict[tuple[int, int], list[Placed]] = {}
    for h in holes:
        boxes.setdefault((int(h.x // distance), int(h.y // distance)), []).append(h)
    found = []
    for (i, k), members in boxes.items():
        around = [o for di in (-1, 0, 1) for dk in (-1, 0, 1) for o in boxes.get((i + di, k + dk), [])]
        found += [(hypot(a.x - b.x, a.y - b.y), a, b) for a in members for b in around if a is not b]
    return [f for f in found if f[0] < distance - 1e-6]


@pytest.mark.practice
def test_u_tubes_leave_room_for_the_bend() -> None:
    # Least bend radius 1.5 tube diameters: legs of the first row stand at least 3 diameters apart.
    holes = generate(Lattice(25.4, 90), 19.05, 600, 2, "band", 38.1, u_tubes=True)
    inner = min(abs(h.y) for h in holes)
    assert 2 * inner >= 3 * 19.05 - 1e-9
    upper, lower = ([h for h in holes if h.tube_pass == p] for p in (1, 2))
    assert sorted((h.x, h.y) for h in upper) == sorted((h.x, -h.y) for h in lower)


@pytest.mark.practice
def test_u_tubes_of_four_passes_lie_in_quadrants(exchanger: Exchanger) -> None:
    """Nobody named a layout: the legs of a U-tube stand one over the other, so a tube and its other leg are found by the map."""
    tubes = replace(exchanger.tubes, rows=(), layout="", count=None)
    layout = laid(replace(exchanger, letters=letters("AEU"), tubes=tubes))
    assert sorted(set(layout.by_pass.values())) == [layout.count / 4]
    leg = next(t for t in layout.tubes if t.tube_pass == 3)
    other = next(t for t in layout.tubes if (round(t.x, 3), round(t.y, 3)) == (round(leg.x, 3), -round(leg.y, 3)))
    assert other.tube_pass == 4
    assert u_pairs(layout, (leg.id, other.id)) == [(leg.id, other.id)]
    assert u_pairs(layout, (leg.id,)) == [(leg.id,)]


def test_u_tubes_in_four_bands_are_refused_with_the_reason(exchanger: Exchanger) -> None:
    tubes = replace(exchanger.tubes, rows=(), layout="band", count=None)
    got = layout_of(replace(exchanger, letters=letters("AEU"), tubes=tubes))
    assert isinstance(got, Missing)
    assert "no mirror images" in got.do


@pytest.mark.demo
def test_legs_across_an_upright_lane_are_one_tube() -> None:
    legs = [Placed(s * x, y, 1 if s < 0 else 2) for s in (-1, 1) for x in (30.0, 55.4) for y in (-12.7, 12.7)]
    layout = Layout(number(legs), None, "generated")
    assert u_pairs(layout, ("1-1", "1-4", "2-2")) == [("1-1", "1-4"), ("2-2",)]


def test_the_files_holes_are_told_from_a_plain_layout(exchanger: Exchanger) -> None:
    layout = laid(exchanger)
    assert [f.level for f in layout.beside] == ["note"]
    lattice, limit, lane = Lattice(25.4, 90), exchanger.tubes.outer_limit, exchanger.tubes.lane
    assert limit is not None
    assert lane is not None
    plain = len(generate(lattice, 19.05, limit.to("mm"), 4, "band", lane.to("mm")))
    assert f"592 holes, a plain layout of ours {plain} ({592 - plain:+d}, " in layout.beside[0].text
    assert laid(replace(exchanger, tubes=replace(exchanger.tubes, outer_limit=None))).beside == ()


@pytest.mark.practice
def test_tie_rods_and_the_impingement_plate_take_their_places(exchanger: Exchanger) -> None:
    """Escape height under a 10 in nozzle: a quarter of it, so that the cylinder has the area of the bore; then the plate."""
    tubes = replace(exchanger.tubes, rows=(), count=None)
    bare = replace(exchanger, tubes=tubes, bundle=replace(exchanger.bundle, impingement_plate="", impingement_mass=None, tie_rods=None))
    rods = replace(bare, bundle=replace(bare.bundle, tie_rods=quantity("6", "count")))
    plate = replace(bare, bundle=replace(bare.bundle, impingement_plate="under N1"))
    assert laid(bare).count - laid(rods).count == 6 == len(laid(rods).rods)
    assert "6 places for tie rods" in laid(rods).findings[1].text
    shell = exchanger.shell.inside_diameter
    assert shell is not None
    edge = shell.to("mm") / 2 - 254 / 4 - 6
    gone = [t for t in laid(bare).tubes if t.y + 19.05 / 2 > edge]
    assert len(gone) > 0
    assert laid(bare).count - laid(plate).count == len(gone)
    assert f"{len(gone)} holes under N1 for its impingement plate" in laid(plate).findings[1].text


@pytest.mark.memory
@pytest.mark.parametrize(("inches", "rods"), [(12, 4), (24, 6), (30, 6), (40, 8), (54, 10), (72, 12)])
def test_least_number_of_tie_rods(exchanger: Exchanger, inches: int, rods: int) -> None:
    """Believed of TEMA R-4.71, to be confirmed. Where rows are given they already leave the rods out, and none are assumed."""
    shell = replace(exchanger.shell, inside_diameter=quantity(f"{inches} in", "mm"))
    bare = replace(exchanger, shell=shell, tubes=replace(exchanger.tubes, rows=(), outer_limit=None))
    got = assume(bare).bundle.tie_rods
    assert got is not None
    assert (got.si, got.grade) == (rods, "assumed")
    assert assume(replace(exchanger, shell=shell)).bundle.tie_rods is None


@pytest.mark.practice
def test_u_tubes_of_the_file_can_be_bent() -> None:
    """Least bend radius in use 1.5 tube diameters, 28.6 mm here; each leg has its other leg."""
    x = load(str(files("boxup.demo") / "data" / "14-E-104.toml"))
    assert not [p for p in fits(x) if p.key == "tubes.rows"]
    tight = tuple(replace(r, y=quantity(f"{r.y.to('mm') * 0.85} mm", "mm")) for r in x.tubes.rows)
    said = [p.text for p in fits(replace(x, tubes=replace(x.tubes, rows=tight))) if p.key == "tubes.rows"]
    assert any("radius of 24.3 mm, less than 1.5 tube diameters" in text for text in said)
    lone = replace(x.tubes, rows=x.tubes.rows[:-1], count=None)
    said = [p.text for p in fits(replace(x, tubes=lone)) if p.key == "tubes.rows"]
    assert any("have no other leg" in text for text in said)


@pytest.mark.demo
def test_a_plain_layout_with_another_count_gives_nobody_a_hole_number(exchanger: Exchanger) -> None:
    """400 on the plate: a plain layout of ours is another tubesheet. One of exactly the count given is a sketch, and says so."""
    bare = replace(exchanger, tubes=replace(exchanger.tubes, rows=(), count=quantity("400", "count")))
    got = numbered_layout(bare)
    assert isinstance(got, Missing)
    assert "the file counts 400" in got.do
    [warned] = [f.text for f in laid(bare).findings if f.level == "warn"]
    assert "another tubesheet" in warned
    assert plug_list(replace(bare, to_plug=("9-14",))).ends == ("9-14, front", "9-14, rear")  # named by the drawing, not by the map
    ours = str(len(laid(bare).tubes))
    same = numbered_layout(replace(bare, tubes=replace(bare.tubes, count=quantity(ours, "count"))))
    assert isinstance(same, Layout)
    assert [f.level for f in same.findings if "a sketch" in f.text] == ["warn"]
    assert isinstance(numbered_layout(exchanger), Layout)
