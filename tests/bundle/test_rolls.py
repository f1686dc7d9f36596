"""Rolling tube ends: one, and a list of measured holes. Values of single ends: tests/evidence."""

from __future__ import annotations

from dataclasses import replace

import pytest

from boxup.bundle.roll_report import RollReport, read_rolls
from boxup.bundle.tube_roll import limit_of
from boxup.core.calculation import BadInput
from boxup.core.quantity import quantity
from boxup.demo.fleet import files_of_the_demo
from boxup.exchanger.file import load
from boxup.exchanger.layout import Layout, layout_of
from boxup.exchanger.model import Exchanger
from boxup.job.calculations import find

END = {"tube_od": "19.05 mm", "tube_id": "14.99 mm", "hole": "19.3 mm"}


def worked(name: str, **keys: str):
    c = find(name)
    return c.run(c.parse(keys))


def focus(share: str = "0.05") -> Exchanger:
    x = load(files_of_the_demo()["14-E-103"])
    return replace(x, tubes=replace(x.tubes, roll_reduction=quantity(share, "-") if share else None))


def read(*rows: str, x: Exchanger | None = None, end: str = "front") -> RollReport:
    x = x or focus()
    layout = layout_of(x)
    assert isinstance(layout, Layout)
    return read_rolls([(n, row.split(";")) for n, row in enumerate(rows, 1)], x, layout, end)


@pytest.mark.practice
@pytest.mark.parametrize(
    ("metal", "most"),
    [
        ("carbon steel", 0.08),
        ("SA-179", 0.08),
        ("304L", 0.06),
        ("titanium", 0.05),
        ("90-10 CuNi", 0.05),
        ("admiralty", 0.08),
        ("2205", 0.06),
        ("SA-213 T11", 0.08),
        ("SA-213 T22", 0.08),
        ("SA-213 T9", 0.08),
        ("SA213-T5b", 0.08),
        ("A179", 0.08),
        ("SA 179 cold drawn", 0.08),
        ("SA-213 TP304L", 0.06),
        ("SA-213 TP347H", 0.06),
        ("SA-213 T122", 0.06),
        ("SA-249 TP304", 0.06),
        ("A249 TP316L", 0.06),
        ("SA-268 TP410", 0.06),
    ],
)
def test_limits_by_metal(metal: str, most: float) -> None:
    """EN ISO 16812:2007, Table 4, as an excerpt prints it; duplex by a tube-tool maker."""
    row = limit_of(metal)
    assert row is not None
    assert row.need("most") == most
    over, under = (worked("tube-roll", **END, reduction=f"{most + d}", material=metal) for d in (0.001, -0.001))
    assert [f.level for f in over.findings if "Rolled further" in f.text] == ["stop"]
    assert not [f for f in under.findings if f.level == "stop"]


def test_no_metal_no_limit_and_it_says_so() -> None:
    assert limit_of("unobtainium") is limit_of("") is None
    assert limit_of("SA-213") is None  # low-alloy and stainless both: its grade says which
    assert any("no limit is set" in f.text for f in worked("tube-roll", **END, reduction="0.3").findings)


def test_less_than_contact_holds_nothing() -> None:
    got = worked("tube-roll", **END, rolled_id="15.2 mm")
    assert any(f.level == "stop" and "does not touch" in f.text for f in got.findings)


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        ({"reduction": "0.05", "rolled_id": "15.4 mm"}, "give one of the two"),
        ({"reduction": "0.05", "hole": "19 mm"}, "less than the tube"),
        ({"reduction": "0.05", "tube_id": "19.05 mm"}, "leaves no wall"),
        ({"reduction": "5"}, "out of range"),
    ],
)
def test_what_cannot_be_is_refused(keys: dict[str, str], says: str) -> None:
    with pytest.raises(BadInput) as refused:
        worked("tube-roll", **END | keys)
    assert says in str(refused.value)


# a list of holes


def test_each_hole_its_own_bore() -> None:
    """By hand: 14.83 + 0.25 + 5 % of 4.22 is 15.291; a hole 0.12 larger and a bore 0.02 larger move it by 0.139."""
    report = read("tube;hole mm;tube id mm", "9-14;19.30;14.83", "9-15;19,42;14.85")
    assert report.problems == ()
    assert [line.tube for line in report.lines] == ["9-14", "9-15"]
    assert [line.answer.si("rolled_id") * 1e3 for line in report.lines] == pytest.approx([15.291, 15.43])


def test_a_hole_of_the_report_is_no_hole_number() -> None:
    report = read("row;column;hole diameter in;bore in", "9;14;0.760;0.584")
    assert [line.tube for line in report.lines] == ["9-14"]
    assert read("row;column;hole mm;bore mm", "9;14;19.3;14.83", end="rear").lines[0].tube == "9-15"


def test_wrong_lines_are_named() -> None:
    report = read("tube;hole mm;bore mm", "9-14;18.9;14.8", "99-1;19.3;14.8", "9-15;;14.8", "9-16;19.3;14.8")
    assert [p.partition(":")[0] for p in report.problems] == ["Line 2", "Line 3", "Line 4"]
    assert [line.tube for line in report.lines] == ["9-16"]


@pytest.mark.parametrize(
    ("head", "says"), [("tube;bore mm", "hole as measured"), ("tube;hole mm", "bore of the tube"), ("hole mm;bore mm", "names the tube")]
)
def test_a_report_without_its_columns(head: str, says: str) -> None:
    assert says in " ".join(read(head, "9-14;19.3;14.8").problems)


def test_how_far_is_never_assumed() -> None:
    report = read("tube;hole mm;bore mm", "9-14;19.3;14.83", x=focus(""))
    assert [line.answer.si("contact_id") * 1e3 for line in report.lines] == pytest.approx([15.08])  # by hand: 14.83 + 19.30 - 19.05
    assert "rolled_id" not in report.lines[0].answer.values
    assert "the procedure says how far" in report.missing[0].do
    assert "8%" in report.missing[0].do
    after = read("tube;hole mm;bore mm;rolled id mm", "9-14;19.3;14.83;15.5", x=focus(""))
    assert after.lines[0].answer.si("reduction") == pytest.approx((15.5 - 15.08) / 4.22)


def test_a_hole_well_over_the_drawing_is_told() -> None:
    """Drawn 19.3 mm; 19.75 is 0.45 over it, 0.20 more than TEMA lets a single hole be. Without a drawing the standard hole counts."""
    drawn = focus("")
    plain = replace(drawn, stationary_tubesheet=replace(drawn.stationary_tubesheet, hole=None))
    for x in (drawn, plain):
        wide, fits = read("tube;hole mm;bore mm", "9-14;19.75;14.83", "9-15;19.50;14.83", x=x).lines
        assert [f.level for f in wide.answer.findings if "hole is larger than the drawing" in f.text] == ["warn"]
        assert not [f for f in fits.answer.findings if "hole is larger than the drawing" in f.text]


# plugs


@pytest.mark.parametrize(
    ("kind", "bore", "says"),
    [("tapered", "13.9", "does not enter"), ("tapered", "15.6", "goes through"), ("mechanical", "16", "outside what the maker"),
     ("tapered", "14.8", ""), ("mechanical", "14", "")],
)  # fmt: skip
def test_a_plug_beside_its_bore(kind: str, bore: str, says: str) -> None:
    got = worked("plug-fit", kind=kind, bore=f"{bore} mm", small="14 mm", large="15.6 mm")
    stops = [f.text for f in got.findings if f.level == "stop"]
    assert bool(stops) == bool(says)
    assert says in " ".join(stops)


def test_a_plug_has_two_ends() -> None:
    with pytest.raises(BadInput, match="no more than the small end"):
        worked("plug-fit", kind="tapered", bore="14 mm", small="15 mm", large="15 mm")
