//! What a distribution can't be asked.

/// Why a distribution function or quantile is undefined.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum DistributionError {
    /// A probability is not strictly between 0 and 1.
    #[error("probability {value} is not between 0 and 1")]
    Probability {
        /// The value given.
        value: f64,
    },
    /// Degrees of freedom are not above zero.
    #[error("{value} degrees of freedom, must be above 0")]
    DegreesOfFreedom {
        /// The value given.
        value: f64,
    },
    /// The argument is not a number, or below the distribution's range.
    #[error("argument {value} is outside the distribution's range")]
    Argument {
        /// The value given.
        value: f64,
    },
}

impl DistributionError {
    /// A name of the error that never changes.
    pub fn id(&self) -> &'static str {
        match self {
            Self::Probability { .. } => "statistics.probability-out-of-range",
            Self::DegreesOfFreedom { .. } => "statistics.degrees-of-freedom-not-positive",
            Self::Argument { .. } => "statistics.argument-out-of-range",
        }
    }
}

/// `value`, if it is strictly between 0 and 1.
pub(crate) fn probability(value: f64) -> Result<f64, DistributionError> {
    if value > 0.0 && value < 1.0 {
        Ok(value)
    } else {
        Err(DistributionError::Probability { value })
    }
}

/// `value`, if it is above 0 and finite.
pub(crate) fn degrees_of_freedom(value: f64) -> Result<f64, DistributionError> {
    if value > 0.0 && value.is_finite() {
        Ok(value)
    } else {
        Err(DistributionError::DegreesOfFreedom { value })
    }
}

/// `value`, if it is a number not below 0.
pub(super) fn not_negative(value: f64) -> Result<f64, DistributionError> {
    if value >= 0.0 {
        Ok(value)
    } else {
        Err(DistributionError::Argument { value })
    }
}
