//! `sheet truth`

use super::sheet_claims::changed_sheets;
use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use dyebook_documents::counted;
use dyebook_workflows::{Failure, read_bytes, record_truth};
use serde_json::json;
use std::path::PathBuf;

/// Record what the samples really hold.
#[derive(Debug, clap::Args)]
pub(crate) struct SheetTruth {
    /// CSV with the columns `sheet,paper,lane,dyes`; dyes of one lane are joined by +
    file: PathBuf,
    /// Why, when an earlier word is changed
    #[arg(long, value_name = "TEXT")]
    reason: Option<String>,
}

impl SheetTruth {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let bytes = read_bytes(&self.file)?;
        let mut library = desk.open()?;
        let dyes = library.dye_register()?;
        let name = self.file.display().to_string();
        let report = record_truth(
            &mut library,
            &dyes,
            &name,
            &bytes,
            self.reason.as_deref(),
            &desk.stamp(),
        )?;
        let mut page = Page::default();
        page.line(format!(
            "{}: {}, {} of them new or changed",
            report.file,
            counted(report.lanes, "lane"),
            report.new
        ));
        for missing in &report.not_found {
            page.line(format!("  not taken: {}", missing.why));
        }
        if !report.changed.is_empty() {
            page.gap();
            page.line("The corrected record changes the result of these groups, and of no other:");
            changed_sheets(&mut page, &report.changed);
        }
        let incomplete = !report.not_found.is_empty();
        Ok(Outcome::new(json!(report), page.text()).needing_person(incomplete))
    }
}
