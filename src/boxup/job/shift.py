"""When a tick that is good for the shift is not good any more: at a shift end by the clock, or when the record says the shift changed."""

from __future__ import annotations

from bisect import bisect_right, insort
from dataclasses import dataclass, field
from datetime import datetime, time, timedelta

USUAL = ("06:00", "18:00")  # from the trade: two shifts of twelve hours; taken where nobody says otherwise, and said so


@dataclass(slots=True)
class Shifts:
    """The hours at which shifts end, in the zone of the job, and the changes on record."""

    ends: tuple[time, ...] = tuple(time.fromisoformat(t) for t in USUAL)
    assumed: bool = True
    changes: list[datetime] = field(default_factory=list)

    def changed(self, at: datetime) -> None:
        """The record says that the shift changed then."""
        insort(self.changes, at)

    def between(self, after: datetime, until: datetime) -> datetime | None:
        """The first end of a shift after one moment and not after another; None where the shift is still the same."""
        found = bisect_right(self.changes, after)
        told = self.changes[found] if found < len(self.changes) and self.changes[found] <= until else None
        clock = self._by_clock(after)
        by_clock = clock if clock is not None and clock <= until else None
        return min((end for end in (told, by_clock) if end is not None), default=None)

    def _by_clock(self, after: datetime) -> datetime | None:
        ends = (datetime.combine(after.date(), end, after.tzinfo) for end in self.ends)
        later = [end if end > after else end + timedelta(days=1) for end in ends]
        return min(later, default=None)


def shift_ends(texts: tuple[str, ...] | list[str]) -> tuple[time, ...]:
    """Hours such as 06:00. ValueError naming the one that is no hour."""
    try:
        return tuple(sorted(time.fromisoformat(text) for text in texts))
    except ValueError as bad:
        raise ValueError(f"shift_ends {' '.join(texts)!r}: {bad}; accepted are hours such as 06:00 18:00") from bad
