"""The certificate draft of each test: lines to fill without a record, what the record says with one, never more than that."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta
from functools import cache

import pypdfium2
import pytest
from tests.demo.conftest import told
from tests.job.telling import Story

from boxup.core.quantity import quantity
from boxup.demo.fleet import FOCUS, files_of_the_demo
from boxup.job.fold import fold
from boxup.paper.certificate import certificate_sheets
from boxup.paper.pack import html_pack, material, pack
from boxup.paper.sheet import Sheet

WHEN = date(2027, 4, 13)
FILE = files_of_the_demo()[FOCUS]


@cache
def sheets(day: int) -> dict[str, Sheet]:
    """By test, at the end of that day of April; day 0: without a record."""
    m = material(FILE, WHEN, fold([e for e in told() if e.happened_at.month == 4 and e.happened_at.day <= day]) if day else None)
    return {s["title"].split()[3].rstrip(":"): s for s in certificate_sheets(m)}


def rows(sheet: Sheet) -> dict[str, str]:
    return {r["label"]: r["value"] for g in sheet["groups"] for r in g["rows"]}


@pytest.mark.practice
def test_without_a_record_what_happened_is_left_to_the_pencil() -> None:
    sheet = sheets(0)["T"]
    known = rows(sheet)
    assert known["required, at the gauge"] == "31.4 bar (455 psi)"
    assert known["MAWP / MDMT of that side"].startswith("24.1 bar")
    for label in ("highest at the gauge", "pressure on", "held, from and to", "water, start and end", "air left in", "came out"):
        assert known[label] == ""
    assert all(cell == "" for row in sheet["readings"] for cell in row)
    assert sheet["hold"] == sheet["leaks"] == []
    assert "DRAFT" in sheet["draft"]
    assert "record" not in sheet["draft"]


@pytest.mark.demo
def test_with_a_record_it_says_what_the_record_says() -> None:
    """The second tube test of the story: 31.3 to 31.6 bar, 05:40 to 06:10, water 12.0 to 12.21; the first failed at the floating head."""
    sheet = sheets(13)["T"]
    known = rows(sheet)
    assert known["highest at the gauge"] == "31.6 bar (458 psi)"
    assert known["held, from and to"] == "2027-04-13 05:40 – 2027-04-13 06:10"
    assert known["gauge at 0, vent open"] == "2027-04-13 06:14"
    assert known["water, start and end"] == "12 °C to 12.21 °C"
    assert known["chloride, limit 250 mg/L"] == "41 mg/L"
    assert known["came out"] == "passed, by the names below"
    assert len(sheet["readings"]) == 7
    assert sheet["hold"][0].startswith("By the readings: cannot judge")  # four readings rule nothing out
    assert "0.30 bar as read" in sheet["hold"][1].replace("−", "")
    first, second = sheet["leaks"]
    assert first.startswith("Attempt 1, failed: joint J4, 4 to 6")
    assert second.startswith("Attempt 2, passed")
    assert all(j[3] == "dry in this test" for j in sheet["joints"])


@pytest.mark.practice
def test_looking_stays_the_acceptance_and_nothing_is_called_tight() -> None:
    for sheet in (*sheets(0).values(), *sheets(13).values()):
        assert sheet["look"].startswith("Looking at every joint, dry and at pressure, is the acceptance")
        text = " ".join([sheet["draft"], *sheet["hold"], *sheet["leaks"], *rows(sheet).values()])
        assert re.search(r"\b(tight|safe)\b", text) is None


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_every_row_is_on_paper_and_on_the_page(paper: str) -> None:
    with pypdfium2.PdfDocument(pack(FILE, paper=paper, sheets=["certificates"], issued=WHEN)) as pdf:
        text = " ".join(" ".join(page.get_textpage().get_text_range() for page in pdf).split())
    page = html_pack(FILE, sheets=["certificates"], issued=WHEN).decode()
    for sheet in sheets(0).values():
        assert sheet["title"] in text
        for label in rows(sheet):
            assert label in text
            assert label in page
    assert text.count("DRAFT. It is no certificate until every person named below has signed.") == 3


@pytest.mark.practice
def test_a_certificate_names_only_gauges_that_may_be_read_and_the_proof_of_each_joint() -> None:
    """9.0 bar: 13.5 to 36 bar of full scale, so the 0 to 25; 20.2 bar: 30.3 to 81, so the 0 to 40.
    The head stays shut behind the tube test."""
    m = material(FILE.with_name("22-E-207.toml"), WHEN, None)
    of = {s["title"].split()[3].rstrip(":"): s for s in certificate_sheets(m)}
    for test, wanted in (("S1", ["GC", "GD"]), ("T", ["GA", "GB"]), ("S2", ["GC", "GD"])):
        named = [r["value"][:2] for g in of[test]["groups"] for r in g["rows"] if r["label"].startswith("gauge, range")]
        assert named == wanted
    assert {j[0]: j[2] for j in of["S2"]["joints"]} == {"J3": "yes", "J4": "yes, but T is its proof", "J5": "yes"}


@pytest.mark.practice
def test_limits_of_the_other_side_are_a_figure_or_a_plain_line() -> None:
    """What must be known is a demand, not what is known: a certificate gives the engineer's figure, or says that nobody gave one."""
    label = "limits of the other side"
    for test, said in (
        ("S1", "not given; tubes from outside ____"),
        ("T", "not given; the other side is open"),
        ("S2", "not given; tubes"),
    ):
        assert rows(sheets(0)[test])[label].startswith(said)
        assert "must be known" not in rows(sheets(0)[test])[label]
    m = material(FILE, WHEN, None)
    given = replace(m.exchanger.tubes, outside_limit=quantity("30 bar", "MPa"), differential_limit=quantity("41.26 bar", "MPa"))
    told_of = replace(m, exchanger=replace(m.exchanger, tubes=given))
    known = {s["title"].split()[3].rstrip(":"): rows(s) for s in certificate_sheets(told_of)}
    assert known["S1"][label] == "tubes from outside 30.0 bar (435 psi); between the two sides 41.2 bar (598 psi)"
    assert known["T"][label] == "between the two sides 41.2 bar (598 psi)"


@pytest.mark.practice
def test_two_gauges_have_two_columns() -> None:
    """Two hang there in every test; the record has one of them, the other is read into its column by hand."""
    for day in (0, 13):
        sheet = sheets(day)["T"]
        assert sheet["heads"][1:3] == ["gauge A, bar", "gauge B, bar"]
        assert all(len(row) == len(sheet["heads"]) and row[2] == "" for row in sheet["readings"])
    assert sheets(13)["T"]["readings"][-1][1] != ""


def told_tube_test(*more: tuple[int, float, float]) -> Story:
    """All ready, then the tube test of 31.4 bar: (minute, bar, water), passed by two names, and down to 0."""
    story = Story()
    story.done_until("before TTEST")
    start = story.now
    for minute, bar, water in more:
        story.say("test.reading", at=start + timedelta(minutes=minute), test="T", pressure_mpa=bar / 10, water_degc=water)
    story.say("test.result", test="T", verdict="passed", second="S. Oduwale", words="all dry")
    return story


def tube_sheet(story: Story) -> Sheet:
    return next(s for s in certificate_sheets(material(FILE, WHEN, story.state)) if "test T" in s["title"])


@pytest.mark.practice
def test_a_pass_that_the_record_refuses_is_not_printed_as_passed() -> None:
    """A needle that stands for an hour on water 0.4 °C warmer: with 0.147 MPa/K it should have gone up by 0.6 bar. The readings show it."""
    sheet = tube_sheet(told_tube_test((0, 0.0, 12.0), *((10 + 10 * n, 31.4, 12.0 + 0.06 * n) for n in range(8)), (90, 0.0, 12.4)))
    assert rows(sheet)["came out"].startswith("signed as passed, not accepted by the record: the readings show a leak of")
    assert "passed, by the names below" not in " ".join([*rows(sheet).values(), *sheet["leaks"]])
    assert sheet["leaks"][0].startswith("Attempt 1, signed as passed, not accepted by the record: the readings show a leak of")


@pytest.mark.practice
def test_the_highest_reading_is_marked_against_the_limit_and_kept_in_the_table() -> None:
    """33.5 bar at the most, 0.080 bar of water under the gauge: 33.42, rounded down. 41 readings, of which the paper has 24 rows."""
    log = [(n, 38.0 if n == 7 else 31.4, 12.0 + 0.001 * n) for n in range(1, 42)]
    sheet = tube_sheet(told_tube_test(*log))
    assert rows(sheet)["highest at the gauge"].startswith("38.0 bar (551 psi), OVER the limit: at the gauge never over 33.4 bar")
    assert [row[1] for row in sheet["readings"] if "OVER" in row[1]] == ["38.00 OVER"]
    assert 20 <= len(sheet["readings"]) <= 24
    assert "the gauge went above what the side may see" in rows(sheet)["came out"]


@pytest.mark.practice
def test_pressure_on_is_that_of_the_attempt_on_paper_and_an_earlier_raise_stays_listed() -> None:
    log = [(0, 40.0, 12.0), (5, 0.0, 12.0), (60, 31.4, 12.0), (91, 31.5, 12.07), (95, 0.0, 12.1)]
    story = told_tube_test(*log)
    sheet = tube_sheet(story)
    start = next(e for e in story.events if e.kind == "test.reading").happened_at
    assert rows(sheet)["pressure on"] == f"{start + timedelta(minutes=60):%Y-%m-%d %H:%M}"
    assert rows(sheet)["highest at the gauge"] == "31.5 bar (457 psi)"
    assert sheet["leaks"][0].startswith("Attempt 1, let down to 0, no result: no leak on record; gauge at 40.0 bar")
    assert "in attempt 1 the gauge went above what the side may see" in rows(sheet)["came out"]
