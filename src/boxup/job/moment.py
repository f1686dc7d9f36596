"""The moment a person means when they type an hour, a date, or nothing."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta

from boxup.job.state import JobState

AHEAD = timedelta(minutes=15)  # a clock may be a little wrong


class BadMoment(ValueError):
    """A moment that cannot be read, or that is still to come, as a sentence."""


def now_of(state: JobState | None) -> datetime:
    """Now, in the zone of this machine. A made-up exchanger lives in its own time: there, now is not before its last entry."""
    now = datetime.now(UTC).astimezone()
    last = state.last_at if state else None
    return max(now, last) if last and _made_up(state) else now


def moment_meant(text: str, state: JobState | None) -> datetime:
    """An hour near the last entry (or near now), or a whole date; now where nothing is said. BadMoment where it is none of these.

    Refused: a moment that is still to come, but for a made-up exchanger.
    """
    if not text.strip():
        return now_of(state)
    now = datetime.now(UTC).astimezone()
    last = state.last_at if state else None
    found = _read(text.strip(), last if last and _made_up(state) else now)
    if state is not None and not _made_up(state) and found > now + AHEAD:
        raise BadMoment(f"{text!r} is {found:%Y-%m-%d %H:%M}, and it is {now:%Y-%m-%d %H:%M} now: what is still to come is not entered")
    return found


def _made_up(state: JobState | None) -> bool:
    return bool(state and state.exchanger and state.exchanger.identity.made_up == "yes")


def _read(text: str, near: datetime) -> datetime:
    try:
        if len(text) <= len("06:20"):
            return _nearest(time.fromisoformat(text), near)
        found = datetime.fromisoformat(text)
    except ValueError:
        raise BadMoment(f"{text!r} is not a moment; accepted: 06:20, or 2027-04-12 06:20, or 2027-04-12T06:20:00+02:00") from None
    return found if found.tzinfo else found.replace(tzinfo=near.tzinfo)


def _nearest(hour: time, near: datetime) -> datetime:
    """That hour of the day, the day before or the day after, whichever is nearest: after 23:16, 01:10 is tomorrow's."""
    days = (datetime.combine(near.date() + timedelta(days=n), hour, near.tzinfo) for n in (-1, 0, 1))
    return min(days, key=lambda found: abs(found - near))
