"""The first line of a log as plants write it: the same heads on the page and at the command, read or refused with what was seen."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from boxup.core.calculation import BadInput
from boxup.hydro.log_file import table_of
from boxup.hydro.log_heads import column_of, columns_of
from boxup.job.log_in import BadLog, lines_of

START = datetime(2027, 4, 13, 5, 0, tzinfo=UTC)
WANTED = ("time", "temperature", "pressure")


def page(text: str) -> list[tuple[float, str, str]]:
    """Minutes, gauge and water of each line, as the page reads it."""
    lines = lines_of(text, START, start_said=True)
    return [((x.at - lines[0].at).total_seconds() / 60, x.words["pressure"], x.words["water"]) for x in lines]


def command(text: str) -> list[tuple[float, float, float]]:
    """Minutes, bar and degC as the command reads it."""
    t = table_of(text, "plant.csv", WANTED).columns
    return [(s / 60, round(p / 1e5, 6), round(k - 273.15, 6)) for s, p, k in zip(t["time"], t["pressure"], t["temperature"], strict=True)]


@pytest.mark.practice
@pytest.mark.parametrize(("head", "is_"), [
    ("gauge_top_barg", ("pressure", "bar")), ("Gauge [psig]", ("pressure", "psi")), ("P_MPa_gauge", ("pressure", "MPa")),
    ("pressure (kPa)", ("pressure", "kPa")), ("ambient_C", ("air", "degC")), ("Ambient temp °F", ("air", "degF")),
    ("T water degC", ("water", "degC")), ("skin temp C", ("metal", "degC")), ("pumped so far, L", ("pumped", "L")),
    ("litres", ("pumped", "L")), ("time", ("clock", "")), ("t_min", ("since", "min")), ("elapsed min", ("since", "min")),
    ("Remarks", ("note", "")), ("gauge", None), ("P_bara", None), ("gauge bar abs", None), ("bar", None), ("clock", None),
    ("gauge C", None), ("water bar", None), ("oil C", None), ("water top C", None),
])  # fmt: skip
def test_a_head_by_its_words(head: str, is_: tuple[str, str] | None):
    assert column_of(head) == is_


@pytest.mark.practice
def test_semicolons_decimal_commas_hours_past_midnight_and_ambient_are_read_alike():
    text = "time;gauge_top_barg;water_C;ambient_C\n23:40;31,40;12,0;9\n23:55;31,45;12,1;9\n00:10;31,50;12,2;8,5\n"
    assert command(text) == [(0, 31.4, 12.0), (15, 31.45, 12.1), (30, 31.5, 12.2)]
    assert page(text) == [(0, "31.40 bar", "12.0 degC"), (15, "31.45 bar", "12.1 degC"), (30, "31.50 bar", "12.2 degC")]


@pytest.mark.practice
@pytest.mark.parametrize(("heads", "said"), [
    ("time;gauge_top_barg;gauge_low_barg;water_C", "pressure stands in two columns, 'gauge_top_barg' and 'gauge_low_barg'"),
    ("time;PT-102;gauge bar;water_C", "the column 'PT-102' is not known"),
    ("time;P_bara;gauge bar;water_C", "the column 'P_bara' is not known"),
    ("time;minutes;gauge bar;water_C", "one column says when: time, or minutes"),
])  # fmt: skip
def test_what_one_refuses_the_other_refuses_with_the_same_words(heads: str, said: str):
    """Nobody chooses silently which of two gauges is meant; both name what was seen and what is accepted."""
    text = f"{heads}\n05:00;31;31;12\n05:10;31;31;12\n"
    with pytest.raises(BadLog) as of_page:
        lines_of(text, START, start_said=True)
    with pytest.raises(BadInput) as of_command:
        table_of(text, "plant.csv", WANTED)
    for told in (of_page.value.problems, of_command.value.problems):
        assert any(said in one for one in told)
        assert any("time as 06:20, or minutes from a start; gauge bar, barg, psi, MPa or kPa" in one for one in told)


def test_nought_bytes_are_a_sentence_and_an_empty_head_is_no_column():
    assert columns_of(["", "gauge bar"]) == ({1: ("pressure", "bar")}, [])
    with pytest.raises((BadLog, ValueError)):
        lines_of("time;gauge bar\n05:00;\x00", START, start_said=True)
