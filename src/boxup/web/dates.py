"""Days and hours as people say them, in the language of the page: the names of days and months do not come from the machine's own."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime


@dataclass(frozen=True, slots=True)
class Calendar:
    """The names of one language. `whole`: a day in full, its gaps weekday, day, month, year."""

    days: tuple[str, ...]
    months: tuple[str, ...]
    short: tuple[str, ...]
    whole: str


_EN = Calendar(
    ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"),
    ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"),
    ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"),
    "{weekday} {day} {month} {year}",
)
_ES = Calendar(
    ("lunes", "martes", "miércoles", "jueves", "viernes", "sábado", "domingo"),
    ("enero", "febrero", "marzo", "abril", "mayo", "junio", "julio", "agosto", "septiembre", "octubre", "noviembre", "diciembre"),
    ("ene", "feb", "mar", "abr", "may", "jun", "jul", "ago", "sep", "oct", "nov", "dic"),
    "{weekday} {day} de {month} de {year}",
)
CALENDARS = {"en": _EN, "es": _ES}
_SAID = re.compile(rf"(\d\d) ({'|'.join(_EN.short)})((?: \d{{4}})?(?: \d\d:\d\d)?)")


def short_day(language: str, at: date) -> str:
    """`13 Apr`."""
    return f"{at:%d} {_calendar(language).short[at.month - 1]}"


def day_and_hour(language: str, at: datetime) -> str:
    """`13 Apr 14:02`, in the hours of `at`."""
    return f"{short_day(language, at)} {at:%H:%M}"


def whole_day(language: str, at: date) -> str:
    """`Monday 30 November 2026`."""
    names = _calendar(language)
    return names.whole.format(weekday=names.days[at.weekday()], day=at.day, month=names.months[at.month - 1], year=at.year)


def told_day(language: str, text: str) -> str | None:
    """A day as the rooms below write it, `13 Apr`, `13 Apr 2026`, `13 Apr 14:02`, in that language; None where the text is another."""
    meant = _SAID.fullmatch(text)
    return f"{meant[1]} {_calendar(language).short[_EN.short.index(meant[2])]}{meant[3]}" if meant else None


def _calendar(language: str) -> Calendar:
    return CALENDARS.get(language, _EN)
