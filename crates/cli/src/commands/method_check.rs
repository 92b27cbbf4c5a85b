//! `method check`

use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use dyebook_methods::lints::Finding;
use dyebook_workflows::{Failure, check_method, read_text, with_hints};
use serde_json::json;
use std::path::PathBuf;

/// Check a method document.
#[derive(Debug, clap::Args)]
pub(crate) struct MethodCheck {
    /// The method document, JSON
    file: PathBuf,
}

impl MethodCheck {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let name = self.file.display().to_string();
        let dyes = desk.open()?.dye_register()?;
        let checked = check_method(&name, &read_text(&self.file)?, &dyes)?;
        let mut page = Page::default();
        page.line(format!(
            "`{name}` is a method document that can be kept: {}",
            checked.method.name()
        ));
        findings(&mut page, &checked.findings);
        Ok(Outcome::new(
            json!({
                "file": name, "valid": true,
                "method": {
                    "id": checked.method.id, "version": checked.method.version,
                    "digest": checked.digest,
                },
                "findings": checked.findings,
            }),
            page.text(),
        ))
    }
}

/// What the lints found, one line each.
pub(crate) fn findings(page: &mut Page, findings: &[Finding]) {
    for finding in findings {
        let hint = with_hints(&finding.hints);
        page.line(format!(
            "  {:4}  {}: {}{hint} [{}]",
            finding.severity.word(),
            finding.path,
            finding.message,
            finding.lint
        ));
    }
}
