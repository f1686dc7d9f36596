"""The plain tube layout against printed tables of tube counts, by class, at marks that an earlier comparison of another generator set."""

from __future__ import annotations

import pytest

from counts import ENOUGH, Count, Group, counts, grouped, groups, holes, p90, tables


def said(g: Group) -> str:
    return f"{g.table}, {'small' if g.small else 'from 15 in'}, {g.passes} passes"


@pytest.mark.practice
@pytest.mark.parametrize("g", [g for g in groups() if g.marked], ids=said)
def test_nineteen_rows_of_twenty_keep_the_mark(g: Group) -> None:
    off = [(row.says, row.count, n) for row, n in zip(g.rows, g.ours, strict=True)]
    assert g.within >= ENOUGH * len(g.rows), off


@pytest.mark.practice
def test_a_layout_without_lanes_would_not_keep_them() -> None:
    """The marks are no formality: with no room for pass plates they are missed at four passes and more."""
    rows = [row for row in counts() if not row.doubt and not row.small and row.table == "kern" and row.passes >= 4]
    bare = list(grouped(rows, lane=lambda row: row.pitch * 25.4))
    assert [g.passes for g in bare if not g.passed] == [4, 6, 8]


@pytest.mark.practice
def test_a_circle_of_other_size_would_not_keep_them() -> None:
    """Nor is it enough that the circle was fitted: a tube pattern turned or a pitch mistaken does not come right by it."""
    rows = [row for row in counts() if not row.doubt and not row.small and row.table == "kern" and row.passes == 1]
    wider = [Count(r.table, r.shell + 1, r.od, r.pitch, r.pattern, r.passes, r.count, r.source, r.label, r.doubt) for r in rows]
    assert not next(grouped(wider)).passed


def test_every_row_is_there_once_with_its_source_and_label() -> None:
    rows = counts()
    assert len(rows) == 615
    assert len({(r.table, r.shell, r.od, r.pitch, r.pattern, r.passes) for r in rows}) == len(rows)
    assert {r.source for r in rows} == set(tables()["sources"])
    assert {r.label for r in rows} == {"practice", "memory"}
    assert all(r.label == ("memory" if r.source == "kern-9-memory" else "practice") for r in rows)


def test_doubted_rows_are_kept_and_few() -> None:
    prints = [r for r in counts() if r.doubt.startswith("print")]
    assert sorted((r.shell, r.passes, r.count) for r in prints if r.shell == 37) == [(37, 4, 1072), (37, 8, 870)]
    assert len(prints) <= 6
    assert {r.od for r in counts() if r.doubt.startswith("table")} == {1.25}
    assert sum(len(g.rows) for g in groups()) + sum(bool(r.doubt) for r in counts()) == len(counts())


@pytest.mark.practice
def test_a_few_by_name() -> None:
    """Shell 23.25 in, 3/4 in on 1 in: triangles 384 and, at four passes, 352; squares 341 at one pass."""
    at = {(r.pattern, r.passes): r for r in counts() if (r.table, r.shell, r.od, r.pitch) == ("kern", 23.25, 0.75, 1.0)}
    assert (at[30, 1].count, at[30, 4].count, at[90, 1].count) == (384, 352, 341)
    assert holes(at[30, 1]) == pytest.approx(384, rel=0.05)
    assert holes(at[30, 4]) == pytest.approx(352, rel=0.10)
    assert holes(at[90, 1]) == pytest.approx(341, rel=0.05)


def test_p90() -> None:
    assert p90([1, 2, 3, 4, 5, 6, 7, 8, 9, 10]) == 9
    assert p90([1, 2, 3]) == 3
