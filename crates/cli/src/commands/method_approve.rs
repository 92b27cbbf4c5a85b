//! `method approve`

use super::method_diff::{bump_words, changes};
use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use dyebook_workflows::{Failure, approve_method, change_json};
use serde_json::json;

/// Put a draft into use.
#[derive(Debug, clap::Args)]
pub(crate) struct MethodApprove {
    /// The draft, `id@version`
    #[arg(value_name = "REF")]
    reference: String,
    /// What was done and why it is good enough
    #[arg(long, value_name = "TEXT")]
    reason: String,
}

impl MethodApprove {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let mut library = desk.open()?;
        let dyes = library.dye_register()?;
        let approval = approve_method(
            &mut library,
            &dyes,
            &self.reference,
            &self.reason,
            &desk.stamp(),
        )?;
        let method = &approval.method;
        let record = library
            .history(Some(&method.name()))?
            .pop()
            .ok_or_else(|| Failure::refused("history.unknown", "the approval left no record"))?;
        let mut page = Page::default();
        page.line(format!(
            "approved {} (content {})",
            method.name(),
            method.digest.short()
        ));
        if let Some(before) = &approval.supersedes {
            page.line(format!(
                "{before} is superseded; its sheets stay bound to it"
            ));
        }
        if let Some(diff) = &approval.diff {
            page.line(format!(
                "against {}: the changes need {}",
                diff.from,
                bump_words(diff.required.word())
            ));
            changes(&mut page, diff);
            if diff.declared.word() != "major" {
                page.line(format!(
                    "whose result would change: dyebook sheet claims --changed-by {}",
                    method.name()
                ));
            }
        }
        Ok(Outcome::new(
            json!({
                "method": { "id": method.id, "version": method.version, "digest": method.digest },
                "state": method.state,
                "required": approval.diff.as_ref().map(|d| d.required.word()),
                "declared": approval.diff.as_ref().map(|d| d.declared.word()),
                "supersedes": approval.supersedes,
                "change": change_json(&record),
            }),
            page.text(),
        ))
    }
}
