//! `library restore`

use crate::desk::Desk;
use crate::outcome::Outcome;
use dyebook_documents::digest_bytes;
use dyebook_library::Library;
use dyebook_workflows::Failure;
use serde_json::json;
use std::path::PathBuf;

/// Go back to a copy.
#[derive(Debug, clap::Args)]
pub(crate) struct LibraryRestore {
    /// The copy; it is verified first and refused if anything is not as recorded
    file: PathBuf,
}

impl LibraryRestore {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let report = Library::restore(&self.file, &desk.library, &desk.stamp())?;
        let changes = desk.open()?.status()?.change_records;
        let sha256 = std::fs::read(&self.file)
            .map(|bytes| digest_bytes(&bytes))
            .ok();
        let aside = report.previous_kept_at.as_ref().map_or_else(
            || "there was no library before".to_owned(),
            |path| format!("the library that was in use is kept at {}", path.display()),
        );
        Ok(Outcome::new(
            json!({
                "library": desk.library, "from": self.file, "sha256": sha256,
                "set_aside": report.previous_kept_at, "changes": changes,
            }),
            format!(
                "restored {} from {}\n{aside}\n",
                desk.library.display(),
                self.file.display()
            ),
        ))
    }
}
