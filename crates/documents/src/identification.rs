//! What a sheet's spots were found to be.
//!
//! The fields of lanes, spots and candidates stand in the order of their names, which is that of the
//! canonical form: it is then written without putting anything in order.

use crate::check::Check;
use crate::colour::ColourVerdict;
use crate::digest::Digest;
use crate::sheet::Role;
use compact_str::CompactString;
use semver::Version;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use std::sync::Arc;

/// The identities of one sheet, with all that is needed to get them again.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Identification {
    /// Sheet identifier.
    pub sheet: String,
    /// Which content of the sheet was judged; several where it was amended or replaced.
    pub sheet_revision: u32,
    /// Digest of that content.
    pub sheet_digest: Digest,
    /// Whether that content rests on an amendment.
    pub amended: bool,
    /// The reference set used.
    pub method: MethodStamp,
    /// The strategy used; sheets that were asked about together share its stamp.
    pub strategy: Arc<StrategyStamp>,
    /// The lanes.
    pub lanes: Vec<LaneIdentity>,
    /// What must be known with it.
    pub notes: Vec<String>,
    /// What the entry checks saw.
    #[serde(default)]
    pub checks: Vec<Check>,
}

/// Which method version.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct MethodStamp {
    /// Identifier.
    pub id: String,
    /// Version.
    pub version: Version,
    /// Content digest.
    pub digest: Digest,
}

/// Which strategy, with its parameters.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct StrategyStamp {
    /// Identifier.
    pub id: String,
    /// Version.
    pub version: String,
    /// Digest.
    pub digest: String,
    /// Parameters used.
    pub parameters: Map<String, Value>,
    /// Where and how it ran, for a plug-in from outside.
    #[serde(flatten)]
    pub provenance: Map<String, Value>,
}

/// The identities of one lane.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LaneIdentity {
    /// Dyes said to be in the lane, best first.
    pub dyes: Vec<DyeInLane>,
    /// Why the strategy gave no answer, where it failed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub failed: Option<String>,
    /// Label as written.
    pub label: CompactString,
    /// Lane.
    pub lane: u32,
    /// Paper.
    pub paper: CompactString,
    /// What the lane holds.
    pub role: Role,
    /// Its spots.
    pub spots: Vec<SpotIdentity>,
}

/// A dye said to be in a lane.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct DyeInLane {
    /// Dye identifier.
    pub dye: CompactString,
    /// Probability, where the strategy has one.
    pub probability: Option<f64>,
}

/// The identity of one spot.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SpotIdentity {
    /// Candidates, best first.
    pub candidates: Vec<Candidate>,
    /// What was decided.
    pub decision: Decision,
    /// Why, in a sentence.
    pub reason: String,
    /// Rf.
    pub rf: Option<f64>,
    /// Spot number.
    pub spot: u32,
    /// Standard uncertainty of `rf` from reading the ruler.
    pub u: Option<f64>,
}

/// What was decided about a spot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Decision {
    /// One candidate stands.
    #[serde(rename = "identified")]
    Identified,
    /// Several stand and can't be told apart.
    #[serde(rename = "indistinguishable")]
    Indistinguishable,
    /// None of the reference set.
    #[serde(rename = "not in reference set")]
    NotInReferenceSet,
    /// The spot can't be judged.
    #[serde(rename = "not evaluable")]
    NotEvaluable,
    /// There is nothing valid to judge it by.
    #[serde(rename = "no valid reference")]
    NoValidReference,
}

impl Decision {
    /// The words shown.
    pub fn words(self) -> &'static str {
        match self {
            Self::Identified => "identified",
            Self::Indistinguishable => "indistinguishable",
            Self::NotInReferenceSet => "not in reference set",
            Self::NotEvaluable => "not evaluable",
            Self::NoValidReference => "no valid reference",
        }
    }
}

/// What a spot may be.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Candidate {
    /// Whether the colour agrees.
    pub colour: ColourVerdict,
    /// Dye; two where one spot holds both.
    pub dyes: Vec<CompactString>,
    /// Expected range.
    pub expected: ExpectedRange,
    /// Probability, where the strategy has one.
    pub probability: Option<f64>,
    /// Rf of the spot minus the expected value.
    pub rf_difference: f64,
}

/// The range a candidate was held against.
pub type ExpectedRange = crate::reference::Range;
