//! What a stored result says about the plug-in that made it.

use serde::Serialize;
use serde_json::{Map, Value};

use crate::manifest::Kind;

/// Who made a result, exactly enough to get it again.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Provenance {
    /// The plug-in's id.
    pub plugin: String,
    /// The component's short name.
    pub component: String,
    /// Strategy or importer.
    pub kind: Kind,
    /// Contract spoken.
    pub contract: String,
    /// The plug-in's version.
    pub version: String,
    /// SHA-256 of the library; for a bundled plug-in, of its manifest and version.
    pub digest: String,
    /// SHA-256 of the manifest.
    pub manifest_sha256: String,
    /// Is it part of dyebook itself?
    pub bundled: bool,
    /// Its parameters, defaults filled in.
    pub parameters: Map<String, Value>,
    /// How it was kept apart, in words.
    pub sandbox: String,
}
