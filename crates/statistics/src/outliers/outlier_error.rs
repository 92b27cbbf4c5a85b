//! What keeps an outlier test from being run.

use crate::distribution::DistributionError;
use crate::summary::SummaryError;

/// Why an outlier test has no answer.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum OutlierError {
    /// The values can't be summarised.
    #[error(transparent)]
    Summary(#[from] SummaryError),
    /// A probability is out of range.
    #[error(transparent)]
    Distribution(#[from] DistributionError),
    /// All values are equal, so nothing stands apart.
    #[error("all values are equal")]
    NoSpread,
    /// Groups where the test needs more, or fuller ones.
    #[error("{found} groups of two or more values where at least {needed} are needed")]
    TooFewGroups {
        /// Number needed.
        needed: usize,
        /// Number found.
        found: usize,
    },
}

impl OutlierError {
    /// A name of the error that never changes.
    pub fn id(&self) -> &'static str {
        match self {
            Self::Summary(error) => error.id(),
            Self::Distribution(error) => error.id(),
            Self::NoSpread => "statistics.no-spread",
            Self::TooFewGroups { .. } => "statistics.too-few-groups",
        }
    }
}
