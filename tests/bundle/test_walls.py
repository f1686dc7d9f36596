"""Reports of tube walls: every wrong line with its number, nothing guessed; what the walls mean beside the site's limits."""

from __future__ import annotations

from dataclasses import replace

import pytest

from boxup.bundle.wall_report import WallReport, read_walls, walls_of, walls_text
from boxup.bundle.walls import judged, pass_counts, plug_findings, wall_text, worst_of
from boxup.core.quantity import quantity
from boxup.demo.fleet import files_of_the_demo
from boxup.exchanger.file import load
from boxup.exchanger.layout import Layout, layout_of
from boxup.exchanger.model import Exchanger
from boxup.exchanger.wall import Wall


def focus(tag: str = "14-E-103", **tubes: str) -> Exchanger:
    x = load(files_of_the_demo()[tag])
    units = {"wall_loss_limit": "-", "plug_limit": "-", "least_wall": "mm"}
    return replace(x, tubes=replace(x.tubes, **{k: quantity(v, units[k]) for k, v in tubes.items()}))


def read(*rows: str, end: str = "front", x: Exchanger | None = None) -> WallReport:
    x = x or focus()
    layout = layout_of(x)
    assert isinstance(layout, Layout)
    cells = [(n, row.split(";")) for n, row in enumerate(rows, 1)]
    return read_walls(cells, layout, "rear" if end == "rear" else "front", x.tubes.wall)


# headings


@pytest.mark.parametrize(
    ("head", "line"),
    [
        ("Tube;Wall loss %", "9-14;38"),
        ("Tube no.;Loss (%)", "R9C14;38 %"),
        ("Row;Hole;Max. loss %", "9;14;38"),
        ("Row;Column;Percent loss", "9.0;14.0;38,0"),
        ("Fila;Agujero;Pérdida de pared %", "9;14;38"),
        ("hole;wall loss fraction", "9/14;0.38"),
        ("Tube id;% loss;remark", "9-14;38;in U region"),
    ],
)
def test_headings_are_flexible(head: str, line: str) -> None:
    report = read(head, line)
    assert report.problems == ()
    assert [(w.hole, round(w.loss or 0, 6)) for w in report.walls] == [("9-14", 0.38)]


@pytest.mark.parametrize(
    ("cell", "left"), [("1.3 mm", 1.3), ("0.05 in", 1.27), ('0.05"', 1.27), ("1,3 mm", 1.3)]
)  # fmt: skip
def test_a_wall_left_has_its_unit(cell: str, left: float) -> None:
    [one] = read("tube;remaining wall", f"9-14;{cell}").walls
    assert (one.left or 0) * 1e3 == pytest.approx(left)
    assert one.loss == pytest.approx(1 - left / 2.11)


@pytest.mark.parametrize(
    ("rows", "says"),
    [
        (("tube;loss", "9-14;38"), "neither % nor a fraction"),
        (("tube;remaining", "9-14;1.3"), "a wall without a unit"),
        (("tube;remark", "9-14;38"), "no column is the wall loss or the wall left"),
        (("loss %;remark", "38;x"), "no column names the tube"),
        (("tube;loss %;loss %", "9-14;3;4"), "two columns are loss"),
        (("tube;wall loss %", "9-14;0.38", "9-15;0.4"), "no value in it is over 1"),
        (("tube;wall loss %", "9-14;138"), "is not between 0 and 100 %"),
        (("tube;wall loss %", "9-14;-3"), "is not between 0 and 100 %"),
        (("tube;wall loss %", "305;3"), "is one number"),
        (("tube;wall loss %", "2026-09-14;3"), "is a date"),
        (("tube;wall loss %", "9-99;3"), "row 9 has 28 holes"),
        (("tube;wall loss %", "99-1;3"), "rows run from 1 at the top to 24"),
        (("tube;wall loss %", "9-14;"), "write why not"),
        (("tube;wall loss %", "9-14;x"), "is no number"),
        (("row;hole;wall loss %", "9;1.5;3"), "not a whole number"),
        (("tube;remaining mm", "9-14;4"), "the unit, or the column"),
        (("",), "the report is empty"),
    ],
)
def test_what_could_be_two_things_is_asked(rows: tuple[str, ...], says: str) -> None:
    assert says in " ".join(read(*rows).problems)


def test_every_wrong_line_is_named_and_no_good_one_is_lost() -> None:
    report = read("tube;wall loss %", "9-14;38", "99-1;3", "", "9-15;abc", "9-16;4")
    assert [w.hole for w in report.walls] == ["9-14", "9-16"]
    assert [p.partition(":")[0] for p in report.problems] == ["Line 3", "Line 5"]
    assert report.lines == 4


def test_from_the_rear_each_row_is_counted_from_the_other_side() -> None:
    """Row 9 has 28 holes: the 14th from the left as seen from the rear is the 15th from the front; the first is the last."""
    report = read("tube;wall loss %", "9-14;38", "9-1;2", end="rear")
    assert [w.hole for w in report.walls] == ["9-15", "9-28"]
    assert any("numbered from the rear" in n for n in report.notes)


@pytest.mark.parametrize(
    ("cell", "loss", "said"), [("<20 %", 0.2, "<20 %"), ("20-40", 0.4, "20-40"), ("NDD", 0.0, "NDD"), ("blocked", None, "blocked")]
)
def test_bounds_ranges_and_words(cell: str, loss: float | None, said: str) -> None:
    """Of a range the worse end; a blocked tube is kept, and is not a sound one."""
    [one] = read("tube;wall loss %", f"9-14;{cell}").walls
    assert one.loss == loss
    assert one.said == said
    assert one.unread == (loss is None)


def test_of_loss_and_wall_left_the_worse_stands() -> None:
    """Of a wall of 2.11 mm: 50 % leave 1.055; 1.0 mm left is 52.6 %; under 20 % lost would be 1.69 or more, and 1.9 may be its wall."""
    report = read("tube;wall loss %;wall left mm", "9-14;50;1.0", "9-15;<20;1.9", "9-16;50;1.055")
    assert [round(w.loss or 0, 3) for w in report.walls] == [0.526, 0.2, 0.5]
    assert [round((w.left or 0) * 1e3, 3) for w in report.walls] == [1.0, 1.688, 1.055]
    assert [n.partition(":")[0] for n in report.notes] == ["line 3"]


@pytest.mark.parametrize("line", ["9-14;15;0.30", "9-14;50;1.9", "9-14;NDD;1.0", "9-14;40;OK"])
def test_two_figures_of_a_line_that_contradict_each_other_are_refused(line: str) -> None:
    """Of a wall of 2.11 mm 15 % leave 1.79, not 0.30: which of them is right nobody can say from the report."""
    report = read("tube;wall loss %;rest wall mm", line, "9-15;50;1.05")
    assert [w.hole for w in report.walls] == ["9-15"]
    [problem] = report.problems
    assert problem.startswith("Line 2: ")
    assert "contradict each other" in problem


def test_a_rest_wall_is_a_wall_left_and_blocked_says_why_not() -> None:
    report = read("Row;Hole;Loss in %;Rest wall mm;Method", "9;2;15;1.79;RFT", "9;3;;blocked;RFT", "9;4;;1.3;")
    assert report.problems == ()
    assert [(w.hole, None if w.left is None else round(w.left * 1e3, 2), w.unread) for w in report.walls] == [
        ("9-2", 1.79, False), ("9-3", None, True), ("9-4", 1.3, False),
    ]  # fmt: skip


@pytest.mark.parametrize("head", ["Wall mm", "Thickness", "Pit %", "Espesor mm", "Readout in"])
def test_a_column_that_may_be_a_wall_is_asked_about(head: str) -> None:
    report = read(f"tube;wall loss %;{head}", "9-14;15;0.3")
    assert report.walls == ()
    assert f"column {head!r} looks like a wall or a loss" in report.problems[0]


@pytest.mark.parametrize("head", ["Analyst", "Tube ID mm", "Nominal wall mm", "Distance from tubesheet mm", "Remarks on the wall"])
def test_a_column_that_is_not_read_is_named(head: str) -> None:
    report = read(f"tube;wall loss %;{head}", "9-14;3;X")
    assert f"column {head!r} is not read" in report.notes
    assert report.unread == (head,)


# as the record keeps it


def test_what_is_kept_reads_back_and_is_small() -> None:
    walls = read("tube;wall loss %;method", "9-14;38;RFT", "9-15;<20;", "9-16;blocked;").walls
    kept = walls_text(walls)
    again = {w.hole: w for w in walls_of(kept, "entry 7")}
    assert again["9-14"].loss == pytest.approx(0.38)
    assert again["9-16"].unread
    assert again["9-15"].said == "<20"
    many = [Wall(f"{n % 40 + 1}-{n % 30 + 1}", 0.123, 0.00185, "RFT") for n in range(1200)]
    assert len(walls_text(many)) < 40_000


@pytest.mark.parametrize("text", ["9-14;x;;", ";0.3;;", "9-14;-1;;", "9-14;0.3;2000;"])
def test_a_line_that_is_no_wall_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="is none; accepted: 9-14"):
        list(walls_of(text, ""))


# beside the limits


def with_walls(*walls: tuple[str, float], x: Exchanger | None = None) -> Exchanger:
    x = x or focus()
    assert x.tubes.wall
    return replace(x, walls=tuple(Wall(h, loss, x.tubes.wall.si * (1 - loss), "", "", "entry 1") for h, loss in walls))


def test_without_a_limit_nothing_is_proposed_and_it_says_so() -> None:
    v = judged(with_walls(("9-14", 0.9)))
    assert v.over is None
    assert v.proposed == ()
    assert any("none is assumed" in f.text for f in v.findings)


def test_over_the_limit_is_a_proposal_and_at_the_limit_is_not() -> None:
    x = with_walls(("9-14", 0.41), ("9-15", 0.40), ("2-6", 0.9), x=focus(wall_loss_limit="0.4"))
    v = judged(x)
    assert [w.hole for w in v.over or ()] == ["9-14"], "2-6 is plugged already"
    assert v.proposed == (("9-14",),)
    assert x.to_plug == ()
    assert any(f.level == "warn" and "9-14" in f.text and "A proposal" in f.text for f in v.findings)


def test_a_u_tube_over_the_limit_is_proposed_with_both_holes() -> None:
    x = with_walls(("6-5", 0.6), x=focus("14-E-104", wall_loss_limit="0.4"))
    assert judged(x).proposed == (("6-5", "13-5"),)


def test_the_thinnest_wall_in_use_is_proposed_as_least_wall() -> None:
    """2.11 mm less 40 % is 1.266 mm, told as 1.26; what is to be plugged does not count."""
    x = with_walls(("9-14", 0.6), ("9-15", 0.4), x=focus(wall_loss_limit="0.5"))
    v = judged(x)
    assert v.least is not None
    assert v.least.hole == "9-15"
    assert any('least_wall = "1.26 mm"' in f.text for f in v.findings)
    assert x.tubes.least_wall is None
    thick = judged(with_walls(("9-15", 0.4), x=focus(least_wall="1.7 mm")))
    assert any(f.level == "warn" and "1.70 mm" in f.text for f in thick.findings)
    assert not any("least_wall" in f.text for f in judged(with_walls(("9-15", 0.1), x=focus(least_wall="1.7 mm"))).findings)


def test_a_hole_read_twice_has_its_worse_wall() -> None:
    found = worst_of([Wall("1-1", 0.2, 0.0016), Wall("1-1", 0.5, 0.001), Wall("1-1"), Wall("1-2"), Wall("1-2", 0.0, 0.002)])
    assert (found["1-1"].loss, found["1-2"].loss) == (0.5, 0.0)


def test_a_wall_is_never_told_thicker_than_it_is() -> None:
    assert wall_text(0.0012661) == "1.26 mm (0.049 in)"
    assert wall_text(0.00127) == "1.27 mm (0.050 in)"


def test_plugs_by_pass_beside_the_limit() -> None:
    """14-E-103: old plugs 2-6 (pass 1), 14-3 (3), 19-9 (4); 152 / 144 / 144 / 152 holes: 1 of 144 is 0.69 %."""
    x = focus(plug_limit="0.0068")
    layout = layout_of(x)
    assert isinstance(layout, Layout)
    assert [(c.holes, c.plugged) for c in pass_counts(x, layout)] == [(152, 1), (144, 0), (144, 1), (152, 1)]
    [told] = plug_findings(x)
    assert told.text.startswith("Pass 3: 1 of 144 holes plugged or to plug, 0.7%")
    assert plug_findings(focus(plug_limit="0.007")) == ()
    assert plug_findings(focus()) == (), "no limit is assumed"
    more = replace(x, to_plug=("9-14", "9-15"))
    assert pass_counts(more, layout)[1].share == pytest.approx(2 / 144)


def test_a_line_like_a_fraction_among_per_cents_is_named_and_not_guessed():
    report = read("tube;wall loss %", "9-14;38", "9-15;0.38", "9-16;0.5 %", "9-17;0", "9-18;1", "9-19;<0.4", "9-20;NDD")
    assert [p[:7] for p in report.problems] == ["Line 3:", "Line 7:"]
    assert all("fraction" in p for p in report.problems)
    assert [(w.hole, w.loss) for w in report.walls] == [("9-14", 0.38), ("9-16", 0.005), ("9-17", 0), ("9-18", 0.01), ("9-20", 0)]
    assert not read("tube;wall loss fraction", "9-14;0.38", "9-15;0.004").problems
