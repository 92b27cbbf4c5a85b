//! `method history`

use super::history::table;
use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use dyebook_workflows::{Failure, change_json};
use serde_json::json;

/// Versions and changes of a method.
#[derive(Debug, clap::Args)]
pub(crate) struct MethodHistory {
    /// The method's id
    id: String,
}

impl MethodHistory {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let library = desk.open()?;
        let versions = library.methods(Some(&self.id))?;
        if versions.is_empty() {
            return Err(Failure::refused(
                "method.unknown",
                format!("there is no method `{}`", self.id),
            )
            .hint("`dyebook method list` shows what is there"));
        }
        let records: Vec<_> = library
            .history(Some(&self.id))?
            .into_iter()
            .filter(|record| record.kind == "method")
            .collect();
        let mut page = Page::default();
        for kept in &versions {
            page.line(format!(
                "{}  {}  content {}",
                kept.name(),
                kept.state,
                kept.digest.short()
            ));
        }
        page.gap();
        page.line(table(&records));
        let listed: Vec<_> = versions
            .iter()
            .map(|m| json!({ "version": m.version, "state": m.state, "digest": m.digest }))
            .collect();
        let changes: Vec<_> = records.iter().map(change_json).collect();
        Ok(Outcome::new(
            json!({ "method": self.id, "versions": listed, "changes": changes }),
            page.text(),
        ))
    }
}
