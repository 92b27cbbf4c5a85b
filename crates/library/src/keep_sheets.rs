//! Data sheets into the library: the files as handed in, and what was read from them.

use crate::change::{Change, Deed};
use crate::error::LibraryError;
use crate::methods::Origin;
use crate::packed::Packed;
use crate::seal::seal;
use crate::sheets::{HandedInBefore, handed_in};
use dyebook_documents::{Digest, MethodState, Sheet};
use rusqlite::OptionalExtension;
use semver::Version;
use serde::Serialize;
use serde_json::Value;

/// A file as handed in.
#[derive(Debug, Clone, Copy)]
pub struct SourceFile<'a> {
    /// Name it was handed in under.
    pub name: &'a str,
    /// SHA-256 of its bytes.
    pub sha256: &'a Digest,
    /// Its bytes.
    pub bytes: &'a Packed,
}

/// How a revision came about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum RevisionKind {
    /// Read from the first file handed in.
    Imported,
    /// Read from a file handed in again.
    Replaced,
    /// Corrected by a person.
    Amended,
}

impl RevisionKind {
    /// The word kept and shown.
    pub fn word(self) -> &'static str {
        match self {
            Self::Imported => "imported",
            Self::Replaced => "replaced",
            Self::Amended => "amended",
        }
    }

    pub(crate) fn from_word(word: &str) -> Self {
        match word {
            "amended" => Self::Amended,
            "replaced" => Self::Replaced,
            _ => Self::Imported,
        }
    }
}

/// A revision to keep.
#[derive(Debug, Clone, Copy)]
pub struct NewRevision<'a> {
    /// Sheet identifier.
    pub id: &'a str,
    /// What was read.
    pub sheet: &'a Sheet,
    /// The same as a JSON text.
    pub document: &'a Packed,
    /// Digest of what it says, line numbers apart.
    pub digest: &'a Digest,
    /// How it came about.
    pub kind: RevisionKind,
    /// The file it rests on.
    pub file_sha256: &'a str,
    /// Importer, `id version`.
    pub importer: &'a str,
    /// How the file was read, as JSON.
    pub reading: &'a Value,
    /// The method version it is bound to.
    pub method_id: &'a str,
    /// The method version it is bound to.
    pub method_version: &'a Version,
    /// State of that version at the time.
    pub state_when_bound: MethodState,
    /// Where the sheet came from.
    pub origin: Origin,
    /// Why.
    pub reason: Option<&'a str>,
}

impl Change<'_> {
    /// Keeps a file as handed in; the same bytes are kept once.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn keep_file(&self, file: SourceFile<'_>) -> Result<(), LibraryError> {
        if self.has_file(file.sha256.as_str())? {
            return Ok(());
        }
        let keep = || -> rusqlite::Result<usize> {
            self.transaction
                .prepare_cached(
                    "INSERT OR ROLLBACK INTO source_file (sha256, name, seal, packed)
                     VALUES (?1, ?2, ?3, ?4)",
                )?
                .execute((
                    file.sha256.as_str(),
                    file.name,
                    seal(&[file.sha256.as_str(), file.name]).as_str(),
                    file.bytes,
                ))
        };
        keep().map_err(|error| self.sqlite(error))?;
        Ok(())
    }

    /// Whether a file with these bytes is kept.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn has_file(&self, sha256: &str) -> Result<bool, LibraryError> {
        self.transaction
            .prepare_cached("SELECT EXISTS (SELECT 1 FROM source_file WHERE sha256 = ?1)")
            .and_then(|mut statement| statement.query_row([sha256], |row| row.get(0)))
            .map_err(|error| self.sqlite(error))
    }

    /// Digests of all revisions of a sheet, oldest first, as this change sees them.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn revision_digests(&self, id: &str) -> Result<Vec<String>, LibraryError> {
        let read = || -> rusqlite::Result<Vec<String>> {
            self.transaction
                .prepare_cached(
                    "SELECT digest FROM sheet_revision WHERE sheet_id = ?1 ORDER BY revision",
                )?
                .query_map([id], |row| row.get(0))?
                .collect()
        };
        read().map_err(|error| self.sqlite(error))
    }

    /// Keeps a revision of a sheet and makes it the current one. Answers its number.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn keep_revision(&self, new: &NewRevision<'_>) -> Result<u32, LibraryError> {
        let (reading, at) = (new.reading.to_string(), self.at());
        let version = new.method_version.to_string();
        let keep = || -> rusqlite::Result<(u32, Option<String>)> {
            let last: Option<(u32, String)> = self
                .transaction
                .prepare_cached(
                    "SELECT revision, digest FROM sheet_revision WHERE sheet_id = ?1
                     ORDER BY revision DESC LIMIT 1",
                )?
                .query_row([new.id], |row| Ok((row.get(0)?, row.get(1)?)))
                .optional()?;
            let (revision, before) = match last {
                Some((revision, digest)) => (revision + 1, Some(digest)),
                None => (1, None),
            };
            let sealed = seal(&[
                new.id,
                &revision.to_string(),
                new.kind.word(),
                new.digest.as_str(),
                new.file_sha256,
                new.importer,
                &reading,
                new.method_id,
                &version,
                new.state_when_bound.word(),
                at,
            ]);
            self.transaction
                .prepare_cached(
                    "INSERT INTO sheet (id, section, group_code, session, current_revision, origin)
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6)
                     ON CONFLICT (id) DO UPDATE SET current_revision = ?5",
                )?
                .execute((
                    new.id,
                    &new.sheet.section,
                    &new.sheet.group,
                    new.sheet.session(),
                    revision,
                    new.origin.word(),
                ))?;
            self.transaction
                .prepare_cached(
                    "INSERT OR ROLLBACK INTO sheet_revision
                     (sheet_id, revision, kind, digest, file_sha256, importer, reading, method_id,
                      method_version, state_when_bound, at, seal, packed)
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13)",
                )?
                .execute((
                    new.id,
                    revision,
                    new.kind.word(),
                    new.digest.as_str(),
                    new.file_sha256,
                    new.importer,
                    &reading,
                    new.method_id,
                    &version,
                    new.state_when_bound.word(),
                    at,
                    sealed.as_str(),
                    new.document,
                ))?;
            Ok((revision, before))
        };
        let (revision, before) = keep().map_err(|error| self.sqlite(error))?;
        let before = before.as_deref().and_then(Digest::from_hex);
        self.record(&Deed {
            action: new.kind.word(),
            kind: "sheet",
            subject: new.id,
            reason: new.reason,
            before: before.as_ref(),
            after: Some(new.digest),
        })?;
        Ok(revision)
    }

    /// How many sheets a session has, as this change sees it.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn sheets_in_session(&self, session: &str) -> Result<usize, LibraryError> {
        let count: u32 = self
            .transaction
            .prepare_cached("SELECT COUNT(*) FROM sheet WHERE session = ?1")
            .and_then(|mut statement| statement.query_row([session], |row| row.get(0)))
            .map_err(|error| self.sqlite(error))?;
        Ok(count as usize)
    }

    /// What was last handed in of a sheet, as this change sees it.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn handed_in(&self, id: &str) -> Result<Option<HandedInBefore>, LibraryError> {
        handed_in(&self.transaction, id).map_err(|error| self.sqlite(error))
    }
}
