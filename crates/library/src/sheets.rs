//! Data sheets in the library, as they are read back.

use crate::dyes::parse;
use crate::error::LibraryError;
use crate::keep_sheets::RevisionKind;
use crate::methods::Origin;
use crate::open::Library;
use crate::packed::Unpacked;
use dyebook_documents::{
    Digest, MethodState, Sheet, digest_canonical_without, digest_value_without,
};
use rusqlite::{Connection, OptionalExtension, Row};
use semver::Version;
use serde::Serialize;
use serde_json::Value;

/// A sheet as kept, in one revision.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptSheet {
    /// Identifier.
    pub id: String,
    /// Revision, from 1.
    pub revision: u32,
    /// How the revision came about.
    pub kind: RevisionKind,
    /// What was read.
    pub sheet: Sheet,
    /// Digest of what it says.
    pub digest: Digest,
    /// The file it rests on.
    pub file_sha256: String,
    /// Importer, `id version`.
    pub importer: String,
    /// How the file was read.
    pub reading: Value,
    /// The method version it is bound to.
    pub method_id: String,
    /// The method version it is bound to.
    pub method_version: Version,
    /// State of that version when it was bound.
    pub state_when_bound: MethodState,
    /// When.
    pub at: String,
    /// Where the sheet came from.
    pub origin: Origin,
}

/// One line of the list of sheets.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SheetLine {
    /// Identifier.
    pub id: String,
    /// Section.
    pub section: Option<String>,
    /// Group.
    pub group: String,
    /// Session.
    pub session: String,
    /// Current revision.
    pub revision: u32,
    /// How it came about.
    pub kind: RevisionKind,
    /// Bound method version, `id@version`.
    pub method: String,
    /// When.
    pub at: String,
}

/// Digest of what a sheet says: its document without the line numbers, so that a sheet is the same
/// wherever it stands in a file.
pub fn content_digest(document: &Value) -> Digest {
    digest_value_without(document, "row")
}

/// The same of a document in the canonical form.
pub fn content_digest_of_text(document: &[u8]) -> Digest {
    digest_canonical_without(document, "row")
}

/// What was last handed in of a sheet, corrections by a person apart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HandedInBefore {
    /// Digest of what it says.
    pub digest: String,
    /// The method version it was bound to.
    pub method_id: String,
    /// The method version it was bound to.
    pub method_version: String,
}

pub(crate) fn handed_in(
    connection: &Connection,
    id: &str,
) -> rusqlite::Result<Option<HandedInBefore>> {
    connection
        .prepare_cached(
            "SELECT digest, method_id, method_version FROM sheet_revision
             WHERE sheet_id = ?1 AND kind <> 'amended' ORDER BY revision DESC LIMIT 1",
        )?
        .query_row([id], |row| {
            Ok(HandedInBefore {
                digest: row.get(0)?,
                method_id: row.get(1)?,
                method_version: row.get(2)?,
            })
        })
        .optional()
}

struct RawSheet {
    id: String,
    revision: u32,
    kind: String,
    packed: Unpacked,
    digest: String,
    file_sha256: String,
    importer: String,
    reading: String,
    method_id: String,
    method_version: String,
    state_when_bound: String,
    at: String,
    origin: String,
}

fn raw(row: &Row<'_>) -> rusqlite::Result<RawSheet> {
    Ok(RawSheet {
        id: row.get(0)?,
        revision: row.get(1)?,
        kind: row.get(2)?,
        packed: row.get(3)?,
        digest: row.get(4)?,
        file_sha256: row.get(5)?,
        importer: row.get(6)?,
        reading: row.get(7)?,
        method_id: row.get(8)?,
        method_version: row.get(9)?,
        state_when_bound: row.get(10)?,
        at: row.get(11)?,
        origin: row.get(12)?,
    })
}

const COLUMNS: &str = "r.sheet_id, r.revision, r.kind, r.packed, r.digest, r.file_sha256, \
    r.importer, r.reading, r.method_id, r.method_version, r.state_when_bound, r.at, s.origin";

fn kept(raw: RawSheet) -> Result<KeptSheet, LibraryError> {
    let what = || format!("sheet `{}`", raw.id);
    let unreadable = |detail: &str| LibraryError::Unreadable {
        what: what(),
        detail: detail.to_owned(),
    };
    Ok(KeptSheet {
        revision: raw.revision,
        kind: RevisionKind::from_word(&raw.kind),
        sheet: raw.packed.document(what)?,
        digest: Digest::from_hex(&raw.digest).ok_or_else(|| unreadable("its digest"))?,
        reading: parse(raw.reading.as_bytes(), what)?,
        method_version: Version::parse(&raw.method_version).map_err(|error| {
            LibraryError::Unreadable {
                what: what(),
                detail: error.to_string(),
            }
        })?,
        state_when_bound: MethodState::from_word(&raw.state_when_bound)
            .ok_or_else(|| unreadable("its method's state"))?,
        id: raw.id,
        file_sha256: raw.file_sha256,
        importer: raw.importer,
        method_id: raw.method_id,
        at: raw.at,
        origin: Origin::from_word(&raw.origin),
    })
}

impl Library {
    /// What was last handed in of a sheet.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn handed_in(&self, id: &str) -> Result<Option<HandedInBefore>, LibraryError> {
        handed_in(&self.connection, id).map_err(|error| self.sqlite(error))
    }

    /// A sheet's current revision, or a given one.
    ///
    /// # Errors
    /// What SQLite says, or a kept document that can't be read.
    pub fn sheet(
        &self,
        id: &str,
        revision: Option<u32>,
    ) -> Result<Option<KeptSheet>, LibraryError> {
        let read = || {
            self.connection
                .prepare_cached(&format!(
                    "SELECT {COLUMNS} FROM sheet s JOIN sheet_revision r ON r.sheet_id = s.id
                     AND r.revision = COALESCE(?2, s.current_revision) WHERE s.id = ?1"
                ))?
                .query_row((id, revision), raw)
                .optional()
        };
        read()
            .map_err(|error| self.sqlite(error))?
            .map(kept)
            .transpose()
    }

    /// The document of a revision exactly as it was kept.
    ///
    /// # Errors
    /// What SQLite says, or a kept document that can't be read.
    pub fn sheet_document(&self, id: &str, revision: u32) -> Result<Value, LibraryError> {
        let packed: Unpacked = self
            .connection
            .prepare_cached(
                "SELECT packed FROM sheet_revision WHERE sheet_id = ?1 AND revision = ?2",
            )
            .and_then(|mut statement| statement.query_row((id, revision), |row| row.get(0)))
            .map_err(|error| self.sqlite(error))?;
        packed.document(|| format!("sheet `{id}`"))
    }

    /// Every revision of a sheet, oldest first.
    ///
    /// # Errors
    /// What SQLite says, or a kept document that can't be read.
    pub fn sheet_revisions(&self, id: &str) -> Result<Vec<KeptSheet>, LibraryError> {
        let read = || -> rusqlite::Result<Vec<RawSheet>> {
            self.connection
                .prepare_cached(&format!(
                    "SELECT {COLUMNS} FROM sheet s JOIN sheet_revision r ON r.sheet_id = s.id
                     WHERE s.id = ?1 ORDER BY r.revision"
                ))?
                .query_map([id], raw)?
                .collect()
        };
        read()
            .map_err(|error| self.sqlite(error))?
            .into_iter()
            .map(kept)
            .collect()
    }

    /// The session of a sheet.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn session_of(&self, id: &str) -> Result<Option<String>, LibraryError> {
        self.connection
            .prepare_cached("SELECT session FROM sheet WHERE id = ?1")
            .and_then(|mut statement| statement.query_row([id], |row| row.get(0)).optional())
            .map_err(|error| self.sqlite(error))
    }

    /// Current revisions of the sheets of one session, by id.
    ///
    /// # Errors
    /// What SQLite says, or a kept document that can't be read.
    pub fn session_sheets(&self, session: &str) -> Result<Vec<KeptSheet>, LibraryError> {
        let read = || -> rusqlite::Result<Vec<RawSheet>> {
            self.connection
                .prepare_cached(&format!(
                    "SELECT {COLUMNS} FROM sheet s JOIN sheet_revision r ON r.sheet_id = s.id
                     AND r.revision = s.current_revision WHERE s.session = ?1 ORDER BY s.id"
                ))?
                .query_map([session], raw)?
                .collect()
        };
        read()
            .map_err(|error| self.sqlite(error))?
            .into_iter()
            .map(kept)
            .collect()
    }

    /// Identifiers of the sheets whose current revision is bound to a method version.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn sheets_of_method(
        &self,
        id: &str,
        version: &Version,
    ) -> Result<Vec<String>, LibraryError> {
        let read = || -> rusqlite::Result<Vec<String>> {
            self.connection
                .prepare(
                    "SELECT s.id FROM sheet s JOIN sheet_revision r
                     ON r.sheet_id = s.id AND r.revision = s.current_revision
                     WHERE r.method_id = ?1 AND r.method_version = ?2 ORDER BY s.id",
                )?
                .query_map((id, version.to_string()), |row| row.get(0))?
                .collect()
        };
        read().map_err(|error| self.sqlite(error))
    }

    /// All sheets, one line each, by session and id.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn sheet_lines(&self) -> Result<Vec<SheetLine>, LibraryError> {
        let read = || -> rusqlite::Result<Vec<SheetLine>> {
            self.connection
                .prepare(
                    "SELECT s.id, s.section, s.group_code, s.session, r.revision, r.kind,
                            r.method_id || '@' || r.method_version, r.at
                     FROM sheet s JOIN sheet_revision r
                     ON r.sheet_id = s.id AND r.revision = s.current_revision
                     ORDER BY s.session, s.id",
                )?
                .query_map([], |row| {
                    Ok(SheetLine {
                        id: row.get(0)?,
                        section: row.get(1)?,
                        group: row.get(2)?,
                        session: row.get(3)?,
                        revision: row.get(4)?,
                        kind: RevisionKind::from_word(&row.get::<_, String>(5)?),
                        method: row.get(6)?,
                        at: row.get(7)?,
                    })
                })?
                .collect()
        };
        read().map_err(|error| self.sqlite(error))
    }

    /// Identifiers of the sheets whose id begins so.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn sheet_ids_beginning(&self, beginning: &str) -> Result<Vec<String>, LibraryError> {
        let read = || -> rusqlite::Result<Vec<String>> {
            self.connection
                .prepare("SELECT id FROM sheet WHERE substr(id, 1, length(?1)) = ?1 ORDER BY id")?
                .query_map([beginning], |row| row.get(0))?
                .collect()
        };
        read().map_err(|error| self.sqlite(error))
    }

    /// All files as handed in: SHA-256 and name.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn source_files(&self) -> Result<Vec<(String, String)>, LibraryError> {
        let read = || -> rusqlite::Result<Vec<(String, String)>> {
            self.connection
                .prepare("SELECT sha256, name FROM source_file ORDER BY name, sha256")?
                .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
                .collect()
        };
        read().map_err(|error| self.sqlite(error))
    }

    /// The bytes of a file as handed in, with its name.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn source_file(&self, sha256: &str) -> Result<Option<(String, Vec<u8>)>, LibraryError> {
        let found: Option<(String, Unpacked)> = self
            .connection
            .query_row(
                "SELECT name, packed FROM source_file WHERE sha256 = ?1",
                [sha256],
                |row| Ok((row.get(0)?, row.get(1)?)),
            )
            .optional()
            .map_err(|error| self.sqlite(error))?;
        found
            .map(|(name, packed)| {
                let bytes = packed.bytes(|| format!("file `{name}`"))?;
                Ok((name, bytes))
            })
            .transpose()
    }
}
