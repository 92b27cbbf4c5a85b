//! Stored identifications.

use crate::change::{Change, Deed};
use crate::error::LibraryError;
use crate::open::Library;
use crate::packed::{Packed, Unpacked};
use dyebook_documents::Digest;
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

/// An identification to store.
#[derive(Debug)]
pub struct NewIdentification {
    /// Sheet identifier.
    pub sheet: String,
    /// The sheet's revision.
    pub sheet_revision: u32,
    /// The method version that it was judged by.
    pub method_id: String,
    /// The method version that it was judged by.
    pub method_version: String,
    /// The strategy's identifier.
    pub strategy: String,
    /// All of it, as a JSON text.
    pub document: Packed,
    /// Digest of that text.
    pub digest: Digest,
}

impl Change<'_> {
    /// Stores an identification; the same one is stored once. Answers whether it is new.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn keep_identification(&self, new: &NewIdentification) -> Result<bool, LibraryError> {
        let keep = || -> rusqlite::Result<bool> {
            let known: Option<i64> = self
                .transaction
                .prepare_cached(
                    "SELECT seq FROM identification WHERE sheet_id = ?1 AND digest = ?2",
                )?
                .query_row((&new.sheet, new.digest.as_str()), |row| row.get(0))
                .optional()?;
            let seq = if let Some(seq) = known {
                seq
            } else {
                self.transaction
                    .prepare_cached(
                        "INSERT OR ROLLBACK INTO identification
                         (digest, sheet_id, sheet_revision, method_id, method_version, strategy,
                          at, packed)
                         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
                    )?
                    .execute((
                        new.digest.as_str(),
                        &new.sheet,
                        new.sheet_revision,
                        &new.method_id,
                        &new.method_version,
                        &new.strategy,
                        self.at(),
                        &new.document,
                    ))?;
                self.transaction.last_insert_rowid()
            };
            self.make_latest(&new.sheet, seq)?;
            Ok(known.is_none())
        };
        let is_new = keep().map_err(|error| self.sqlite(error))?;
        if is_new {
            self.record(&Deed {
                action: "identified",
                kind: "sheet",
                subject: &new.sheet,
                reason: None,
                before: None,
                after: Some(&new.digest),
            })?;
        }
        Ok(is_new)
    }

    /// Two statements, since one for both cases would make SQLite set pages aside.
    fn make_latest(&self, sheet: &str, seq: i64) -> rusqlite::Result<()> {
        let there = self
            .transaction
            .prepare_cached("UPDATE latest_identification SET seq = ?2 WHERE sheet_id = ?1")?
            .execute((sheet, seq))?;
        if there == 0 {
            self.transaction
                .prepare_cached(
                    "INSERT INTO latest_identification (sheet_id, seq) VALUES (?1, ?2)",
                )?
                .execute((sheet, seq))?;
        }
        Ok(())
    }
}

impl Library {
    /// All stored identifications of a sheet, oldest first.
    ///
    /// # Errors
    /// What SQLite says, or a kept document that can't be read.
    pub fn identifications(&self, sheet: &str) -> Result<Vec<KeptIdentification>, LibraryError> {
        let read = || -> rusqlite::Result<Vec<(String, Unpacked, String)>> {
            self.connection
                .prepare_cached(
                    "SELECT digest, packed, at FROM identification WHERE sheet_id = ?1 ORDER BY seq",
                )?
                .query_map([sheet], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?
                .collect()
        };
        read()
            .map_err(|error| self.sqlite(error))?
            .into_iter()
            .map(|(digest, packed, at)| {
                let document = packed.document(|| format!("identification of sheet `{sheet}`"))?;
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
        let found: Option<(String, Unpacked, String)> = self
            .connection
            .prepare_cached(
                "SELECT i.digest, i.packed, i.at FROM latest_identification l
                 JOIN identification i ON i.seq = l.seq WHERE l.sheet_id = ?1",
            )
            .and_then(|mut statement| {
                statement
                    .query_row([sheet], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))
                    .optional()
            })
            .map_err(|error| self.sqlite(error))?;
        found
            .map(|(digest, packed, at)| {
                let document = packed.document(|| format!("identification of sheet `{sheet}`"))?;
                Ok(KeptIdentification {
                    digest,
                    document,
                    at,
                })
            })
            .transpose()
    }
}
