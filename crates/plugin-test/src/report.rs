//! What the kit says in the end.

use serde::Serialize;

/// The report of one run of the kit.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct KitReport {
    /// Version of the kit.
    pub kit: String,
    /// The plug-in's id.
    pub plugin: String,
    /// Its version.
    pub version: String,
    /// SHA-256 of the library that was tried; for a bundled one, `null`.
    pub library_sha256: Option<String>,
    /// SHA-256 of the manifest.
    pub manifest_sha256: String,
    /// What all chance came from: the same seed tries the same things.
    pub seed: u64,
    /// How the plug-in was kept apart.
    pub sandbox: String,
    /// Nothing failed or crashed.
    pub passed: bool,
    /// Every case.
    pub cases: Vec<CaseReport>,
}

/// The report of one case.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CaseReport {
    /// A to I, the part of the kit.
    pub part: char,
    /// The component it was about.
    pub component: String,
    /// The case's name, which does not change.
    pub case: &'static str,
    /// How it went.
    pub grade: Grade,
    /// What was seen.
    pub text: String,
    /// How long it took.
    pub ms: u64,
}

/// How a case went.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Grade {
    /// As it should.
    Pass,
    /// Not tried: it does not concern this component.
    Skip,
    /// Worth knowing.
    Note,
    /// Looks wrong, but breaks no rule.
    Warn,
    /// Breaks a rule.
    Fail,
    /// The plug-in crashed or hung.
    Crash,
}

/// A grade with what was seen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Verdict {
    pub(crate) grade: Grade,
    pub(crate) text: String,
}

impl Verdict {
    pub(crate) fn new(grade: Grade, text: impl Into<String>) -> Self {
        Self {
            grade,
            text: text.into(),
        }
    }

    pub(crate) fn pass() -> Self {
        Self::new(Grade::Pass, "")
    }

    /// Passes when the rule holds, else has this grade with this text.
    pub(crate) fn rule(holds: bool, otherwise: Grade, text: impl Into<String>) -> Self {
        if holds {
            Self::pass()
        } else {
            Self::new(otherwise, text)
        }
    }
}

/// A case that could not go on has failed with this verdict.
impl From<dyebook_plugin_host::Failure> for Verdict {
    fn from(failure: dyebook_plugin_host::Failure) -> Self {
        let grade = match failure.code() {
            "plugin.crashed" | "plugin.timeout" | "plugin.memory" | "plugin.protocol" => {
                Grade::Crash
            }
            _ => Grade::Fail,
        };
        Self::new(grade, failure.to_string())
    }
}
