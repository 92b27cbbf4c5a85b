//! `library backup`

use crate::desk::Desk;
use crate::outcome::Outcome;
use dyebook_documents::digest_bytes;
use dyebook_workflows::Failure;
use serde_json::json;
use std::path::PathBuf;

/// Copy the library.
#[derive(Debug, clap::Args)]
pub(crate) struct LibraryBackup {
    /// The copy to make; an existing file is refused
    file: PathBuf,
}

impl LibraryBackup {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let library = desk.open()?;
        library.backup(&self.file)?;
        let bytes = std::fs::read(&self.file).map_err(|error| {
            Failure::refused(
                "file.not-readable",
                format!("`{}` can't be read back: {error}", self.file.display()),
            )
        })?;
        let changes = library.status()?.change_records;
        Ok(Outcome::new(
            json!({
                "library": desk.library, "backup": self.file, "bytes": bytes.len(),
                "sha256": digest_bytes(&bytes), "changes": changes,
            }),
            format!(
                "copied {} to {}\n{changes} change records, {} bytes, SHA-256 {}\n",
                desk.library.display(),
                self.file.display(),
                bytes.len(),
                digest_bytes(&bytes)
            ),
        ))
    }
}
