//! `library export`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use dyebook_documents::digest_bytes;
use dyebook_workflows::{Failure, export_bundle, write_text};
use serde_json::json;
use std::path::PathBuf;

/// Pack method versions.
#[derive(Debug, clap::Args)]
pub(crate) struct LibraryExport {
    /// The bundle to write, one JSON file that reads without this program
    file: PathBuf,
    /// Only the versions of this method [default: all versions that are or were in use]
    #[arg(long = "method", value_name = "ID")]
    methods: Vec<String>,
}

impl LibraryExport {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        if self.file.exists() {
            return Err(Failure::refused(
                "file.exists",
                format!(
                    "`{}` exists already and is left as it is",
                    self.file.display()
                ),
            ));
        }
        let exported = export_bundle(&desk.open()?, &self.methods, &desk.stamp())?;
        write_text(&self.file, &exported.text)?;
        let sha256 = digest_bytes(exported.text.as_bytes());
        let mut page = Page::default();
        page.line(format!(
            "packed {} method versions, {} dyes and {} sheet revisions into {}",
            exported.methods.len(),
            exported.dyes.len(),
            exported.sheets,
            self.file.display()
        ));
        page.line(format!("SHA-256 {sha256}; send it along by another way"));
        let methods: Vec<_> = exported
            .methods
            .iter()
            .map(|m| json!({ "id": m.id, "version": m.version, "digest": m.digest }))
            .collect();
        Ok(Outcome::new(
            json!({
                "bundle": self.file, "sha256": sha256, "methods": methods,
                "dyes": exported.dyes, "sheets": exported.sheets,
            }),
            page.text(),
        ))
    }
}
