//! Which part of a version number moves.

use serde::{Deserialize, Serialize};
use std::fmt;

/// Which part of a version number moves, from the least to the most.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Bump {
    /// No version step.
    None,
    /// Wording only.
    Patch,
    /// Rf values stay comparable, something else changes.
    Minor,
    /// Rf values can't be compared.
    Major,
}

impl Bump {
    /// The word shown.
    pub fn word(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Patch => "patch",
            Self::Minor => "minor",
            Self::Major => "major",
        }
    }
}

impl fmt::Display for Bump {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}
