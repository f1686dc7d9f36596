"""Days and hours on the pages: in the language of the reader, whatever the machine's own is; also those the rooms below write."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from boxup.web.dates import CALENDARS
from boxup.web.words import LANGUAGES, Words

AT = datetime(2027, 4, 12, 14, 2, tzinfo=UTC)  # a Monday: the first of 2027 is a Friday, and 101 days after that


@pytest.mark.parametrize(
    ("language", "hour", "day", "whole"),
    [
        ("en", "12 Apr 14:02", "12 Apr", "Monday 12 April 2027"),
        ("es", "12 abr 14:02", "12 abr", "lunes 12 de abril de 2027"),
    ],
)
def test_a_day_in_each_language(language: str, hour: str, day: str, whole: str) -> None:
    w = Words(language)
    assert (w.at(AT), w.day(AT), w.day(AT, whole=True)) == (hour, day, whole)


@pytest.mark.parametrize(
    ("en", "es"),
    [
        ("01 Jan", "01 ene"),
        ("12 Aug 2027", "12 ago 2027"),
        ("12 Dec 14:02", "12 dic 14:02"),
        ("done 12 Apr 14:02, ran out 12 Apr 16:02: do it again", "hecho 12 abr 14:02, venció 12 abr 16:02: hágalo otra vez"),
        ("12 Apricots", "12 Apricots"),
    ],
)
def test_a_day_that_a_room_below_wrote(en: str, es: str) -> None:
    assert Words("es").told(en) == es
    assert Words("en").told(en) == en


def test_every_language_has_its_calendar() -> None:
    assert CALENDARS.keys() == LANGUAGES.keys()
    assert {(len(c.days), len(c.months), len(c.short)) for c in CALENDARS.values()} == {(7, 12, 12)}
