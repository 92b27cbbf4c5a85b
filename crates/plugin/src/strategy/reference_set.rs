//! The reference set of a method version, as a strategy gets it.

use serde::{Deserialize, Serialize};

/// The reference set of one method version: the request of PREPARE.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct ReferenceSet {
    /// Which method version.
    pub method: MethodVersion,
    /// One entry a dye (rarely several for the same dye).
    #[serde(default)]
    pub references: Vec<Reference>,
    /// What the host counts as agreeing colours.
    #[serde(default)]
    pub colour_words: Vec<ColourWord>,
    /// How well distances are read under this method.
    #[serde(default)]
    pub measuring: Measuring,
}

/// A method version.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct MethodVersion {
    /// The method's id.
    pub id: String,
    /// The exact version.
    pub version: String,
    /// Digest of the content.
    pub digest: String,
}

impl MethodVersion {
    /// A method version by its three names.
    pub fn new(id: &str, version: &str, digest: &str) -> Self {
        Self {
            id: id.into(),
            version: version.into(),
            digest: digest.into(),
        }
    }
}

/// The expected values of one dye.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Reference {
    /// The dye's id.
    pub dye: String,
    /// The assigned value.
    #[serde(default)]
    pub assigned_rf: Option<f64>,
    /// The expected range of Rf.
    pub expected_rf: RfRange,
    /// Standard deviations of Rf, where they were established.
    #[serde(default)]
    pub sd: Option<Spread>,
    /// What they rest on.
    #[serde(default)]
    pub count: Option<Count>,
    /// Colour words: the method's, else the dye's own.
    #[serde(default)]
    pub colours: Vec<String>,
    /// Further spots that a pure dye shows.
    #[serde(default)]
    pub minor_spots: Vec<MinorSpot>,
    /// How the dye behaves in this developing solvent, in words.
    #[serde(default)]
    pub behaviour: Option<String>,
}

impl Reference {
    /// A dye with nothing but its expected range.
    pub fn new(dye: &str, low: f64, high: f64) -> Self {
        Self {
            dye: dye.into(),
            expected_rf: RfRange { low, high },
            ..Self::default()
        }
    }
}

/// A range of Rf, both ends belonging to it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct RfRange {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// Standard deviations of Rf by level.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Spread {
    /// Between spots on one paper.
    #[serde(default)]
    pub within_paper: Option<f64>,
    /// Between papers of one session.
    #[serde(default)]
    pub between_papers: Option<f64>,
    /// Between sessions.
    #[serde(default)]
    pub between_sessions: Option<f64>,
}

/// Numbers that a reference rests on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Count {
    /// Sessions.
    #[serde(default)]
    pub sessions: Option<u32>,
    /// Papers.
    #[serde(default)]
    pub papers: Option<u32>,
    /// Spots.
    #[serde(default)]
    pub spots: Option<u32>,
}

/// A further spot that a pure dye shows.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct MinorSpot {
    /// Where.
    pub rf: f64,
    /// Its colour word.
    #[serde(default)]
    pub colour: Option<String>,
}

/// A word of the host's colour table.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct ColourWord {
    /// The word.
    pub word: String,
    /// Words that readers use for the same spot.
    #[serde(default)]
    pub neighbours: Vec<String>,
}

impl ColourWord {
    /// A word and its neighbours.
    pub fn new(word: &str, neighbours: &[&str]) -> Self {
        Self {
            word: word.into(),
            neighbours: neighbours
                .iter()
                .map(|&neighbour| neighbour.into())
                .collect(),
        }
    }
}

/// How well distances are read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Measuring {
    /// Standard deviation of a spot distance in cm.
    #[serde(default)]
    pub distance_sd_cm: Option<f64>,
    /// Standard deviation of a front distance in cm.
    #[serde(default)]
    pub front_sd_cm: Option<f64>,
}

impl Reference {
    /// The assigned value, or the middle of the expected range where none is assigned.
    pub fn centre(&self) -> f64 {
        self.assigned_rf
            .unwrap_or_else(|| f64::midpoint(self.expected_rf.low, self.expected_rf.high))
    }
}
