//! What a method version expects of one dye.

use serde::{Deserialize, Serialize};

/// Expected values of one dye in one method version.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Reference {
    /// Dye identifier.
    pub dye: String,
    /// Assigned Rf.
    #[serde(default)]
    pub assigned_rf: Option<f64>,
    /// Expected range of a spot in a new session.
    pub expected_rf: Range,
    /// Standard deviations by level.
    #[serde(default)]
    pub sd: Option<Spread>,
    /// How much stands behind it.
    #[serde(default)]
    pub count: Option<Count>,
    /// Colour words of the spot on paper.
    #[serde(default)]
    pub colours: Option<Vec<String>>,
    /// Further spots that the pure dye standard may show.
    #[serde(default)]
    pub minor_spots: Option<Vec<MinorSpot>>,
    /// How the dye behaves, in words.
    #[serde(default)]
    pub behaviour: Option<String>,
    /// Where the values are from.
    #[serde(default)]
    pub source: Option<String>,
    /// Below the lab's own minimum of papers and sessions.
    #[serde(default)]
    pub provisional: Option<bool>,
}

impl Reference {
    /// The value that a spot is compared with: the assigned one, else the middle of the range.
    pub fn centre(&self) -> f64 {
        self.assigned_rf
            .unwrap_or_else(|| self.expected_rf.middle())
    }
}

/// A closed range.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Range {
    /// Upper end.
    pub high: f64,
    /// Lower end.
    pub low: f64,
}

impl Range {
    /// Whether a value lies in the range, ends included.
    pub fn contains(&self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }

    /// Middle of the range.
    pub fn middle(&self) -> f64 {
        f64::midpoint(self.low, self.high)
    }

    /// Width of the range.
    pub fn width(&self) -> f64 {
        self.high - self.low
    }

    /// Whether two ranges share a value.
    pub fn overlaps(&self, other: &Self) -> bool {
        self.low <= other.high && other.low <= self.high
    }
}

/// Standard deviations of Rf, one a level of the nesting sessions > papers > spots.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Spread {
    /// Between spots of one paper.
    pub within_paper: Option<f64>,
    /// Between papers of one session.
    pub between_papers: Option<f64>,
    /// Between sessions.
    pub between_sessions: Option<f64>,
}

impl Spread {
    /// Standard deviation of one spot in a new session, when all levels are known.
    pub fn intermediate(&self) -> Option<f64> {
        let (w, p, s) = (
            self.within_paper?,
            self.between_papers?,
            self.between_sessions?,
        );
        Some((w * w + p * p + s * s).sqrt())
    }
}

/// Counts at each level.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Count {
    /// Sessions.
    pub sessions: Option<u32>,
    /// Papers.
    pub papers: Option<u32>,
    /// Spots.
    pub spots: Option<u32>,
}

/// A spot that a pure dye standard may show beside its own.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct MinorSpot {
    /// Its Rf.
    pub rf: f64,
    /// Its colour.
    #[serde(default)]
    pub colour: Option<String>,
}
