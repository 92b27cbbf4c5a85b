//! What keeps a chart from being drawn.

use crate::summary::SummaryError;

/// Why a control chart has no limits.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ChartError {
    /// The values can't be summarised.
    #[error(transparent)]
    Summary(#[from] SummaryError),
    /// Samples differ in size.
    #[error("sample {index} holds {found} values, the first holds {expected}")]
    SizesDiffer {
        /// Position of the sample, from 0.
        index: usize,
        /// Its size.
        found: usize,
        /// Size of the first.
        expected: usize,
    },
    /// Constants exist for samples of 2 to 1,000 values.
    #[error("samples of {size} values, must be 2 to 1,000")]
    SampleSize {
        /// The size given.
        size: usize,
    },
    /// A standard deviation is not above 0.
    #[error("standard deviation {value} is not above 0")]
    NoSpread {
        /// The value given.
        value: f64,
    },
}

impl ChartError {
    /// A name of the error that never changes.
    pub fn id(&self) -> &'static str {
        match self {
            Self::Summary(error) => error.id(),
            Self::SizesDiffer { .. } => "statistics.sample-sizes-differ",
            Self::SampleSize { .. } => "statistics.sample-size-out-of-range",
            Self::NoSpread { .. } => "statistics.no-spread",
        }
    }
}
