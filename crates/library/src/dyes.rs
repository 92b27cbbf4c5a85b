//! Dyes in the library.

use crate::change::{Change, Deed};
use crate::error::LibraryError;
use crate::open::Library;
use dyebook_documents::{Digest, Dye, DyeRegister, digest_value};
use rusqlite::OptionalExtension;
use serde_json::Value;

/// A dye document as kept.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptDye {
    /// Identifier.
    pub id: String,
    /// The document.
    pub document: Value,
    /// Its content digest.
    pub digest: String,
}

impl Change<'_> {
    /// The digest of a dye, as this change sees it.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn dye_digest(&self, id: &str) -> Result<Option<String>, LibraryError> {
        self.transaction
            .query_row("SELECT digest FROM dye WHERE id = ?1", [id], |row| {
                row.get(0)
            })
            .optional()
            .map_err(|error| self.sqlite(error))
    }

    /// Keeps a dye document under its id; one that is there already is changed, with a record.
    /// Answers whether anything changed.
    ///
    /// # Errors
    /// What SQLite says.
    pub fn keep_dye(
        &self,
        id: &str,
        document: &Value,
        reason: Option<&str>,
    ) -> Result<bool, LibraryError> {
        let digest = digest_value(document);
        let before = self.dye_digest(id)?;
        if before.as_deref() == Some(digest.as_str()) {
            return Ok(false);
        }
        self.transaction
            .execute(
                "INSERT INTO dye (id, document, digest) VALUES (?1, ?2, ?3)
                 ON CONFLICT (id) DO UPDATE SET document = ?2, digest = ?3",
                (id, document.to_string(), digest.as_str()),
            )
            .map_err(|error| self.sqlite(error))?;
        let before = before.as_deref().and_then(Digest::from_hex);
        self.record(&Deed {
            action: if before.is_some() { "changed" } else { "added" },
            kind: "dye",
            subject: id,
            reason,
            before: before.as_ref(),
            after: Some(&digest),
        })?;
        Ok(true)
    }
}

impl Library {
    /// All dye documents, by id.
    ///
    /// # Errors
    /// What SQLite says, or a kept document that can't be read.
    pub fn dyes(&self) -> Result<Vec<KeptDye>, LibraryError> {
        let read = || -> rusqlite::Result<Vec<(String, String, String)>> {
            self.connection
                .prepare("SELECT id, document, digest FROM dye ORDER BY id")?
                .query_map([], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?
                .collect()
        };
        read()
            .map_err(|error| self.sqlite(error))?
            .into_iter()
            .map(|(id, text, digest)| {
                let document = parse(text.as_bytes(), || format!("dye `{id}`"))?;
                Ok(KeptDye {
                    id,
                    document,
                    digest,
                })
            })
            .collect()
    }

    /// All dyes, found by any of their names.
    ///
    /// # Errors
    /// What SQLite says, or a kept document that can't be read.
    pub fn dye_register(&self) -> Result<DyeRegister, LibraryError> {
        let dyes: Result<Vec<Dye>, LibraryError> = self
            .dyes()?
            .into_iter()
            .map(|kept| typed(kept.document, || format!("dye `{}`", kept.id)))
            .collect();
        Ok(DyeRegister::new(dyes?))
    }
}

/// A kept text as JSON.
pub(crate) fn parse<T: serde::de::DeserializeOwned>(
    text: &[u8],
    what: impl Fn() -> String,
) -> Result<T, LibraryError> {
    serde_json::from_slice(text).map_err(|error| LibraryError::Unreadable {
        what: what(),
        detail: error.to_string(),
    })
}

/// A kept document as its type.
pub(crate) fn typed<T: serde::de::DeserializeOwned>(
    document: Value,
    what: impl Fn() -> String,
) -> Result<T, LibraryError> {
    serde_json::from_value(document).map_err(|error| LibraryError::Unreadable {
        what: what(),
        detail: error.to_string(),
    })
}
