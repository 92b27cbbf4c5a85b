-- The reference library, first schema version.
-- What was approved, handed in or recorded never changes: triggers say so to whoever types SQL
-- into the file, too. REPLACE deletes without firing delete triggers, so inserts are guarded as well.

CREATE TABLE library_fact (
    name  TEXT PRIMARY KEY,
    value TEXT NOT NULL
) STRICT;

-- History: append-only, each record holds the hash of the one before it.
CREATE TABLE change_record (
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
    hash          TEXT NOT NULL UNIQUE
) STRICT;
CREATE INDEX change_record_subject ON change_record (kind, subject);

CREATE TRIGGER change_record_is_never_changed BEFORE UPDATE ON change_record
BEGIN SELECT RAISE(ABORT, 'history is append-only: a change record is never changed'); END;
CREATE TRIGGER change_record_is_never_deleted BEFORE DELETE ON change_record
BEGIN SELECT RAISE(ABORT, 'history is append-only: a change record is never deleted'); END;
CREATE TRIGGER change_record_is_appended BEFORE INSERT ON change_record
WHEN NEW.seq IS NOT (SELECT COALESCE(MAX(seq), 0) + 1 FROM change_record)
BEGIN SELECT RAISE(ABORT, 'history is append-only: a change record goes to the end'); END;

CREATE TABLE dye (
    id       TEXT PRIMARY KEY,
    document TEXT NOT NULL,
    digest   TEXT NOT NULL
) STRICT;

CREATE TABLE method_version (
    id       TEXT NOT NULL,
    version  TEXT NOT NULL,
    document TEXT NOT NULL,
    digest   TEXT NOT NULL,
    state    TEXT NOT NULL CHECK (state IN ('draft', 'approved', 'superseded', 'withdrawn')),
    origin   TEXT NOT NULL CHECK (origin IN ('here', 'external')),
    PRIMARY KEY (id, version)
) STRICT;

CREATE TRIGGER method_content_is_never_changed
BEFORE UPDATE OF id, version, document, digest, origin ON method_version WHEN OLD.state <> 'draft'
BEGIN SELECT RAISE(ABORT, 'an approved method version is never changed: add a new version'); END;
CREATE TRIGGER method_version_is_never_deleted
BEFORE DELETE ON method_version WHEN OLD.state <> 'draft'
BEGIN SELECT RAISE(ABORT, 'an approved method version is never deleted: withdraw it'); END;
CREATE TRIGGER method_version_is_never_replaced BEFORE INSERT ON method_version
WHEN EXISTS (SELECT 1 FROM method_version
             WHERE id = NEW.id AND version = NEW.version AND state <> 'draft')
BEGIN SELECT RAISE(ABORT, 'an approved method version is never replaced: add a new version'); END;
CREATE TRIGGER method_state_only_goes_on BEFORE UPDATE OF state ON method_version
WHEN NOT (OLD.state = NEW.state
          OR (OLD.state = 'draft' AND NEW.state = 'approved')
          OR (OLD.state = 'approved' AND NEW.state IN ('superseded', 'withdrawn'))
          OR (OLD.state = 'superseded' AND NEW.state = 'withdrawn'))
BEGIN SELECT RAISE(ABORT, 'a method version goes from draft to approved to superseded or withdrawn'); END;

-- Files as handed in, byte by byte. A seal is the digest of what stands beside a document in its
-- row, so that a flipped byte there is found too.
CREATE TABLE source_file (
    sha256 TEXT PRIMARY KEY,
    name   TEXT NOT NULL,
    seal   TEXT NOT NULL,
    bytes  BLOB NOT NULL
) STRICT;
CREATE TRIGGER source_file_is_never_changed BEFORE UPDATE ON source_file
BEGIN SELECT RAISE(ABORT, 'a file as handed in is never changed'); END;
CREATE TRIGGER source_file_is_never_deleted BEFORE DELETE ON source_file
BEGIN SELECT RAISE(ABORT, 'a file as handed in is never deleted'); END;
CREATE TRIGGER source_file_is_never_replaced BEFORE INSERT ON source_file
WHEN EXISTS (SELECT 1 FROM source_file WHERE sha256 = NEW.sha256)
BEGIN SELECT RAISE(ABORT, 'a file as handed in is never replaced'); END;

CREATE TABLE sheet (
    id               TEXT PRIMARY KEY,
    section          TEXT,
    group_code       TEXT NOT NULL,
    session          TEXT NOT NULL,
    current_revision INTEGER NOT NULL,
    origin           TEXT NOT NULL CHECK (origin IN ('here', 'external'))
) STRICT;
CREATE INDEX sheet_session ON sheet (session);

-- What was read from the files, and each correction as its own revision.
CREATE TABLE sheet_revision (
    sheet_id         TEXT NOT NULL REFERENCES sheet (id),
    revision         INTEGER NOT NULL CHECK (revision >= 1),
    kind             TEXT NOT NULL CHECK (kind IN ('imported', 'replaced', 'amended')),
    document         TEXT NOT NULL,
    digest           TEXT NOT NULL,
    file_sha256      TEXT NOT NULL REFERENCES source_file (sha256),
    importer         TEXT NOT NULL,
    reading          TEXT NOT NULL,
    method_id        TEXT NOT NULL,
    method_version   TEXT NOT NULL,
    state_when_bound TEXT NOT NULL,
    at               TEXT NOT NULL,
    seal             TEXT NOT NULL,
    PRIMARY KEY (sheet_id, revision),
    FOREIGN KEY (method_id, method_version) REFERENCES method_version (id, version)
) STRICT;
CREATE INDEX sheet_revision_method ON sheet_revision (method_id, method_version);
CREATE INDEX sheet_revision_file ON sheet_revision (file_sha256);
CREATE TRIGGER sheet_revision_is_never_changed BEFORE UPDATE ON sheet_revision
BEGIN SELECT RAISE(ABORT, 'a sheet as handed in is never changed: amend it'); END;
CREATE TRIGGER sheet_revision_is_never_deleted BEFORE DELETE ON sheet_revision
BEGIN SELECT RAISE(ABORT, 'a sheet as handed in is never deleted'); END;
CREATE TRIGGER sheet_revision_is_never_replaced BEFORE INSERT ON sheet_revision
WHEN EXISTS (SELECT 1 FROM sheet_revision
             WHERE sheet_id = NEW.sheet_id AND revision = NEW.revision)
BEGIN SELECT RAISE(ABORT, 'a sheet as handed in is never replaced: add a revision'); END;

-- What the samples really hold, as a person recorded it.
CREATE TABLE lane_truth (
    sheet_id TEXT NOT NULL REFERENCES sheet (id),
    paper    TEXT NOT NULL,
    lane     INTEGER NOT NULL,
    dyes     TEXT NOT NULL,
    PRIMARY KEY (sheet_id, paper, lane)
) STRICT;

CREATE TABLE identification (
    seq            INTEGER PRIMARY KEY,
    digest         TEXT NOT NULL UNIQUE,
    sheet_id       TEXT NOT NULL,
    sheet_revision INTEGER NOT NULL,
    method_id      TEXT NOT NULL,
    method_version TEXT NOT NULL,
    strategy       TEXT NOT NULL,
    document       TEXT NOT NULL,
    at             TEXT NOT NULL,
    FOREIGN KEY (sheet_id, sheet_revision) REFERENCES sheet_revision (sheet_id, revision),
    FOREIGN KEY (method_id, method_version) REFERENCES method_version (id, version)
) STRICT;
CREATE INDEX identification_sheet ON identification (sheet_id, seq);
CREATE TRIGGER identification_is_never_changed BEFORE UPDATE ON identification
BEGIN SELECT RAISE(ABORT, 'a stored identification is never changed'); END;
CREATE TRIGGER identification_is_never_deleted BEFORE DELETE ON identification
BEGIN SELECT RAISE(ABORT, 'a stored identification is never deleted'); END;
CREATE TRIGGER identification_is_never_replaced BEFORE INSERT ON identification
WHEN EXISTS (SELECT 1 FROM identification WHERE seq = NEW.seq OR digest = NEW.digest)
BEGIN SELECT RAISE(ABORT, 'a stored identification is never replaced'); END;

-- Which stored identification was asked for last; the identification itself never changes.
CREATE TABLE latest_identification (
    sheet_id TEXT PRIMARY KEY REFERENCES sheet (id),
    seq      INTEGER NOT NULL REFERENCES identification (seq)
) STRICT;

-- A person's word on one spot: left out of value assignment, kept for ever.
CREATE TABLE exclusion (
    sheet_id TEXT NOT NULL REFERENCES sheet (id),
    paper    TEXT NOT NULL,
    lane     INTEGER NOT NULL,
    spot     INTEGER NOT NULL,
    reason   TEXT NOT NULL,
    PRIMARY KEY (sheet_id, paper, lane, spot)
) STRICT;

-- "This lot was verified for this method version."
CREATE TABLE applicability (
    seq            INTEGER PRIMARY KEY,
    method_id      TEXT NOT NULL,
    method_version TEXT NOT NULL,
    kind           TEXT NOT NULL CHECK (kind IN ('paper', 'dye', 'batch')),
    lot            TEXT NOT NULL,
    note           TEXT NOT NULL,
    FOREIGN KEY (method_id, method_version) REFERENCES method_version (id, version)
) STRICT;

-- States of a checklist, e.g. of a change of solvent.
CREATE TABLE checklist_item (
    checklist TEXT NOT NULL,
    item      TEXT NOT NULL,
    position  INTEGER NOT NULL,
    state     TEXT NOT NULL CHECK (state IN ('open', 'done', 'dropped')),
    note      TEXT,
    PRIMARY KEY (checklist, item)
) STRICT;
