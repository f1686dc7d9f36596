"""What an entry says, in a line of words: for the terminal and for the pages alike."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from boxup.job.bolting import studs_said
from boxup.record.event import Event, moment_of
from boxup.record.kinds import TYPED, kinds

BARE = ("step", "verdict", "pass")  # what they are is plain without their name


def said(e: Event) -> str:
    """What an entry says, in the order of its fields, quantities as they were typed."""
    return ", ".join(f"{name} {value}".strip() for name, value in parts(e))


def read_out(e: Event) -> Iterator[tuple[str, str]]:
    """As `parts`, moments as people say them: the hour alone where the day is that of the entry."""
    fields = kinds()[e.kind].fields if e.kind in kinds() else {}
    moments = {f.typed_name.replace("_", " ") for f in fields.values() if f.type == "moment"}
    for name, value in parts(e):
        yield name, _hour(value, e) if name in moments else value


def _hour(value: str, e: Event) -> str:
    at = moment_of(value).astimezone(e.happened_at.tzinfo)
    return f"{at:%H:%M}" if at.date() == e.happened_at.date() else f"{at:%Y-%m-%d %H:%M}"


def parts(e: Event) -> Iterator[tuple[str, str]]:
    """Each field with its name, empty where the value says what it is. The file is named, not shown."""
    fields = kinds()[e.kind].fields if e.kind in kinds() else {}
    place = {name: n for n, name in enumerate(fields)}
    typed = e.payload.get(TYPED, {})
    for name, value in sorted(e.payload.items(), key=lambda pair: place.get(pair[0], len(place))):
        if name == "file":
            yield "", "the exchanger file"
        elif name in BARE:
            yield "", str(value)
        elif name != TYPED:
            shown = fields[name].typed_name if name in fields else name
            yield shown.replace("_", " "), typed.get(name, _plain(value))


def typed_again(e: Event) -> dict[str, str]:
    """An entry as it would be typed once more, by typed key: what a correction begins with. The file is left out."""
    fields, typed = (kinds()[e.kind].fields if e.kind in kinds() else {}), e.payload.get(TYPED, {})
    kept = {name: value for name, value in e.payload.items() if name in fields and name != "file"}
    return {fields[name].typed_name: typed.get(name, _plain(value)) for name, value in kept.items()}


def _plain(value: Any) -> str:
    if isinstance(value, list) and value and all(isinstance(n, int) for n in value):
        return studs_said(sorted(value)).partition(" ")[2]
    return ", ".join(str(v) for v in value) if isinstance(value, list) else str(value)
