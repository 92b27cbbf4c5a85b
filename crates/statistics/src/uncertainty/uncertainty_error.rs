//! What keeps an uncertainty from being computed.

use crate::summary::SummaryError;

/// Why an uncertainty is undefined.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum UncertaintyError {
    /// The values can't be summarised.
    #[error(transparent)]
    Summary(#[from] SummaryError),
    /// Series or tables that belong together differ in size.
    #[error("{left} values stand beside {right}")]
    SizesDiffer {
        /// Size of the first.
        left: usize,
        /// Size of the other.
        right: usize,
    },
    /// A quantity is out of its range.
    #[error("{what} is {value}, outside its range")]
    OutOfRange {
        /// The quantity.
        what: &'static str,
        /// The value given.
        value: f64,
    },
}

impl UncertaintyError {
    /// A name of the error that never changes.
    pub fn id(&self) -> &'static str {
        match self {
            Self::Summary(error) => error.id(),
            Self::SizesDiffer { .. } => "statistics.sizes-differ",
            Self::OutOfRange { .. } => "statistics.value-out-of-range",
        }
    }
}

/// `value`, if it is finite and not below 0.
pub(super) fn not_negative(what: &'static str, value: f64) -> Result<f64, UncertaintyError> {
    if value >= 0.0 && value.is_finite() {
        Ok(value)
    } else {
        Err(UncertaintyError::OutOfRange { what, value })
    }
}
