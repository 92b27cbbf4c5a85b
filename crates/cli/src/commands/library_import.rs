//! `library import`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use dyebook_workflows::{Failure, import_bundle, read_text};
use serde_json::json;
use std::path::PathBuf;

/// Take in a bundle.
#[derive(Debug, clap::Args)]
pub(crate) struct LibraryImport {
    /// The bundle
    file: PathBuf,
}

impl LibraryImport {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let text = read_text(&self.file)?;
        let name = self.file.display().to_string();
        let mut library = desk.open()?;
        let report = import_bundle(&mut library, &name, &text, &desk.stamp())?;
        let mut page = Page::default();
        page.line(format!("{name} (SHA-256 {})", report.sha256));
        for method in &report.methods {
            page.line(match &method.why {
                None => format!(
                    "  method {}@{}: taken as a draft from elsewhere, not verified here",
                    method.id, method.version
                ),
                Some(why) => format!("  method {}@{}: {why}", method.id, method.version),
            });
        }
        for (kind, list) in [("dye", &report.dyes), ("sheet", &report.sheets)] {
            for one in list {
                let said = one.why.as_deref().unwrap_or("taken");
                page.line(format!("  {kind} {}: {said}", one.id));
            }
        }
        page.line("next: verify a version with your own papers, then dyebook method approve");
        let conflict = report.methods.iter().any(|m| m.conflict)
            || report
                .dyes
                .iter()
                .chain(&report.sheets)
                .any(|one| one.conflict);
        Ok(Outcome::new(
            json!({
                "bundle": self.file, "sha256": report.sha256, "methods": report.methods,
                "dyes": report.dyes, "sheets": report.sheets,
            }),
            page.text(),
        )
        .needing_person(conflict))
    }
}
