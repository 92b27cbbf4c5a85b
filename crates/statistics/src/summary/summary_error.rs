//! What keeps a series from being summarised.

/// Why a series has no mean, spread or median.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SummaryError {
    /// The series is shorter than the statistic needs.
    #[error("{found} values where at least {needed} are needed")]
    TooFew {
        /// How many values the statistic needs.
        needed: usize,
        /// How many there are.
        found: usize,
    },
    /// A value is not a finite number.
    #[error("value {index} is not a finite number")]
    NotFinite {
        /// Position of the value, from 0.
        index: usize,
    },
}

impl SummaryError {
    /// A name of the error that never changes.
    pub fn id(&self) -> &'static str {
        match self {
            Self::TooFew { .. } => "statistics.too-few-values",
            Self::NotFinite { .. } => "statistics.value-not-finite",
        }
    }
}

/// Checks that `values` holds at least `needed` values, all finite.
pub(crate) fn require(values: &[f64], needed: usize) -> Result<(), SummaryError> {
    if let Some(index) = values.iter().position(|value| !value.is_finite()) {
        return Err(SummaryError::NotFinite { index });
    }
    if values.len() < needed {
        return Err(SummaryError::TooFew {
            needed,
            found: values.len(),
        });
    }
    Ok(())
}
