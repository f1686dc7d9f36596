"""What every store must do, whatever database stands behind it. A store's own test file makes a subclass with its fixtures."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest
from tests.store.drafts import MORNING, mixed, note, opened, torqued

from boxup.record.canonical import FIRST, event_hash
from boxup.record.event import BadEvent, Draft, taken
from boxup.store.base import MovedOn, SaidDifferently, Store, StoreError
from boxup.store.entry import Entry, event_of
from boxup.store.export import Export, lines

WRITER = Path(__file__).with_name("writer.py")
Opener = Callable[..., Store]


class StoreSuite:
    """Fixtures to give: `url`, the name of a record that is not there yet; `opener`, which opens it, `opener(clock=...)` with a clock."""

    @pytest.fixture
    def store(self, opener: Opener) -> Iterator[Store]:
        with opener() as made:
            yield made

    # adding and reading

    def test_an_empty_record(self, store: Store) -> None:
        assert (store.jobs(), store.heads(), store.events("none"), list(store.entries())) == ((), (), (), [])
        assert store.verify().ok

    def test_what_is_added_is_what_is_read(self, store: Store) -> None:
        drafts = [opened(10), torqued(1), note("Ø 19 mm – naïve 測試 🔧\n\ttwo lines \x00 \u2028")]
        added = store.append(drafts)
        assert added == store.events("14-E-103/1")
        for event, draft in zip(added, drafts, strict=True):
            assert all(getattr(event, name) == getattr(draft, name) for name in Draft.__slots__)

    def test_numbers_and_the_chain_are_of_the_job(self, store: Store) -> None:
        first = store.append([note(job="a"), note(job="b"), note(job="a")])
        second = store.append([note(job="b"), note(job="a")])
        assert [(e.job, e.number) for e in (*first, *second)] == [("a", 1), ("b", 1), ("a", 2), ("b", 2), ("a", 3)]
        for job in "ab":
            before = FIRST
            for event in store.events(job):
                assert event.previous == before
                assert event.hash == event_hash(event, event.number, taken(event.recorded_at), before)
                before = event.hash
        assert store.jobs() == ("a", "b")
        assert [(h.job, h.entries, h.hash) for h in store.heads()] == [("a", 3, second[1].hash), ("b", 2, second[0].hash)]

    def test_nothing_to_add_is_nothing_added(self, store: Store) -> None:
        assert store.append([]) == ()
        assert store.heads() == ()

    def test_moments_keep_their_zone_and_are_kept_to_the_second(self, store: Store) -> None:
        at = datetime(2027, 4, 12, 6, 20, 59, 999_999, tzinfo=timezone(timedelta(hours=-3, minutes=-30)))
        (added,) = store.append([note(at=at)])
        assert added.happened_at == at.replace(microsecond=0)
        assert added.happened_at.utcoffset() == at.utcoffset()
        assert store.events("14-E-103/1") == (added,)

    def test_large_payloads(self, store: Store) -> None:
        added = store.append([opened(300_000, job="large"), opened(1, job="small")])
        assert (*store.events("large"), *store.events("small")) == added
        assert store.verify().ok

    def test_the_clock_is_the_stores_own_and_may_go_backwards(self, opener: Opener) -> None:
        moments = iter([MORNING, MORNING - timedelta(days=1), MORNING + timedelta(milliseconds=1.9)])
        with opener(clock=lambda: next(moments)) as store:
            events = [store.append([note()])[0] for _ in range(3)]
            assert [e.number for e in events] == [1, 2, 3]
            assert [e.recorded_at for e in events] == [
                MORNING, MORNING - timedelta(days=1), MORNING + timedelta(milliseconds=1),
            ]  # fmt: skip
            assert store.events("14-E-103/1") == tuple(events)
            assert store.verify().ok

    def test_it_is_all_there_after_closing(self, opener: Opener) -> None:
        with opener() as store:
            added = store.append(mixed(1, 30))
        store.close()
        with opener() as again:
            kept = {e.id: e for job in again.jobs() for e in again.events(job)}
        assert [kept[e.id] for e in added] == list(added)

    # refusing

    @pytest.mark.parametrize(
        "bad",
        [
            replace(note(), payload={}),
            replace(note(), payload={"text": "x", "more": 1}),
            replace(note(), kind="note.sung"),
            replace(note(), version=99),
            replace(note(), happened_at=datetime(2027, 4, 12)),  # noqa: DTZ001 (that is what is refused)
            replace(note(), by=" "),
            replace(note(), id=""),
            replace(note(), payload={"text": "half a letter \ud800"}),
            replace(note(), payload={"text": "x", "typed": {"a": float("nan")}}),
            replace(note(), payload={"text": "x", "typed": {"a": object()}}),
        ],
        ids=["missing field", "unknown field", "kind", "version", "no zone", "nobody", "no id", "no text", "not finite", "no JSON"],
    )
    def test_one_bad_draft_and_nothing_is_written(self, store: Store, bad: Draft) -> None:
        store.append([note("before")])
        with pytest.raises(BadEvent):
            store.append([note(), note(job="other"), bad, note()])
        with pytest.raises(BadEvent):
            store.append([bad])
        assert [e.payload["text"] for e in store.events("14-E-103/1")] == ["before"]
        assert store.jobs() == ("14-E-103/1",)
        store.append([note("after")])
        verdict = store.verify()
        assert (verdict.ok, verdict.sound) == (True, 2)

    def test_a_form_sent_twice_is_recognised(self, store: Store) -> None:
        form = [note("one", id="form-1"), note("two", id="form-2")]
        first = store.append(form)
        store.append([note("between")])
        assert store.append(form) == first
        assert store.append(form, after=0) == first, "a form that is there already has not been overtaken"
        assert store.append([form[1]]) == first[1:]
        assert len(store.events("14-E-103/1")) == 3

    def test_a_form_twice_in_one_sending_is_one_entry(self, store: Store) -> None:
        form = note(id="form-1")
        one, other = store.append([form, form])
        assert one == other
        assert store.events("14-E-103/1") == (one,)

    def test_a_form_of_an_older_program_is_still_recognised(self, store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
        form = note(id="form-1")
        (first,) = store.append([form])

        def newer(draft: Draft) -> None:
            raise BadEvent([f"version: {draft.kind} is written in version 2, not 1."])

        monkeypatch.setattr(f"{type(store).__module__}.check", newer)
        assert store.append([form]) == (first,)
        with pytest.raises(BadEvent, match="version 2"):
            store.append([note()])

    @pytest.mark.parametrize(
        "change",
        [{"payload": {"text": "no"}}, {"by": "N. Obody"}, {"entered_by": "N. Obody"}, {"job": "other"}, {"corrects": "x"},
         {"happened_at": MORNING + timedelta(seconds=1)}, {"kind": "shift.changed"}],
        ids=lambda change: next(iter(change)),
    )  # fmt: skip
    def test_the_same_id_with_other_words_is_refused(self, store: Store, change: dict[str, object]) -> None:
        form = note("yes", id="form-1")
        (kept,) = store.append([form])
        with pytest.raises(SaidDifferently, match=r"form-1.*says something else.*Nothing was written") as refused:
            store.append([note("new"), replace(form, **change)])
        assert refused.value.kept == kept
        assert store.events("14-E-103/1") == (kept,)
        assert store.jobs() == ("14-E-103/1",)

    def test_other_words_for_one_id_in_one_sending_are_refused(self, store: Store) -> None:
        with pytest.raises(SaidDifferently):
            store.append([note("yes", id="form-1"), note("no", id="form-1")])
        assert store.jobs() == ()

    def test_who_has_not_seen_the_last_entry_is_told_what_it_was(self, store: Store) -> None:
        store.append([note("1")], after=0)
        seen = store.append([note("2"), note("3", job="other"), note("4")], after=None)
        with pytest.raises(MovedOn, match="14-E-103/1 has moved on: 2 more entries since entry 1") as moved:
            store.append([note("late")], after=1)
        assert moved.value.since == (seen[0], seen[2])
        with pytest.raises(MovedOn):
            store.append([note("late")], after=0)
        assert store.append([note("5")], after=3)[0].number == 4
        assert len(store.events("14-E-103/1")) == 4

    def test_who_has_seen_more_than_there_is_is_told_so(self, store: Store) -> None:
        store.append([note()])
        with pytest.raises(StoreError, match=r"has seen entry 2.*ends at 1.*Nothing was written"):
            store.append([note()], after=2)
        assert len(store.events("14-E-103/1")) == 1

    def test_after_counts_the_entries_of_one_job(self, store: Store) -> None:
        with pytest.raises(ValueError, match="of one job"):
            store.append([note(job="a"), note(job="b")], after=0)

    # several at once

    def test_two_threads_with_a_store_each(self, opener: Opener) -> None:
        opener().close()
        with ThreadPoolExecutor(2) as pool:
            for done in [pool.submit(self._write, opener, name) for name in ("one", "two")]:
                done.result(60)
        self._all_there(opener, {"one": 60, "two": 60})

    def _write(self, opener: Opener, name: str) -> None:
        with opener() as store:
            for n in range(30):
                store.append([note(f"{name} {n}", job="shared", by=name), note(job=name), note(f"{name} {n}", job="shared", by=name)])

    def test_threads_that_share_one_store(self, store: Store, opener: Opener) -> None:
        def write(name: str) -> None:
            for n in range(30):
                store.append([note(f"{name} {n}", job="shared", by=name), note(job=name), note(f"{name} {n}", job="shared", by=name)])
                store.events("shared")

        with ThreadPoolExecutor(3) as pool:
            for done in [pool.submit(write, name) for name in ("one", "two", "three")]:
                done.result(60)
        self._all_there(opener, {"one": 60, "two": 60, "three": 60})

    def test_two_programs_at_once_from_the_first_entry_on(self, url: str, opener: Opener) -> None:
        programs = [subprocess.Popen([sys.executable, WRITER, url, name, "60"], stdout=subprocess.PIPE) for name in ("one", "two")]
        assert [(p.communicate(timeout=60)[0].count(b"\n"), p.returncode) for p in programs] == [(60, 0), (60, 0)]
        self._all_there(opener, {"one": 39, "two": 39})

    def _all_there(self, opener: Opener, shared: dict[str, int]) -> None:
        """Every writer's entries of the shared job, in their own order, nothing missing or doubled; and the record is sound."""
        with opener() as store:
            events = store.events("shared")
            assert [e.number for e in events] == list(range(1, sum(shared.values()) + 1))
            for name, count in shared.items():
                mine = [int(e.payload["text"].split()[-1]) for e in events if e.by == name]
                assert len(mine) == count
                assert mine == sorted(mine)
            assert store.verify().ok

    def test_of_two_who_saw_the_same_entry_one_is_told(self, opener: Opener) -> None:
        with opener() as one, opener() as two:
            one.append([note("1")])
            one.append([note("mine")], after=1)
            with pytest.raises(MovedOn) as moved:
                two.append([note("mine too")], after=1)
        assert [e.payload["text"] for e in moved.value.since] == ["mine"]

    # carrying it

    def test_entries_are_the_kept_texts_in_the_order_of_recording(self, store: Store) -> None:
        added = store.append(mixed(2, 20))
        assert [event_of(entry) for entry in store.entries()] == list(added)
        assert [event_of(entry) for entry in store.entries("job 1")] == [e for e in added if e.job == "job 1"]

    def test_entries_of_another_record_are_taken_as_they_are(self, store: Store) -> None:
        store.append(mixed(3, 20))
        kept = list(store.entries())
        coming = self._next(kept, "job 0")
        assert store.take(kept) == (0, 20), "they are known"
        assert store.take([*kept, coming]) == (1, 20)
        assert list(store.entries()) == [*kept, coming]
        assert store.verify().ok

    def _next(self, kept: list[Entry], job: str) -> Entry:
        """One more entry behind those of a job, as another record would have it."""
        last = [entry for entry in kept if entry.job == job][-1]
        recorded_at = taken(datetime(2030, 1, 1, tzinfo=UTC))
        bare = last._replace(id="from elsewhere", number=last.number + 1, recorded_at=recorded_at, previous=last.hash)
        return bare._replace(hash=event_hash(event_of(bare), bare.number, recorded_at, bare.previous))

    @pytest.mark.parametrize("field", Entry._fields)
    def test_an_entry_changed_on_the_way_is_not_taken(self, store: Store, field: str) -> None:
        store.append(mixed(4, 6, jobs=1))
        kept = list(store.entries())
        coming = self._next(kept, "job 0")
        changed = coming._replace(**{field: 99 if field in ("number", "version") else f"{getattr(coming, field)}x"})
        with pytest.raises(StoreError, match="Nothing was written"):
            store.take([*kept, changed])
        assert list(store.entries()) == kept

    def test_another_history_is_refused_whole(self, store: Store, tmp_path: Path) -> None:
        store.append([note("mine", job="a")])
        kept = list(store.entries())
        elsewhere = event_of(kept[0])
        other = kept[0]._replace(id="other", hash=event_hash(replace(elsewhere, id="other"), 1, kept[0].recorded_at, FIRST))
        free = other._replace(job="b", hash=event_hash(replace(elsewhere, id="other", job="b"), 1, kept[0].recorded_at, FIRST))
        for coming in ([other], [free, other]):
            with pytest.raises(StoreError, match="different histories"):
                store.take(coming)
        assert list(store.entries()) == kept

    def test_an_export_holds_all_of_it(self, store: Store, tmp_path: Path) -> None:
        store.append(mixed(5, 40))
        (tmp_path / "out.jsonl").write_bytes("".join(lines(store.heads(), store.entries())).encode())
        export = Export(tmp_path / "out.jsonl")
        assert export.check() == store.heads()
        assert list(export.entries()) == list(store.entries())

    def test_an_export_leaves_out_what_was_added_since(self, store: Store, tmp_path: Path) -> None:
        store.append([note("1"), note("2")])
        heads = store.heads()
        store.append([note("3"), note(job="new")])
        (tmp_path / "out.jsonl").write_bytes("".join(lines(heads, store.entries())).encode())
        assert Export(tmp_path / "out.jsonl").check() == heads
