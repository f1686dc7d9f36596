"""The SQLite store: the suite of every store, and what only a file can do."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest
from tests.store.drafts import mixed, note
from tests.store.suite import Opener, StoreSuite

from boxup.store import file
from boxup.store.base import Busy, NoRecord, StoreError
from boxup.store.open import exists, open_store, path_of, verify_store
from boxup.store.sqlite import SqliteStore


class TestSqlite(StoreSuite):
    @pytest.fixture
    def url(self, tmp_path: Path) -> str:
        return str(tmp_path / "record.db")

    @pytest.fixture
    def opener(self, url: str) -> Opener:
        return lambda **how: SqliteStore(Path(url), create=True, **how)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "record.db"


@pytest.fixture
def some(path: Path) -> Iterator[sqlite3.Connection]:
    """Three entries, and a bare connection to them."""
    with SqliteStore(path, create=True) as store:
        store.append([note("1", id="a"), note("2", id="b"), note("3", id="c", job="other")])
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        yield db


COLUMNS = '(seq, id, job, number, previous, kind, version, happened_at, recorded_at, "by", entered_by, corrects, payload, hash)'
REST = "'note.written', 1, '', '', '', '', '', '{}', ''"
NEXT = "'new job', 1, ''"  # a place where an entry may stand


@pytest.mark.parametrize("pragma", ["recursive_triggers = OFF", "recursive_triggers = ON"])
@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE event SET payload = '{}' WHERE seq = 2",
        "UPDATE event SET seq = 9 WHERE seq = 2",
        "UPDATE OR REPLACE event SET seq = 1 WHERE seq = 2",
        "UPDATE OR IGNORE event SET job = 'x'",
        "DELETE FROM event WHERE seq = 3",
        "DELETE FROM event",
        f"REPLACE INTO event {COLUMNS} VALUES (2, 'new', {NEXT}, {REST})",
        f"INSERT OR REPLACE INTO event {COLUMNS} VALUES (NULL, 'b', {NEXT}, {REST})",
        f"INSERT OR REPLACE INTO event {COLUMNS} VALUES (2, 'b', {NEXT}, {REST})",
        f"INSERT OR REPLACE INTO event {COLUMNS} VALUES (NULL, 'new', 'other', 1, '', {REST})",
        f"INSERT INTO event {COLUMNS} VALUES (2, 'b', {NEXT}, {REST}) ON CONFLICT (id) DO UPDATE SET payload = '{{}}'",
        f"INSERT OR IGNORE INTO event {COLUMNS} VALUES (NULL, 'b', {NEXT}, {REST})",
        "UPDATE written_with SET library = '1.2.3'",
        "DELETE FROM written_with",
        "REPLACE INTO written_with VALUES (1, '1.2.3')",
    ],
)
def test_the_database_refuses_to_change_what_is_recorded(some: sqlite3.Connection, path: Path, sql: str, pragma: str) -> None:
    before = some.execute("SELECT * FROM event").fetchall()
    some.execute(f"PRAGMA {pragma}")
    with pytest.raises(sqlite3.IntegrityError, match="is never"):
        some.execute(sql)
    assert some.execute("SELECT * FROM event").fetchall() == before
    assert verify_store(str(path)).ok


@pytest.mark.parametrize(
    "place",
    [
        "'other', 3, ''",
        "'other', 2, ''",
        "'other', 2, 'abc'",
        "'new job', 1, 'abc'",
        "'new job', 2, ''",
        "'new job', 0, ''",
        "'new job', -1, ''",
    ],
)
def test_the_database_takes_an_entry_only_behind_the_one_before_it(some: sqlite3.Connection, place: str) -> None:
    with pytest.raises(sqlite3.IntegrityError, match="follows the one before it"):
        some.execute(f"INSERT OR REPLACE INTO event {COLUMNS} VALUES (NULL, 'new', {place}, {REST})")
    (last,) = some.execute("SELECT hash FROM event WHERE job = 'other'").fetchone()
    some.execute(f"INSERT INTO event {COLUMNS} VALUES (NULL, 'new', 'other', 2, '{last}', {REST})")


def test_a_column_keeps_its_type(some: sqlite3.Connection) -> None:
    with pytest.raises(sqlite3.IntegrityError, match="cannot store TEXT value in INTEGER column"):
        some.execute(f"INSERT INTO event {COLUMNS} VALUES (NULL, 'new', {NEXT}, 'note.written', 'one', '', '', '', '', '', '{{}}', '')")


def test_an_entry_is_on_disk_when_append_returns(path: Path) -> None:
    with SqliteStore(path, create=True) as store:
        db = store._db
        pragmas = {name: db.execute(f"PRAGMA {name}").fetchone()[0] for name in ("journal_mode", "synchronous", "fullfsync")}
        assert pragmas == {"journal_mode": "wal", "synchronous": 2, "fullfsync": 1}, "2 is FULL"
        store.append([note()])
        assert not db.in_transaction


def test_reading_makes_no_file(path: Path) -> None:
    for open_ in (lambda: SqliteStore(path), lambda: SqliteStore(path, read_only=True), lambda: verify_store(str(path))):
        with pytest.raises(NoRecord, match=r"There is no record at .*record\.db"):
            open_()
    assert list(path.parent.iterdir()) == []
    assert not exists(str(path))


def test_a_store_for_reading_writes_nothing(path: Path) -> None:
    with SqliteStore(path, create=True) as store:
        store.append([note()])
    before = path.read_bytes()
    with SqliteStore(path, read_only=True) as store:
        with pytest.raises(StoreError, match="may only be read here"):
            store.append([note()])
        assert len(store.events("14-E-103/1")) == 1
    assert path.read_bytes() == before
    assert [p.name for p in path.parent.iterdir()] == ["record.db"]


def test_a_record_on_a_disc_that_cannot_be_written(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """SQLite would put two files beside it even to read; on such a disc it has to be told that nobody writes."""
    with SqliteStore(path, create=True) as store:
        store.append([note()])
    monkeypatch.setattr(file.os, "access", lambda *_: False)
    with SqliteStore(path, read_only=True) as store:
        assert len(store.events("14-E-103/1")) == 1
        assert [p.name for p in path.parent.iterdir()] == ["record.db"], "no file, not even while it is open"
        assert store.verify().ok


def _text(path: Path) -> None:
    path.write_text("a letter to the crew, " * 300, "utf-8")


def _other_program(path: Path) -> None:
    with closing(sqlite3.connect(path)) as db:
        db.execute("CREATE TABLE event (seq INTEGER PRIMARY KEY)")


def _empty_of_another(path: Path) -> None:
    with closing(sqlite3.connect(path)) as db:
        db.execute("PRAGMA application_id = 12345")


def _newer(path: Path) -> None:
    SqliteStore(path, create=True).close()
    with closing(sqlite3.connect(path)) as db:
        db.execute("PRAGMA user_version = 2")


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (_text, "is no record of Boxup, and no database at all"),
        (_other_program, "is no record of Boxup: it is the database of another program"),
        (_empty_of_another, "is no record of Boxup: it is the database of another program"),
        (_newer, "is a record in form 2; this program knows form 1. Bring Boxup up to date"),
        (Path.mkdir, "is a folder"),
    ],
)
def test_what_is_no_record_is_refused_and_left_as_it_is(path: Path, spoil: Callable[[Path], None], words: str) -> None:
    spoil(path)
    before = path.read_bytes() if path.is_file() else b""
    for how in ({"create": True}, {"create": False}, {"read_only": True}):
        with pytest.raises(NoRecord, match=words):
            SqliteStore(path, **how)
    if path.is_file():
        assert path.read_bytes() == before
        (fault,) = verify_store(str(path)).faults
        assert words in fault.what


def test_an_empty_file_becomes_a_record_only_when_asked(path: Path) -> None:
    path.touch()
    with pytest.raises(NoRecord, match="no entries and no mark of ours"):
        SqliteStore(path)
    assert path.read_bytes() == b""
    with SqliteStore(path, create=True) as store:
        assert store.verify().ok


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(NoRecord, match="cannot be opened"):
        SqliteStore(tmp_path / "none" / "record.db", create=True)


def test_a_damaged_schema_is_a_sentence(some: sqlite3.Connection, path: Path) -> None:
    some.close()
    path.write_bytes(path.read_bytes().replace(b"TEXT NOT NULL UNIQUE", b"TEXT\xf1NOT NULL UNIQUE"))
    with pytest.raises(StoreError, match=r"is damaged.*boxup record verify"):
        SqliteStore(path)
    assert not verify_store(str(path)).ok


def test_an_old_sqlite_is_named(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sqlite3, "sqlite_version_info", (3, 34, 1))
    with pytest.raises(StoreError, match=r"needs 3\.37\.0 or newer"):
        SqliteStore(path, create=True)


def test_a_writer_who_never_lets_go_is_told(some: sqlite3.Connection, path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(file, "PATIENCE", 0.05)
    with SqliteStore(path) as store:
        some.execute("BEGIN IMMEDIATE")
        with pytest.raises(Busy, match="another program has been writing"):
            store.append([note()])
        assert len(store.events("14-E-103/1")) == 2, "reading goes on"
        some.execute("COMMIT")
        assert store.append([note()])[0].number == 3


def test_a_full_disk_is_a_sentence_and_nothing_is_written(path: Path) -> None:
    with SqliteStore(path, create=True) as store:
        store.append([note()])
        pages = store._db.execute("PRAGMA page_count").fetchone()[0]
        store._db.execute(f"PRAGMA max_page_count = {pages}")
        with pytest.raises(StoreError, match=r"the disk is full\. Nothing was written"):
            store.append(mixed(1, 40))
        store._db.execute("PRAGMA max_page_count = 100000")
        assert store.append([note()])[0].number == 2
        assert store.verify().ok


def test_the_name_of_a_record(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert path_of("site.db") == path_of("sqlite:///site.db") == Path("site.db")
    assert path_of("sqlite:////srv/site.db") == Path("/srv/site.db")
    assert path_of(r"C:\jobs\site.db") == Path(r"C:\jobs\site.db")
    with open_store("sqlite:///site.db", create=True) as store:
        store.append([note()])
    assert (tmp_path / "site.db").exists()
    for other in ("postgresql://site/record", "mysql+pymysql://x", "sqlite:///", "sqlite://site.db"):
        with pytest.raises(StoreError, match="no other database is read yet"):
            open_store(other)


def test_a_name_with_signs_of_its_own(tmp_path: Path) -> None:
    path = tmp_path / "site ö?#%41&mode=memory.db" if os.name != "nt" else tmp_path / "site ö#%41&.db"
    with SqliteStore(path, create=True) as store:
        store.append([note()])
    assert path.exists()
    assert verify_store(str(path)).sound == 1


def test_the_store_starts_light() -> None:
    """Its programs are short-lived; what the record itself brings along is all there is."""
    assert _brought_along("import boxup.store.open") - _brought_along("pass") <= sys.stdlib_module_names | {"boxup"}


def _brought_along(code: str) -> set[str]:
    words = [sys.executable, "-c", f"{code}; import sys; print(*{{name.split('.')[0] for name in sys.modules}})"]
    return set(subprocess.run(words, capture_output=True, text=True, check=True).stdout.split())
