//! What keeps equivalence from being tested.

use crate::distribution::DistributionError;
use crate::summary::SummaryError;

/// Why equivalence can't be tested.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum EquivalenceError {
    /// The values can't be summarised.
    #[error(transparent)]
    Summary(#[from] SummaryError),
    /// A level is out of range.
    #[error(transparent)]
    Distribution(#[from] DistributionError),
    /// A standard deviation or limit is out of range.
    #[error("{what} is {value}, outside its range")]
    OutOfRange {
        /// The quantity.
        what: &'static str,
        /// The value given.
        value: f64,
    },
    /// No number of papers up to the limit is enough.
    #[error("more than {limit} papers would be needed")]
    TooMany {
        /// The largest number tried.
        limit: usize,
    },
}

impl EquivalenceError {
    /// A name of the error that never changes.
    pub fn id(&self) -> &'static str {
        match self {
            Self::Summary(error) => error.id(),
            Self::Distribution(error) => error.id(),
            Self::OutOfRange { .. } => "statistics.value-out-of-range",
            Self::TooMany { .. } => "statistics.too-many-papers-needed",
        }
    }
}

/// `value`, if it is finite and above 0.
pub(super) fn positive(what: &'static str, value: f64) -> Result<f64, EquivalenceError> {
    if value > 0.0 && value.is_finite() {
        Ok(value)
    } else {
        Err(EquivalenceError::OutOfRange { what, value })
    }
}
