//! What can go wrong with a plug-in, in words that never change.

use serde::{Deserialize, Serialize};

/// Why a plug-in gave no answer.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, thiserror::Error)]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Failure {
    /// There is none of that name.
    #[error("{text}")]
    NotFound {
        /// What was looked for, and what there is.
        text: String,
    },
    /// Nobody approved it.
    #[error("it is not approved; its library has the SHA-256 {sha256}")]
    Unapproved {
        /// Digest of the library found.
        sha256: String,
    },
    /// Its library or its manifest is not the approved one any more.
    #[error("its {part} changed since it was approved: {approved} then, {found} now")]
    Changed {
        /// `library` or `manifest`.
        part: String,
        /// The approved digest.
        approved: String,
        /// The digest found.
        found: String,
    },
    /// Several folders hold the same id.
    #[error("its id is found in several folders: {}", paths.join(", "))]
    Blocked {
        /// The folders.
        paths: Vec<String>,
    },
    /// It failed in too many runs and waits for a person.
    #[error("it is quarantined until it is approved again: {text}")]
    Quarantined {
        /// What happened.
        text: String,
    },
    /// Its manifest can't be used.
    #[error("its manifest can't be used: {}", problems.join("; "))]
    InvalidManifest {
        /// Everything that is wrong.
        problems: Vec<String>,
    },
    /// It speaks another version of the ABI or of a contract.
    #[error("its {} does not fit: {text}", part.word())]
    Incompatible {
        /// Of what.
        part: Versioned,
        /// Both versions.
        text: String,
    },
    /// It could not be loaded.
    #[error("loading it failed at the stage `{}`: {text}", stage.word())]
    LoadFailed {
        /// How far it came.
        stage: Stage,
        /// Why.
        text: String,
    },
    /// Its process ended without an answer.
    #[error("its process ended without an answer ({how})")]
    Crashed {
        /// Signal or exit code.
        how: String,
    },
    /// It took too long.
    #[error("it gave no answer within {limit_ms} ms")]
    Timeout {
        /// The limit.
        limit_ms: u64,
    },
    /// It needed too much memory.
    #[error("it needed more than the {budget_mb} MiB of memory that it may use")]
    Memory {
        /// The limit.
        budget_mb: u64,
    },
    /// It wrote more than it may.
    #[error("it wrote more than the {bytes} bytes that it may")]
    OutputLimit {
        /// The limit.
        bytes: u64,
    },
    /// What it wrote is no answer.
    #[error("its answer can't be used ({}): {text}", part.word())]
    BadOutput {
        /// At which look.
        part: Look,
        /// What is wrong.
        text: String,
    },
    /// It said itself that it failed.
    #[error("it reported {}: {text}", status_words(*status))]
    Error {
        /// Its status.
        status: i32,
        /// Its text.
        text: String,
    },
    /// Its process did not keep to the conversation.
    #[error("its process broke the conversation: {text}")]
    Protocol {
        /// How.
        text: String,
    },
    /// It failed too often in this run.
    #[error("it was switched off for this run after {faults} faults without an answer between")]
    Disabled {
        /// How often.
        faults: u32,
    },
}

/// What has versions of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Versioned {
    /// The C table.
    Abi,
    /// The messages.
    Contract,
}

/// How far loading came.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Stage {
    /// Start of the process.
    Start,
    /// Opening the library's file.
    Open,
    /// Comparing its digest.
    Digest,
    /// Setting limits and sandbox.
    Sandbox,
    /// Loading it.
    Dlopen,
    /// Finding the entry function.
    Symbol,
    /// Reading the descriptor.
    Abi,
    /// Making an instance.
    Create,
}

/// At which look an answer failed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Look {
    /// Its encoding.
    Utf8,
    /// Its JSON.
    Json,
    /// Its binary form.
    Binary,
    /// Its form.
    Schema,
    /// Its meaning.
    Semantic,
}

impl Failure {
    /// The stable code, such as `plugin.timeout`.
    pub fn code(&self) -> &'static str {
        match self {
            Self::NotFound { .. } => "plugin.not_found",
            Self::Unapproved { .. } => "plugin.unapproved",
            Self::Changed { .. } => "plugin.changed",
            Self::Blocked { .. } => "plugin.blocked",
            Self::Quarantined { .. } => "plugin.quarantined",
            Self::InvalidManifest { .. } => "plugin.invalid_manifest",
            Self::Incompatible { .. } => "plugin.incompatible",
            Self::LoadFailed { .. } => "plugin.load_failed",
            Self::Crashed { .. } => "plugin.crashed",
            Self::Timeout { .. } => "plugin.timeout",
            Self::Memory { .. } => "plugin.memory",
            Self::OutputLimit { .. } => "plugin.output_limit",
            Self::BadOutput { .. } => "plugin.bad_output",
            Self::Error { .. } => "plugin.error",
            Self::Protocol { .. } => "plugin.protocol",
            Self::Disabled { .. } => "plugin.disabled",
        }
    }

    /// Did the plug-in's process have to be ended, or is it gone?
    pub(crate) fn ends_process(&self) -> bool {
        matches!(
            self,
            Self::Crashed { .. }
                | Self::Timeout { .. }
                | Self::Memory { .. }
                | Self::Protocol { .. }
        )
    }

    /// May what an earlier call left behind be the cause?
    pub(crate) fn may_be_left_over(&self) -> bool {
        self.ends_process() && !matches!(self, Self::Timeout { .. })
    }

    /// Is the plug-in to blame, so that single items are worth a try? An error that it reported
    /// itself is its answer.
    pub(crate) fn is_fault(&self) -> bool {
        self.ends_process() || matches!(self, Self::OutputLimit { .. } | Self::BadOutput { .. })
    }

    /// What to do, each to be read on its own.
    pub(crate) fn hints(&self, plugin: &str) -> Vec<String> {
        match self {
            Self::NotFound { .. } => vec!["`dyebook plugin list` shows what is installed".into()],
            Self::Unapproved { sha256 } => vec![
                format!("look at it first: `dyebook plugin inspect {plugin}`"),
                format!("then `dyebook plugin approve {plugin} --sha256 {sha256}`"),
            ],
            Self::Changed { .. } | Self::Quarantined { .. } => vec![
                format!("look at it again: `dyebook plugin inspect {plugin}`"),
                format!("`dyebook plugin approve {plugin} --sha256 …` takes it in as it is now"),
            ],
            Self::Blocked { .. } => vec!["remove all but one of the folders".into()],
            Self::Timeout { .. } | Self::Memory { .. } | Self::OutputLimit { .. } => {
                vec!["its manifest may ask for more in `limits`".into()]
            }
            Self::Crashed { .. } | Self::BadOutput { .. } | Self::Protocol { .. } => vec![format!(
                "`dyebook plugin test` on its folder tells its author more; \
                 another plug-in can answer in the meantime than `{plugin}`"
            )],
            _ => Vec::new(),
        }
    }
}

impl Versioned {
    fn word(self) -> &'static str {
        match self {
            Self::Abi => "ABI",
            Self::Contract => "contract",
        }
    }
}

impl Stage {
    /// The word of the stage.
    pub fn word(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Open => "open",
            Self::Digest => "digest",
            Self::Sandbox => "sandbox",
            Self::Dlopen => "dlopen",
            Self::Symbol => "symbol",
            Self::Abi => "abi",
            Self::Create => "create",
        }
    }
}

impl Look {
    /// The word of the look.
    pub fn word(self) -> &'static str {
        match self {
            Self::Utf8 => "utf8",
            Self::Json => "json",
            Self::Binary => "binary",
            Self::Schema => "schema",
            Self::Semantic => "semantic",
        }
    }
}

fn status_words(status: i32) -> String {
    use dyebook_plugin_abi as abi;
    match status {
        abi::DYB_E_INVALID => "a call that makes no sense to it".into(),
        abi::DYB_E_UNSUPPORTED => "an operation that it does not have".into(),
        abi::DYB_E_DATA => "data that it can't use".into(),
        abi::DYB_E_INTERNAL => "a bug of its own".into(),
        abi::DYB_E_PANIC => "a panic".into(),
        abi::DYB_E_LIMIT => "a limit".into(),
        abi::DYB_E_CANCELLED => "that it stopped".into(),
        other => format!("status {other}, which means nothing"),
    }
}

/// A failure with the plug-in that it came from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, thiserror::Error)]
#[error("plug-in `{plugin}`: {failure}")]
pub struct PluginError {
    /// The plug-in's id, or the name that was looked for.
    pub plugin: String,
    /// What happened.
    pub failure: Failure,
    /// The end of what the plug-in logged or printed.
    pub log: String,
}

impl PluginError {
    pub(crate) fn new(plugin: &str, failure: Failure) -> Self {
        Self {
            plugin: plugin.into(),
            failure,
            log: String::new(),
        }
    }

    pub(crate) fn with_log(mut self, log: String) -> Self {
        self.log = log;
        self
    }

    /// The stable code, such as `plugin.timeout`.
    pub fn id(&self) -> &'static str {
        self.failure.code()
    }

    /// What to do.
    pub fn hints(&self) -> Vec<String> {
        self.failure.hints(&self.plugin)
    }
}
