//! Stored identifications.

use crate::change::{Change, Deed};
use crate::dyes::parse;
use crate::error::LibraryError;
use crate::open::Library;
use dyebook_documents::{Digest, Identification};
use rusqlite::OptionalExtension;
use serde_json::Value;

/// An identification as stored.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptIdentification {
    /// Digest of the document.
    pub digest: String,
    /// The document.
    pub document: Value,
    /// When it was first made.
    pub at: String,
}

impl Change<'_> {
    /// Stores an identification as a JSON text with its digest; the same one is stored once.
    /// Answers whether it is new.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn keep_identification(
        &self,
        identification: &Identification,
        document: &str,
        digest: &Digest,
    ) -> Result<bool, LibraryError> {
        let keep = || -> rusqlite::Result<bool> {
            let known: Option<i64> = self
                .transaction
                .prepare_cached("SELECT seq FROM identification WHERE digest = ?1")?
                .query_row([digest.as_str()], |row| row.get(0))
                .optional()?;
            let seq = if let Some(seq) = known {
                seq
            } else {
                self.transaction
                    .prepare_cached(
                        "INSERT INTO identification
                         (digest, sheet_id, sheet_revision, method_id, method_version, strategy,
                          document, at)
                         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
                    )?
                    .execute((
                        digest.as_str(),
                        &identification.sheet,
                        identification.sheet_revision,
                        &identification.method.id,
                        identification.method.version.to_string(),
                        &identification.strategy.id,
                        document,
                        self.at(),
                    ))?;
                self.transaction.last_insert_rowid()
            };
            self.transaction
                .prepare_cached(
                    "INSERT INTO latest_identification (sheet_id, seq) VALUES (?1, ?2)
                     ON CONFLICT (sheet_id) DO UPDATE SET seq = ?2",
                )?
                .execute((&identification.sheet, seq))?;
            Ok(known.is_none())
        };
        let new = keep().map_err(|error| self.sqlite(error))?;
        if new {
            self.record(&Deed {
                action: "identified",
                kind: "sheet",
                subject: &identification.sheet,
                reason: None,
                before: None,
                after: Some(digest),
            })?;
        }
        Ok(new)
    }
}

impl Library {
    /// All stored identifications of a sheet, oldest first.
    ///
    /// # Errors
    /// What SQLite says, or a kept document that can't be read.
    pub fn identifications(&self, sheet: &str) -> Result<Vec<KeptIdentification>, LibraryError> {
        let read = || -> rusqlite::Result<Vec<(String, String, String)>> {
            self.connection
                .prepare_cached(
                    "SELECT digest, document, at FROM identification WHERE sheet_id = ?1 ORDER BY seq",
                )?
                .query_map([sheet], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?
                .collect()
        };
        read()
            .map_err(|error| self.sqlite(error))?
            .into_iter()
            .map(|(digest, text, at)| {
                let document = parse(&text, || format!("identification of sheet `{sheet}`"))?;
                Ok(KeptIdentification {
                    digest,
                    document,
                    at,
                })
            })
            .collect()
    }

    /// The identification that was asked for last.
    ///
    /// # Errors
    /// What SQLite says, or a kept document that can't be read.
    pub fn latest_identification(
        &self,
        sheet: &str,
    ) -> Result<Option<KeptIdentification>, LibraryError> {
        let found: Option<(String, String, String)> = self
            .connection
            .prepare_cached(
                "SELECT i.digest, i.document, i.at FROM latest_identification l
                 JOIN identification i ON i.seq = l.seq WHERE l.sheet_id = ?1",
            )
            .and_then(|mut statement| {
                statement
                    .query_row([sheet], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))
                    .optional()
            })
            .map_err(|error| self.sqlite(error))?;
        found
            .map(|(digest, text, at)| {
                let document = parse(&text, || format!("identification of sheet `{sheet}`"))?;
                Ok(KeptIdentification {
                    digest,
                    document,
                    at,
                })
            })
            .transpose()
    }
}
