//! Where a method version stands in its life.

use serde::{Deserialize, Serialize};
use std::fmt;

/// State of a method version.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum MethodState {
    /// Kept, not in use; may still change.
    Draft,
    /// In use; never changes again.
    Approved,
    /// Was in use until a later version was approved.
    Superseded,
    /// Taken out of use.
    Withdrawn,
}

impl MethodState {
    /// The word kept and shown.
    pub fn word(self) -> &'static str {
        match self {
            Self::Draft => "draft",
            Self::Approved => "approved",
            Self::Superseded => "superseded",
            Self::Withdrawn => "withdrawn",
        }
    }

    /// The state that a kept word names.
    pub fn from_word(word: &str) -> Option<Self> {
        [
            Self::Draft,
            Self::Approved,
            Self::Superseded,
            Self::Withdrawn,
        ]
        .into_iter()
        .find(|state| state.word() == word)
    }
}

impl fmt::Display for MethodState {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}
