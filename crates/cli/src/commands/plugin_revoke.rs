//! `plugin revoke`

use crate::desk::Desk;
use crate::outcome::Outcome;
use dyebook_plugin_host::revoke;
use dyebook_workflows::Failure;
use serde_json::json;

/// Take an approval back.
#[derive(Debug, clap::Args)]
pub(crate) struct PluginRevoke {
    /// The plug-in's id
    id: String,
}

impl PluginRevoke {
    pub(crate) fn run(self, desk: &Desk) -> Result<Outcome, Failure> {
        let revoked = revoke(&self.id, &desk.approvals()).map_err(|error| {
            let mut failure = Failure::refused(error.id(), error.to_string());
            failure.hints = error.hints();
            failure
        })?;
        let text = if revoked.removed == 0 {
            format!("`{}` was not approved; nothing changed\n", revoked.id)
        } else {
            format!("`{}` may not run any more\n", revoked.id)
        };
        Ok(Outcome::new(json!(revoked), text))
    }
}
