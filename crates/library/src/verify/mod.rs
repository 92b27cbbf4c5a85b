//! Is everything as it was recorded?

mod contents;
mod findings;
mod history;
mod leftovers;
mod lossy_text;
mod pages;
mod recorded;

use crate::error::LibraryError;
use crate::open::Library;
use findings::Findings;
use serde::Serialize;
use std::collections::BTreeMap;

/// The outcome of a verification.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct VerifyReport {
    /// Nothing was found.
    pub ok: bool,
    /// What was looked at, with how many.
    pub looked_at: BTreeMap<&'static str, usize>,
    /// What was found.
    pub findings: Vec<Finding>,
    /// What is worth knowing and no fault of the file: a clock that went back, files left over from
    /// an interrupted copy.
    pub notes: Vec<Finding>,
}

/// One thing that is not as it was recorded.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Finding {
    /// Where: `pages`, `history`, `method saline-paper@1.0.0`, …
    pub place: String,
    /// What is wrong.
    pub message: String,
}

impl Library {
    /// Walks the whole file: pages, references between tables, the history's chain of hashes, and
    /// the digest of everything kept, against what the history recorded last.
    ///
    /// # Errors
    /// A file so damaged that it can't be walked and nothing else was found before.
    pub fn verify(&self) -> Result<VerifyReport, LibraryError> {
        let mut found = Findings::default();
        self.verify_pages(&mut found)
            .map_err(|error| self.sqlite(error))?;
        let walked = self
            .verify_history(&mut found)
            .and_then(|recorded| self.verify_contents(&recorded, &mut found));
        if let Err(error) = walked {
            let error = self.sqlite(error);
            if found.list.is_empty() {
                return Err(error);
            }
            found.add("contents", error.to_string());
        }
        self.note_leftovers(&mut found);
        Ok(found.into_report())
    }
}
