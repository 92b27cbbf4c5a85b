//! `report`

use super::report_class::ReportClass;
use crate::desk::Desk;
use crate::outcome::Outcome;
use dyebook_documents::digest_bytes;
use dyebook_workflows::{
    DEFAULT_STRATEGY, Failure, IdentifyRequest, PluginMatcher, identify, sheet_page, show_sheet,
    stored_identification, write_file,
};
use serde_json::json;
use std::path::PathBuf;

/// A sheet as one HTML file, or the figures of a class.
#[derive(Debug, clap::Args)]
pub(crate) struct Report {
    /// The sheet's id, or the beginning of it
    #[arg(required_unless_present = "class")]
    sheet: Option<String>,
    /// The file to write [default: SHEET.html, or class.html, in the current folder]
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    #[command(flatten)]
    class: ReportClass,
}

impl Report {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let Some(sheet) = self.sheet else {
            return self.class.run(desk, self.out);
        };
        let library = desk.open()?;
        let dyes = library.dye_register()?;
        let shown = show_sheet(&library, &dyes, &sheet)?;
        let stored = stored_identification(&library, &shown.kept.id)?
            .filter(|found| found.sheet_digest == shown.kept.digest);
        let found = if stored.is_some() {
            stored
        } else {
            let mut matcher = PluginMatcher::new(&desk.plugins(), DEFAULT_STRATEGY, &[])?;
            let request = IdentifyRequest {
                sheets: std::slice::from_ref(&shown.kept),
                method: None,
                across_versions: None,
            };
            identify(&library, &dyes, &mut matcher, request)?.pop()
        };
        let html = sheet_page(&library, &dyes, &shown, found.as_ref(), false)?;
        let out = self
            .out
            .unwrap_or_else(|| PathBuf::from(format!("{}.html", shown.kept.id)));
        write_file(&out, &html)?;
        Ok(Outcome::new(
            json!({
                "sheet": shown.kept.id, "out": out, "bytes": html.len(),
                "sha256": digest_bytes(html.as_bytes()), "class": null,
            }),
            format!("report of {} in {}\n", shown.kept.id, out.display()),
        ))
    }
}
