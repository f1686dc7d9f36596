"""When each piece of gear was last looked over, by its tag: too long ago, or on a day that is still to come."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from boxup.core.finding import Finding
from boxup.exchanger.lifting import Gear

SOURCE = "trade practice, tag on the gear"
ZONES = timedelta(days=1)  # where it is tomorrow already
OWN_TIME = timedelta(days=183)  # a made-up exchanger lives in its own time; half a year ahead of ours is let pass


def looked_over(gear: tuple[Gear, ...], day: str, *, made_up: bool = False) -> Iterator[Finding]:
    """A finding for each piece whose tag was last read over a year before that day (year-month-day), or after it."""
    today = date.fromisoformat(day)
    for g in gear:
        if (read := _day(g.inspected)) is None:
            continue
        what = f"{g.id}, {g.kind}" if g.kind else g.id
        if read - today > (OWN_TIME if made_up else ZONES):
            text = f"{what}: looked over {g.inspected}, which is still to come on {day}. Read the tag again, and mend the date in the file."
            yield Finding("warn", text, SOURCE)
        elif _a_year_on(read) < today:
            text = f"{what}: last looked over {g.inspected}, over a year ago. Usual is every year, often sooner; the site decides."
            yield Finding("warn", text, SOURCE)


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def _a_year_on(day: date) -> date:
    return date(day.year + 1, day.month, min(day.day, 28)) if (day.month, day.day) == (2, 29) else day.replace(year=day.year + 1)
