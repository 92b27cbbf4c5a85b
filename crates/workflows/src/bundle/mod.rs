//! A bundle for another lab: method versions, the dyes they name, and the sheets behind them, in
//! one JSON file. What arrives is external and unverified, and never takes the place of anything.

mod export;
mod import;
mod read;
mod take_sheets;

pub use export::{Exported, export_bundle};
pub use import::{BundleReport, Taken, TakenMethod, import_bundle};

use crate::failure::{Failure, FailureClass};
use dyebook_documents::{Digest, MethodState, canonical_json, digest_bytes};
use semver::Version;
use serde::{Deserialize, Serialize};
use serde_json::Value;

/// Version of the bundle's own form.
pub(super) const FORM: u32 = 1;

/// A bundle, as the program reads it.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub(super) struct Bundle {
    #[serde(rename = "bundle")]
    pub(super) form: u32,
    pub(super) program: String,
    pub(super) library_schema: i64,
    pub(super) made_by: String,
    pub(super) made_at: String,
    pub(super) dyes: Vec<Value>,
    pub(super) methods: Vec<BundledMethod>,
    pub(super) files: Vec<BundledFile>,
    pub(super) sheets: Vec<BundledSheet>,
    /// SHA-256 over the canonical JSON of everything else.
    pub(super) digest: Digest,
}

#[derive(Debug, Clone, Serialize, Deserialize)]
pub(super) struct BundledMethod {
    pub(super) document: Value,
    pub(super) digest: Digest,
    pub(super) state: MethodState,
}

#[derive(Debug, Clone, Serialize, Deserialize)]
pub(super) struct BundledFile {
    pub(super) name: String,
    pub(super) sha256: Digest,
    pub(super) base64: String,
}

#[derive(Debug, Clone, Serialize, Deserialize)]
pub(super) struct BundledSheet {
    pub(super) id: String,
    pub(super) document: Value,
    pub(super) digest: Digest,
    pub(super) kind: String,
    pub(super) file_sha256: Digest,
    pub(super) importer: String,
    pub(super) reading: Value,
    pub(super) method_id: String,
    pub(super) method_version: Version,
    pub(super) state_when_bound: MethodState,
}

fn own_digest(bundle: &Bundle) -> Result<Digest, Failure> {
    let mut value = to_value(bundle)?;
    if let Value::Object(members) = &mut value {
        members.remove("digest");
    }
    Ok(digest_bytes(canonical_json(&value).as_bytes()))
}

fn to_value<T: Serialize>(thing: &T) -> Result<Value, Failure> {
    serde_json::to_value(thing)
        .map_err(|error| Failure::new(FailureClass::Bug, "bundle.not-writable", error.to_string()))
}
