//! What a reference was worked out from, kept in the reference itself: enough to work it out again.

use super::pooled::Pooling;
use super::spot_place::SpotPlace;
use serde::{Deserialize, Serialize};
use serde_json::Value;

/// What a reference was worked out from.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Evidence {
    /// The method version by which spots were told apart, `id@version`.
    pub method: String,
    /// The sheets.
    pub sheets: Vec<EvidenceSheet>,
    /// Spots of these sheets left out by a person, of this dye or another.
    pub excluded: Vec<SpotPlace>,
    /// Whose spread was to be used.
    pub pooling: Pooling,
    /// The dyes whose spread was pooled, where the dye's own was not used.
    pub pooled_over: Option<Vec<String>>,
    /// Effective degrees of freedom of the range.
    pub df: Option<f64>,
    /// Standard uncertainty of the assigned value.
    pub assigned_u: f64,
    /// Half-width of the range as worked out, before the floor of 0.02.
    pub half_width: f64,
}

/// A sheet as it stood.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct EvidenceSheet {
    /// Sheet identifier.
    pub sheet: String,
    /// Revision.
    pub revision: u32,
}

/// The evidence of a dye in a method document.
pub(crate) fn evidence_of(document: &Value, dye: &str) -> Option<Evidence> {
    let references = document.get("references")?.as_array()?;
    let reference = references
        .iter()
        .find(|reference| reference["dye"] == dye)?;
    serde_json::from_value(reference.get("evidence")?.clone()).ok()
}
