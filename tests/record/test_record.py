"""What an entry says, how it is written, hashed and read again, and which entries stand."""

from __future__ import annotations

import hashlib
import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boxup.record.canonical import FIRST, event_hash, payload_text, said
from boxup.record.effective import standing
from boxup.record.event import BadEvent, Draft, Event, moment_of, taken, written
from boxup.record.kinds import check, kind_of, kinds, problems_of
from boxup.record.typed import payload_of
from boxup.record.upcast import UPCASTS, current

NOON = datetime(2027, 4, 7, 12, 0, tzinfo=timezone(timedelta(hours=2)))


def draft(**over) -> Draft:
    given_ = {
        "id": "e1", "job": "OM-1", "kind": "note.written", "version": 1, "happened_at": NOON, "by": "A. Vessik",
        "entered_by": "A. Vessik", "payload": {"text": "wet"},
    } | over  # fmt: skip
    return Draft(**given_)


def event(number: int, kind: str = "note.written", corrects: str = "", **payload) -> Event:
    return Event(
        id=f"e{number}", job="OM-1", kind=kind, version=1, happened_at=NOON + timedelta(minutes=number), by="A. Vessik",
        entered_by="A. Vessik", corrects=corrects, payload=payload or {"text": "x"}, number=number, recorded_at=NOON, previous="", hash="",
    )  # fmt: skip


# canonical form: held against the plain words of the definition, written here a second time


def test_the_hash_is_sha_256_over_what_is_said_number_time_and_previous():
    d = draft(payload={"text": "drip at 5 o'clock, ø 3 mm", "b": [1, 2.5]})
    inner = json.dumps(
        ["e1", "OM-1", "note.written", 1, "2027-04-07T12:00:00+02:00", "A. Vessik", "A. Vessik", "",
         '{"b":[1,2.5],"text":"drip at 5 o\'clock, ø 3 mm"}'],
        ensure_ascii=False, separators=(",", ":"),
    )  # fmt: skip
    whole = json.dumps([inner, 7, "2027-04-07T10:00:00.000+00:00", "abc"], ensure_ascii=False, separators=(",", ":"))
    assert event_hash(d, 7, taken(NOON), "abc") == hashlib.sha256(whole.encode()).hexdigest()


@pytest.mark.parametrize(
    "over",
    [{"id": "e2"}, {"job": "OM-2"}, {"kind": "alarm.raised"}, {"version": 2}, {"happened_at": NOON + timedelta(seconds=1)}, {"by": "B"},
     {"entered_by": "B"}, {"corrects": "e0"}, {"payload": {"text": "Wet"}}],
)  # fmt: skip
def test_every_word_is_in_the_hash(over):
    base = event_hash(draft(), 1, taken(NOON), FIRST)
    assert event_hash(draft(**over), 1, taken(NOON), FIRST) != base
    assert event_hash(draft(), 2, taken(NOON), FIRST) != base != event_hash(draft(), 1, taken(NOON), "f")


def test_the_same_moment_in_another_zone_is_not_the_same_words():
    assert said(draft(happened_at=NOON.astimezone(UTC))) != said(draft())


def test_keys_in_any_order_give_the_same_text():
    assert payload_text({"b": 1, "a": 2}) == payload_text({"a": 2, "b": 1}) == '{"a":2,"b":1}'


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), object()])
def test_what_cannot_be_written_is_refused(bad):
    with pytest.raises(ValueError, match=r"JSON|payload"):
        payload_text({"a": bad})


def test_a_moment_without_a_zone_is_refused():
    with pytest.raises(ValueError, match="no zone"):
        moment_of("2027-04-07T12:00:00")
    assert written(moment_of("2027-04-07T12:00:00+02:00")) == "2027-04-07T12:00:00+02:00"


# kinds


def test_every_kind_says_what_it_is_for():
    assert len(kinds()) >= 60
    assert all(kind.says and kind.fields is not None for kind in kinds().values())


def test_everything_wrong_with_a_draft_is_told_at_once():
    bad = draft(kind="joint.pass_done", by=" ", version=3, payload={"joint": "J4", "pass": "pass 9", "torque_n_m": "411", "tol": "W2"})
    with pytest.raises(BadEvent) as told:
        check(bad)
    text = str(told.value)
    for part in (
        "by:",
        "version:",
        "'pass 9' is not accepted; accepted: four snug",
        "torque_n_m: '411' is not a number in N·m",
        "no field 'tol'; did you mean tool",
    ):
        assert part in text


@pytest.mark.parametrize(
    ("field", "value"),
    [("torque_n_m", True), ("torque_n_m", float("nan")), ("studs", [1, 1]), ("studs", [0]), ("studs", "1-4"), ("moved", -1), ("moved", 1.5),
     ("started_at", "06:20"), ("joint", ""), ("joint", "x" * 2001)],
)  # fmt: skip
def test_a_value_that_is_none_is_refused(field, value):
    payload = {"joint": "J4", "pass": "pass 1", field: value}
    assert problems_of(kind_of("joint.pass_done"), payload)


def test_taking_back_names_what_is_taken_back():
    with pytest.raises(BadEvent, match="must name the event"):
        check(draft(kind="record.withdrawn", payload={"why": "wrong exchanger"}))
    check(draft(kind="record.withdrawn", payload={"why": "wrong exchanger"}, corrects="e0"))


def test_a_near_kind_is_offered():
    with pytest.raises(BadEvent, match=r"joint\.opened"):
        kind_of("joint.open")


# typed words


def test_both_systems_are_read_and_what_was_typed_is_kept():
    # 303 lbf.ft x 1.3558179483 N.m (NIST SP 811, Appendix B.8) = 410.8128 N.m
    got = payload_of(kind_of("joint.pass_done"), {"joint": "J4", "pass": "pass 3", "torque": "303 lbf.ft", "studs": "1-3, 7"})
    assert got["torque_n_m"] == pytest.approx(303 * 1.3558179483, rel=1e-9)
    assert got["studs"] == [1, 2, 3, 7]
    assert got["typed"] == {"torque_n_m": "303 lbf.ft"}


def test_a_list_of_gaps_may_share_its_unit():
    kind = kind_of("joint.gap_read")
    assert payload_of(kind, {"joint": "J4", "gaps": "3.1 3.1 3.3 3.2 mm"})["gaps_mm"] == [3.1, 3.1, 3.3, 3.2]
    assert payload_of(kind, {"joint": "J4", "gaps": "1/8 in, 3.2 mm, 0.32 cm, 3 mm"})["gaps_mm"] == [3.175, 3.2, 3.2, 3.0]


def test_words_that_cannot_be_read_are_told_together():
    with pytest.raises(BadEvent) as told:
        payload_of(kind_of("joint.pass_done"), {"pass": "pass 1", "torque": "411", "studs": "one", "joynt": "J4"})
    text = str(told.value)
    assert "no unit" in text
    assert "ranges" in text
    assert "did you mean joint" in text
    assert "joint: missing" in text


@given(st.floats(min_value=0.01, max_value=99))
def test_bar_and_psi_meet(bar):
    kind = kind_of("test.reading")
    psi = bar * 14.503773773  # NIST SP 811: 1 psi = 6.894757 kPa
    one = payload_of(kind, {"test": "T", "pressure": f"{bar!r} bar"})["pressure_mpa"]
    two = payload_of(kind, {"test": "T", "pressure": f"{psi!r} psi"})["pressure_mpa"]
    assert one == pytest.approx(two, rel=1e-6)


# versions


def test_a_line_of_an_old_version_is_read_as_the_present_one():
    old = replace(event(1, text="x"), version=0)
    assert current(old, {("note.written", 0): lambda p: {"text": f"{p['text']}!"}}).payload == {"text": "x!"}


def test_a_version_that_nobody_can_read_is_told():
    with pytest.raises(BadEvent, match="newer than this program"):
        current(replace(event(1), version=99))
    with pytest.raises(BadEvent, match="cannot be read any more"):
        current(replace(event(1), version=0), {})
    with pytest.raises(BadEvent, match="not known"):
        current(replace(event(1), kind="joint.sung"))


# corrections


def standing_ids(*events: Event) -> list[str]:
    return [e.id for e in standing(events).events]


def test_an_entry_is_taken_back_and_brought_again():
    one, back = event(1), event(2, "record.withdrawn", "e1", why="typed twice")
    assert standing_ids(one, back) == []
    again = event(3, "record.withdrawn", "e2", why="it was right")
    assert standing_ids(one, back, again) == ["e1"]
    assert standing_ids(one, back, again, event(4, "record.withdrawn", "e3", why="no")) == []


def test_a_replacement_stands_in_place_and_its_own_undoing_brings_the_first_back():
    one, two = event(1, text="3.1"), event(2, corrects="e1", text="3.2")
    assert standing_ids(one, two) == ["e2"]
    assert standing_ids(one, two, event(3, "record.withdrawn", "e2", why="3.1 was right")) == ["e1"]


def test_of_two_corrections_the_last_counts_and_it_is_said():
    found = standing((event(1), event(2, corrects="e1"), event(3, corrects="e1")))
    assert [e.id for e in found.events] == ["e3"]
    assert "corrected more than once" in found.findings[0].text


@pytest.mark.parametrize("aim", ["e9", "e2", "e3"])
def test_a_correction_of_nothing_changes_nothing_and_is_said(aim):
    found = standing((event(1), event(2, corrects=aim), event(3)))
    assert [e.id for e in found.events] == ["e1", "e2", "e3"]
    assert "changes nothing" in found.findings[0].text


def test_what_happened_first_is_told_first_whoever_typed_last():
    late = replace(event(2), happened_at=NOON - timedelta(hours=1))
    assert standing_ids(event(1), late) == ["e2", "e1"]


@given(st.lists(st.integers(0, 8), max_size=9))
def test_an_even_number_of_takings_back_changes_nothing(aims):
    """Any chain: the entry stands when the number of withdrawals that stand on it, down the chain, is even."""
    events = [event(1)]
    for n, aim in enumerate(aims, start=2):
        events.append(event(n, "record.withdrawn", f"e{min(aim, n - 1)}", why="x"))
    struck = standing(events).struck
    for e in events:
        by = [other for other in events if other.corrects == e.id and other.id not in struck and other.number > e.number]
        assert (e.id in struck) is bool(by) or e.id in struck  # one that stands on it strikes it


OLD = {path.stem: json.loads(path.read_text(encoding="utf-8")) for path in (Path(__file__).parent / "old").glob("*.json")}


@pytest.mark.parametrize("name", OLD)
def test_an_entry_of_a_retired_version_is_read_and_its_hash_still_holds(name):
    """Frozen as it was written: proves that old lines stay readable and unchanged, not that they say the truth."""
    line = OLD[name]["entry"]
    moments = {key: moment_of(line[key]) for key in ("happened_at", "recorded_at")}
    old = Event(**line | moments)
    assert event_hash(old, old.number, taken(old.recorded_at), old.previous) == old.hash
    new = current(old)
    assert new.version == kind_of(old.kind).version
    assert dict(new.payload) == OLD[name]["read_as"]
    assert problems_of(kind_of(old.kind), new.payload) == []


def test_every_retired_version_is_read_and_has_its_example():
    """A kind in version n must read 1 .. n - 1, and each has its frozen example."""
    needed = {(name, v) for name, kind in kinds().items() for v in range(1, kind.version)}
    assert needed == set(UPCASTS)
    assert {(one["entry"]["kind"], one["entry"]["version"]) for one in OLD.values()} >= needed
