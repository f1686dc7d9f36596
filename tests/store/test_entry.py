"""One entry held against the head it should follow."""

from __future__ import annotations

from typing import Any

import pytest
from tests.store.drafts import note, torqued

from boxup.record.canonical import FIRST, event_hash, linked_hash, payload_text, said
from boxup.record.event import Event, written
from boxup.store.entry import Entry, event_of, next_entry, no_head, wrong_with
from boxup.store.verdict import Head

AT = "2027-04-12T06:20:01.234+00:00"


def entry(head: Head | None = None) -> Entry:
    draft = torqued(3)
    return next_entry(draft, said(draft), payload_text(draft.payload), head or no_head(draft.job), AT)


def again(one: Entry, **changes: Any) -> Entry:
    """With other words, and a hash that fits them."""
    changed = one._replace(**changes)
    return changed._replace(hash=linked_hash(changed.said, changed.number, changed.recorded_at, changed.previous))


def test_an_entry_is_the_event_it_says() -> None:
    draft = torqued(3)
    made = next_entry(draft, said(draft), payload_text(draft.payload), Head(draft.job, 6, "abc"), AT)
    event = event_of(made)
    assert isinstance(event, Event)
    assert (event.number, event.previous, written(event.happened_at), event.payload) == (
        7,
        "abc",
        written(draft.happened_at),
        draft.payload,
    )
    assert event.hash == event_hash(draft, 7, AT, "abc")
    assert made.said == said(draft)
    assert made.head == Head(draft.job, 7, event.hash)


def test_nothing_is_wrong_with_one_that_follows() -> None:
    first = entry()
    assert wrong_with(first, no_head(first.job)) == ""
    second = entry(first.head)
    assert wrong_with(second, first.head) == ""
    assert first.previous == FIRST


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"payload": "[1,2]"}, "the payload is not a set of fields"),
        ({"payload": '{"a":1} '}, "the payload is not a set of fields"),
        ({"payload": "{"}, "its hash fits, but it cannot be read"),
        ({"payload": "[" * 100_000}, "its hash fits, but it cannot be read"),
        ({"happened_at": "2027-04-12T06:20:00"}, "has no zone"),
        ({"happened_at": "yesterday"}, "its hash fits, but it cannot be read"),
        ({"recorded_at": "2027-04-12"}, "has no zone"),
    ],
)
def test_a_fitting_hash_does_not_make_it_readable(changes: dict[str, str], words: str) -> None:
    assert words in wrong_with(again(entry(), **changes), no_head("14-E-103/1"))


@pytest.mark.parametrize(
    ("field", "value"), [("id", None), ("id", b"x"), ("number", "1"), ("number", 1.0), ("version", None), ("payload", 5)]
)
def test_a_field_of_another_type(field: str, value: object) -> None:
    wrong = wrong_with(entry()._replace(**{field: value}), no_head("14-E-103/1"))
    assert wrong == f"{field} holds no {'whole number' if field in ('number', 'version') else 'text'}"


def test_bytes_that_are_no_text() -> None:
    assert wrong_with(entry()._replace(by="I. \udcff"), no_head("14-E-103/1")) == "it holds bytes that are no text"


def test_where_it_stands() -> None:
    one = entry()
    assert "its number should be 2" in wrong_with(one, one.head)
    other = entry(Head(one.job, 1, "another"))
    assert "does not carry the hash of the entry before it" in wrong_with(other, one.head)
    assert wrong_with(entry()._replace(by=note().by + "x"), no_head(one.job)).startswith("its hash does not fit what it says")
