//! What keeps a factor from being computed.

use crate::distribution::DistributionError;

/// Why an interval factor is undefined.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum IntervalError {
    /// Fewer values than the factor needs.
    #[error("{found} values where at least {needed} are needed")]
    TooFew {
        /// Number needed.
        needed: f64,
        /// Number given.
        found: f64,
    },
    /// A probability or degrees of freedom are out of range.
    #[error(transparent)]
    Distribution(#[from] DistributionError),
    /// The closed form has no answer here.
    #[error("the closed form has no answer for so few values at this confidence")]
    NoAnswer,
}

impl IntervalError {
    /// A name of the error that never changes.
    pub fn id(&self) -> &'static str {
        match self {
            Self::TooFew { .. } => "statistics.too-few-values",
            Self::Distribution(error) => error.id(),
            Self::NoAnswer => "statistics.factor-has-no-answer",
        }
    }
}

/// `n`, if it is a number not below `needed`.
pub(super) fn at_least(needed: f64, n: f64) -> Result<f64, IntervalError> {
    if n >= needed && n.is_finite() {
        Ok(n)
    } else {
        Err(IntervalError::TooFew { needed, found: n })
    }
}
