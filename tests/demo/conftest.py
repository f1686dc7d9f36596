"""The invented job as events, for the tests of this room and of its paper."""

from __future__ import annotations

from boxup.demo.fleet import FOCUS, files_of_the_demo
from boxup.demo.story import drafts, story_text
from boxup.exchanger.file import load
from boxup.record.event import Draft, Event


def told() -> tuple[Event, ...]:
    """Every entry of the story, numbered as a store would."""
    file = files_of_the_demo()[FOCUS]
    found = drafts(story_text(), file.read_text(encoding="utf-8"), load(file).identity.job)
    return tuple(
        Event(**{name: getattr(d, name) for name in Draft.__slots__}, number=n, recorded_at=d.happened_at, previous="", hash=f"{n:064x}")
        for n, d in enumerate(found, start=1)
    )
