-- Documents of sheets and identifications, and files as handed in, stand packed from here on; what
-- stands in the file already is packed by the program's function `pack`.
--
-- A statement that may fail half-way makes SQLite set aside every page that it changes. So that
-- keeping a sheet or an identification is none, what these rows point at is looked for when a change
-- is committed, and a row that a rule turns away takes the whole change with it.
--
-- Foreign keys are off while the steps are taken, so that a table can be made anew.

CREATE TABLE new_source_file (
    sha256 TEXT PRIMARY KEY,
    name   TEXT NOT NULL,
    seal   TEXT NOT NULL,
    packed BLOB NOT NULL
) STRICT;
INSERT INTO new_source_file SELECT sha256, name, seal, pack(bytes) FROM source_file ORDER BY rowid;
DROP TABLE source_file;
ALTER TABLE new_source_file RENAME TO source_file;
CREATE TRIGGER source_file_is_never_changed BEFORE UPDATE ON source_file
BEGIN SELECT RAISE(ABORT, 'a file as handed in is never changed'); END;
CREATE TRIGGER source_file_is_never_deleted BEFORE DELETE ON source_file
BEGIN SELECT RAISE(ABORT, 'a file as handed in is never deleted'); END;
CREATE TRIGGER source_file_is_never_replaced BEFORE INSERT ON source_file
WHEN EXISTS (SELECT 1 FROM source_file WHERE sha256 = NEW.sha256)
BEGIN SELECT RAISE(ROLLBACK, 'a file as handed in is never replaced'); END;

CREATE TABLE new_sheet_revision (
    sheet_id         TEXT NOT NULL REFERENCES sheet (id) DEFERRABLE INITIALLY DEFERRED,
    revision         INTEGER NOT NULL CHECK (revision >= 1),
    kind             TEXT NOT NULL CHECK (kind IN ('imported', 'replaced', 'amended')),
    digest           TEXT NOT NULL,
    file_sha256      TEXT NOT NULL
                     REFERENCES source_file (sha256) DEFERRABLE INITIALLY DEFERRED,
    importer         TEXT NOT NULL,
    reading          TEXT NOT NULL,
    method_id        TEXT NOT NULL,
    method_version   TEXT NOT NULL,
    state_when_bound TEXT NOT NULL,
    at               TEXT NOT NULL,
    seal             TEXT NOT NULL,
    packed           BLOB NOT NULL,
    PRIMARY KEY (sheet_id, revision),
    FOREIGN KEY (method_id, method_version) REFERENCES method_version (id, version)
        DEFERRABLE INITIALLY DEFERRED
) STRICT;
INSERT INTO new_sheet_revision
    SELECT sheet_id, revision, kind, digest, file_sha256, importer, reading, method_id,
           method_version, state_when_bound, at, seal, pack(document)
    FROM sheet_revision ORDER BY rowid;
DROP TABLE sheet_revision;
ALTER TABLE new_sheet_revision RENAME TO sheet_revision;
CREATE INDEX sheet_revision_method ON sheet_revision (method_id, method_version);
CREATE INDEX sheet_revision_file ON sheet_revision (file_sha256);
CREATE TRIGGER sheet_revision_is_never_changed BEFORE UPDATE ON sheet_revision
BEGIN SELECT RAISE(ABORT, 'a sheet as handed in is never changed: amend it'); END;
CREATE TRIGGER sheet_revision_is_never_deleted BEFORE DELETE ON sheet_revision
BEGIN SELECT RAISE(ABORT, 'a sheet as handed in is never deleted'); END;
CREATE TRIGGER sheet_revision_is_never_replaced BEFORE INSERT ON sheet_revision
WHEN EXISTS (SELECT 1 FROM sheet_revision
             WHERE sheet_id = NEW.sheet_id AND revision = NEW.revision)
BEGIN SELECT RAISE(ROLLBACK, 'a sheet as handed in is never replaced: add a revision'); END;

CREATE TABLE new_identification (
    seq            INTEGER PRIMARY KEY,
    digest         TEXT NOT NULL UNIQUE,
    sheet_id       TEXT NOT NULL,
    sheet_revision INTEGER NOT NULL,
    method_id      TEXT NOT NULL,
    method_version TEXT NOT NULL,
    strategy       TEXT NOT NULL,
    at             TEXT NOT NULL,
    packed         BLOB NOT NULL,
    FOREIGN KEY (sheet_id, sheet_revision) REFERENCES sheet_revision (sheet_id, revision)
        DEFERRABLE INITIALLY DEFERRED,
    FOREIGN KEY (method_id, method_version) REFERENCES method_version (id, version)
        DEFERRABLE INITIALLY DEFERRED
) STRICT;
INSERT INTO new_identification
    SELECT seq, digest, sheet_id, sheet_revision, method_id, method_version, strategy, at,
           pack(document)
    FROM identification ORDER BY seq;
DROP TABLE identification;
ALTER TABLE new_identification RENAME TO identification;
CREATE INDEX identification_sheet ON identification (sheet_id, seq);
CREATE TRIGGER identification_is_never_changed BEFORE UPDATE ON identification
BEGIN SELECT RAISE(ABORT, 'a stored identification is never changed'); END;
CREATE TRIGGER identification_is_never_deleted BEFORE DELETE ON identification
BEGIN SELECT RAISE(ABORT, 'a stored identification is never deleted'); END;
CREATE TRIGGER identification_is_never_replaced BEFORE INSERT ON identification
WHEN EXISTS (SELECT 1 FROM identification WHERE seq = NEW.seq OR digest = NEW.digest)
BEGIN SELECT RAISE(ROLLBACK, 'a stored identification is never replaced'); END;

DROP TRIGGER change_record_is_appended;
CREATE TRIGGER change_record_is_appended BEFORE INSERT ON change_record
WHEN NEW.seq IS NOT (SELECT COALESCE(MAX(seq), 0) + 1 FROM change_record)
BEGIN SELECT RAISE(ROLLBACK, 'history is append-only: a change record goes to the end'); END;
