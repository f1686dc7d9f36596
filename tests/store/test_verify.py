"""Whatever was changed behind the back of the record, verification finds it."""

from __future__ import annotations

import random
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path

import pytest
from tests.store.drafts import mixed, note, opened

from boxup.record.canonical import linked_hash
from boxup.record.event import Draft
from boxup.store.anew import difference
from boxup.store.entry import Entry
from boxup.store.file import log_of, to_read
from boxup.store.sqlite import SqliteStore
from boxup.store.verdict import Verdict
from boxup.store.verify import verify
from boxup.store.wal import wrong_in

FLIPS = 500


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Some 60 entries of 5 jobs, one of them over several pages, all in the file itself."""
    path = tmp_path / "record.db"
    with SqliteStore(path, create=True) as store:
        store.append(mixed(1, 40))
        store.append([opened(3000, job="job 0")])
        for draft in mixed(2, 20):
            store.append([draft])
    return path


@pytest.fixture
def bare(path: Path) -> Iterator[sqlite3.Connection]:
    """A connection of somebody who knows the file and takes the triggers away."""
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        yield db


def without_triggers(db: sqlite3.Connection, change: Callable[[], None]) -> None:
    """Change something and put the triggers back as they were: only what was changed is left to be found."""
    triggers = db.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
    for name, _ in triggers:
        db.execute(f"DROP TRIGGER {name}")
    change()
    for _, sql in triggers:
        db.execute(sql)


def first(path: Path) -> str:
    verdict = verify(path)
    assert not verdict.ok
    return str(verdict.faults[0])


def test_a_sound_record(path: Path) -> None:
    verdict = verify(path)
    assert verdict == Verdict(61, verdict.heads, ())
    assert {head.job for head in verdict.heads} == {f"job {n}" for n in range(5)}
    assert sum(head.entries for head in verdict.heads) == 61
    with SqliteStore(path) as store:
        assert store.verify() == verdict
        assert store.heads() == verdict.heads


def test_looking_changes_nothing(path: Path) -> None:
    before = path.read_bytes()
    verify(path)
    assert path.read_bytes() == before
    assert [p.name for p in path.parent.iterdir()] == ["record.db"]


@pytest.mark.parametrize("column", ["seq", *Entry._fields])
def test_every_column_of_an_entry_is_guarded(path: Path, bare: sqlite3.Connection, column: str) -> None:
    job, number = bare.execute("SELECT job, number FROM event WHERE seq = 30").fetchone()
    numeric = column in ("seq", "number", "version")
    change = f'UPDATE event SET "{column}" = "{column}" || ? WHERE seq = 30'
    without_triggers(bare, lambda: bare.execute(change.replace("|| ?", "+ ?") if numeric else change, (1000 if numeric else " ",)))
    found = first(path)
    if column not in ("seq", "number", "job"):
        assert found.startswith(f"Job {job}, entry {number} (number 30 of the record): "), found
    else:
        assert ": it" in found, found
    assert verify(path).sound >= 50


def test_a_changed_entry_is_named_and_the_others_are_sound(path: Path, bare: sqlite3.Connection) -> None:
    without_triggers(bare, lambda: bare.execute("UPDATE event SET payload = replace(payload, 'text', 'texu') WHERE seq IN (7, 20)"))
    verdict = verify(path)
    assert [(f.seq, f.what) for f in verdict.faults] == [
        (n, "its hash does not fit what it says: it was changed after it was recorded") for n in (7, 20)
    ]
    assert verdict.sound == 59


def test_an_entry_worked_anew_breaks_the_next(path: Path, bare: sqlite3.Connection) -> None:
    """Who changes an entry and works its hash anew must work all that follow."""
    (seq,) = bare.execute("SELECT seq FROM event WHERE job = 'job 0' AND number = 3").fetchone()

    def change() -> None:
        bare.execute("UPDATE event SET \"by\" = 'N. Obody' WHERE seq = ?", (seq,))
        entry = Entry(*bare.execute("SELECT * FROM event WHERE seq = ?", (seq,)).fetchone()[1:])
        anew = linked_hash(entry.said, entry.number, entry.recorded_at, entry.previous)
        bare.execute("UPDATE event SET hash = ? WHERE seq = ?", (anew, seq))

    without_triggers(bare, change)
    assert first(path).startswith("Job job 0, entry 4")
    assert "does not carry the hash of the entry before it" in first(path)


@pytest.mark.parametrize(
    ("sql", "words"),
    [
        ("DELETE FROM event WHERE seq = 30", "an entry is missing, doubled or moved"),
        ("DELETE FROM event WHERE seq = 1", "should be"),
        ("DELETE FROM event WHERE job = 'job 1'", "of the record: entries are missing or were moved"),
        ("DELETE FROM event WHERE seq > 59", "The record has counted 61 entries and holds 59: entries at its end were cut off"),
        ("DELETE FROM event", "The record has counted 61 entries and holds 0"),
        ("UPDATE sqlite_sequence SET seq = 62", "The record has counted 62 entries and holds 61"),
        ("DELETE FROM sqlite_sequence", "The record has counted 0 entries and holds 61"),
        ("INSERT INTO sqlite_sequence VALUES ('event', 61)", "counted"),
        ("UPDATE written_with SET library = '3.1.0'", "names a version of SQLite that never signed"),
        ("INSERT INTO written_with VALUES (7, '3.1.0')", ""),
        ("DROP INDEX more", "something in the record that is not of Boxup: index fine"),
        ("PRAGMA application_id = 5", "is the database of another program"),
        ("PRAGMA user_version = 7", "is a record in form 7"),
        ("PRAGMA journal_mode = DELETE", "(WAL)"),
    ],
)
def test_what_was_cut_off_put_in_or_set(path: Path, bare: sqlite3.Connection, sql: str, words: str) -> None:
    if sql.startswith("DROP INDEX"):
        bare.execute("CREATE INDEX more ON event (kind)")
        bare.execute("CREATE INDEX fine ON event (kind)")
    without_triggers(bare, lambda: bare.execute(sql))
    bare.close()
    verdict = verify(path)
    if words:
        assert not verdict.ok
        assert any(words in str(fault) for fault in verdict.faults), verdict.faults
    else:
        assert verdict.ok, "another SQLite that signs is no fault"


def test_the_last_entry_cut_off_with_its_counter_still_leaves_a_trace(path: Path, bare: sqlite3.Connection) -> None:
    def cut() -> None:
        bare.execute("DELETE FROM event WHERE seq = 61")
        bare.execute("UPDATE sqlite_sequence SET seq = 60")

    without_triggers(bare, cut)
    bare.close()
    assert "bytes that no entry uses" in first(path)


@pytest.mark.parametrize("name", ["event_stays", "event_is_kept", "event_is_new", "event_follows", "written_with_stays"])
def test_a_trigger_that_is_gone_or_weakened_is_missed(path: Path, bare: sqlite3.Connection, name: str) -> None:
    (sql,) = bare.execute("SELECT sql FROM sqlite_master WHERE name = ?", (name,)).fetchone()
    bare.execute(f"DROP TRIGGER {name}")
    assert f"trigger {name} is not as Boxup makes it" in first(path)
    bare.execute(sql.replace("\nBEGIN", " AND 0\nBEGIN") if "WHEN" in sql else sql.replace("\nBEGIN", " WHEN 0\nBEGIN"))
    assert f"trigger {name} is not as Boxup makes it" in first(path)


def test_a_type_that_came_in_by_another_door_is_found(path: Path, bare: sqlite3.Connection) -> None:
    def loosen() -> None:
        bare.execute("PRAGMA writable_schema = ON")
        bare.execute("UPDATE sqlite_master SET sql = replace(sql, 'STRICT', '') WHERE name = 'event'")
        bare.execute("PRAGMA writable_schema = RESET")
        bare.execute("UPDATE event SET payload = CAST(payload AS BLOB) WHERE seq = 12")

    without_triggers(bare, loosen)
    assert "payload holds no text" in first(path)
    assert any("table event is not as Boxup makes it" in str(fault) for fault in verify(path).faults)


def test_bytes_behind_the_end_are_found(path: Path) -> None:
    with path.open("ab") as file:
        file.write(b"x")
    assert "longer than the record" in first(path)


def test_a_file_cut_short_is_found(path: Path) -> None:
    whole = path.read_bytes()
    for length in (0, 50, 2048, len(whole) // 2, len(whole) - 2048, len(whole) - 1):
        path.write_bytes(whole[:length])
        assert not verify(path).ok, length


def places(path: Path, count: int) -> list[int]:
    """Places all over the file: the header densely, then an equal share of every page."""
    chance = random.Random(20270412)
    size = path.stat().st_size
    header = chance.sample(range(100), 60)
    pages = [page + chance.randrange(2048) for page in range(0, size, 2048) for _ in range(1 + count * 2048 // size)]
    return [*header, *chance.sample(pages, count - 60)]


def test_a_changed_byte_anywhere_in_the_file_is_found(path: Path) -> None:
    raw = path.read_bytes()
    assert {2, 5, 10, 13} <= {raw[page] for page in range(2048, len(raw), 2048)}, "inner pages and leaves of tables and of indexes"
    chance = random.Random(5)
    missed = []
    with path.open("r+b", buffering=0) as file:
        for place in places(path, FLIPS):
            file.seek(place)
            (old,) = file.read(1)
            new = old ^ (1 << chance.randrange(8)) if chance.random() < 0.5 else (old + chance.randrange(1, 256)) % 256
            file.seek(place)
            file.write(bytes([new]))
            if verify(path).ok:
                missed.append((place, old, new))
            file.seek(place)
            file.write(bytes([old]))
    assert missed == []
    assert verify(path).ok, "all put back"


def test_where_another_sqlite_wrote_too_unused_bytes_are_a_remark(path: Path, bare: sqlite3.Connection) -> None:
    """Two versions may leave different bytes where nothing stands; then a difference there proves nothing, and is said."""
    bare.execute("INSERT INTO written_with (library) VALUES ('3.99.0')")
    bare.close()
    assert verify(path) == Verdict(61, verify(path).heads, ())
    raw = bytearray(path.read_bytes())
    with SqliteStore(path) as store:
        roots = [root for (root,) in store._db.execute("SELECT rootpage FROM sqlite_master WHERE name = 'sqlite_sequence'")]
    raw[(roots[0] - 1) * 2048 + 1000] ^= 255  # in the middle of a page that holds one short row
    path.write_bytes(raw)
    verdict = verify(path)
    assert verdict.ok
    assert "1 bytes that no entry uses" in verdict.remarks[0]
    assert "3.99.0 wrote this record" in verdict.remarks[0]


def test_a_damaged_index_is_a_fault_whoever_wrote(path: Path, bare: sqlite3.Connection) -> None:
    bare.execute("INSERT INTO written_with (library) VALUES ('3.99.0')")
    (id,) = bare.execute("SELECT id FROM event WHERE seq = 30").fetchone()
    bare.close()
    raw = path.read_bytes()
    places = [n for n in range(len(raw)) if raw.startswith(id.encode(), n)]
    assert len(places) == 2, "in its row and in the index"
    for place in places:
        path.write_bytes(raw[:place] + b"!" + raw[place + 1 :])
        assert not verify(path).ok
    assert "The file is damaged" in first(path) or "its hash" in first(path)


@pytest.mark.parametrize("seed", range(8))
def test_the_bytes_depend_on_the_entries_alone(tmp_path: Path, seed: int) -> None:
    """What `anew` rests on: batches, rolled-back writes, small memories and reopening leave no trace in the file."""
    chance = random.Random(seed)
    path = tmp_path / "record.db"
    drafts = mixed(seed, 300)
    store = SqliteStore(path, create=True)
    while drafts:
        if chance.random() < 0.1:
            store.close()
            store = SqliteStore(path)
            store._db.execute(f"PRAGMA cache_size = {chance.choice((5, 20, 2000))}")
        batch = [drafts.pop() for _ in range(min(len(drafts), chance.choice((1, 1, 2, 30))))]
        if chance.random() < 0.2:
            store._db.execute("BEGIN IMMEDIATE")
            for n in range(chance.choice((1, 60))):
                row = Entry(f"{seed} {n}", f"gone {n}", 1, "x", 1, *"xxxxxx", "", "x")
                store._db.execute(f"INSERT INTO event VALUES (NULL, {', '.join('?' * len(row))})", row)
            store._db.execute("ROLLBACK")
        store.append(batch)
    store.close()
    with closing(to_read(path)) as db:
        assert difference(db, db.serialize()) is None


def test_what_is_still_in_the_log_is_seen(path: Path) -> None:
    with SqliteStore(path) as store:
        store.append([note(job="job 0")])
        assert log_of(path).stat().st_size > 0
        assert verify(path).sound == 62
        assert store.verify().ok


def test_looking_while_others_write_raises_no_alarm(path: Path) -> None:
    """Logs that grow, are written over and are put into the file, all while it is looked at."""

    def write() -> None:
        with SqliteStore(path) as store:
            for _ in range(150):
                store.append([note(job="busy"), opened(400, job="busy")])

    with ThreadPoolExecutor(2) as pool:
        writers = [pool.submit(write) for _ in range(2)]
        found = [verify(path)]
        while not all(writer.done() for writer in writers):
            found.append(verify(path))
        for writer in writers:
            writer.result()
    assert [verdict.faults for verdict in found if not verdict.ok] == []
    assert len({verdict.sound for verdict in found}) > 2, "they were writing"
    assert all((verdict.sound - 61) % 2 == 0 for verdict in found), "both of a sending or none"


@pytest.fixture
def killed(path: Path, tmp_path: Path) -> Path:
    """A record as a killed program leaves it: the last 12 entries are in the log only, and the index of the log is there."""
    left = tmp_path / "left" / "record.db"
    left.parent.mkdir()
    with SqliteStore(path) as store:
        for n in range(12):
            store.append([note(f"after {n}", job="job 0")])
        for name in path.parent.glob("record.db*"):
            shutil.copy(name, left.parent)
    return left


def index_of(path: Path) -> Path:
    return path.with_name(path.name + "-shm")


def test_a_record_whose_program_was_killed(killed: Path) -> None:
    before = killed.read_bytes(), log_of(killed).read_bytes()
    assert verify(killed).sound == 73
    assert verify(killed).ok
    assert (killed.read_bytes(), log_of(killed).read_bytes()) == before, "the log is left as it was found"


def test_a_changed_byte_in_the_log_is_found(killed: Path) -> None:
    """Damage there makes SQLite leave out entries without a word, so it is looked at before SQLite reads it."""
    whole, index = log_of(killed).read_bytes(), index_of(killed).read_bytes()
    for place, spoilt in one_byte_changed(whole, 150):
        log_of(killed).write_bytes(spoilt)
        index_of(killed).write_bytes(index)
        assert "-wal" in str(verify(killed).faults[-1]), place


def test_without_its_index_damage_to_the_last_write_alone_is_not_seen(killed: Path) -> None:
    """It looks as a write that was never finished; the entry it held is left out, which only a head shows."""
    whole = log_of(killed).read_bytes()
    unseen = 0
    for place, spoilt in one_byte_changed(whole, 150):
        log_of(killed).write_bytes(spoilt)
        index_of(killed).unlink()
        verdict = verify(killed)
        if verdict.ok:
            unseen += 1
            assert verdict.sound == 72
            assert place > 32 + 11 / 12 * (len(whole) - 32) - 2 * 2072, "in the last write"
    assert unseen


def one_byte_changed(whole: bytes, count: int) -> Iterator[tuple[int, bytes]]:
    """The header and the first frame densely, then places all over."""
    chance = random.Random(9)
    for place in [*range(56), *chance.sample(range(len(whole)), count)]:
        yield place, whole[:place] + bytes([whole[place] ^ (1 << chance.randrange(8))]) + whole[place + 1 :]


def test_a_write_that_was_never_finished_is_no_fault(killed: Path) -> None:
    """A kill in the middle of a write leaves its first part behind; it was never acknowledged."""
    log = log_of(killed)
    whole = log.read_bytes()
    frame = 24 + 2048
    for cut in (frame, 2 * frame, frame // 2, 10, frame + 10):
        log.write_bytes(whole[:-cut])
        index_of(killed).unlink(missing_ok=True)
        verdict = verify(killed)
        assert verdict.ok, cut
        assert verdict.sound == 72
    assert not wrong_in(whole[:32])
    assert not wrong_in(b"")
    assert not wrong_in(bytes(5000))
    assert wrong_in(whole[:20])


def test_a_whole_write_behind_the_end_is_no_fault(killed: Path) -> None:
    """Killed when all of a write was on disk but nobody was told; another program went on from before it, with a shorter one."""
    base, log = {name: name.read_bytes() for name in killed.parent.iterdir()}, log_of(killed)

    def after(draft: Draft) -> tuple[bytes, bytes]:
        for name, content in base.items():
            name.write_bytes(content)
        index_of(killed).unlink()  # it names the lock of a program that is gone
        with SqliteStore(killed) as store:
            store.append([draft])
            return log.read_bytes(), index_of(killed).read_bytes()

    long, _ = after(opened(3000))
    short, index = after(note())
    assert base[log] == short[: len(base[log])] == long[: len(base[log])], "both went on from the same place"
    both = short + long[len(short) :]
    assert len(both) > len(short)
    assert wrong_in(both, index) == wrong_in(both) == ""
    spoilt = bytearray(both)
    spoilt[len(base[log]) + 100] ^= 1
    assert wrong_in(bytes(spoilt), index)


def test_frames_of_an_earlier_turn_of_the_log_are_no_fault(path: Path) -> None:
    with SqliteStore(path) as store:
        for n in range(5):
            store.append([note(f"first turn {n}")])
        index = index_of(path).read_bytes()
        store._db.execute("PRAGMA wal_checkpoint(FULL)")
        store.append([note("second turn")])
        whole = log_of(path).read_bytes()
        assert len({whole[start + 8 : start + 16] for start in range(32, len(whole), 24 + 2048)}) == 2, "two turns in one file"
        assert wrong_in(whole) == ""
        assert wrong_in(whole, index) == "", "nor is an index of an earlier turn"
        assert wrong_in(whole, index_of(path).read_bytes()) == ""
        assert verify(path).ok


def test_a_record_without_its_log_is_an_older_record(killed: Path) -> None:
    """That cannot be seen in the file itself; a head that was written down shows it."""
    with_log = {head.job: head for head in verify(killed).heads}
    log_of(killed).unlink()
    verdict = verify(killed)
    assert verdict.ok
    assert verdict.sound == 61
    without = {head.job: head for head in verdict.heads}
    assert without["job 0"] != with_log["job 0"]
