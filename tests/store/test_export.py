"""Export, backup, restore: what comes back is what went, to the last byte, or a sentence says what is wrong with it."""

from __future__ import annotations

import json
import random
import sqlite3
import threading
from contextlib import closing
from pathlib import Path

import pytest
from tests.store.drafts import mixed, note, opened

from boxup.record.canonical import event_hash
from boxup.record.event import Draft, moment_of
from boxup.store.base import StoreError, Taken
from boxup.store.export import Export, lines
from boxup.store.restore import check_source, restore
from boxup.store.sqlite import SqliteStore
from boxup.store.verify import verify


@pytest.fixture
def record(tmp_path: Path) -> Path:
    path = tmp_path / "record.db"
    with SqliteStore(path, create=True) as store:
        store.append(mixed(1, 60))
        store.append([opened(2000, job="job 2"), note('"quoted" \\ back \u2028 \x7f Ω 🔧', job="Ünit 7, north")])
    return path


def export_of(record: Path, job: str | None = None) -> bytes:
    with SqliteStore(record, read_only=True) as store:
        return "".join(lines([h for h in store.heads() if job in (None, h.job)], store.entries(job))).encode()


def restored(source: Path, into: Path) -> Taken:
    check_source(source)
    with SqliteStore(into, create=True) as store:
        return restore(source, store)


@pytest.fixture
def export(record: Path, tmp_path: Path) -> Path:
    path = tmp_path / "record.jsonl"
    path.write_bytes(export_of(record))
    return path


def test_an_export_comes_back_as_the_same_record(record: Path, export: Path, tmp_path: Path) -> None:
    assert restored(export, tmp_path / "new.db") == (62, 0)
    assert export_of(tmp_path / "new.db") == export.read_bytes()
    assert verify(tmp_path / "new.db") == verify(record)


def test_an_export_can_be_read_and_proved_without_boxup(export: Path) -> None:
    """Written down in docs/record.md: only json and SHA-256 are needed."""
    from hashlib import sha256

    def written(value: object) -> str:
        return json.dumps(value, ensure_ascii=False, sort_keys=True, separators=(",", ":"))

    first, *rest = (json.loads(line) for line in export.read_text("utf-8").split("\n")[:-1])
    ends: dict[str, list[object]] = {}
    for e in rest:
        said = [e[name] for name in ("id", "job", "kind", "version", "happened_at", "by", "entered_by", "corrects")]
        link = written([written([*said, written(e["payload"])]), e["number"], e["recorded_at"], e["previous"]])
        assert sha256(link.encode()).hexdigest() == e["hash"]
        assert e["previous"] == ends.get(e["job"], [0, 0, ""])[2]
        ends[e["job"]] = [e["job"], e["number"], e["hash"]]
    assert first == {"boxup_record": 1, "heads": list(ends.values())}
    assert len(rest) == 62


def test_one_job_alone(record: Path, tmp_path: Path) -> None:
    (tmp_path / "one.jsonl").write_bytes(export_of(record, "job 2"))
    assert restored(tmp_path / "one.jsonl", tmp_path / "new.db").known == 0
    with SqliteStore(record) as whole, SqliteStore(tmp_path / "new.db") as one:
        assert one.jobs() == ("job 2",)
        assert one.events("job 2") == whole.events("job 2")


def test_an_empty_record(tmp_path: Path) -> None:
    SqliteStore(tmp_path / "empty.db", create=True).close()
    (tmp_path / "empty.jsonl").write_bytes(export_of(tmp_path / "empty.db"))
    assert (tmp_path / "empty.jsonl").read_bytes() == b'{"boxup_record":1,"heads":[]}\n'
    assert restored(tmp_path / "empty.jsonl", tmp_path / "new.db") == (0, 0)


def test_what_is_there_already_is_recognised_and_the_rest_added(record: Path, export: Path, tmp_path: Path) -> None:
    restored(export, tmp_path / "new.db")
    with SqliteStore(record) as store:
        store.append([note(job="job 2"), note(job="new job")])
    (tmp_path / "later.jsonl").write_bytes(export_of(record))
    assert restored(tmp_path / "later.jsonl", tmp_path / "new.db") == (2, 62)
    assert restored(export, tmp_path / "new.db") == (0, 62), "an older one has nothing to add"
    assert export_of(tmp_path / "new.db") == export_of(record)


def test_another_history_of_a_job_is_refused(export: Path, tmp_path: Path) -> None:
    with SqliteStore(tmp_path / "other.db", create=True) as other:
        other.append([note(job="job 4")])
    before = export_of(tmp_path / "other.db")
    with pytest.raises(StoreError, match=r"job 4.*different histories"):
        restored(export, tmp_path / "other.db")
    assert export_of(tmp_path / "other.db") == before


def test_every_changed_letter_of_an_export_is_found(export: Path) -> None:
    whole = export.read_bytes()
    chance = random.Random(3)
    for place in [*range(0, 400, 7), *chance.sample(range(len(whole)), 300)]:
        spoilt = bytearray(whole)
        spoilt[place] = (spoilt[place] + chance.randrange(1, 256)) % 256
        export.write_bytes(spoilt)
        with pytest.raises(StoreError):
            check_source(export)


def again(export: Path, at: int, /, **changes: object) -> None:
    """Line `at` with other values, everything else of it in order."""
    text = export.read_text("utf-8").split("\n")
    text[at - 1] = json.dumps({**json.loads(text[at - 1]), **changes}, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    export.write_text("\n".join(text), "utf-8", newline="\n")


def test_a_broken_line_is_named(export: Path) -> None:
    again(export, 5, by="N. Obody")
    with pytest.raises(StoreError, match=r"record\.jsonl, line 5: job .*, entry .*: its hash does not fit what it says"):
        check_source(export)
    again(export, 4, number=77)
    with pytest.raises(StoreError, match=r"line 4: .*its number should be"):
        check_source(export)


@pytest.mark.parametrize("form", ["blank", "order", "escape", "CRLF"])
def test_another_way_to_write_the_same_is_not_an_export_of_ours(export: Path, form: str) -> None:
    first, *rest = export.read_text("utf-8").split("\n")
    line = json.loads(rest[-2])
    rest[-2] = {
        "blank": json.dumps(line, ensure_ascii=False, sort_keys=True),
        "order": json.dumps(dict(reversed(line.items())), ensure_ascii=False, separators=(",", ":")),
        "escape": json.dumps(line, sort_keys=True, separators=(",", ":")),
        "CRLF": rest[-2] + "\r",
    }[form]
    export.write_text("\n".join([first, *rest]), "utf-8", newline="\n")
    with pytest.raises(StoreError, match="line 63: no entry as Boxup writes one"):
        check_source(export)


def test_what_is_missing_is_noticed(export: Path) -> None:
    whole = export.read_text("utf-8").split("\n")
    export.write_text("\n".join([*whole[:40], ""]), "utf-8", newline="\n")
    with pytest.raises(StoreError, match="is not whole: its first line says"):
        check_source(export)
    export.write_text("\n".join(whole)[:-1], "utf-8", newline="\n")
    with pytest.raises(StoreError, match="line 63: the line is cut off"):
        check_source(export)
    export.write_text("\n".join([whole[0], *whole[3:]]), "utf-8", newline="\n")
    with pytest.raises(StoreError, match=r"is not whole|line [2-9]"):
        check_source(export)
    for nothing in ("", "\n", "a,b,c\n", "{}\n", "[]\n", '{"boxup_record":1}\n'):
        export.write_text(nothing, "utf-8", newline="\n")
        with pytest.raises(StoreError, match="line 1: "):
            check_source(export)
    export.write_text('{"boxup_record":2,"heads":[]}\n', "utf-8", newline="\n")
    with pytest.raises(StoreError, match="in form 2; this program reads form 1"):
        check_source(export)


def test_a_backup_is_the_same_file(record: Path, tmp_path: Path) -> None:
    with SqliteStore(record) as store:
        store.append([note()])
        store.backup(tmp_path / "copy.db")
        expected = store.verify()
    assert verify(tmp_path / "copy.db") == expected
    assert expected.ok
    assert restored(tmp_path / "copy.db", tmp_path / "new.db") == (63, 0)
    assert export_of(tmp_path / "new.db") == export_of(record)


def test_a_backup_while_others_write_is_of_one_moment(record: Path, tmp_path: Path) -> None:
    stop = threading.Event()

    def write() -> None:
        with SqliteStore(record) as store:
            while not stop.is_set():
                store.append([note("first of two", job="pair"), note("second of two", job="pair")])

    writer = threading.Thread(target=write)
    writer.start()
    try:
        with SqliteStore(record, read_only=True) as store:
            for n in range(12):
                store.backup(tmp_path / f"copy {n}.db")
    finally:
        stop.set()
        writer.join()
    counts = []
    for n in range(12):
        verdict = verify(tmp_path / f"copy {n}.db")
        assert verdict.ok, verdict.faults
        counts.append(verdict.sound)
        assert (verdict.sound - 62) % 2 == 0, "both of a pair or none"
    assert counts == sorted(counts)
    assert counts[-1] > counts[0], "somebody was writing"


def test_a_backup_is_never_written_over(record: Path, tmp_path: Path) -> None:
    (tmp_path / "copy.db").write_text("something else")
    with SqliteStore(record) as store:
        with pytest.raises(StoreError, match="is there already"):
            store.backup(tmp_path / "copy.db")
        with pytest.raises(StoreError, match="cannot be written"):
            store.backup(tmp_path / "no such folder" / "copy.db")
    assert (tmp_path / "copy.db").read_text() == "something else"


def test_a_backup_that_is_not_sound_is_not_restored(record: Path, tmp_path: Path) -> None:
    with closing(sqlite3.connect(record, isolation_level=None)) as db:
        db.execute("DROP TRIGGER event_stays")
        db.execute("UPDATE event SET payload = '{}' WHERE seq = 9")
    with pytest.raises(StoreError, match=r"is not sound, so nothing was taken from it.*number 9 of the record"):
        restored(record, tmp_path / "new.db")
    assert not (tmp_path / "new.db").exists()


def test_a_source_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match=r"none\.jsonl cannot be read"):
        check_source(tmp_path / "none.jsonl")


def test_kinds_and_versions_of_a_newer_program_are_kept(tmp_path: Path) -> None:
    """A restore proves what is there; it does not judge it by what this program happens to know."""
    draft = Draft(
        id="x", job="a", kind="thing.of_tomorrow", version=9, happened_at=moment_of("2030-01-01T00:00:00+00:00"), by="I", entered_by="I",
        payload={"new": [1, 2.5, None]},
    )  # fmt: skip
    recorded_at = "2030-01-01T00:00:00.000+00:00"
    hash = event_hash(draft, 1, recorded_at, "")
    said = {
        "by": "I", "corrects": "", "entered_by": "I", "happened_at": "2030-01-01T00:00:00+00:00", "hash": hash, "id": "x", "job": "a",
        "kind": "thing.of_tomorrow", "number": 1, "payload": {"new": [1, 2.5, None]}, "previous": "", "recorded_at": recorded_at,
        "version": 9,
    }  # fmt: skip
    path = tmp_path / "newer.jsonl"
    text = [json.dumps(o, separators=(",", ":")) for o in ({"boxup_record": 1, "heads": [["a", 1, hash]]}, said)]
    path.write_text("\n".join([*text, ""]), "utf-8", newline="\n")
    assert restored(path, tmp_path / "new.db") == (1, 0)
    assert export_of(tmp_path / "new.db") == path.read_bytes()
    assert [entry.kind for entry in Export(path).entries()] == ["thing.of_tomorrow"]
