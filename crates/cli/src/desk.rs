//! Who acts, when, on which library: what every command is given.

use dyebook_library::{Library, Stamp};
use dyebook_plugin_host::{ApprovalFiles, Plugins, Settings};
use dyebook_workflows::{BUNDLED, Failure};
use jiff::Timestamp;
use serde::Serialize;
use serde_json::Value;
use std::path::PathBuf;

/// What every command is given.
#[derive(Debug)]
pub(crate) struct Desk {
    /// The reference library in use.
    pub(crate) library: PathBuf,
    /// Who acts.
    pub(crate) by: String,
    /// The time at which the command began.
    pub(crate) now: Timestamp,
    /// Whether progress may be shown: a terminal, and neither `--quiet` nor `--json`.
    pub(crate) progress: bool,
    /// Whether the answer is wanted as JSON.
    pub(crate) as_json: bool,
    /// Folders in which plug-ins are looked for, first ones first.
    pub(crate) plugin_dirs: Vec<PathBuf>,
    /// The file that holds this user's approvals of plug-ins.
    pub(crate) approvals: PathBuf,
}

impl Desk {
    /// The answer of `--json`, worked out where it is wanted: of a large term it is large.
    pub(crate) fn json(&self, answer: &impl Serialize) -> Value {
        if self.as_json {
            serde_json::json!(answer)
        } else {
            Value::Null
        }
    }

    /// Who and when, for a change.
    pub(crate) fn stamp(&self) -> Stamp {
        Stamp {
            by: self.by.clone(),
            at: self.now,
        }
    }

    /// The plug-ins, bundled ones and those found in the folders.
    pub(crate) fn plugins(&self) -> Plugins {
        Plugins::new(BUNDLED, self.plugin_settings())
    }

    /// Where plug-ins are found and how they are kept apart.
    pub(crate) fn plugin_settings(&self) -> Settings {
        let mut settings = Settings::default();
        settings.search.clone_from(&self.plugin_dirs);
        settings.approvals = self.approvals();
        settings
    }

    /// Where approvals of plug-ins stand: the user's file and the machine's.
    pub(crate) fn approvals(&self) -> ApprovalFiles {
        ApprovalFiles {
            user: Some(self.approvals.clone()),
            system: Some("/etc/dyebook/plugin-approvals.json".into()),
            system_only: false,
        }
    }

    /// Opens the library.
    pub(crate) fn open(&self) -> Result<Library, Failure> {
        Ok(Library::open(&self.library)?)
    }
}
