//! One finding of a check.

use serde::{Deserialize, Serialize};

/// One thing that a check saw.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Check {
    /// Name of the check, e.g. `front-tilt`.
    pub check: String,
    /// What it asks of a person.
    pub severity: Severity,
    /// Where it was seen.
    #[serde(rename = "where")]
    pub place: Where,
    /// One sentence, with the numbers.
    pub message: String,
    /// Other readings that would explain it; suggestions, never corrections.
    pub alternatives: Vec<String>,
}

/// What a finding asks of a person. Ordered from the least to the most.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Worth knowing.
    Info,
    /// The group should be asked.
    Ask,
    /// Probably wrong.
    Warn,
    /// Can't be used before a person has looked.
    Stop,
}

impl Severity {
    /// The word shown.
    pub fn word(self) -> &'static str {
        match self {
            Self::Info => "info",
            Self::Ask => "ask",
            Self::Warn => "warn",
            Self::Stop => "stop",
        }
    }
}

/// A place on a data sheet; what is `None` is meant as a whole.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Where {
    /// Paper.
    pub paper: Option<String>,
    /// Lane on the paper.
    pub lane: Option<u32>,
    /// Spot in the lane.
    pub spot: Option<u32>,
}

impl Where {
    /// The sheet as a whole.
    pub fn sheet() -> Self {
        Self::default()
    }

    /// One paper.
    pub fn paper(paper: &str) -> Self {
        Self {
            paper: Some(paper.to_owned()),
            ..Self::default()
        }
    }

    /// One lane.
    pub fn lane(paper: &str, lane: u32) -> Self {
        Self {
            lane: Some(lane),
            ..Self::paper(paper)
        }
    }

    /// One spot.
    pub fn spot(paper: &str, lane: u32, spot: u32) -> Self {
        Self {
            spot: Some(spot),
            ..Self::lane(paper, lane)
        }
    }

    /// In words: `paper 1, lane 3, spot 2`, or `the whole sheet`.
    pub fn words(&self) -> String {
        let parts: Vec<String> = [
            self.paper.as_ref().map(|p| format!("paper {p}")),
            self.lane.map(|l| format!("lane {l}")),
            self.spot.map(|s| format!("spot {s}")),
        ]
        .into_iter()
        .flatten()
        .collect();
        if parts.is_empty() {
            "the whole sheet".to_owned()
        } else {
            parts.join(", ")
        }
    }
}
