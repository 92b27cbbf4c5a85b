//! `plugin seal`

use crate::outcome::Outcome;
use dyebook_plugin_host::seal;
use dyebook_workflows::Failure;
use serde_json::json;
use std::path::PathBuf;

/// Write the size and digest of its library into a plug-in's manifest.
#[derive(Debug, clap::Args)]
pub(crate) struct PluginSeal {
    /// The plug-in's folder
    path: PathBuf,
}

impl PluginSeal {
    pub(crate) fn run(self) -> Result<Outcome, Failure> {
        let sealed = seal(&self.path).map_err(|error| {
            let mut failure = Failure::refused(error.id(), error.to_string());
            failure.hints = error.hints();
            failure
        })?;
        let library = &sealed.library;
        Ok(Outcome::new(
            json!({ "manifest": sealed.manifest, "library": library }),
            format!(
                "sealed {} ({} bytes, SHA-256 {})\n",
                library.file, library.size, library.sha256
            ),
        ))
    }
}
