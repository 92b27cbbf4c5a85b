//! `plugin inspect`

use crate::outcome::{Outcome, Page};
use dyebook_plugin_host::{Inspection, inspect};
use serde_json::{Value, json};
use std::path::PathBuf;

/// Look at a plug-in without loading it.
#[derive(Debug, clap::Args)]
pub(crate) struct PluginInspect {
    /// The plug-in's folder
    path: PathBuf,
}

impl PluginInspect {
    pub(crate) fn run(self) -> Outcome {
        let inspection = inspect(&self.path);
        let mut page = Page::default();
        show(&mut page, &inspection);
        let good = inspection.may_be_approved();
        if let (true, Some(sha256)) = (good, &inspection.library_sha256) {
            page.line("it may be approved, by somebody who trusts where it came from:");
            page.line(format!(
                "  dyebook plugin approve {} --sha256 {sha256}",
                self.path.display()
            ));
        }
        let json = json!({ "may_be_approved": good, "inspection": inspection });
        Outcome::new(json, page.text()).needing_person(!good)
    }
}

/// What was seen, one line each.
pub(crate) fn show(page: &mut Page, inspection: &Inspection) {
    page.line(format!("{}  in {}", inspection.id, inspection.folder));
    if let Some(sha256) = &inspection.library_sha256 {
        page.line(format!("library SHA-256  {sha256}"));
    }
    for finding in &inspection.findings {
        let grade = serde_json::to_value(finding.grade).unwrap_or_default();
        page.line(format!(
            "  {:6}  {} [{}]",
            grade
                .as_str()
                .map_or_else(|| Value::to_string(&grade), str::to_owned),
            finding.text,
            finding.rule
        ));
    }
}
