//! Method versions in the library.

use crate::change::{Change, Deed};
use crate::dyes::{parse, typed};
use crate::error::LibraryError;
use crate::open::Library;
use dyebook_documents::{Digest, Method, MethodState};
use rusqlite::{Connection, OptionalExtension, Row};
use semver::Version;
use serde_json::Value;
use std::path::Path;

/// A method version as kept.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptMethod {
    /// Identifier.
    pub id: String,
    /// Version.
    pub version: Version,
    /// The document as it was given.
    pub document: Value,
    /// Its content digest.
    pub digest: Digest,
    /// Where it stands in its life.
    pub state: MethodState,
    /// Where it came from.
    pub origin: Origin,
}

impl KeptMethod {
    /// The document as the program reads it.
    ///
    /// # Errors
    /// A kept document that can't be read, which [`Library::verify`] would name too.
    pub fn method(&self) -> Result<Method, LibraryError> {
        typed(self.document.clone(), || {
            format!("method `{}`", self.name())
        })
    }

    /// `id@version`.
    pub fn name(&self) -> String {
        format!("{}@{}", self.id, self.version)
    }
}

/// Where a method version came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// Made in this library.
    Here,
    /// Taken in from another lab; unverified here until approved.
    External,
}

impl Origin {
    /// The word kept and shown.
    pub fn word(self) -> &'static str {
        match self {
            Self::Here => "here",
            Self::External => "external",
        }
    }

    pub(crate) fn from_word(word: &str) -> Self {
        if word == "external" {
            Self::External
        } else {
            Self::Here
        }
    }
}

struct RawMethod {
    id: String,
    version: String,
    document: String,
    digest: String,
    state: String,
    origin: String,
}

fn raw(row: &Row<'_>) -> rusqlite::Result<RawMethod> {
    Ok(RawMethod {
        id: row.get(0)?,
        version: row.get(1)?,
        document: row.get(2)?,
        digest: row.get(3)?,
        state: row.get(4)?,
        origin: row.get(5)?,
    })
}

fn kept(raw: RawMethod) -> Result<KeptMethod, LibraryError> {
    let what = || format!("method `{}@{}`", raw.id, raw.version);
    let unreadable = |detail: &str| LibraryError::Unreadable {
        what: what(),
        detail: detail.to_owned(),
    };
    Ok(KeptMethod {
        version: Version::parse(&raw.version).map_err(|error| LibraryError::Unreadable {
            what: what(),
            detail: error.to_string(),
        })?,
        document: parse(raw.document.as_bytes(), what)?,
        digest: Digest::from_hex(&raw.digest).ok_or_else(|| unreadable("its digest"))?,
        state: MethodState::from_word(&raw.state).ok_or_else(|| unreadable("its state"))?,
        origin: Origin::from_word(&raw.origin),
        id: raw.id,
    })
}

fn read_methods(
    connection: &Connection,
    path: &Path,
    id: Option<&str>,
) -> Result<Vec<KeptMethod>, LibraryError> {
    let read = || -> rusqlite::Result<Vec<RawMethod>> {
        connection
            .prepare_cached(
                "SELECT id, version, document, digest, state, origin FROM method_version
                 WHERE ?1 IS NULL OR id = ?1",
            )?
            .query_map([id], raw)?
            .collect()
    };
    let raws = read().map_err(|error| LibraryError::from_sqlite(path, error))?;
    let mut methods = raws.into_iter().map(kept).collect::<Result<Vec<_>, _>>()?;
    methods.sort_by(|a, b| (&a.id, &a.version).cmp(&(&b.id, &b.version)));
    Ok(methods)
}

fn read_method(
    connection: &Connection,
    path: &Path,
    id: &str,
    version: &Version,
) -> Result<Option<KeptMethod>, LibraryError> {
    let read = || {
        connection
            .prepare_cached(
                "SELECT id, version, document, digest, state, origin FROM method_version
                 WHERE id = ?1 AND version = ?2",
            )?
            .query_row((id, version.to_string()), raw)
            .optional()
    };
    read()
        .map_err(|error| LibraryError::from_sqlite(path, error))?
        .map(kept)
        .transpose()
}

impl Change<'_> {
    /// All versions of a method, as this change sees them.
    ///
    /// # Errors
    /// As [`Library::methods`].
    pub fn methods(&self, id: Option<&str>) -> Result<Vec<KeptMethod>, LibraryError> {
        read_methods(&self.transaction, self.path(), id)
    }

    /// One method version, as this change sees it.
    ///
    /// # Errors
    /// As [`Library::method`].
    pub fn method(&self, id: &str, version: &Version) -> Result<Option<KeptMethod>, LibraryError> {
        read_method(&self.transaction, self.path(), id, version)
    }

    /// Keeps a draft; a draft of the same version is replaced, with a record. Answers whether
    /// anything changed.
    ///
    /// # Errors
    /// [`LibraryError::Forbidden`] for a version that is no draft any more.
    pub fn keep_draft(
        &self,
        id: &str,
        version: &Version,
        document: &Value,
        digest: &Digest,
        origin: Origin,
        reason: Option<&str>,
    ) -> Result<bool, LibraryError> {
        let subject = format!("{id}@{version}");
        let before: Option<String> = self
            .transaction
            .query_row(
                "SELECT digest FROM method_version WHERE id = ?1 AND version = ?2",
                (id, version.to_string()),
                |row| row.get(0),
            )
            .optional()
            .map_err(|error| self.sqlite(error))?;
        if before.as_deref() == Some(digest.as_str()) {
            return Ok(false);
        }
        self.transaction
            .execute(
                "INSERT INTO method_version (id, version, document, digest, state, origin)
                 VALUES (?1, ?2, ?3, ?4, 'draft', ?5)
                 ON CONFLICT (id, version) DO UPDATE
                 SET document = ?3, digest = ?4, origin = ?5",
                (
                    id,
                    version.to_string(),
                    document.to_string(),
                    digest.as_str(),
                    origin.word(),
                ),
            )
            .map_err(|error| self.sqlite(error))?;
        let before = before.as_deref().and_then(Digest::from_hex);
        self.record(&Deed {
            action: if before.is_some() { "changed" } else { "added" },
            kind: "method",
            subject: &subject,
            reason,
            before: before.as_ref(),
            after: Some(digest),
        })?;
        Ok(true)
    }

    /// Moves a method version on in its life, with a record.
    ///
    /// # Errors
    /// [`LibraryError::Forbidden`] for a step backwards, [`LibraryError::ChangedMeanwhile`] when
    /// the version is not any more as it was looked at.
    pub fn set_method_state(
        &self,
        method: &KeptMethod,
        state: MethodState,
        reason: Option<&str>,
    ) -> Result<(), LibraryError> {
        let moved = self
            .transaction
            .execute(
                "UPDATE method_version SET state = ?3
                 WHERE id = ?1 AND version = ?2 AND state = ?4 AND digest = ?5",
                (
                    &method.id,
                    method.version.to_string(),
                    state.word(),
                    method.state.word(),
                    method.digest.as_str(),
                ),
            )
            .map_err(|error| self.sqlite(error))?;
        if moved == 0 {
            return Err(LibraryError::ChangedMeanwhile {
                what: format!("method `{}`", method.name()),
            });
        }
        self.record(&Deed {
            action: state.word(),
            kind: "method",
            subject: &method.name(),
            reason,
            before: Some(&method.digest),
            after: Some(&method.digest),
        })
    }
}

impl Library {
    /// All versions of a method, or of all methods: by id, then from the oldest version to the
    /// newest by semver's order.
    ///
    /// # Errors
    /// What SQLite says, or a kept document that can't be read.
    pub fn methods(&self, id: Option<&str>) -> Result<Vec<KeptMethod>, LibraryError> {
        read_methods(&self.connection, self.path(), id)
    }

    /// One method version.
    ///
    /// # Errors
    /// What SQLite says, or a kept document that can't be read.
    pub fn method(&self, id: &str, version: &Version) -> Result<Option<KeptMethod>, LibraryError> {
        read_method(&self.connection, self.path(), id, version)
    }

    /// How many sheets are bound to a method version, and how many identifications rest on it.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn method_used_by(&self, id: &str, version: &Version) -> Result<(u32, u32), LibraryError> {
        self.connection
            .query_row(
                "SELECT (SELECT COUNT(DISTINCT sheet_id) FROM sheet_revision
                         WHERE method_id = ?1 AND method_version = ?2),
                        (SELECT COUNT(*) FROM identification
                         WHERE method_id = ?1 AND method_version = ?2)",
                (id, version.to_string()),
                |row| Ok((row.get(0)?, row.get(1)?)),
            )
            .map_err(|error| self.sqlite(error))
    }
}
