CREATE TABLE event (
  seq INTEGER PRIMARY KEY AUTOINCREMENT,
  id TEXT NOT NULL UNIQUE,
  job TEXT NOT NULL,
  number INTEGER NOT NULL,
  kind TEXT NOT NULL,
  version INTEGER NOT NULL,
  happened_at TEXT NOT NULL,
  recorded_at TEXT NOT NULL,
  "by" TEXT NOT NULL,
  entered_by TEXT NOT NULL,
  corrects TEXT NOT NULL,
  payload TEXT NOT NULL,
  previous TEXT NOT NULL,
  hash TEXT NOT NULL,
  UNIQUE (job, number)
) STRICT

CREATE TABLE written_with (
  nth INTEGER PRIMARY KEY,
  library TEXT NOT NULL
) STRICT

CREATE TRIGGER event_stays BEFORE UPDATE ON event
BEGIN SELECT RAISE(ABORT, 'an entry of the record is never changed'); END

CREATE TRIGGER event_is_kept BEFORE DELETE ON event
BEGIN SELECT RAISE(ABORT, 'an entry of the record is never removed'); END

CREATE TRIGGER event_is_new BEFORE INSERT ON event
WHEN EXISTS (SELECT 1 FROM event WHERE id = NEW.id)
  OR EXISTS (SELECT 1 FROM event WHERE job = NEW.job AND number = NEW.number)
  OR EXISTS (SELECT 1 FROM event WHERE seq = NEW.seq)
BEGIN SELECT RAISE(ABORT, 'an entry of the record is never replaced'); END

CREATE TRIGGER event_follows BEFORE INSERT ON event
WHEN CASE NEW.number
  WHEN 1 THEN NEW.previous <> ''
  ELSE NOT EXISTS (SELECT 1 FROM event WHERE job = NEW.job AND number = NEW.number - 1 AND hash = NEW.previous)
END
BEGIN SELECT RAISE(ABORT, 'an entry of the record follows the one before it'); END

CREATE TRIGGER written_with_stays BEFORE UPDATE ON written_with
BEGIN SELECT RAISE(ABORT, 'a line of the record is never changed'); END

CREATE TRIGGER written_with_is_kept BEFORE DELETE ON written_with
BEGIN SELECT RAISE(ABORT, 'a line of the record is never removed'); END

CREATE TRIGGER written_with_is_new BEFORE INSERT ON written_with
WHEN EXISTS (SELECT 1 FROM written_with WHERE nth = NEW.nth)
BEGIN SELECT RAISE(ABORT, 'a line of the record is never replaced'); END
