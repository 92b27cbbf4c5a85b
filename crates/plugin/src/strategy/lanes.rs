//! Lanes under question, and what is known around them.
//!
//! Their names and words are short and come by the million, so they are kept where they stand: a
//! [`CompactString`] is used like a `String` and asks for no memory up to 24 bytes.

use compact_str::CompactString;
use serde::{Deserialize, Serialize};

/// Lanes to answer: the request of MATCH.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct MatchRequest {
    /// The data sheets that the lanes stand on.
    #[serde(default)]
    pub sheets: Vec<Sheet>,
    /// The lanes, at most 32 in one call.
    pub lanes: Vec<Lane>,
}

/// What is known of a data sheet's papers.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Sheet {
    /// The sheet's id.
    pub sheet: CompactString,
    /// The session it belongs to.
    #[serde(default)]
    pub session: CompactString,
    /// Lanes whose dyes are known: standards and bridging lanes.
    #[serde(default)]
    pub known: Vec<KnownLane>,
}

/// A lane whose dyes are known.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct KnownLane {
    /// Its paper.
    pub paper: CompactString,
    /// Its number on the paper.
    pub lane: u32,
    /// What is in it.
    #[serde(default)]
    pub dyes: Vec<String>,
    /// `standard` or `bridging`.
    pub role: CompactString,
    /// Its spots.
    #[serde(default)]
    pub spots: Vec<Spot>,
}

/// A lane under question.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Lane {
    /// Opaque name of this question.
    pub id: CompactString,
    /// The data sheet it stands on.
    pub sheet: CompactString,
    /// The session.
    #[serde(default)]
    pub session: CompactString,
    /// Its paper.
    #[serde(default)]
    pub paper: CompactString,
    /// Its number on the paper.
    #[serde(default)]
    pub lane: u32,
    /// `standard` or `sample`.
    #[serde(default)]
    pub role: CompactString,
    /// Its spots.
    #[serde(default)]
    pub spots: Vec<Spot>,
}

/// One spot as read.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Spot {
    /// Its number in the lane.
    pub spot: u32,
    /// Rf.
    #[serde(default)]
    pub rf: Option<f64>,
    /// Standard uncertainty of Rf from reading the ruler.
    #[serde(default)]
    pub u: Option<f64>,
    /// Front distance in cm.
    #[serde(default)]
    pub front_cm: Option<f64>,
    /// Colour word as written.
    #[serde(default)]
    pub colour: Option<CompactString>,
    /// How strong: faint, clear, strong.
    #[serde(default)]
    pub depth: Option<CompactString>,
    /// Shape as written.
    #[serde(default)]
    pub shape: Option<CompactString>,
    /// Width along the lane in Rf.
    #[serde(default)]
    pub width_rf: Option<f64>,
    /// Why there is no Rf, in the host's words.
    #[serde(default)]
    pub unusable: Option<CompactString>,
}

impl Spot {
    /// A spot with an Rf and its reading uncertainty.
    pub fn new(spot: u32, rf: f64, u: f64) -> Self {
        Self {
            spot,
            rf: Some(rf),
            u: Some(u),
            ..Self::default()
        }
    }
}
