//! What keeps a planar quantity from being computed.

/// Why a planar quantity is undefined for its input.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PlanarError {
    /// A value is NaN or infinite.
    #[error("{what} is not a finite number")]
    NotFinite {
        /// The quantity.
        what: &'static str,
    },
    /// A value that must be above zero isn't.
    #[error("{what} is {value}, must be above 0")]
    NotPositive {
        /// The quantity.
        what: &'static str,
        /// The value given.
        value: f64,
    },
    /// A value that must not be below zero is.
    #[error("{what} is {value}, must not be below 0")]
    Negative {
        /// The quantity.
        what: &'static str,
        /// The value given.
        value: f64,
    },
    /// A value lies outside the range where the quantity is defined.
    #[error("{what} is {value}, must lie between {low} and {high}")]
    OutOfRange {
        /// The quantity.
        what: &'static str,
        /// The value given.
        value: f64,
        /// Lower end of the range.
        low: f64,
        /// Upper end of the range.
        high: f64,
    },
    /// The series is shorter than the quantity needs.
    #[error("{found} values where at least {needed} are needed")]
    TooFew {
        /// How many values the quantity needs.
        needed: usize,
        /// How many there are.
        found: usize,
    },
    /// Two series that belong together have different lengths.
    #[error("{left} values stand beside {right}")]
    LengthsDiffer {
        /// Length of the first series.
        left: usize,
        /// Length of the other series.
        right: usize,
    },
}

impl PlanarError {
    /// A name of the error that never changes.
    pub fn id(&self) -> &'static str {
        match self {
            Self::NotFinite { .. } => "statistics.value-not-finite",
            Self::NotPositive { .. } => "statistics.value-not-positive",
            Self::Negative { .. } => "statistics.value-negative",
            Self::OutOfRange { .. } => "statistics.value-out-of-range",
            Self::TooFew { .. } => "statistics.too-few-values",
            Self::LengthsDiffer { .. } => "statistics.lengths-differ",
        }
    }
}

/// `value`, if it is finite.
pub(super) fn finite(what: &'static str, value: f64) -> Result<f64, PlanarError> {
    if value.is_finite() {
        Ok(value)
    } else {
        Err(PlanarError::NotFinite { what })
    }
}

/// `value`, if it is finite and above zero.
pub(super) fn positive(what: &'static str, value: f64) -> Result<f64, PlanarError> {
    if finite(what, value)? > 0.0 {
        Ok(value)
    } else {
        Err(PlanarError::NotPositive { what, value })
    }
}

/// `value`, if it is finite and not below zero.
pub(super) fn not_negative(what: &'static str, value: f64) -> Result<f64, PlanarError> {
    if finite(what, value)? < 0.0 {
        Err(PlanarError::Negative { what, value })
    } else {
        Ok(value)
    }
}
