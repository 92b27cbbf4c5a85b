-- Fewer things are written for a sheet and its identification.
--
-- Tables that are looked up by their key alone stand in its order (WITHOUT ROWID). For the records
-- that has a second reason: a number given for a rowid may turn out to be none, and for the sake of
-- that case SQLite sets pages aside (see the step before).
--
-- A record's hash needs no index: its number is in it, so no two are alike, and the chain says where
-- it belongs. An identification names its sheet, so that it is one of a kind among those of its
-- sheet or nowhere.
--
-- Foreign keys are off while the steps are taken, so that a table can be made anew.

CREATE TABLE new_change_record (
    seq           INTEGER PRIMARY KEY,
    at            TEXT NOT NULL,
    by            TEXT NOT NULL,
    action        TEXT NOT NULL,
    kind          TEXT NOT NULL,
    subject       TEXT NOT NULL,
    reason        TEXT,
    before_digest TEXT,
    after_digest  TEXT,
    previous_hash TEXT NOT NULL,
    hash          TEXT NOT NULL
) STRICT, WITHOUT ROWID;
INSERT INTO new_change_record SELECT * FROM change_record ORDER BY seq;
DROP TABLE change_record;
ALTER TABLE new_change_record RENAME TO change_record;
CREATE TRIGGER change_record_is_never_changed BEFORE UPDATE ON change_record
BEGIN SELECT RAISE(ABORT, 'history is append-only: a change record is never changed'); END;
CREATE TRIGGER change_record_is_never_deleted BEFORE DELETE ON change_record
BEGIN SELECT RAISE(ABORT, 'history is append-only: a change record is never deleted'); END;
CREATE TRIGGER change_record_is_appended BEFORE INSERT ON change_record
WHEN NEW.seq IS NOT (SELECT COALESCE(MAX(seq), 0) + 1 FROM change_record)
BEGIN SELECT RAISE(ROLLBACK, 'history is append-only: a change record goes to the end'); END;

CREATE TABLE new_sheet (
    id               TEXT PRIMARY KEY,
    section          TEXT,
    group_code       TEXT NOT NULL,
    session          TEXT NOT NULL,
    current_revision INTEGER NOT NULL,
    origin           TEXT NOT NULL CHECK (origin IN ('here', 'external'))
) STRICT, WITHOUT ROWID;
INSERT INTO new_sheet SELECT * FROM sheet ORDER BY id;
DROP TABLE sheet;
ALTER TABLE new_sheet RENAME TO sheet;
CREATE INDEX sheet_session ON sheet (session);

DROP INDEX sheet_revision_file;

CREATE TABLE new_identification (
    seq            INTEGER PRIMARY KEY,
    digest         TEXT NOT NULL,
    sheet_id       TEXT NOT NULL,
    sheet_revision INTEGER NOT NULL,
    method_id      TEXT NOT NULL,
    method_version TEXT NOT NULL,
    strategy       TEXT NOT NULL,
    at             TEXT NOT NULL,
    packed         BLOB NOT NULL,
    UNIQUE (sheet_id, digest),
    FOREIGN KEY (sheet_id, sheet_revision) REFERENCES sheet_revision (sheet_id, revision)
        DEFERRABLE INITIALLY DEFERRED,
    FOREIGN KEY (method_id, method_version) REFERENCES method_version (id, version)
        DEFERRABLE INITIALLY DEFERRED
) STRICT;
INSERT INTO new_identification SELECT * FROM identification ORDER BY seq;
DROP TABLE identification;
ALTER TABLE new_identification RENAME TO identification;
CREATE TRIGGER identification_is_never_changed BEFORE UPDATE ON identification
BEGIN SELECT RAISE(ABORT, 'a stored identification is never changed'); END;
CREATE TRIGGER identification_is_never_deleted BEFORE DELETE ON identification
BEGIN SELECT RAISE(ABORT, 'a stored identification is never deleted'); END;
CREATE TRIGGER identification_is_never_replaced BEFORE INSERT ON identification
WHEN EXISTS (SELECT 1 FROM identification WHERE seq = NEW.seq)
  OR EXISTS (SELECT 1 FROM identification WHERE sheet_id = NEW.sheet_id AND digest = NEW.digest)
BEGIN SELECT RAISE(ROLLBACK, 'a stored identification is never replaced'); END;

CREATE TABLE new_latest_identification (
    sheet_id TEXT PRIMARY KEY REFERENCES sheet (id) DEFERRABLE INITIALLY DEFERRED,
    seq      INTEGER NOT NULL REFERENCES identification (seq) DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
INSERT INTO new_latest_identification SELECT * FROM latest_identification ORDER BY sheet_id;
DROP TABLE latest_identification;
ALTER TABLE new_latest_identification RENAME TO latest_identification;
