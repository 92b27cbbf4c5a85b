//! Whether a class may start.

use serde::Serialize;

/// Whether a class may start.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub enum Verdict {
    /// Everything that was tested holds.
    #[serde(rename = "go")]
    Go,
    /// The class may start if what is named is left out or told.
    #[serde(rename = "go with restrictions")]
    GoWithRestrictions,
    /// The class must not start before something was done.
    #[serde(rename = "stop")]
    Stop,
}

impl Verdict {
    /// The words shown.
    pub fn words(self) -> &'static str {
        match self {
            Self::Go => "go",
            Self::GoWithRestrictions => "go with restrictions",
            Self::Stop => "stop",
        }
    }
}
