//! What the caller decides: this crate reads no environment.

use crate::limits::Limits;

/// How plug-ins are found and kept apart.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Settings {
    /// The most that any manifest gets.
    pub ceiling: Limits,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            ceiling: Limits::CEILING,
        }
    }
}
