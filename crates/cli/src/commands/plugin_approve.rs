//! `plugin approve`

use super::plugin_inspect::show;
use crate::desk::Desk;
use crate::outcome::{Outcome, Page};
use dyebook_plugin_host::{ApproveError, Approver, approve};
use dyebook_workflows::Failure;
use serde_json::json;
use std::path::PathBuf;

/// Let a plug-in run.
#[derive(Debug, clap::Args)]
pub(crate) struct PluginApprove {
    /// The plug-in's folder
    path: PathBuf,
    /// SHA-256 of its library, as its author gave it or as `plugin inspect` showed it
    #[arg(long, value_name = "HEX")]
    sha256: String,
    /// Why it is trusted
    #[arg(long, value_name = "TEXT")]
    reason: Option<String>,
}

impl PluginApprove {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let approver = Approver {
            by: desk.by.clone(),
            at: desk.now.to_string(),
            note: self.reason,
        };
        let approved = approve(&self.path, &self.sha256, &approver, &desk.approvals())
            .map_err(|error| refused(&error))?;
        let mut page = Page::default();
        show(&mut page, &approved.inspection);
        page.line(format!(
            "approved {} {} by {}",
            approved.approval.id, approved.approval.version, approved.approval.approved_by
        ));
        if let Some(earlier) = &approved.earlier {
            page.line(format!(
                "takes the place of the approval of {} (library {})",
                earlier.version, earlier.library_sha256
            ));
        }
        Ok(Outcome::new(json!(approved), page.text()))
    }
}

fn refused(error: &ApproveError) -> Failure {
    let mut failure = Failure::refused(error.id(), error.to_string());
    if let ApproveError::Refused { reasons, .. } = error {
        failure.details.clone_from(reasons);
    }
    failure.hints = error.hints();
    failure
}
