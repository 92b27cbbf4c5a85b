//! The first two messages between host and worker.

use serde::{Deserialize, Serialize};

use crate::failure::Failure;
use crate::limits::Limits;

/// Host to worker: what to load and under which limits.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(crate) struct Init {
    pub(crate) load: Load,
    /// The component to make an instance of; none for the conformance kit, which makes its own.
    pub(crate) component: Option<String>,
    pub(crate) config: String,
    pub(crate) limits: Limits,
    /// Refuse to load anything when the sandbox is not whole.
    pub(crate) sandbox_required: bool,
    /// The host's process, to notice that it is already gone.
    pub(crate) host: i32,
}

/// What to load.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Load {
    /// A library, whose bytes must have this digest.
    Library {
        path: String,
        size: u64,
        sha256: String,
    },
    /// A bundled plug-in by its id.
    Bundled { id: String },
}

/// Worker to host: what was loaded, or why nothing was.
pub(crate) type Hello = Result<Greeting, Failure>;

/// What a worker loaded.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(crate) struct Greeting {
    pub(crate) describe: String,
    /// How the plug-in is kept apart, in words.
    pub(crate) sandbox: String,
    /// Is every part of the sandbox in force?
    pub(crate) confined: bool,
    /// The entry function returned the same pointer twice.
    pub(crate) same_entry: bool,
}
