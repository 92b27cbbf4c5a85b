//! `method add`

use super::method_check::findings;
use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use dyebook_workflows::{Failure, check_method, keep_draft, read_text, resolve_method};
use serde_json::json;
use std::path::PathBuf;

/// Keep a method document as a draft.
#[derive(Debug, clap::Args)]
pub(crate) struct MethodAdd {
    /// The method document, JSON
    file: PathBuf,
}

impl MethodAdd {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let name = self.file.display().to_string();
        let text = read_text(&self.file)?;
        let mut library = desk.open()?;
        let dyes = library.dye_register()?;
        let checked = check_method(&name, &text, &dyes)?;
        let new = keep_draft(&mut library, &checked, &desk.stamp())?;
        let kept = resolve_method(&library, &checked.method.name())?;
        let mut page = Page::default();
        page.line(if new {
            format!(
                "kept {} as a draft (content {})",
                kept.name(),
                kept.digest.short()
            )
        } else {
            format!(
                "{} was kept before with this content; nothing changed",
                kept.name()
            )
        });
        findings(&mut page, &checked.findings);
        if new {
            page.line(format!(
                "next: dyebook method approve {} --reason \"…\"",
                kept.name()
            ));
        }
        Ok(Outcome::new(
            json!({
                "method": { "id": kept.id, "version": kept.version, "digest": kept.digest },
                "state": kept.state, "new": new, "findings": checked.findings,
            }),
            page.text(),
        ))
    }
}
